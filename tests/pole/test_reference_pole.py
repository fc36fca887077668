"""The reference pole of the workshop notes: its tables come out under their assumptions."""

import dataclasses

import numpy as np
import pytest

from polewright.pole import (
    Bench,
    Clamped,
    Hands,
    State,
    bent,
    bent_small,
    contact,
    droop_split,
    flex,
    heft,
    modes,
    side_state,
    wind_load,
)

NOTES = "workshop notes, reference pole"


@pytest.mark.parametrize(
    ("out", "own", "loaded", "per_100_g"),
    [(1, 0.012, 0.035, 0.005), (2, 0.048, 0.146, 0.020), (3, 0.147, 0.394, 0.049), (4, 0.383, 0.894, 0.102)],
)
def test_droop_at_each_extension(reedlight, verified, out, own, loaded, per_100_g):
    pole = reedlight()
    bare = bent_small(pole, State.out(pole, out)).tip_droop
    heavy = bent_small(pole, State.out(pole, out, head_mass=0.5)).tip_droop
    # the notes print whole millimetres and allow 2 % or 3 mm
    verified("pole", f"{out} sections out, own weight", NOTES, own, bare, 0.02, 0.003, "m", kind="notes")
    verified("pole", f"{out} sections out, 500 g more", NOTES, loaded, heavy, 0.02, 0.003, "m", kind="notes")
    verified(
        "pole",
        f"{out} sections out, per 100 g",
        NOTES,
        per_100_g,
        (heavy - bare) / 5.0,
        0.02,
        0.0005,
        "m",
        kind="notes",
    )


@pytest.mark.parametrize(
    ("out", "balance", "carry"), [(1, 1.30, 1.50), (2, 1.80, 2.09), (3, 2.59, 3.01), (4, 3.69, 4.27)]
)
def test_balance_and_carry_moment_at_each_extension(reedlight, verified, out, balance, carry):
    pole = reedlight()
    found = heft(pole, State.out(pole, out))
    verified("pole", f"{out} sections out, balance", NOTES, balance, found.balance, 0.004, unit="m", kind="notes")
    verified(
        "pole", f"{out} sections out, carry moment", NOTES, carry, found.carry_moment, 0.004, unit="kg m", kind="notes"
    )


@pytest.mark.parametrize(("out", "swing"), [(2, 1.3), (3, 0.81), (4, 0.54)])
def test_swing_with_a_head_at_each_extension(reedlight, verified, out, swing):
    pole = reedlight()
    found = modes(bent(pole, State.out(pole, out, head_mass=0.6)), count=1).frequency[0]
    verified("pole", f"{out} sections out, swing with 0.6 kg", NOTES, swing, found, 0.02, unit="Hz", kind="notes")


def test_swing_with_one_section_out_is_as_noted_with_the_joints_at_the_mouth(reedlight, verified):
    """The notes' 2.8 Hz: joints that turn at the outer mouth; 0.6 kg and the fitting at the tip."""
    pole = reedlight()
    pole = dataclasses.replace(pole, joints=tuple(dataclasses.replace(j, pivot=0.0) for j in pole.joints))
    found = modes(bent(pole, State.out(pole, 1, head_mass=0.6)), count=1).frequency[0]
    verified(
        "pole",
        "1 section out, joints at the mouth, swing with 0.6 kg",
        NOTES,
        2.8,
        found,
        0.005,
        unit="Hz",
        kind="notes",
    )


@pytest.mark.parametrize(
    ("support", "shares"),
    [(Bench(), (2.3, 10.1, 21.2, 33.0, 26.4, 7.0)), (Clamped(), (1.9, 8.0, 16.9, 26.2, 41.5, 5.6))],
    ids=["trestles", "built in"],
)
def test_shares_of_tip_flex(reedlight, verified, support, shares):
    pole = reedlight()
    found = flex(pole, State.out(pole, support=support))
    computed = (*found.section, found.joint.sum())
    for name, expected, value in zip(("S1", "S2", "S3", "S4", "S5", "joints"), shares, computed, strict=True):
        verified(
            "pole",
            f"share of tip flex, {type(support).__name__.lower()}, {name}",
            NOTES,
            expected,
            100.0 * value,
            0.0,
            0.06,
            "%",
            kind="notes",
        )


def test_droop_with_600_g_in_all(reedlight, verified):
    pole = reedlight()
    verified(
        "pole",
        "droop with 0.6 kg in all at the tip",
        NOTES,
        0.935,
        bent_small(pole, State.out(pole, head_mass=0.54)).tip_droop,
        0.02,
        unit="m",
        kind="notes",
    )


@pytest.mark.parametrize(
    ("drawn", "per_newton", "droop"),
    [((1.45, 1.45, 0.035, 0.035), 20.3, 0.128), ((0.035, 0.035, 1.45, 1.45), 17.4, 0.170)],
    ids=["thin first", "thick first"],
)
def test_order_of_extension(reedlight, verified, drawn, per_newton, droop):
    pole = reedlight(tip_mass=0.0, clearance=0.0)
    state = State(drawn=drawn, head_mass=0.5)
    verified(
        "pole",
        f"drawn {drawn}, flex",
        NOTES,
        per_newton,
        1e3 * flex(pole, state).flex,
        0.005,
        unit="mm/N",
        kind="notes",
    )
    verified(
        "pole",
        f"drawn {drawn}, droop with 500 g",
        NOTES,
        droop,
        bent_small(pole, state).tip_droop,
        0.005,
        unit="m",
        kind="notes",
    )


@pytest.mark.parametrize(
    ("overlap", "reach", "droop", "per_newton", "play"),
    [
        (0.10, 7.85, 1.227, 152, 0.0310),
        (0.15, 7.65, 0.975, 121, 0.0200),
        (0.20, 7.45, 0.833, 104, 0.0145),
        (0.25, 7.25, 0.727, 91, 0.0110),
        (0.30, 7.05, 0.638, 80, 0.0090),
    ],
)
def test_overlap_study(reedlight, verified, overlap, reach, droop, per_newton, play):
    pole = reedlight(tip_mass=0.0, overlap=overlap, stiffness=9000.0 * (overlap / 0.2) ** 2)
    state = State.out(pole, head_mass=0.5)
    b = bent_small(pole, state)
    verified("pole", f"overlap {overlap} m, reach", NOTES, reach, pole.extended_length, 1e-9, unit="m", kind="notes")
    verified("pole", f"overlap {overlap} m, droop", NOTES, droop, b.tip_droop, 0.02, unit="m", kind="notes")
    verified(
        "pole",
        f"overlap {overlap} m, flex",
        NOTES,
        per_newton,
        1e3 * flex(pole, state).flex,
        0.02,
        unit="mm/N",
        kind="notes",
    )
    # arms from the middle of the overlap add 0.4 mm to the notes' arms from the mouths; they print half millimetres
    verified(
        "pole",
        f"overlap {overlap} m, play",
        NOTES,
        play + 0.0004,
        droop_split(b).play.sum(),
        0.0,
        0.0005,
        "m",
        kind="notes",
    )


def test_moments_lifting_it_flat_with_head_and_full_hose(reedlight, verified):
    pole = reedlight()
    b = bent_small(pole, State.out(pole, head_mass=0.54, hose=0.055, support=Hands(0.0, 1.0)))
    at_mouths = contact(b).mouth_moment
    hand = b.moment[np.argmin(np.abs(b.station - 1.0)), 1]
    places = ("hand", "S5", "S4", "S3", "S2")
    for place, expected, computed in zip(places, (77, 65, 42, 24, 10), (hand, *at_mouths[::-1]), strict=True):
        verified("pole", f"moment lifting flat, {place}", NOTES, expected, -computed, 0.0, 0.6, "N m", kind="notes")
    for place, expected, computed in zip(places[1:], (66, 43, 25, 11), b.joint_moment[::-1], strict=True):
        verified(
            "pole",
            f"moment lifting flat, mid-overlap of {place}",
            NOTES,
            expected,
            -computed,
            0.0,
            0.6,
            "N m",
            kind="notes",
        )
    verified(
        "pole", "contact couple at the S4/S5 joint", NOTES, 360, -contact(b).couple[3], 0.02, unit="N", kind="notes"
    )


@pytest.mark.parametrize(
    ("support", "hose", "swing"),
    [(Bench(), 0.055, 3.4), (Bench(), 0.0, 3.95), (Clamped(), 0.0, 3.3)],
    ids=["full hose", "no hose", "built in"],
)
def test_propped_swing(reedlight, verified, support, hose, swing):
    pole = reedlight()
    b = bent(pole, State.out(pole, support=support, hose=hose))
    verified(
        "pole",
        f"head on the glass, {type(support).__name__.lower()}, hose {hose} kg/m",
        NOTES,
        swing,
        modes(b, count=1, head="pinned").frequency[0],
        0.01,
        unit="Hz",
        kind="notes",
    )


@pytest.mark.parametrize(("speed", "sway"), [(6.0, 0.171), (8.0, 0.304)])
def test_sway_by_wind(reedlight, verified, speed, sway):
    pole = reedlight(clearance=0.0)
    state = side_state(State.out(pole), wind_load([0.0], [speed], drag=1.2))
    verified(
        "pole", f"sway at {speed} m/s", NOTES, sway, bent_small(pole, state).tip_droop, 0.005, unit="m", kind="notes"
    )
