"""Hashin-Rotem: strengths of a ply pulled or pushed off its axis in closed form, cure stress kept, beside Hashin."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from polewright.materials.ply import Strength
from polewright.wall.criteria import hashin_reserve
from polewright.wall.hashin_rotem import hashin_rotem_reserve

S = Strength(Xt=2000e6, Xc=1200e6, Yt=50e6, Yc=180e6, S=80e6)
STILL = settings(max_examples=60, deadline=None, derandomize=True)


def off_axis(angle: float) -> np.ndarray:
    """Ply stresses of a unit pull at an angle [rad] to the fibre: cos^2, sin^2, -sin cos."""
    c, s = np.cos(angle), np.sin(angle)
    return np.array((c * c, s * s, -s * c))


def borne_off_axis(angle: float, along: float, across: float) -> tuple[float, float]:
    """Uniaxial strengths [Pa] of fibre and resin at an angle, in closed form.

    Z. Hashin, A. Rotem, A fatigue failure criterion for fiber reinforced materials, J. Composite Materials 7, 1973:
    fibre X/cos^2; resin [sin^4/Y^2 + sin^2 cos^2/S^2]^(-1/2).
    """
    c, s = np.cos(angle), np.sin(angle)
    return along / c**2, (s**4 / across**2 + (s * c / S.S) ** 2) ** -0.5


@pytest.mark.parametrize("degrees", [1.0, 2.0, 5.0, 10.0, 30.0, 45.0, 60.0, 89.0])
@pytest.mark.parametrize(("sign", "along", "across"), [(1.0, S.Xt, S.Yt), (-1.0, S.Xc, S.Yc)])
def test_a_ply_pulled_or_pushed_off_its_axis_bears_its_closed_form(verified, degrees, sign, along, across):
    angle = np.radians(degrees)
    fibre, resin = borne_off_axis(angle, along, across)
    found = hashin_rotem_reserve(sign * off_axis(angle), S)
    side = "tension" if sign > 0.0 else "compression"
    verified(
        "wall",
        f"Hashin-Rotem, ply in {side} at {degrees:g} degrees to the fibre",
        "Hashin and Rotem, J. Composite Materials 7, 1973, in closed form",
        min(fibre, resin),
        found.factor,
        1e-12,
        unit="Pa",
        kind="closed form",
    )
    assert found.named() == ("fibre_" if fibre < resin else "matrix_") + side


def test_the_fibre_gives_way_to_the_resin_at_the_angle_where_shear_does():
    """Both meet where tan(angle) = S/X but for what the stress across adds, a part in a thousand: 2.29 degrees."""
    meet = np.arctan(S.S / S.Xt)
    assert hashin_rotem_reserve(off_axis(0.99 * meet), S).named() == "fibre_tension"
    assert hashin_rotem_reserve(off_axis(1.01 * meet), S).named() == "matrix_tension"


@STILL
@given(st.floats(0.0, 2 * np.pi), st.floats(0.0, 0.98))
def test_resin_breaks_on_an_ellipse_and_cure_stress_uses_up_its_part(way, part):
    """On the ellipse (s2/Y)^2 + (s12/S)^2 = 1 a stress is borne once; with a part of it as cure, the rest once."""
    across = S.Yt if np.cos(way) >= 0.0 else S.Yc
    whole = np.array((0.0, across * np.cos(way), S.S * np.sin(way)))
    found = hashin_rotem_reserve((1.0 - part) * whole, S, cure=part * whole)
    assert_allclose(found.factor, 1.0, rtol=1e-6)


def test_shear_takes_nothing_from_the_fibre_as_it_does_by_hashin():
    """At s1 = Xt/2, s12 = 0.9 S: the resin breaks at 1/0.9 by both; Hashin's fibre at [1/4 + 0.81]^(-1/2) = 0.971."""
    stress = (S.Xt / 2, 0.0, 0.9 * S.S)
    ours = hashin_rotem_reserve(stress, S)
    assert_allclose(ours.every[..., ours.modes.index("fibre_tension")], 2.0, rtol=1e-12)
    assert_allclose(ours.factor, 1.0 / 0.9, rtol=1e-12)
    assert_allclose(hashin_reserve(stress, S).factor, 1.06**-0.5, rtol=1e-12)


@STILL
@given(st.floats(-1e8, 1e8), st.floats(-1e8, 1e8))
def test_without_stress_along_the_fibre_resin_breaks_as_by_hashin(s2, s12):
    """With T = Yc/2 Hashin's plane-stress form for the pushed resin becomes the same ellipse."""
    stress = (0.0, s2, s12)
    ours, theirs = hashin_rotem_reserve(stress, S), hashin_reserve(stress, S)
    for mode in ("matrix_tension", "matrix_compression"):
        at = ours.modes.index(mode)
        assert_allclose(ours.every[..., at], theirs.every[..., theirs.modes.index(mode)], rtol=1e-9)


def test_cure_that_breaks_the_resin_leaves_no_reserve():
    assert hashin_rotem_reserve((1e6, 0.0, 0.0), S, cure=(0.0, 51e6, 0.0)).factor == 0.0


def test_many_plies_at_once_are_as_one_by_one():
    rng = np.random.default_rng(5)
    stress = rng.normal(0.0, 60e6, (4, 3, 6))
    many = hashin_rotem_reserve(stress, S)
    one = [[float(hashin_rotem_reserve(s, S).factor) for s in row] for row in stress]
    assert_allclose(many.factor, one, rtol=1e-12)
