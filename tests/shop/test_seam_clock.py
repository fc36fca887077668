"""Seams round the clock against the closed form of a part turn, the roots of unity and every set tried one by one."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.shop import extra_harmonics, seam_clock, section_clock, section_kit, spread_starts
from polewright.wall.stack import Stack, StackPly

ARC = np.radians(28.0)
SHARE = np.array([1.0, 1.0, 0.03, 0.03, 0.03, 0.03])  # of each harmonic's square in what is made least


def unevenness(starts: np.ndarray, arc: np.ndarray, weight: np.ndarray) -> np.ndarray:
    """What the spread makes least, for many sets of starts (n_set, n_flag), written out plainly."""
    middle, total = starts + arc / 2, 0.0
    for m in range(1, 7):
        vector = (2 / (np.pi * m) * weight * np.sin(m * arc / 2) * np.exp(-1j * m * middle)).sum(axis=-1)
        total = total + SHARE[m - 1] * np.abs(vector) ** 2
    return total


@pytest.mark.parametrize(("degrees", "percent"), [(20, 2.2), (36, 3.7), (90, 6.4), (180, 0.0)])
def test_swing_of_bending_stiffness_from_one_part_turn(degrees, percent, verified):
    arc = np.radians(degrees)
    # n = 5 whole turns carry the stiffness 5; the part turn adds 1 over its arc
    swing = extra_harmonics([0.0], [arc], [1.0 / 5.0])[1]
    verified(
        "shop",
        f"EI round the clock, part turn of {degrees} degrees on five",
        "workshop notes, thin estimate",
        percent,
        100 * swing,
        0.0,
        tolerance_abs=0.05,
        unit="%",
        kind="notes",
    )


def test_harmonics_are_those_of_the_wall_drawn_out_and_integrated():
    start, arc, weight = np.array([0.3, 2.0, 4.4]), np.array([0.5, 1.9, 3.0]), np.array([1.0, 0.4, 2.0])
    clock = (np.arange(200_000) + 0.5) * 2 * np.pi / 200_000
    layers = sum(w * (((clock - s) % (2 * np.pi)) < a) for s, a, w in zip(start, arc, weight, strict=True))
    drawn = [2 * np.abs(np.mean(layers * np.exp(-1j * m * clock))) for m in (1, 2)]
    assert extra_harmonics(start, arc, weight) == pytest.approx(drawn, rel=1e-4)


@pytest.mark.parametrize("count", [3, 4, 5, 6, 8, 12])
def test_equal_flags_leave_the_wall_even(count):
    start = spread_starts(np.full(count, ARC), np.ones(count))
    left = extra_harmonics(start, np.full(count, ARC), np.ones(count)) / extra_harmonics([0.0], [ARC], [1.0])
    # five do not divide 24 places: less than a third of one seam is left
    assert np.all(left < (1e-9 if count != 5 else 0.3))


@settings(derandomize=True, deadline=None, max_examples=10)
@given(st.lists(st.tuples(st.floats(0.05, 6.0), st.floats(0.1, 3.0)), min_size=1, max_size=3))
def test_no_other_set_of_places_is_evener(flags):
    arc, weight = np.array(flags).T
    hours = np.arange(24) * np.pi / 12
    every = np.array([[0.0, *rest] for rest in product(hours, repeat=len(arc) - 1)])
    assert unevenness(spread_starts(arc, weight), arc, weight) <= unevenness(every, arc, weight).min() + 1e-12


@pytest.mark.slow
def test_moving_one_flag_at_a_time_comes_near_the_best_of_five():
    rng = np.random.default_rng(7)
    arc, weight = rng.uniform(0.2, 2.0, 5), rng.uniform(0.3, 1.0, 5)
    hours = np.arange(24) * np.pi / 12
    grid = np.stack(np.meshgrid(*[hours] * 4, indexing="ij"), axis=-1).reshape(-1, 4)
    least = unevenness(np.column_stack([np.zeros(len(grid)), grid]), arc, weight).min()
    found = unevenness(spread_starts(arc, weight), arc, weight)
    lined_up = unevenness(np.zeros(5), arc, weight)
    assert found - least < 0.002 * lined_up


def test_the_answer_is_always_the_same_and_begins_at_the_mark():
    again = [spread_starts(np.full(7, ARC), np.linspace(1, 2, 7)) for _ in range(2)]
    assert np.array_equal(*again)
    assert again[0][0] == 0.0


def test_end_of_a_flag_is_its_turns_and_its_overlap_further(shop):
    kit = section_kit(Stack((StackPly(shop.sm150, 0.0, 4.25),)), 0.030, 0.030, 1.65)
    clock = section_clock(kit)
    outside = 0.030 + 2 * 4.25 * shop.sm150.thickness
    assert clock.start[0] == 0.0
    assert clock.end[0] == pytest.approx(np.pi / 2 + 0.012 / outside)


def test_small_seams_do_not_all_hide_behind_a_part_turn():
    # one half turn and six overlaps: the overlaps gather on the other side, yet not on top of each other
    arc, weight = np.array([0.4, 0.4, 0.4, 0.4, 3.5, 0.4, 0.4]), np.array([0.4, 1, 1, 1, 0.8, 0.4, 0.6])
    start = spread_starts(arc, weight)
    _, shared = np.unique(np.round(np.delete(start, 4), 6), return_counts=True)
    assert shared.max() <= 2


def test_a_section_spreads_better_than_all_seams_in_one_line(shop):
    for kit in shop.kits():
        clock = section_clock(kit)
        lined = seam_clock(clock.arc[:1], [5], [1.0], [1.0])
        assert len(set(np.round(clock.start, 6))) == len(kit.flags)
        assert clock.thickness_harmonics[0] < lined.thickness_harmonics[0]
