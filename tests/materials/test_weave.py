"""The balanced weave against an independent homogenisation of two stacked plies, its limits and its crimp."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.materials import Elastic, FibreConstants, ResinConstants, ply_elastic, stock_prepreg, woven

UD = Elastic(
    E1=125e9,
    E2=8e9,
    E3=8e9,
    G12=3.9e9,
    G13=3.9e9,
    G23=2.8e9,
    nu12=0.28,
    nu13=0.28,
    nu23=0.42,
    alpha1=0.3e-6,
    alpha2=30e-6,
    alpha3=32e-6,
    density=1500.0,
)


def compliance(e: Elastic) -> np.ndarray:
    """Full 6 x 6 compliance, order 11 22 33 23 13 12."""
    E1, E2, E3, n12, n13, n23 = (float(getattr(e, f)) for f in ("E1", "E2", "E3", "nu12", "nu13", "nu23"))
    S = np.zeros((6, 6))
    S[:3, :3] = [[1 / E1, -n12 / E1, -n13 / E1], [-n12 / E1, 1 / E2, -n23 / E2], [-n13 / E1, -n23 / E2, 1 / E3]]
    S[3, 3], S[4, 4], S[5, 5] = 1 / float(e.G23), 1 / float(e.G13), 1 / float(e.G12)
    return S


def stacked_compliance(e: Elastic) -> tuple[np.ndarray, np.ndarray]:
    """Compliance and expansion of equal 0 and 90 layers: all twelve layer stresses from one system of equations.

    Common in-plane strain, common through-ply stress, and mean stress as applied; nothing of the layered formula.
    """
    turn = [1, 0, 2, 4, 3, 5]
    S0 = compliance(e)
    S90 = S0[np.ix_(turn, turn)]
    a0 = np.array([float(e.alpha1), float(e.alpha2), float(e.alpha3), 0, 0, 0])
    plane, through = [0, 1, 5], [2, 3, 4]
    A, columns, swell = np.zeros((12, 12)), np.zeros((12, 6)), np.zeros(12)
    A[0:3, :6], A[0:3, 6:], swell[0:3] = S0[plane], -S90[plane], (a0[turn] - a0)[plane]
    for row, k in enumerate(through, start=3):
        A[row, k], A[row, 6 + k] = 1.0, -1.0
    for k in range(6):
        A[6 + k, k] = A[6 + k, 6 + k] = 0.5
        columns[6 + k, k] = 1.0
    stress, hot = np.linalg.solve(A, columns), np.linalg.solve(A, swell)
    strain = 0.5 * (S0 @ stress[:6] + S90 @ stress[6:])
    expansion = 0.5 * (S0 @ hot[:6] + a0 + S90 @ hot[6:] + a0[turn])
    return strain, expansion


@pytest.mark.parametrize(
    "ud",
    [UD, stock_prepreg("ud_eg_300").ply().ply.elastic, stock_prepreg("ud_hm435_100").ply().ply.elastic],
    ids=["carbon", "glass", "hm"],
)
def test_weave_without_crimp_is_the_stacked_pair_solved_layer_by_layer(ud: Elastic) -> None:
    want, swell = stacked_compliance(ud)
    got = woven(ud)
    assert_allclose(compliance(got), want, rtol=1e-9, atol=1e-20)
    assert_allclose([got.alpha1, got.alpha2, got.alpha3], swell[:3], rtol=1e-9)


@settings(derandomize=True, max_examples=100, deadline=None)
@given(st.floats(0.5, 1.0))
def test_crimp_scales_the_plane_alone(crimp: float) -> None:
    flat, wavy = woven(UD), woven(UD, crimp=crimp)
    assert_allclose([wavy.E1, wavy.E2], [crimp * flat.E1, crimp * flat.E2], rtol=1e-12)
    for figure in ("E3", "G12", "G13", "G23", "nu12", "alpha1", "alpha3", "density"):
        assert_allclose(getattr(wavy, figure), getattr(flat, figure), rtol=1e-12)
    assert_allclose(wavy.nu13 * wavy.E3 / wavy.E1, flat.nu13 * flat.E3 / flat.E1, rtol=1e-12)


def test_weave_of_isotropic_plies_is_the_same_material() -> None:
    metal = Elastic.isotropic(E=70e9, nu=0.33, alpha=23e-6, density=2700.0)
    got = woven(metal)
    for figure in metal.__slots__:
        assert_allclose(getattr(got, figure), getattr(metal, figure), rtol=1e-12, err_msg=figure)


def test_a_batch_of_weaves_answers_as_its_members() -> None:
    fibre = FibreConstants(230e9, 15e9, 15e9, 0.2, 0.25, -0.5e-6, 10e-6, 1780.0)  # type: ignore[arg-type]
    resin = ResinConstants(3.5e9, 0.36, 60e-6, 1220.0)  # type: ignore[arg-type]
    shares, crimps = np.array([0.4, 0.5]), np.array([0.92, 0.95])
    batch = woven(ply_elastic(fibre, resin, shares), crimp=crimps)
    for i in range(2):
        one = woven(ply_elastic(fibre, resin, shares[i]), crimp=crimps[i])
        assert_allclose([batch.E1[i], batch.E3[i], batch.nu13[i]], [one.E1, one.E3, one.nu13], rtol=1e-13)


@pytest.mark.parametrize("crimp", [0.0, -0.5, 1.2, float("nan")])
def test_crimp_out_of_range_is_refused(crimp: Any) -> None:
    with pytest.raises(DesignError, match="crimp"):
        woven(UD, crimp=crimp)
