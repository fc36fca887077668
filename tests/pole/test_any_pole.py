"""Any pole in any hold: in balance to 1e-8 of its weight, its droop accounted for, or refused in words.

Joints with play in a pole that stands or hangs upright, beside hinges solved by hand.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import quad

from polewright.errors import DesignError, NotConverged, PolewrightError
from polewright.pole import (
    Bench,
    Clamped,
    Foot,
    Hands,
    Joint,
    Lifted,
    Limits,
    Over,
    Pole,
    State,
    Tube,
    bent,
    contact,
    droop_split,
    flex,
    margins,
    modes,
    push_limit,
    safe_reach,
    self_buckling_factor,
)

GRAVITY = 9.80665


def any_pole(rng):
    """One to ten tubes, tapered, stiff or floppy; joints with or without overlap, play and give."""
    n, tubes, joints = int(rng.integers(1, 11)), [], []
    for _ in range(n):
        length, k = float(rng.uniform(0.4, 2.0)), int(rng.integers(2, 6))
        bending = 10 ** rng.uniform(1.5, 3.6) * rng.uniform(0.7, 1.3, k)
        tubes.append(
            Tube(
                length=length,
                station=np.linspace(0.0, length, k),
                bending=bending,
                axial=bending * rng.uniform(3e3, 2e4),
                shear=bending * rng.uniform(50.0, 2000.0),
                mass_per_length=10 ** rng.uniform(-2.0, -0.3) * rng.uniform(0.8, 1.2, k),
                bore=np.full(k, 0.025),
                outside=np.full(k, 0.03),
            )
        )
    for one, two in pairwise(tubes):
        overlap = float(rng.choice([0.0, rng.uniform(0.02, 0.5 * min(one.length, two.length))], p=[0.15, 0.85]))
        play = float(rng.choice([0.0, 10 ** rng.uniform(-5.0, -3.0)])) if overlap > 0.05 else 0.0
        joints.append(
            Joint(
                overlap=overlap,
                proud=float(rng.uniform(0.0, 0.05)),
                clearance=play,
                stiffness=float(rng.choice([np.inf, 10 ** rng.uniform(2.0, 5.0)])),
                centring=str(rng.choice(["mouth", "none"])),
                mass=float(rng.uniform(0.0, 0.1)),
                pivot=float(rng.choice([0.0, 0.5, rng.random(), 1.0])),
                play=float(10 ** rng.uniform(-5.0, -3.0)) if rng.random() < 0.2 else None,
            )
        )
    return Pole(tuple(tubes), tuple(joints), float(rng.uniform(0.0, 0.3)))


def any_state(rng, pole):
    full = np.array(pole.full_draw)
    closed = np.minimum(pole.closed_draw, full)
    drawn = closed + rng.choice([0.0, 1.0, rng.random()], full.size) * (full - closed)
    length = pole.tubes[-1].length + drawn.sum()
    low, high = np.sort(rng.uniform(0.0, 0.6 * length, 2))
    supports = (
        Clamped(),
        Clamped(float(low)),
        Bench(float(high - low) + 0.05, float(low)),
        Hands(float(low), float(high) + 0.05),
        Lifted(float(low), float(high) + 0.05),
        Over(float(high) + 0.05),
        Foot(),
        Foot(slide=str(rng.choice(["up", "down"])), friction=float(rng.uniform(0.0, 1.0))),
        Foot(slide="stuck", push=float(rng.uniform(0.0, 20.0)), friction=1.0),
    )
    support = supports[int(rng.integers(len(supports)))]
    force = rng.normal(0.0, 1.0, 2) * 10 ** rng.uniform(-1.0, 1.5) * (rng.random() < 0.4)
    return State(
        drawn=drawn,
        lean=float(rng.choice([0.0, np.pi / 2, -np.pi / 2, rng.uniform(-1.57, 1.57)])),
        support=support,
        head_mass=float(rng.choice([0.0, rng.uniform(0.0, 1.0), 3.0 * pole.mass])),
        hose=float(rng.choice([0.0, 0.05])),
        tip_force=force,
        gravity=float(rng.choice([GRAVITY, GRAVITY, 0.0, -GRAVITY])),
    )


def out_of_balance(b):
    """Force and moment left over, over the load and the load times the length; weights where the bent line is."""
    state, mesh = b.state, b.mesh
    c, s = np.cos(state.lean), np.sin(state.lean)
    tip = state.tip_force[0] * np.array([c, s]) + state.tip_force[1] * np.array([-s, c])
    lump = mesh.lump.copy()
    lump[-1] += state.head_mass + state.hanging
    force, moment, load = tip.copy(), b.x[-1] * tip[1] - b.z[-1] * tip[0], np.abs(tip).sum()
    for e in range(mesh.h.size):  # each element's weight and its place, by its own Gauss points and turns
        points = (0.5 - np.sqrt(0.15), 0.5, 0.5 + np.sqrt(0.15))
        line = [np.polynomial.polynomial.polyfit(points, row, 2) for row in (mesh.mu[e], _slope(b, e)[:, 0])]
        weight = (
            state.gravity
            * mesh.h[e]
            * quad(lambda t, line=line: np.polynomial.polynomial.polyval(t, line[0]) + state.hose, 0.0, 1.0)[0]
        )
        force[1] -= weight
        load += abs(weight)
        at = np.polynomial.polynomial.polyint(line[1]) * mesh.h[e]
        moment -= (
            state.gravity
            * mesh.h[e]
            * quad(
                lambda t, line=line, at=at: (
                    (np.polynomial.polynomial.polyval(t, line[0]) + state.hose)
                    * np.polynomial.polynomial.polyval(t, at)
                ),
                0.0,
                1.0,
            )[0]
            + weight * b.x[e]
        )
    force[1] -= state.gravity * lump.sum()
    moment -= state.gravity * float(lump @ b.x)
    load = max(load + abs(state.gravity) * lump.sum(), 1e-9)
    for r in b.reactions:
        k = int(np.argmin(np.abs(b.station - r.station)))
        force += (r.level, r.upright)
        moment += b.x[k] * r.upright - b.z[k] * r.level + r.moment
    return np.abs(force).max() / load, abs(moment) / (load * b.station[-1])


def _slope(b, e):
    """(3, 2) direction of the bent line at an element's three points, from its turns, stretch and shear."""
    t = np.array([0.5 - np.sqrt(0.15), 0.5, 0.5 + np.sqrt(0.15)])
    start, middle, end = b.rotation[e, 1], b.posture.mid[e], b.rotation[e + 1, 0]
    turn = (1 - t) * (1 - 2 * t) * start + 4 * t * (1 - t) * middle + t * (2 * t - 1) * end
    c, s, fx, fz = np.cos(turn), np.sin(turn), b.inside.fx[e], b.inside.fz[e]
    along, across = 1.0 + (fx * c + fz * s) / b.mesh.ea[e], (fz * c - fx * s) / b.mesh.gs[e]
    return np.column_stack([along * c - across * s, along * s + across * c])


def _refusal(ask, *given):
    """What is said instead of an answer; empty if there is one."""
    try:
        ask(*given)
    except PolewrightError as fault:
        return fault.want or "nothing"
    return ""


@pytest.mark.slow
def test_any_pole_in_any_hold_is_in_balance_or_refused_with_a_message():
    solved = refused = 0
    for seed in range(140):
        rng = np.random.default_rng(seed)
        pole = any_pole(rng)
        try:
            b = bent(pole, any_state(rng, pole), joint_model=str(rng.choice(["glued", "touching"])))
        except (DesignError, NotConverged):
            refused += 1
            continue
        solved += 1
        assert max(out_of_balance(b)) < 1e-8, seed
        split = droop_split(b)
        parts = split.section.sum() + split.play.sum() + split.spring.sum() + split.shear + split.root
        assert_allclose(parts, b.tip_droop, atol=1e-8 * b.station[-1])
        for ask in (
            modes,
            contact,
            lambda b: margins(b, Limits.none(len(b.pole.tubes))),
            lambda b: self_buckling_factor(b.pole, b.state),
            lambda b: push_limit(b.pole, b.state),
            lambda b: flex(b.pole, b.state),
            lambda b: safe_reach(b.pole, b.state, limits=np.full(len(b.pole.tubes), 30.0)),
        ):
            assert _refusal(ask, b) != "nothing"
    assert solved > 90
    assert refused > 0


def hinged(clearance, *, head=0.0):
    """Two rigid, weightless tubes of 2 m and a head, one joint with play at 1.9 m from the butt."""
    tube = Tube.uniform(
        bore=0.028, outside=0.030, length=2.0, bending=1e12, mass_per_length=0.0, shear=1e15, axial=1e15
    )
    return Pole((tube, tube), (Joint(overlap=0.2, clearance=clearance),), head)


@pytest.mark.parametrize("force", [0.02, 0.2, 2.0])
def test_a_hanging_joint_swings_within_its_play_and_then_no_further(force, verified):
    """1 kg below a hinge with 0.0175 rad of play to a side: atan(F/W) until the play is used up."""
    pole, play = hinged(0.007, head=1.0), 0.007 / 0.4
    b = bent(pole, State(drawn=[1.8], support=Clamped(), lean=-np.pi / 2, tip_force=[0.0, force]))
    turned = min(np.arctan(force / GRAVITY), play)
    verified(
        "pole",
        f"a hanging joint with play, {force:g} N to the side",
        "hinge by hand",
        turned,
        abs(b.tilt[0]),
        2e-6,
        unit="rad",
        kind="closed form",
    )


def test_an_upright_joint_lies_on_one_side_of_its_play_and_the_part_below_the_hands_hangs(verified):
    """Held by two hands below the joint: the head stands play times its arm aside; so it does mirrored."""
    play, arm = 0.003 / 0.4, 1.9
    for side in (1.0, -1.0):
        b = bent(hinged(0.003, head=0.5), State(drawn=[1.8], support=Hands(0.4, 1.0), lean=np.pi / 2), side=side)
        verified(
            "pole",
            f"an upright joint with play leans to its side, {side:+g}",
            "arm times play",
            side * arm * np.sin(play),
            b.x[-1],
            1e-6,
            unit="m",
            kind="closed form",
        )
        assert max(out_of_balance(b)) < 1e-8


def test_play_hanging_above_and_standing_below_the_hands_at_once_is_found():
    """Five tubes with play, held in the middle, straight up: what stands leans aside, what hangs is plumb."""
    tube = Tube.uniform(bore=0.028, outside=0.030, length=1.0, bending=400.0, mass_per_length=0.1)
    pole = Pole((tube,) * 5, (Joint(overlap=0.2, clearance=3e-4),) * 4)
    for lean in (np.pi / 2, -np.pi / 2):
        b = bent(pole, State.out(pole, support=Hands(1.9, 2.4), lean=lean))
        assert max(out_of_balance(b)) < 1e-8
        stands = np.abs(b.joint_moment) > b.slack
        assert stands.sum() >= 1
        assert not stands.all()
        assert np.all(np.abs(b.tilt) <= 3e-4 / 0.4 + 1e-12)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"bending": -1.0}, "above_zero"),
        ({"bending": np.nan}, "above_zero"),
        ({"length": 0}, "above_zero"),
        ({"length": np.inf}, "above_zero"),
        ({"mass_per_length": -0.1}, "above_zero"),
        ({"shear": 0.0}, "above_zero"),
    ],
)
def test_a_tube_that_cannot_be_is_refused(change, says):
    with pytest.raises(DesignError, match=says):
        Tube.uniform(
            **({"length": 1.0, "bending": 100.0, "mass_per_length": 0.1, "bore": 0.028, "outside": 0.03} | change)
        )


def test_whole_numbers_and_lists_are_taken_as_numbers():
    tube = Tube(
        length=2,
        station=[0, 2],
        bending=[100, 100],
        axial=[10**6] * 2,
        shear=[10**5] * 2,
        mass_per_length=[1, 1],
        bore=[0, 0],
        outside=[1, 1],
    )
    pole = Pole((tube,), ())
    b = bent(pole, State(drawn=[], support=Clamped(), lean=0, head_mass=1, tip_force=[0, -1]))
    assert_allclose(
        b.tip_droop,
        bent(
            pole, State(drawn=np.zeros(0), support=Clamped(0.0), head_mass=1.0, tip_force=np.array([0.0, -1.0]))
        ).tip_droop,
        rtol=1e-12,
    )


def test_a_joint_with_no_stiffness_is_refused_and_one_with_all_is_none():
    with pytest.raises(DesignError, match="above_zero"):
        Joint(overlap=0.2, stiffness=0.0)
    stiff, none = (Joint(overlap=0.2, stiffness=k) for k in (1e15, np.inf))
    tube = Tube.uniform(bore=0.028, outside=0.030, length=1.5, bending=500.0, mass_per_length=0.1)
    one, two = (
        bent(p, State.out(p, head_mass=0.3)).tip_droop for p in (Pole((tube, tube), (j,)) for j in (stiff, none))
    )
    assert_allclose(one, two, rtol=1e-9)
    soft = replace(stiff, stiffness=1e-3)
    with pytest.raises(NotConverged, match=r"want\.balance_with_less_load"):
        bent(Pole((tube, tube), (soft,)), State(drawn=[1.3], support=Clamped(), lean=np.pi / 2, head_mass=5.0))


def test_a_load_that_would_shear_the_pole_off_is_refused_though_a_spring_would_give_an_answer():
    soft = Pole(
        (Tube.uniform(bore=0.028, outside=0.030, length=2.0, bending=800.0, mass_per_length=0.1, shear=100.0),), ()
    )
    assert bent(soft, State(drawn=[], support=Clamped(), head_mass=5.0)).tip_droop > 0.5
    with pytest.raises(NotConverged, match=r"want\.far_less_load_no_wall_bears"):
        bent(soft, State(drawn=[], support=Clamped(), head_mass=25.0))
