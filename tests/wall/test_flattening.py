"""Flattening under bending: Brazier's closed form, the notes' figures, an independent oval, energy."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import minimize, minimize_scalar
from tests.wall.walls_of_the_notes import AXIAL, BORE, BURIED, S3, isotropic

from polewright.errors import DesignError
from polewright.wall.flattening import flattening_curve, oval_at_moment, oval_moment_brazier, oval_moment_limit
from polewright.wall.membrane import tube_stiffness


@pytest.mark.parametrize(("stack", "expected"), [(S3, 755.0), (AXIAL, 343.0)])
def test_flattening_moment_of_the_notes(stack, expected, verified):
    verified(
        "wall",
        "flattening moment",
        "workshop notes, section 3 hooped and six axial turns",
        expected,
        oval_moment_brazier(stack.wall(BORE)),
        0.002,
        unit="N m",
        kind="notes",
    )


@pytest.mark.parametrize("nu", [0.0, 0.3, 0.45])
def test_isotropic_tube_has_braziers_moment(nu, verified):
    E, radius, t = 70e9, 0.1, 0.001
    expected = 2.0 * np.sqrt(2.0) / 9.0 * np.pi * E * radius * t**2 / np.sqrt(1.0 - nu**2)
    verified(
        "wall",
        f"flattening moment, isotropic, nu {nu}",
        "L. G. Brazier, Proc. Royal Society A 116, 1927",
        expected,
        oval_moment_brazier(isotropic(radius, t, E=E, nu=nu)),
        1e-9,
        unit="N m",
        kind="closed form",
    )


def test_braziers_form_is_the_stationary_point_of_his_energy():
    # energy per length, C = D = R = 1: pi k^2/2 (1 - 3z/2 + 5z^2/8) + 9 pi z^2/2, without the second-order term
    def moment(k):
        z = minimize_scalar(
            lambda z: k**2 * (1.0 - 1.5 * z) + 9.0 * z**2, bounds=(0.0, 1.0), method="bounded", options={"xatol": 1e-12}
        ).x
        return np.pi * k * (1.0 - 1.5 * z)

    limit = -minimize_scalar(lambda k: -moment(k), bounds=(0.1, 3.0), method="bounded", options={"xatol": 1e-9}).fun
    assert_allclose(limit, 2.0 * np.sqrt(2.0) / 9.0 * np.pi * np.sqrt(12.0), rtol=1e-7)


def _oval_by_polygon(scaled, pieces=120):
    """Half an inextensible ring of straight pieces from the crown to the foot, least energy by a general minimiser."""
    step = np.pi / pieces
    middle = (np.arange(pieces) + 0.5) * step

    def shape(turn):
        angle = middle + turn @ np.sin(np.outer(2.0 * np.arange(1, len(turn) + 1), middle))
        y = np.concatenate([[0.0], np.cumsum(-np.sin(angle) * step)])
        return angle, y - (y[0] + y[-1]) / 2.0

    def energy(turn):
        angle, y = shape(turn)
        bent = np.diff(angle) / step - 1.0
        ends = (2.0 * angle[0] / step - 1.0) ** 2 * step  # half a step at the crown and at the foot
        return scaled**2 * np.sum((y[1:] ** 2 + y[:-1] ** 2) / 2.0) * step + np.sum(bent**2) * step + ends

    turn = minimize(energy, np.zeros(4), method="BFGS", options={"gtol": 1e-9}).x
    _, y = shape(turn)
    square = np.sum((y[1:] ** 2 + y[:-1] ** 2) / 2.0) * step * 2.0
    return scaled * square / np.pi, y.max() - y.min()


@pytest.mark.parametrize("share", [0.35, 0.7, 1.0])
def test_curve_agrees_with_an_independent_polygon_ring(share):
    wall = S3.wall(BORE)
    curve = flattening_curve(wall, points=201)
    i = round(share * 200)
    limit = oval_moment_limit(wall)
    scaled = 1.6496784646 * share  # scaled curvature at this place of the curve, checked below
    moment, depth = _oval_by_polygon(scaled)
    full, _ = _oval_by_polygon(1.6496784646)
    assert_allclose(curve.moment[i] / limit, moment / full, rtol=2e-3)
    assert_allclose(curve.depth[i], depth / 2.0, rtol=3e-3)


def test_curve_starts_with_the_stiffness_of_the_beam_and_ends_level():
    curve = flattening_curve(AXIAL.wall(BORE), points=400)
    start = curve.moment[1] / curve.curvature[1]
    assert_allclose(start, tube_stiffness(AXIAL.wall(BORE)).bending, rtol=4e-3)  # mid-wall radius for each layer's own
    rise = np.diff(curve.moment)
    assert np.all(rise > 0.0)
    assert rise[-1] < 0.01 * rise[0]
    assert_allclose(curve.moment[-1], oval_moment_limit(AXIAL.wall(BORE)), rtol=1e-9)


def test_true_oval_gives_three_percent_less_than_the_first_order():
    thin = isotropic(0.1, 0.0002)
    assert 0.965 < oval_moment_limit(thin) / oval_moment_brazier(thin) < 0.975


def test_small_moments_follow_braziers_first_order_oval():
    # z = C R^4 k^2/(12 D): from his energy; ovality 2 z
    wall = S3.wall(BORE)
    state = oval_at_moment(wall, 0.05 * oval_moment_limit(wall))
    unit = flattening_curve(wall, points=2).curvature[1] / 1.6496784646
    assert_allclose(state.ovality, 2.0 * (float(state.curvature) / unit) ** 2 / 12.0, rtol=5e-3)


@settings(derandomize=True, max_examples=25, deadline=None)
@given(share=st.floats(0.0, 0.999))
def test_asking_by_moment_returns_to_the_curve(share):
    walls = BURIED.wall(np.array([BORE, 0.04]))
    state = oval_at_moment(walls, share * oval_moment_limit(walls))
    curve = flattening_curve(walls, points=800)
    for i in range(2):
        assert_allclose(
            np.interp(state.curvature[i], curve.curvature[i], curve.moment[i]), state.moment[i], rtol=1e-4, atol=1e-9
        )


def test_twice_the_size_is_eight_times_the_moment():
    assert_allclose(oval_moment_limit(isotropic(0.2, 0.002)), 8.0 * oval_moment_limit(isotropic(0.1, 0.001)))


@pytest.mark.parametrize("moment", [-1.0, 1e4, np.nan])
def test_a_moment_that_the_tube_cannot_carry_is_refused(moment):
    with pytest.raises(DesignError, match="from_0_flattening_limit"):
        oval_at_moment(S3.wall(BORE), moment)
