"""The action plane on which a ply breaks, beside the plane found by turning it through every angle."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.materials.ply import Strength
from polewright.wall.action_plane import MODES, OPENING_SLOPE, PUSHING_SLOPE, action_plane_reserve

S = Strength(Xt=2000e6, Xc=1200e6, Yt=50e6, Yc=180e6, S=80e6)
STILL = settings(max_examples=60, deadline=None, derandomize=True)
RA = S.S / (2 * PUSHING_SLOPE) * (np.sqrt(1 + 2 * PUSHING_SLOPE * S.Yc / S.S) - 1)


def exposure_by_turning(s2: float, s12: float) -> float:
    """Largest stress exposure over planes along the fibre, every tenth of a degree and finer about the worst.

    A. Puck, H. Schürmann, Failure analysis of FRP laminates by means of physically based phenomenological models,
    Composites Science and Technology 58, 1998: resolved stresses on a plane turned by theta about the fibre, the
    slope between pure shear across and along interpolated by their squares.
    """

    def worst_of(theta: np.ndarray) -> tuple[float, float]:
        normal = s2 * np.cos(theta) ** 2
        across = -s2 * np.sin(theta) * np.cos(theta)
        along = s12 * np.cos(theta)
        both = across**2 + along**2
        share = np.where(both > 0, across**2 / np.where(both > 0, both, 1.0), 0.0)
        pushed = PUSHING_SLOPE / S.S  # alike for both directions, by the coupling of the two slopes
        pulled = share * OPENING_SLOPE / S.S + (1 - share) * OPENING_SLOPE / S.S
        with np.errstate(all="ignore"):
            opened = np.sqrt((1 / S.Yt - pulled) ** 2 * normal**2 + (across / RA) ** 2 + (along / S.S) ** 2)
            closed = np.sqrt((across / RA) ** 2 + (along / S.S) ** 2 + (pushed * normal) ** 2)
        found = np.where(normal >= 0, opened + pulled * normal, closed + pushed * normal)
        place = int(found.argmax())
        return float(found[place]), float(theta[place])

    _, about = worst_of(np.linspace(-np.pi / 2, np.pi / 2, 1801))
    return worst_of(about + np.linspace(-2e-3, 2e-3, 4001))[0]


@pytest.mark.parametrize(
    ("stress", "mode"),
    [
        ((2000e6, 0.0, 0.0), "fibre_tension"),
        ((-1200e6, 0.0, 0.0), "fibre_compression"),
        ((0.0, 50e6, 0.0), "opening"),
        ((0.0, -180e6, 0.0), "slanted_push"),
    ],
)
def test_each_strength_alone_is_its_own_limit(stress, mode):
    found = action_plane_reserve(stress, S)
    assert_allclose(found.factor, 1.0, rtol=1e-12)
    assert found.named() == mode


def test_shear_alone_breaks_at_its_strength_either_way():
    assert_allclose(action_plane_reserve((0.0, 0.0, 80e6), S).factor, 1.0, rtol=1e-12)
    assert_allclose(action_plane_reserve((0.0, 0.0, -80e6), S).factor, 1.0, rtol=1e-12)


@STILL
@given(st.floats(0.0, 2 * np.pi))
def test_the_multiplier_is_that_of_the_worst_plane_turned_through_every_angle(way):
    s2, s12 = 60e6 * np.cos(way), 60e6 * np.sin(way)
    found = action_plane_reserve((0.0, s2, s12), S)
    assert_allclose(found.factor, 1.0 / exposure_by_turning(s2, s12), rtol=2e-5)


def test_shear_and_slanted_push_meet_without_a_step():
    """Where both hold, s2 = -RA, the shear borne is S sqrt(1 + 2 p RA/S) by each."""
    most = S.S * np.sqrt(1 + 2 * PUSHING_SLOPE * RA / S.S)
    for aside in (-1e-6, 1e-6):
        found = action_plane_reserve((0.0, -RA * (1 + aside), most), S)
        assert_allclose(found.factor, 1.0, rtol=1e-5)
    names = [action_plane_reserve((0.0, -RA * k, most), S).named() for k in (0.7, 1.6)]
    assert names == ["shear_under_pressure", "slanted_push"]


@STILL
@given(st.floats(0.0, 2 * np.pi), st.floats(0.05, 0.95))
def test_cure_stress_stays_and_the_load_alone_is_scaled(way, part):
    """Part of a stress that breaks the ply as cure: the rest is borne exactly once."""
    whole = np.array((0.0, np.cos(way), np.sin(way))) * 60e6
    whole *= float(action_plane_reserve(whole, S).factor)
    found = action_plane_reserve((1.0 - part) * whole, S, cure=part * whole)
    assert_allclose(found.factor, 1.0, rtol=1e-6)


def test_a_ply_broken_by_cure_has_no_reserve():
    assert action_plane_reserve((0.0, 1e6, 0.0), S, cure=(0.0, 55e6, 0.0)).factor == 0.0


def test_many_plies_at_once_are_as_one_by_one():
    rng = np.random.default_rng(3)
    stress = rng.normal(0.0, 60e6, (5, 4, 3))
    many = action_plane_reserve(stress, S)
    one = [[float(action_plane_reserve(s, S).factor) for s in row] for row in stress]
    assert_allclose(many.factor, one, rtol=1e-12)
    assert many.modes == MODES


@pytest.mark.parametrize("slope", [0.0, 0.6, float("nan")])
def test_a_slope_that_no_resin_has_is_refused(slope):
    with pytest.raises(DesignError, match="pushing_slope"):
        action_plane_reserve((0.0, 1e6, 0.0), S, pushing_slope=slope)
