"""Sways and swings of the reference pole with joints at the outer mouth, as the notes have them; a sagging mandrel."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from polewright.pole import (
    Bench,
    Clamped,
    Hands,
    Pole,
    State,
    Tube,
    bent,
    bent_small,
    contact,
    modes,
    side_state,
    wind_load,
)

NOTES = "workshop notes, reference pole, joints at the outer mouth"
EI, LENGTH, GRAVITY = (416.0, 658.0, 834.7, 1039.5, 1275.5), 1.65, 9.80665


@pytest.fixture(scope="module")
def at_mouth(reedlight) -> Callable[..., Pole]:
    def build(*, pivot: float = 0.0, play: float | None = 1e-3, **others: float) -> Pole:
        pole = reedlight(**others)
        return replace(pole, joints=tuple(replace(j, pivot=pivot, play=play) for j in pole.joints))

    return build


@pytest.mark.parametrize("pivot", [0.0, 0.5])
@pytest.mark.parametrize(("speed", "own", "all_28"), [(6.0, 171, 184), (8.0, 304, 328)])
def test_sway_with_own_diameters_and_with_28_mm_throughout(at_mouth, verified, speed, own, all_28, pivot):
    pole = at_mouth(pivot=pivot, play=0.0)
    thick, thin = np.full(2, 0.028), np.full(2, 0.0263)
    even = replace(pole, tubes=tuple(replace(t, bore=thin, outside=thick) for t in pole.tubes))
    for name, built, expected in (("own diameters", pole, own), ("28 mm throughout", even, all_28)):
        state = side_state(State.out(built), wind_load([0.0], [speed], drag=1.2))
        verified(
            "pole",
            f"sway at {speed:g} m/s, {name}, joints at {pivot:g} of the overlap",
            "workshop notes, reference pole",
            expected,
            1e3 * bent_small(built, state).tip_droop,
            0.01,
            unit="mm",
            kind="notes",
        )


@pytest.mark.parametrize(
    ("support", "hose", "swing"),
    [(Bench(), 0.055, 3.4), (Bench(), 0.0, 3.95), (Clamped(), 0.0, 3.3)],
    ids=["full hose", "no hose", "built in"],
)
def test_propped_swing_with_joints_at_the_mouth(at_mouth, verified, support, hose, swing):
    pole = at_mouth()
    found = modes(bent(pole, State.out(pole, support=support, hose=hose)), count=1, head="pinned").frequency[0]
    verified(
        "pole",
        f"head on the glass, joints at the mouth, {type(support).__name__.lower()}, hose {hose} kg/m",
        NOTES,
        swing,
        found,
        0.01,
        unit="Hz",
        kind="notes",
    )


@pytest.mark.parametrize("head", [0.0, 0.3, 0.6, 2.0])
def test_a_uniform_pole_swings_as_a_quarter_of_its_mass_at_the_tip(plain, verified, head):
    """m of the tip + 0.24 m of the pole on its spring: 0.243 without a head, 0.236 (33/140) with a heavy one."""
    b = bent(plain(4.0, 800.0, 0.12), State(drawn=[], support=Clamped(), gravity=0.0, head_mass=head))
    moved = 3.0 * 800.0 / 4.0**3 / (2.0 * np.pi * modes(b, count=1).frequency[0]) ** 2
    verified(
        "pole",
        f"share of a uniform pole's mass that swings, head {head:g} kg",
        "workshop notes",
        0.24,
        (moved - head) / 0.48,
        0.0,
        0.005,
        kind="notes",
    )


@pytest.mark.parametrize(
    ("metal", "modulus", "density", "bore", "sag"),
    [
        ("aluminium", 69e9, 2700.0, 0.0, 1.15),
        ("steel", 200e9, 7850.0, 0.0, 1.15),
        ("hollow aluminium, wall 4 mm", 69e9, 2700.0, 0.019, 0.77),
    ],
)
def test_a_mandrel_laid_on_its_ends_sags_as_the_notes_say(verified, metal, modulus, density, bore, sag):
    """Any bar with given EI and mass: 27 mm, 1.8 m; 5 q L4/(384 EI)."""
    area, second = np.pi / 4 * (0.027**2 - bore**2), np.pi / 64 * (0.027**4 - bore**4)
    bar = Pole(
        (Tube.uniform(length=1.8, bending=modulus * second, mass_per_length=density * area, bore=bore, outside=0.027),),
        (),
    )
    b = bent_small(bar, State(drawn=[], support=Bench(1.8)), pieces=64)
    verified(
        "pole",
        f"sag of a mandrel 27 mm by 1.8 m, {metal}",
        "workshop notes",
        sag,
        1e3 * b.droop.max(),
        0.0,
        0.005,
        "mm",
        kind="notes",
    )


@pytest.mark.parametrize("pivot", [0.0, 0.5])
def test_moments_lifting_it_flat_shrink_by_the_arms_alone(at_mouth, verified, pivot):
    """The notes' moments are statics of the straight pole. True rotations give them as the weight goes to nothing; at
    full weight the pole hangs and its arms shorten: 1 to 3 % less at the mouths, most at the tip."""
    pole = at_mouth(pivot=pivot)
    state = State.out(pole, head_mass=0.54, hose=0.055, support=Hands(0.0, 1.0))
    light = replace(state, gravity=GRAVITY / 1000.0)
    moments = [-contact(bent(pole, s)).mouth_moment for s in (light, state)]
    for place, expected, small, large in zip(
        ("S2", "S3", "S4", "S5"), (10.0, 24.0, 42.0, 65.0), 1000.0 * moments[0], moments[1], strict=True
    ):
        verified(
            "pole",
            f"moment lifting flat, mouth of {place}, weight going to nothing, joints at {pivot:g}",
            "workshop notes, reference pole",
            expected,
            small,
            0.0,
            0.5,
            "N m",
            kind="notes",
        )
        assert 0.97 < large / small < 0.99
