"""Swings and buckling against published constants; how fast they converge; what they refuse."""

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import jv

from polewright.errors import DesignError
from polewright.pole import (
    Bench,
    Clamped,
    Foot,
    Joint,
    Pole,
    State,
    Tube,
    bent,
    bent_small,
    buckling_factor,
    heavy_column_length,
    is_near_strokes,
    modes,
    push_limit,
    self_buckling_factor,
    settling_time,
    sway_multiplier,
)

GRAVITY = 9.80665
UPRIGHT = np.pi / 2


def upright(**others):
    return State(drawn=[], support=Clamped(), lean=UPRIGHT, **others)


@pytest.mark.parametrize(("head", "roots"), [("free", (1.875104, 4.694091)), ("pinned", (3.926602, 7.068583))])
def test_a_uniform_bar_swings_as_published(verified, head, roots):
    pole = Pole((Tube.uniform(length=2.0, bending=10.0, mass_per_length=0.3, bore=0.0, outside=1e-6),), ())
    found = modes(bent(pole, State(drawn=[], support=Clamped(), gravity=0.0)), count=2, head=head).frequency
    source = "R. D. Blevins, Formulas for Natural Frequency and Mode Shape, 1979"
    for k, (root, f) in enumerate(zip(roots, found, strict=True)):
        verified(
            "pole",
            f"uniform bar, tip {head}, swing {k + 1}",
            source,
            (root / 2.0) ** 2 / (2 * np.pi) * np.sqrt(10.0 / 0.3),
            f,
            1e-4,
            unit="Hz",
            kind="published",
        )


def test_a_head_on_a_light_pole_swings_as_mass_on_spring(plain):
    b = bent(plain(2.0, 10.0, 1e-9), State(drawn=[], support=Clamped(), gravity=0.0, head_mass=0.5))
    assert modes(b, count=1).frequency[0] == pytest.approx(np.sqrt(3 * 10.0 / 8.0 / 0.5) / (2 * np.pi), rel=1e-6)


def test_shear_and_turning_mass_lower_the_swing(plain):
    """Timoshenko's beam, simply held at both ends: (1 + p2 r2 + p2 EI/S) w2 - r2 m/S w4 = p4 EI/m; here m r2 = 0."""
    pole = Pole((Tube.uniform(length=1.0, bending=10.0, mass_per_length=1.0, shear=200.0, bore=0.0, outside=1e-9),), ())
    b = bent(pole, State(drawn=[], support=Bench(1.0), gravity=0.0))
    p = np.pi
    expected = np.sqrt(p**4 * 10.0 / (1.0 + p**2 * 10.0 / 200.0)) / (2 * np.pi)
    assert modes(b, count=1).frequency[0] == pytest.approx(expected, rel=1e-6)


def test_the_turning_mass_of_a_wide_tube_lowers_its_swing():
    """Rayleigh's bar held at both ends: w2 = p4 EI/m / (1 + p2 r2), r2 = (bore2 + outside2)/16."""
    pole = Pole((Tube.uniform(length=1.0, bending=10.0, mass_per_length=1.0, bore=0.3, outside=0.4, shear=1e15),), ())
    b = bent(pole, State(drawn=[], support=Bench(1.0), gravity=0.0))
    expected = np.sqrt(np.pi**4 * 10.0 / (1.0 + np.pi**2 * 0.25 / 16.0)) / (2 * np.pi)
    assert modes(b, count=1).frequency[0] == pytest.approx(expected, rel=1e-5)


def test_what_hangs_from_the_head_swings_with_it(reedlight):
    pole = reedlight()
    one, other = (bent(pole, State.out(pole, **{name: 0.4})) for name in ("hanging", "head_mass"))
    assert modes(one, count=1).frequency[0] == pytest.approx(modes(other, count=1).frequency[0], rel=1e-9)


def test_a_straight_bar_between_foot_and_smooth_wall_swings_as_if_held_at_both_ends(plain):
    """p2 sqrt(EI/m)/(2 pi L2); a head dragged along the wall swings alike: drag is no spring."""
    pole = Pole((Tube.uniform(length=3.0, bending=50.0, mass_per_length=0.2, bore=0.0, outside=1e-9),), ())
    expected = np.pi**2 / 9.0 * np.sqrt(50.0 / 0.2) / (2 * np.pi)
    for slide in ("free", "up"):
        b = bent(pole, State(drawn=[], support=Foot(slide=slide), lean=1.2, gravity=0.0))
        assert modes(b, count=1).frequency[0] == pytest.approx(expected, rel=1e-5)


def test_a_hanging_chain_of_next_to_no_stiffness_swings_like_a_rope(plain, verified):
    """First zero of J0: f = 2.404826/(4 pi) sqrt(g/L)."""
    b = bent(plain(2.0, 1e-5, 0.3), State(drawn=[], support=Clamped(), lean=-UPRIGHT), pieces=200)
    verified(
        "pole",
        "hanging rope",
        "D. Bernoulli's chain; H. Lamb, Higher Mechanics, 1920",
        2.404826 / (4 * np.pi) * np.sqrt(GRAVITY / 2.0),
        modes(b, count=1).frequency[0],
        5e-3,
        unit="Hz",
        kind="published",
    )


def test_frequencies_converge_with_the_fourth_power(plain):
    pole = Pole((Tube.uniform(length=2.0, bending=10.0, mass_per_length=0.3, bore=0.0, outside=1e-9),), ())
    exact = (1.87510406871196 / 2.0) ** 2 / (2 * np.pi) * np.sqrt(10.0 / 0.3)
    pieces = np.array([2, 4, 8])
    error = [
        abs(
            modes(bent(pole, State(drawn=[], support=Clamped(), gravity=0.0), pieces=int(n)), count=1).frequency[0]
            - exact
        )
        for n in pieces
    ]
    assert np.polyfit(np.log(pieces), np.log(error), 1)[0] == pytest.approx(-4.0, abs=0.4)


@pytest.mark.parametrize("head", [0.0, 0.3, 5.0])
@pytest.mark.parametrize("out", [0, 1, None])
def test_the_lowest_swing_is_the_same_alone_and_among_others(reedlight, head, out):
    pole = reedlight()
    held = bent(pole, State.out(pole, out, head_mass=head))
    assert modes(held, count=1).frequency[0] == pytest.approx(modes(held, count=8).frequency[0], rel=1e-12)


def test_modes_are_orthogonal_in_kinetic_energy(plain):
    b = bent(plain(2.0, 10.0, 0.3), State(drawn=[], support=Clamped(), lean=0.3), pieces=64)
    m = modes(b, count=2)
    cross = np.trapezoid(m.x[0] * m.x[1] + m.z[0] * m.z[1], m.station)
    own = [np.trapezoid(m.x[k] ** 2 + m.z[k] ** 2, m.station) for k in range(2)]
    assert abs(cross) < 2e-3 * np.sqrt(own[0] * own[1])


def test_a_heavy_column_buckles_at_the_published_length(plain, verified):
    """(3/2)2 j2 with j the first zero of J(-1/3)."""
    j = brentq(lambda x: jv(-1.0 / 3.0, x), 1.5, 2.2, xtol=1e-14)
    factor = self_buckling_factor(plain(2.0, 10.0, 0.3), upright())
    verified(
        "pole",
        "heavy column, w L3/EI",
        "A. G. Greenhill, Proc. Cambridge Phil. Soc. 4 (1881) 65",
        2.25 * j * j,
        factor * 0.3 * GRAVITY * 8.0 / 10.0,
        1e-6,
        kind="closed form",
    )
    assert heavy_column_length(10.0, 0.3 * GRAVITY) == pytest.approx(2.0 * factor ** (1.0 / 3.0), rel=1e-6)


def test_sixteen_metres_for_a_mast_of_the_notes(verified):
    verified(
        "pole",
        "self-buckling length, EI 800, 1.5 N/m",
        "workshop notes",
        16.0,
        heavy_column_length(800.0, 1.5),
        0.02,
        unit="m",
        kind="notes",
    )


def test_a_push_buckles_a_pole_at_eulers_load(plain, verified):
    light = upright(gravity=0.0)
    verified(
        "pole",
        "push on a clamped pole",
        "Euler, pi2 EI/(4 L2)",
        np.pi**2 * 10.0 / 16.0,
        push_limit(plain(2.0, 10.0, 0.0), light),
        1e-7,
        unit="N",
        kind="closed form",
    )


def test_shear_lowers_the_push_as_haringx_says():
    """P (1 + P/S) = PE when the force stays along the pole's turned section."""
    pole = Pole(
        (Tube.uniform(bore=0.028, outside=0.030, length=2.0, bending=10.0, mass_per_length=0.0, shear=50.0),), ()
    )
    euler = np.pi**2 * 10.0 / 16.0
    haringx = 25.0 * (np.sqrt(1.0 + 4.0 * euler / 50.0) - 1.0)
    assert push_limit(pole, upright(gravity=0.0)) == pytest.approx(haringx, rel=1e-6)


def test_a_joint_spring_alone_buckles_at_stiffness_over_length():
    """Rigid tubes, the upper 1.5 m long on a spring k: P = k/1.5."""
    tube = Tube.uniform(bore=0.028, outside=0.030, length=1.5, bending=1e9, mass_per_length=0.0, shear=1e15)
    pole = Pole((tube, tube), (Joint(overlap=0.0, stiffness=300.0),))
    assert push_limit(pole, State(drawn=[1.5], support=Clamped(), lean=UPRIGHT, gravity=0.0)) == pytest.approx(
        200.0, rel=1e-5
    )


def test_what_hangs_never_buckles(plain):
    assert buckling_factor(plain(2.0, 10.0, 0.3), State(drawn=[], support=Clamped(), lean=-UPRIGHT)) == np.inf


def test_buckling_load_converges_with_the_fourth_power(plain):
    exact, pieces = 7.8373474, np.array([2, 4, 8])
    pole = plain(1.0, 1.0, 1.0 / GRAVITY)
    error = [abs(self_buckling_factor(pole, upright(), pieces=int(n)) - exact) for n in pieces]
    assert np.polyfit(np.log(pieces), np.log(error), 1)[0] == pytest.approx(-4.0, abs=0.5)


def test_the_sway_multiplier_is_what_a_side_push_finds(plain):
    """Half as long as it can be: 1/(1 - 1/8), fair within a few parts in a hundred."""
    length = 0.5 * heavy_column_length(10.0, 0.3 * GRAVITY)
    pole = plain(length, 10.0, 0.3)
    push = 1e-4
    sway = [abs(bent(pole, upright(gravity=g, tip_force=[0.0, push])).x[-1]) for g in (GRAVITY, 0.0)]
    assert sway_multiplier(self_buckling_factor(pole, upright())) == pytest.approx(8.0 / 7.0, rel=1e-5)
    assert sway[0] / sway[1] == pytest.approx(8.0 / 7.0, rel=0.02)


def test_a_swing_settles_as_the_decay_says():
    assert settling_time(0.5, damping=0.02) == pytest.approx(np.log(20.0) / (2 * np.pi * 0.5 * 0.02))
    assert [is_near_strokes(f) for f in (0.5, 0.7, 1.2, 1.6)] == [False, True, True, False]


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: settling_time(0.5, damping=0.0), "damping"),
        (lambda: settling_time(np.nan, damping=0.1), "frequency"),
        (lambda: sway_multiplier(0.9), r"want\.above_1_pole_does_not_stand"),
        (lambda: heavy_column_length(-1.0, 1.0), "bending"),
    ],
)
def test_numbers_without_meaning_are_refused(call, text):
    with pytest.raises(DesignError, match=text):
        call()


def test_small_deflection_shapes_and_massless_poles_do_not_swing(plain):
    with pytest.raises(DesignError, match=r"want\.one_found_with_true_rotations_by"):
        modes(bent_small(plain(1.0, 1.0, 0.1), State(drawn=[], support=Clamped())))
    with pytest.raises(DesignError, match=r"want\.above_zero_somewhere_what_weighs_nothing"):
        modes(bent(plain(1.0, 1.0, 0.0), State(drawn=[], support=Clamped())))
