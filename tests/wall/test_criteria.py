"""Failure criteria: what they say on the axes, exact roots, the cure stress kept constant."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from polewright.errors import DesignError
from polewright.materials.ply import Elastic, Strength
from polewright.wall.criteria import hashin_reserve, maximum_strain_reserve, maximum_stress_reserve, tsai_wu_reserve

VALUES = {"Xt": 1500e6, "Xc": 900e6, "Yt": 40e6, "Yc": 160e6, "S": 75e6}
PLY = Strength(**{name: np.asarray(value) for name, value in VALUES.items()})
ELASTIC = Elastic.unidirectional(E1=130e9, E2=8e9, G12=4e9, nu12=0.28)
SOFT = Elastic.unidirectional(E1=130e9, E2=8e9, G12=4e9, nu12=0.0)


def strain_reserve(load, strength, *, cure=(0.0, 0.0, 0.0)):
    return maximum_strain_reserve(load, strength, elastic=ELASTIC, cure=cure)


ALL = {"strain": strain_reserve, "stress": maximum_stress_reserve, "tensor": tsai_wu_reserve, "modes": hashin_reserve}
STRESS = st.tuples(st.floats(-2e9, 2e9), st.floats(-1e8, 1e8), st.floats(-1e8, 1e8))


@pytest.mark.parametrize("criterion", sorted(ALL))
@pytest.mark.parametrize(
    ("stress", "limit", "mode"),
    [
        ((1e6, 0.0, 0.0), "Xt", "fibre_tension"),
        ((-1e6, 0.0, 0.0), "Xc", "fibre_compression"),
        ((0.0, 1e6, 0.0), "Yt", "matrix_tension"),
        ((0.0, -1e6, 0.0), "Yc", "matrix_compression"),
        ((0.0, 0.0, 1e6), "S", None),
        ((0.0, 0.0, -1e6), "S", None),
    ],
)
def test_on_each_axis_a_ply_bears_its_own_strength(criterion, stress, limit, mode):
    found = ALL[criterion](np.array(stress), PLY)
    expected = VALUES[limit] / 1e6
    if criterion == "strain" and mode == "fibre_compression":  # Poisson's swelling across meets Yt/E2 first, as it must
        expected = min(expected, VALUES["Yt"] / 8e9 / (0.28 / 130e9) / 1e6)
    if criterion == "strain" and mode == "fibre_tension":
        expected = min(expected, VALUES["Yc"] / 8e9 / (0.28 / 130e9) / 1e6)
    assert_allclose(found.factor, expected, rtol=1e-12)
    if mode and criterion in ("stress", "modes"):
        assert found.named() == mode


def _value(criterion, stress):
    """Each criterion's own expression as in its source, written out once more and evaluated without a multiplier."""
    s1, s2, q = stress
    v = VALUES
    if criterion == "tensor":
        f11, f22 = 1 / (v["Xt"] * v["Xc"]), 1 / (v["Yt"] * v["Yc"])
        return (
            s1 * (1 / v["Xt"] - 1 / v["Xc"])
            + s2 * (1 / v["Yt"] - 1 / v["Yc"])
            + f11 * s1**2
            + f22 * s2**2
            - np.sqrt(f11 * f22) * s1 * s2
            + (q / v["S"]) ** 2
        )
    if criterion == "modes":
        fibre = (s1 / v["Xt"]) ** 2 + (q / v["S"]) ** 2 if s1 >= 0 else (s1 / v["Xc"]) ** 2
        matrix = (s2 / (v["Yt"] if s2 >= 0 else v["Yc"])) ** 2 + (q / v["S"]) ** 2
        return max(fibre, matrix)
    return max(s1 / v["Xt"], -s1 / v["Xc"], s2 / v["Yt"], -s2 / v["Yc"], abs(q) / v["S"])


@settings(derandomize=True, max_examples=150, deadline=None)
@given(load=STRESS, cure=STRESS, name=st.sampled_from(["tensor", "modes", "stress"]))
def test_the_multiplier_scales_the_load_alone(load, cure, name):
    load, cure = np.array(load), np.array(cure) * 0.3
    factor = float(ALL[name](load, PLY, cure=cure).factor)
    if _value(name, cure) >= 1.0:
        assert factor == 0.0
        return
    if np.isinf(factor):
        assert all(_value(name, cure + r * load) < 1.0 for r in np.geomspace(1e-3, 1e3, 40))
        return
    assert _value(name, cure + factor * (1.0 - 1e-6) * load) < 1.0
    assert _value(name, cure + factor * (1.0 + 1e-6) * load) >= 1.0 - 1e-9
    # nothing failed on the way: the root is the first one
    assert all(_value(name, cure + share * factor * load) < 1.0 for share in np.linspace(0.0, 0.999, 25))


def test_scaling_the_cure_stress_too_is_unsafe_by_a_known_amount():
    # the oven uses up 25 of 40 MPa, the load adds 10: by hand 1.5; 8/7 if everything is scaled, 4 if left out
    load, cure = np.array([0.0, 10e6, 0.0]), np.array([0.0, 25e6, 0.0])
    for name in ("stress", "modes"):
        assert_allclose(ALL[name](load, PLY, cure=cure).factor, 1.5, rtol=1e-12)
        assert_allclose(ALL[name](load + cure, PLY).factor, 40.0 / 35.0, rtol=1e-12)
        assert_allclose(ALL[name](load, PLY).factor, 4.0, rtol=1e-12)


def test_the_interaction_term_is_stated_and_moves_the_answer():
    load = np.array([-400e6, -60e6, 0.0])
    by = [float(tsai_wu_reserve(load, PLY, interaction=k).factor) for k in (-0.9, -0.5, 0.0)]
    assert by[0] > by[1] > by[2]
    with pytest.raises(DesignError, match="interaction"):
        tsai_wu_reserve(load, PLY, interaction=1.0)


def test_tensor_criterion_root_agrees_with_a_general_root_finder():
    load, cure = np.array([300e6, 12e6, -30e6]), np.array([-50e6, 15e6, 5e6])
    expected = brentq(lambda r: _value("tensor", cure + r * load) - 1.0, 0.0, 50.0, xtol=1e-14)
    assert_allclose(tsai_wu_reserve(load, PLY, cure=cure).factor, expected, rtol=1e-10)


def test_strain_and_stress_agree_where_poisson_takes_no_part():
    load = np.array([[500e6, -20e6, 30e6], [-100e6, 10e6, -5e6]])
    assert_allclose(maximum_strain_reserve(load, PLY, elastic=SOFT).factor, maximum_stress_reserve(load, PLY).factor)


def test_cure_that_breaks_the_ply_alone_gives_nought_and_says_so():
    for reserve in ALL.values():
        found = reserve(np.array([1e6, 0.0, 0.0]), PLY, cure=np.array([0.0, 41e6, 0.0]))
        assert found.factor == 0.0
        assert found.fails_in_cure


def test_no_load_never_breaks_a_ply():
    for reserve in ALL.values():
        found = reserve(np.zeros(3), PLY, cure=np.array([10e6, 10e6, 10e6]))
        assert np.isposinf(found.factor)
        assert not found.fails_in_cure


def test_a_load_that_relieves_the_cure_stress_goes_round_to_the_far_side():
    # 30 MPa pull across from the oven, the load pushes across: from +30 to -160 takes 190
    found = maximum_stress_reserve(np.array([0.0, -1e6, 0.0]), PLY, cure=np.array([0.0, 30e6, 0.0]))
    assert_allclose(found.factor, 190.0)
    assert found.named() == "matrix_compression"


def test_hashin_in_three_dimensions_peels_at_the_tension_strength_across():
    peel = np.array([0.0, 0.0, 1e6, 0.0, 0.0, 0.0])
    found = hashin_reserve(peel, PLY)
    assert_allclose(found.factor, 40.0)
    assert found.named() == "matrix_tension"
    shear = np.array([0.0, 0.0, 0.0, 1e6, 0.0, 0.0])
    assert_allclose(hashin_reserve(shear, PLY, across=50e6).factor, 50.0)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(load=STRESS, scale=st.floats(0.01, 100.0))
def test_twice_the_load_is_half_the_multiplier_and_shear_has_no_sign(load, scale):
    load = np.array(load)
    for reserve in ALL.values():
        factor = reserve(load, PLY).factor
        assert_allclose(reserve(scale * load, PLY).factor, factor / scale, rtol=1e-9)
        assert_allclose(reserve(load * [1.0, 1.0, -1.0], PLY).factor, factor, rtol=1e-12)


@pytest.mark.parametrize("bad", [np.zeros(4), np.array([np.nan, 0.0, 0.0]), np.float64(1.0)])
def test_stresses_of_the_wrong_shape_or_no_number_are_refused(bad):
    with pytest.raises(DesignError, match="load"):
        hashin_reserve(bad, PLY)


def test_strength_out_of_all_range_is_refused():
    with pytest.raises(DesignError, match=r"want\.that_tube_or_ply_can_have"):
        Strength(Xt=1.8e9, Xc=0.9e9, Yt=40e6, Yc=160e6, S=1e-302)
