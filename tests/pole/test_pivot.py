"""Where a joint turns and how far it turns freely, beside the closed forms of a chain of stiff tubes."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from polewright.errors import DesignError
from polewright.pole import Bench, Clamped, Joint, Pole, PoleBatch, State, Tube, bent, bent_small, bent_tips, modes

STIFF, GRAVITY = 1e12, 9.80665


def chain(**joint):
    """Two rigid tubes of 2 m, without mass but for 1 kg at the tip, 0.5 m of the thin one in the other."""
    tubes = (
        Tube.uniform(bore=0.028, outside=0.030, length=2.0, bending=STIFF, shear=1e15, mass_per_length=1e-9),
        Tube.uniform(bore=0.028, outside=0.030, length=2.0, bending=STIFF, shear=1e15, mass_per_length=1e-9),
    )
    return Pole(tubes, (Joint(overlap=0.5, **joint),), tip_mass=1.0)


def held(drawn, **others):
    return State(support=Clamped(), drawn=np.array([drawn]), **others)


def straight(pole, drawn):
    return bent_small(pole, held(drawn))


@pytest.mark.parametrize("pivot", [0.0, 0.2, 0.5, 1.0])
def test_a_joint_gives_by_the_square_of_the_way_from_its_pivot_to_the_tip(pivot, verified):
    arm = 1.5 + pivot * 0.5
    b = straight(chain(stiffness=4e4, pivot=pivot), 1.5)
    verified(
        "pole",
        f"spring turning {pivot:.0%} in from the mouth, droop",
        "closed form, m g a2/k",
        GRAVITY * arm**2 / 4e4,
        float(b.droop[-1]),
        1e-6,
        0.0,
        unit="m",
        kind="closed form",
    )


@pytest.mark.parametrize("pivot", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("drawn", [1.5, 0.4])
def test_a_play_of_its_own_is_the_same_at_any_draw(pivot, drawn, verified):
    joint = {"clearance": 0.4e-3, "play": 2e-3, "pivot": pivot}
    b = straight(chain(**joint), drawn)
    arm = drawn + pivot * (2.0 - drawn)
    verified(
        "pole",
        f"own play at {drawn} m drawn, pivot {pivot:.0%}, droop",
        "closed form, tilt times arm",
        2e-3 * arm,
        float(b.droop[-1]),
        1e-6,
        0.0,
        unit="m",
        kind="closed form",
    )


def test_without_its_own_play_the_clearance_over_the_overlap_gives_it():
    for centring, share in (("mouth", 0.5), ("none", 1.0)):
        b = straight(chain(clearance=0.4e-3, centring=centring), 1.0)
        assert float(b.droop[-1]) == pytest.approx(share * 0.4e-3 / 1.0 * 1.5, rel=1e-6)


@pytest.mark.parametrize("pivot", [0.0, 0.3, 1.0])
def test_a_stiff_chain_swings_as_one_mass_on_its_spring(pivot, verified):
    arm = 1.5 + pivot * 0.5
    first = modes(bent(chain(stiffness=4e4, pivot=pivot), held(1.5, gravity=0.0)), count=1).frequency[0]
    verified(
        "pole",
        f"swing about a pivot {pivot:.0%} in from the mouth",
        "closed form, sqrt(k/m)/a/2pi",
        float(np.sqrt(4e4 / 1.0) / arm / (2.0 * np.pi)),
        float(first),
        1e-4,
        0.0,
        unit="Hz",
        kind="closed form",
    )


def test_a_mouth_that_holds_makes_a_pole_stiffer_and_a_butt_that_holds_softer():
    droops = [
        float(bent(chain(stiffness=4e4, clearance=0.4e-3, pivot=p), held(1.5)).droop[-1])
        for p in (0.0, 0.25, 0.5, 0.75, 1.0)
    ]
    assert all(a < b for a, b in pairwise(droops))


def test_a_batch_knows_pivot_and_play_as_one_pole_does():
    poles = [
        chain(stiffness=4e4, clearance=0.4e-3, pivot=p, play=own)
        for p in (0.0, 0.4, 1.0)
        for own in (None, 0.0, 1.5e-3)
    ]
    state = State(support=Bench(1.0), drawn=np.array([1.5]), head_mass=0.5)
    many = bent_tips(PoleBatch.of(poles, np.array([1.5])), state, pieces=32)
    one = [float(bent(p, state, pieces=32).droop[-1]) for p in poles]
    np.testing.assert_allclose(many.droop, one, rtol=1e-9)


def test_play_taken_away_is_no_play():
    pole = chain(stiffness=4e4, clearance=0.4e-3, play=0.0)
    tight = replace(pole, joints=(replace(pole.joints[0], clearance=0.0, play=None),))
    state = held(1.5)
    assert bent(pole, state).droop[-1] == bent(tight, state).droop[-1]


@pytest.mark.parametrize(
    ("field", "value", "want"),
    [
        ("pivot", -0.1, "want.share_overlap_0_outer_mouth_1"),
        ("pivot", 1.2, "want.share_overlap_0_outer_mouth_1"),
        ("pivot", np.nan, "want.share_overlap_0_outer_mouth_1"),
        ("play", -1e-3, "want.zero_or_more_or_none"),
        ("play", np.inf, "want.zero_or_more_or_none"),
        ("play", np.nan, "want.zero_or_more_or_none"),
    ],
)
def test_a_joint_that_cannot_be_is_refused_by_name(field, value, want):
    with pytest.raises(DesignError, match=rf"joint\.{field}.*{want}"):
        Joint(overlap=0.2, **{field: value})
