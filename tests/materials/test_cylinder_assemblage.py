"""The composite cylinder assemblage against the elasticity problem itself, solved numerically by another road."""

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from polewright.materials import FibreConstants, ResinConstants, cylinders, ply_elastic, ply_expansion
from polewright.materials.micromechanics import halpin_tsai, square_root

RESIN = ResinConstants(3.5e9, 0.36, 60e-6, 1220.0)
CARBON = FibreConstants(230e9, 15e9, 15e9, 0.2, 0.25, -0.5e-6, 10e-6, 1780.0)
GLASS = FibreConstants(73e9, 73e9, 30e9, 0.22, 0.22, 5e-6, 5e-6, 2570.0)
ARAMID = FibreConstants(124e9, 4.2e9, 2.9e9, 0.35, 0.25, -3e-6, 56e-6, 1450.0)
FIBRES = {"carbon": CARBON, "glass": GLASS, "aramid": ARAMID}
SHARES = (0.05, 0.3, 0.6, 0.85)


def direct_stiffness(E1: float, E2: float, nu12: float, nu23: float) -> np.ndarray:
    """Stiffness of the direct strains, axis 1 along the fibre, by inverting the compliance."""
    return np.linalg.inv(
        np.array([[1 / E1, -nu12 / E1, -nu12 / E1], [-nu12 / E1, 1 / E2, -nu23 / E2], [-nu12 / E1, -nu23 / E2, 1 / E2]])
    )


def concentric_cylinder(fibre: FibreConstants, resin: ResinConstants, vf: float) -> dict[str, float]:
    """E1, nu12, K23, alpha1, alpha2 of a fibre in its sleeve: u = A r in the fibre, A r + B/r in the sleeve."""
    Cf = direct_stiffness(float(fibre.E1), float(fibre.E2), float(fibre.nu12), float(fibre.nu23))
    Cm = direct_stiffness(float(resin.E), float(resin.E), float(resin.nu), float(resin.nu))
    hot_f = Cf @ np.array([fibre.alpha1, fibre.alpha2, fibre.alpha2], float)
    hot_m = Cm @ (np.ones(3) * float(resin.alpha))
    a2, vm = vf, 1.0 - vf

    def solve(outer: str, rise: float, last: np.ndarray, right: float) -> np.ndarray:
        # unknowns: A fibre, A sleeve, B sleeve, axial strain
        radial_f = [Cf[1, 1] + Cf[1, 2], 0.0, 0.0, Cf[1, 0]]
        sleeve = lambda r2: [0.0, Cm[1, 1] + Cm[1, 2], -(Cm[1, 1] - Cm[1, 2]) / r2, Cm[1, 0]]  # noqa: E731
        rows = [[1.0, -1.0, -1.0 / a2, 0.0], list(np.array(radial_f) - np.array(sleeve(a2)))]
        rhs = [0.0, rise * (hot_f[1] - hot_m[1])]
        if outer == "free":
            rows.append(sleeve(1.0))
            rhs.append(rise * hot_m[1])
        else:
            rows.append([0.0, 1.0, 1.0, 0.0])
            rhs.append(1.0)
        return np.linalg.solve(np.array([*rows, list(last)]), np.array([*rhs, right]))

    force = np.array([vf * 2 * Cf[0, 1], vm * 2 * Cm[0, 1], 0.0, vf * Cf[0, 0] + vm * Cm[0, 0]])
    pulled = solve("free", 0.0, np.array([0.0, 0.0, 0.0, 1.0]), 1.0)
    pressed = solve("held", 0.0, np.array([0.0, 0.0, 0.0, 1.0]), 0.0)
    warmed = solve("free", 1.0, force, vf * hot_f[0] + vm * hot_m[0])
    skin = (Cm[1, 1] + Cm[1, 2]) * pressed[1] - (Cm[1, 1] - Cm[1, 2]) * pressed[2]
    return {
        "E1": force @ pulled,
        "nu12": -(pulled[1] + pulled[2]),
        "K23": skin / 2.0,
        "alpha1": warmed[3],
        "alpha2": warmed[1] + warmed[2],
    }


@pytest.mark.parametrize("name", FIBRES)
@pytest.mark.parametrize("vf", SHARES)
def test_closed_forms_are_the_fibre_in_its_sleeve_solved_numerically(name: str, vf: float) -> None:
    fibre = FIBRES[name]
    exact = concentric_cylinder(fibre, RESIN, vf)
    alpha1, alpha2 = ply_expansion(fibre, RESIN, vf, model="cylinders")
    got = {
        "E1": cylinders.axial_modulus(fibre, RESIN, vf),
        "nu12": cylinders.axial_poisson(fibre, RESIN, vf),
        "K23": cylinders.bulk(fibre, RESIN, vf),
        "alpha1": alpha1,
        "alpha2": alpha2,
    }
    for figure, value in exact.items():
        assert_allclose(got[figure], value, rtol=1e-10, atol=1e-18, err_msg=figure)


@pytest.mark.parametrize("name", FIBRES)
@pytest.mark.parametrize("vf", SHARES)
def test_axial_shear_is_the_antiplane_problem_and_halpin_tsai_with_one(name: str, vf: float) -> None:
    Gf, Gm = float(FIBRES[name].G12), float(RESIN.G)
    # w = A r in the fibre, B r + C/r in the sleeve, sheared by one at its skin
    A = np.array([[1.0, -1.0, -1.0 / vf], [Gf, -Gm, Gm / vf], [0.0, 1.0, 1.0]])
    _, B, C = np.linalg.solve(A, [0.0, 0.0, 1.0])
    assert_allclose(cylinders.axial_shear(FIBRES[name], RESIN, vf), Gm * (B - C), rtol=1e-12)
    assert_allclose(halpin_tsai(Gm, Gf, vf, xi=1.0), Gm * (B - C), rtol=1e-12)


def three_phase_shear(fibre: FibreConstants, resin: ResinConstants, vf: float) -> float:
    """G23 for which a fibre in its sleeve, set in the ply itself under transverse shear, leaves no 1/z field outside.

    Plane strain by complex potentials (phi = a z³ + c/z, psi = b z + d/z³); all terms go as cos 2t or sin 2t.
    """
    r = float(np.sqrt(vf))

    def modes(G: float, kappa: float, r: float) -> np.ndarray:
        """Rows u_r, u_t, s_r, s_rt at radius r; columns the coefficients a, b, c, d."""
        g = 1.0 / (2.0 * G)
        return np.array(
            [
                [g * r**3 * (kappa - 3), -g * r, g * (kappa + 1) / r, -g / r**3],
                [g * r**3 * (kappa + 3), g * r, g * (1 - kappa) / r, -g / r**3],
                [0.0, -1.0, -4.0 / r**2, 3.0 / r**4],
                [6.0 * r**2, 1.0, -2.0 / r**2, 3.0 / r**4],
            ]
        )

    kf, km = (1.0 + 2.0 * float(x) for x in (fibre.G23 / fibre.bulk, resin.G / resin.bulk))
    scale = np.array([1.0, 1.0, float(resin.G), float(resin.G)])[:, None]

    def leftover(G: float) -> float:
        inner, sleeve_in, sleeve_out = (
            modes(float(fibre.G23), kf, r)[:, :2],
            modes(float(resin.G), km, r),
            modes(float(resin.G), km, 1.0),
        )
        around = modes(G, 1.8, 1.0)  # kappa outside does not enter where no 1/z field is left
        A = np.zeros((8, 8))
        A[:4, :2], A[:4, 2:6] = inner / scale, -sleeve_in / scale
        A[4:, 2:6], A[4:, 6:] = sleeve_out / scale, -around[:, 2:] / scale
        rhs = np.concatenate([np.zeros(4), around[:, 1] * -2.0 * G / scale[:, 0]])
        return float(np.linalg.solve(A, rhs)[6])

    low, high = sorted((float(resin.G), float(fibre.G23)))
    return float(brentq(leftover, low * 1.0001, high * 0.9999, xtol=1.0))


@pytest.mark.parametrize("name", FIBRES)
@pytest.mark.parametrize("vf", SHARES)
def test_transverse_shear_is_the_three_phase_problem_solved_numerically(name: str, vf: float) -> None:
    assert_allclose(
        cylinders.transverse_shear(FIBRES[name], RESIN, vf), three_phase_shear(FIBRES[name], RESIN, vf), rtol=1e-7
    )


@pytest.mark.parametrize("name", FIBRES)
@pytest.mark.parametrize("vf", SHARES)
def test_expansion_obeys_levins_relation_to_the_effective_compliance(name: str, vf: float) -> None:
    fibre = FIBRES[name]
    e = ply_elastic(fibre, RESIN, vf, model="cylinders")
    S = np.linalg.inv(direct_stiffness(float(e.E1), float(e.E2), float(e.nu12), float(e.nu23)))
    Sf = np.linalg.inv(direct_stiffness(*(float(x) for x in (fibre.E1, fibre.E2, fibre.nu12, fibre.nu23))))
    Sm = np.linalg.inv(direct_stiffness(*(float(x) for x in (RESIN.E, RESIN.E, RESIN.nu, RESIN.nu))))
    af = np.array([fibre.alpha1, fibre.alpha2, fibre.alpha2], float)
    am = np.full(3, float(RESIN.alpha))
    mean, apart = vf * af + (1 - vf) * am, vf * Sf + (1 - vf) * Sm
    alpha = mean + (S - apart) @ np.linalg.solve(Sf - Sm, af - am)
    assert_allclose([e.alpha1, e.alpha2], alpha[:2], rtol=1e-9, atol=1e-16)


def constants() -> Any:
    number = st.floats(min_value=0.0, max_value=1.0)
    return st.tuples(number, number, number, number, number, number, st.floats(0.0, 0.9))


def drawn(d: tuple[float, ...]) -> tuple[FibreConstants, ResinConstants, float]:
    E2 = 10 ** (9.3 + 1.6 * d[0])
    fibre = FibreConstants(
        E2 * 10 ** (2.0 * d[1]), E2, E2 * (0.25 + d[2]), 0.05 + 0.35 * d[3], 0.05 + 0.35 * d[4], -1e-6, 10e-6, 1800.0
    )
    return fibre, ResinConstants(3.3e9, 0.2 + 0.25 * d[5], 60e-6, 1200.0), d[6]


@settings(derandomize=True, max_examples=200, deadline=None)
@given(constants())
def test_assemblage_lies_between_the_bounds_of_any_arrangement(d: tuple[float, ...]) -> None:
    fibre, resin, vf = drawn(d)
    # the bounds hold where one phase is the stiffer in bulk and in shear alike
    assume((fibre.bulk - resin.bulk) * (fibre.G23 - resin.G) >= 0.0)
    slack = 1e-9
    for value, bounds in (
        (cylinders.bulk, cylinders.bulk_bounds),
        (cylinders.transverse_shear, cylinders.transverse_shear_bounds),
    ):
        low, high = bounds(fibre, resin, vf)
        assert low * (1 - slack) <= value(fibre, resin, vf) <= high * (1 + slack)


@settings(derandomize=True, max_examples=200, deadline=None)
@given(constants())
def test_halpin_tsai_lies_between_series_and_parallel(d: tuple[float, ...]) -> None:
    fibre, resin, vf = drawn(d)
    e = ply_elastic(fibre, resin, vf, model="halpin_tsai", nu23=0.3)
    for got, pm, pf in ((e.E2, resin.E, fibre.E2), (e.G12, resin.G, fibre.G12)):
        series, parallel = 1.0 / (vf / pf + (1 - vf) / pm), vf * pf + (1 - vf) * pm
        assert series * (1 - 1e-9) <= got <= parallel * (1 + 1e-9)


@settings(derandomize=True, max_examples=200, deadline=None)
@given(st.floats(1.01, 30.0), st.floats(0.001, 0.9))
def test_square_root_form_overshoots_the_mixture_just_where_the_contrast_is_small(q: float, vf: float) -> None:
    # by algebra: P <= mixture if and only if sqrt(Vf) >= 1/(q - 1), q the contrast of fibre over resin
    edge = np.sqrt(vf) * (q - 1.0)
    assume(abs(edge - 1.0) > 1e-6)
    assert (square_root(1.0, q, vf) <= vf * q + 1.0 - vf) == (edge > 1.0)


def test_mixture_rule_and_assemblage_agree_along_the_fibre_within_a_third_of_a_percent() -> None:
    for fibre in FIBRES.values():
        mixture = ply_elastic(fibre, RESIN, 0.6, model="halpin_tsai")
        assert_allclose(mixture.E1, cylinders.axial_modulus(fibre, RESIN, 0.6), rtol=3.4e-3)
        # the mixture rule is Hill's lower bound
        assert cylinders.axial_modulus(fibre, RESIN, 0.6) >= mixture.E1
