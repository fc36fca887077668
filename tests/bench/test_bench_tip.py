"""Tip-load test of a whole pole: the workshop's table, Monte Carlo, and what a roll and play must do."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.bench import Gauges, TipTest, flex_of, tip_flex
from polewright.errors import DesignError

NOTES = "reference pole of the workshop notes"
G = 9.80665
SURE = Gauges(span=0.0, load_share=0.0, reading=0.0, reading_share=0.0, gravity=0.0)
LOADS = np.array([0.0, 0.25, 0.5, 0.75])


@pytest.mark.parametrize(
    ("reach", "bare", "loaded", "per_100_g"),
    [(2.2, 12, 35, 5), (3.62, 48, 146, 20), (5.04, 147, 394, 49), (6.45, 383, 894, 102)],
)
def test_added_droop_per_100_g_is_that_of_the_droop_table(reach, bare, loaded, per_100_g, verified):
    test = TipTest(reach=reach, masses=[0.0, 0.5], readings=[bare / 1e3, loaded / 1e3], gauges=SURE)
    found = tip_flex(test).flex.value
    # whole millimetres are printed: half a millimetre of rounding in 100 g
    verified(
        "bench",
        f"added droop per 100 g, reach {reach} m",
        NOTES,
        per_100_g,
        100.0 * G * found,
        0.0,
        0.5,
        "mm",
        kind="notes",
    )
    assert flex_of([0.0, 0.5], [bare / 1e3, loaded / 1e3]) == pytest.approx(found, rel=1e-12)


@pytest.mark.parametrize(("per_100_g", "error"), [(102.0, 1.0), (20.0, 4.0)])
def test_a_tape_blurs_the_flex_as_the_home_test_says(per_100_g, error, verified):
    masses = np.array([0.25, 0.75])
    gauges = Gauges(span=0.0, load_share=0.0, reading=0.003, reading_share=0.0, gravity=0.0)
    droop = 0.05 + masses * per_100_g / 100.0
    flex = tip_flex(TipTest(reach=5.0, masses=masses, readings=droop, gauges=gauges)).flex
    # printed to a whole per cent
    verified(
        "bench",
        f"blur of the flex by a tape of 3 mm, {per_100_g:.0f} mm/100 g",
        NOTES,
        error,
        100.0 * flex.standard / flex.value,
        0.0,
        0.5,
        "%",
        kind="notes",
    )


@settings(derandomize=True, max_examples=60, deadline=None)
@given(flex=st.floats(1e-4, 0.3), own=st.floats(0.0, 1.0), bow=st.floats(-0.05, 0.05), play=st.floats(0.0, 0.05))
def test_own_weight_bow_and_play_stay_out_of_the_flex(flex, own, bow, play):
    line = own + play + flex * G * LOADS
    line[0] -= play  # nothing hung: the joints have not settled
    found = tip_flex(TipTest(reach=5.0, masses=LOADS, readings=[line + bow, line - bow], gauges=SURE))
    assert found.flex.value == pytest.approx(flex, rel=1e-9)
    assert found.bow.value == pytest.approx(bow, abs=1e-12)
    assert found.settled.value == pytest.approx(play, abs=1e-12)
    assert found.droop == pytest.approx(line, abs=1e-12)


def test_uncertainty_agrees_with_monte_carlo():
    gauges = Gauges(span=0.0, load_share=0.01, reading=0.003, reading_share=0.002, gravity=0.015)
    rng = np.random.default_rng(4)
    true, n = 0.38 + 0.104 * G * LOADS, 100_000
    said = tip_flex(TipTest(reach=6.45, masses=LOADS, readings=[true, true], gauges=gauges)).flex
    x = LOADS[1:] - LOADS[1:].mean()
    readings = true[1:] * (1.0 + rng.normal(0.0, 0.002, (n, 1, 1))) + rng.normal(0.0, 0.003, (n, 2, 3))
    slope = (readings * x).sum((1, 2)) / (2.0 * x @ x)
    draws = slope / (1.0 + rng.normal(0.0, 0.01, n)) / rng.normal(G, 0.015, n)
    assert said.standard == pytest.approx(np.std(draws), rel=0.02)


def test_a_droop_that_bends_away_is_compared_with_the_same_masses():
    droop = 0.4 + 1.0 * LOADS - 0.2 * LOADS**2
    found = tip_flex(TipTest(reach=6.45, masses=LOADS, readings=droop))
    assert "bench.note.curved" in {n.code for n in found.notes}
    assert found.flex.value == pytest.approx(flex_of(LOADS, droop), rel=1e-12)
    assert found.flex.value * G == pytest.approx(1.0 - 0.2 * (0.25 + 0.75), rel=1e-9)
    straight = tip_flex(TipTest(reach=6.45, masses=LOADS, readings=0.4 + LOADS))
    assert "bench.note.curved" not in {n.code for n in straight.notes}


def test_what_one_roll_or_one_mass_leaves_open_is_shown():
    one = tip_flex(TipTest(reach=6.45, masses=[0.0, 0.5], readings=[0.383, 0.894]))
    assert one.bow is None
    assert one.settled is None
    assert {n.code for n in one.notes} == {"bench.note.play", "bench.note.one_roll"}
    two = tip_flex(TipTest(reach=6.45, masses=LOADS, readings=[0.38 + LOADS + 0.02 * (LOADS > 0)] * 2))
    assert "bench.note.settled" in {n.code for n in two.notes}


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"masses": [0.5, 0.5]}, "masses"),
        ({"readings": [0.9, 0.4]}, "readings"),
        ({"readings": [0.4, 0.4]}, "readings"),
        ({"readings": [0.4, np.nan]}, "readings"),
        ({"readings": np.ones((3, 2))}, "readings"),
        ({"masses": [0.0, -0.5]}, "masses"),
        ({"reach": 0.0}, "reach"),
        ({"reach": np.inf}, "reach"),
        ({"play": -1e-3}, "play"),
        ({"play": np.inf}, "play"),
        ({"masses": [0.5], "readings": [0.4]}, "masses"),
    ],
)
def test_a_tip_test_that_cannot_be_is_refused_by_the_field(change, field):
    plain = {"reach": 6.45, "masses": [0.0, 0.5], "readings": [0.383, 0.894]}
    with pytest.raises(DesignError) as refusal:
        tip_flex(TipTest(**(plain | change)))
    assert refusal.value.field == field


def test_predicted_droops_must_fit_the_masses():
    with pytest.raises(DesignError, match=r"want\.one_of_each_mass"):
        flex_of([0.0, 0.5], [0.1])
