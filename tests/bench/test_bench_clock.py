"""Bow and spine: synthetic tubes bent by unsymmetric bending, and what one load would have claimed."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.bench import ClockTest, Estimate, Gauges, clock_fit, exactly
from polewright.bench.clock import _lobe
from polewright.bench.line import Fit
from polewright.errors import DesignError

G = 9.80665
SURE = Gauges(span=0.0, load_share=0.0, reading=1e-9, reading_share=0.0, gravity=0.0)
EIGHT = np.arange(8) * np.pi / 4


def turned(clock, masses, span, *, stiff, soft, along, bow, sags, shear=np.inf, wander=0.0):
    """Readings (n_clock, n_load): the load is split along two principal planes, each bends, the sum is read."""
    rows = []
    for at in clock:
        plane = np.array([np.cos(along - at), np.sin(along - at)])  # the load seen in principal axes
        bent = span**3 / 48.0 * plane / np.array([stiff, soft])  # per unit load, each plane by itself
        give = float(bent @ plane) + span / 4.0 / shear
        rows.append(G * masses * give + bow * np.cos(at - sags) + 0.004 + wander * masses * np.cos(at))
    return np.array(rows)


@settings(derandomize=True, max_examples=80, deadline=None)
@given(
    soft=st.floats(50.0, 5e3),
    spine=st.floats(0.005, 0.2),
    along=st.floats(0.0, np.pi),
    bow=st.floats(1e-4, 5e-3),
    sags=st.floats(0.0, 2 * np.pi),
    count=st.integers(5, 12),
    shear=st.floats(5e4, 1e7),
)
def test_bow_and_spine_are_distinguished_whatever_their_size_and_direction(soft, spine, along, bow, sags, count, shear):
    stiff = soft * (1.0 + spine) / (1.0 - spine)
    clock, masses = np.arange(count) * 2 * np.pi / count, np.array([1.0, 4.0])
    readings = turned(clock, masses, 1.4, stiff=stiff, soft=soft, along=along, bow=bow, sags=sags, shear=shear)
    test = ClockTest(span=1.4, clock=clock, masses=masses, readings=readings, gauges=SURE)
    found = clock_fit(test, shear=exactly(shear))
    assert found.spine.size.value == pytest.approx(spine, rel=1e-6)
    assert np.cos(2 * (found.spine.direction - along)) == pytest.approx(1.0, abs=1e-6)
    assert found.bow.size.value == pytest.approx(bow, rel=1e-6)
    assert np.cos(found.bow.direction - sags) == pytest.approx(1.0, abs=1e-6)
    assert found.stiff.value == pytest.approx(stiff, rel=1e-6)
    assert found.soft.value == pytest.approx(soft, rel=1e-6)
    assert found.spine.is_seen
    assert found.bow.is_seen
    assert 0.0 <= found.spine.direction <= np.pi
    assert 0.0 <= found.bow.direction <= 2.0 * np.pi


def test_one_load_shows_a_bow_as_a_spine_and_two_tell_them_apart(verified):
    masses, span = np.array([2.0, 6.0]), 1.4
    # 3.4 % from soft to stiff, and a bow across the spine
    soft = 820.0
    stiff = soft * 1.017 / 0.983
    give = span**3 / 48.0 / soft
    bow = 0.05 * G * masses[1] * give
    readings = turned(EIGHT, masses, span, stiff=stiff, soft=soft, along=0.0, bow=bow, sags=np.pi / 2) - 0.004
    one_load = 1.0 / readings[:, 1]
    apparent = np.ptp(one_load) / np.mean(one_load)
    assert apparent > 0.09  # a bow of a twentieth of the travel already makes it thrice as much
    found = clock_fit(ClockTest(span=span, clock=EIGHT, masses=masses, readings=readings, gauges=SURE))
    verified(
        "bench",
        "spine of a bowed tube, soft to stiff",
        "unsymmetric bending about principal axes",
        3.4,
        200 * found.spine.size.value,
        1e-6,
        unit="%",
        kind="closed form",
    )
    verified(
        "bench",
        "bow of a tube with a spine",
        "as built in",
        1e3 * bow,
        1e3 * found.bow.size.value,
        1e-6,
        unit="mm",
        kind="closed form",
    )
    with pytest.raises(DesignError, match=r"want\.two_loads_round_clock"):
        clock_fit(ClockTest(span=span, clock=EIGHT, masses=[6.0], readings=readings[:, 1:], gauges=SURE))
    with pytest.raises(DesignError, match=r"want\.two_loads_round_clock"):
        clock_fit(ClockTest(span=span, clock=EIGHT, masses=[6.0, 6.0], readings=readings, gauges=SURE))


def test_a_straight_even_tube_shows_neither_more_often_than_chance_allows():
    rng = np.random.default_rng(19)
    masses, n, spines, bows = np.array([2.0, 6.0]), 600, 0, 0
    level = G * masses * 1.4**3 / 48.0 / 834.0
    for _ in range(n):
        readings = level + rng.normal(0.0, 2e-5, (8, 2))
        found = clock_fit(ClockTest(span=1.4, clock=EIGHT, masses=masses, readings=readings, gauges=SURE))
        spines += found.spine.is_seen
        bows += found.bow.is_seen
    band = 3.5 * np.sqrt(0.05 * 0.95 / n)
    assert spines / n == pytest.approx(0.05, abs=band)
    assert bows / n == pytest.approx(0.05, abs=band)


def test_the_size_of_a_spine_scatters_as_its_uncertainty_says():
    rng = np.random.default_rng(23)
    masses = np.array([2.0, 6.0])
    true = turned(EIGHT, masses, 1.4, stiff=860.0, soft=800.0, along=0.7, bow=1e-3, sags=2.0)
    found = [
        clock_fit(
            ClockTest(span=1.4, clock=EIGHT, masses=masses, gauges=SURE, readings=true + rng.normal(0.0, 2e-5, (8, 2)))
        ).spine.size
        for _ in range(600)
    ]
    said = np.sqrt(np.mean([s.standard**2 for s in found]))
    assert np.std([s.value for s in found]) == pytest.approx(said, rel=0.1)


def test_an_oval_tube_and_a_moving_trestle_are_not_mistaken_for_a_spine_or_a_bow():
    masses = np.array([2.0, 6.0])
    readings = turned(EIGHT, masses, 1.4, stiff=830.0, soft=830.0, along=0.0, bow=0.0, sags=0.0, wander=3e-6)
    readings = readings + 1e-4 * np.cos(2 * (EIGHT - 0.5))[:, None]
    found = clock_fit(ClockTest(span=1.4, clock=EIGHT, masses=masses, readings=readings, gauges=SURE))
    assert found.ovality.size.value == pytest.approx(1e-4, rel=1e-6)
    assert found.ovality.direction == pytest.approx(0.5, abs=1e-6)
    assert found.wander.size.value == pytest.approx(3e-6, rel=1e-6)
    assert found.spine.size.value < 1e-6
    assert found.bow.size.value < 1e-8
    assert "bench.note.wander" in {n.code for n in found.notes}
    assert "bench.note.no_spine" in {n.code for n in found.notes}


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"clock": EIGHT[:4], "readings": np.ones((4, 2))}, "clock"),
        ({"clock": np.zeros(8)}, "clock"),
        ({"clock": np.full(8, np.nan)}, "clock"),
        ({"clock": EIGHT + 2 * np.pi * np.arange(8)}, None),
        ({"readings": np.ones((2, 8))}, "readings"),
        ({"readings": np.full((8, 2), np.inf)}, "readings"),
        ({"readings": -np.outer(np.ones(8), [1e-3, 3e-3])}, "readings"),
        ({"masses": [2.0, -1.0]}, "masses"),
        ({"span": 0.0}, "span"),
    ],
)
def test_a_turning_test_that_cannot_be_is_refused_by_the_field(change, field):
    plain = {"span": 1.4, "clock": EIGHT, "masses": [2.0, 6.0], "readings": np.outer(np.ones(8), [1e-3, 3e-3])}
    if field is None:
        assert clock_fit(ClockTest(**(plain | change))).bending.value > 0.0
        return
    with pytest.raises(DesignError) as refusal:
        clock_fit(ClockTest(**(plain | change)), shear=Estimate(1e6, 1e5))
    assert refusal.value.field == field


def test_readings_that_swing_beyond_any_tube_are_refused():
    readings = np.outer(1.0 - 0.95 * np.cos(2 * EIGHT), [1e-3, 3e-3])
    with pytest.raises(DesignError, match=r"want\.even_round_clock"):
        clock_fit(ClockTest(span=1.4, clock=EIGHT, masses=[2.0, 6.0], readings=readings))


@pytest.mark.parametrize(("size", "is_seen"), [(2.4, False), (2.5, True)])
def test_a_lobe_whose_scatter_is_known_is_weighed_by_two_figures(size, is_seen):
    # chance alone makes a pair of unit scatter larger than r with exp(-r^2/2): 0.05 at 2.448
    fit = Fit(np.array([size * 0.6, size * 0.8]), np.eye(2), 1.0, np.inf)
    assert _lobe(fit, 0, lobes=1).is_seen is is_seen
