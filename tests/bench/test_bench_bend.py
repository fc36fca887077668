"""Bend tests of one tube against virtual work by quadrature, the workshop's own figures and Monte Carlo."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.bench import BendTest, Estimate, Gauges, bending_stiffness, exactly
from polewright.errors import DesignError
from polewright.materials.ply import Elastic, Ply
from polewright.wall.membrane import tube_stiffness
from polewright.wall.stack import Stack, StackPly

NOTES = "reference pole of the workshop notes, section 3"
SURE = Gauges(span=0.0, load_share=0.0, reading=0.0, reading_share=0.0, gravity=0.0)
G = 9.80665


def section_3():
    axial = Ply("SM150", 0.1476e-3, Elastic.unidirectional(E1=132.7e9, E2=7.61e9, G12=3.44e9, nu12=0.264), 0.2273)
    hoop = Ply("TH55", 0.0585e-3, Elastic.unidirectional(E1=122.9e9, E2=7.14e9, G12=3.13e9, nu12=0.271), 0.0887)
    stack = Stack((StackPly(hoop, np.pi / 2), StackPly(axial, 0.0, 5.0), StackPly(hoop, np.pi / 2)))
    stiff = tube_stiffness(stack.wall(0.02693))
    return float(stiff.bending), float(stiff.shear)


def give_by_virtual_work(arrangement, span, inset, bending, shear):
    """Movement read per unit load: integral of M m/EI + V v/K, with the moments written down piece by piece."""
    x = np.linspace(0.0, span, 40_001)

    def on_trestles(load_at, size):
        moment, cut = np.zeros_like(x), np.zeros_like(x)
        for at, force in zip(load_at, size, strict=True):
            left = force * (span - at) / span
            moment += np.where(x < at, left * x, force * at * (span - x) / span)
            cut += np.where(x < at, left, left - force)
        return moment, cut

    if arrangement == "tip":
        moment, cut = x, np.ones_like(x)
        unit, unit_cut = moment, cut
    else:
        at, size = ([span / 2], [1.0]) if arrangement == "middle" else ([inset, span - inset], [0.5, 0.5])
        moment, cut = on_trestles(at, size)
        unit, unit_cut = on_trestles([span / 2], [1.0])
        if arrangement == "two loads, arc":
            other, other_cut = on_trestles([inset, span - inset], [0.5, 0.5])
            unit, unit_cut = unit - other, unit_cut - other_cut
    return np.trapezoid(moment * unit / bending + cut * unit_cut / shear, x)


@pytest.mark.parametrize(
    ("arrangement", "inset"),
    [("middle", 0.0), ("tip", 0.0), ("two loads", 0.3), ("two loads", 0.45), ("two loads, arc", 0.3)],
)
@pytest.mark.parametrize("span", [0.95, 1.4])
def test_every_arrangement_gives_back_the_stiffness_that_virtual_work_bent(arrangement, inset, span, verified):
    bending, shear = 834.0, 127e3
    give = give_by_virtual_work(arrangement, span, inset, bending, shear)
    masses = np.array([1.0, 5.0])
    test = BendTest(
        span=span, masses=masses, readings=G * masses * give, arrangement=arrangement, inset=inset, gauges=SURE
    )
    found = bending_stiffness(test, shear=exactly(shear))
    verified(
        "bench",
        f"EI, {arrangement}, span {span} m, inset {inset} m",
        "virtual work by quadrature",
        bending,
        found.bending.value,
        2e-4,
        unit="N·m²",
        kind="solver",
    )  # trapezoid rule across the jump of the shear force


@pytest.mark.parametrize(("span", "low", "printed"), [(0.6, 18.0, 0.5), (1.0, 7.3, 0.06), (1.4, 3.9, 0.06)])
def test_short_spans_read_low_and_are_corrected(span, low, printed, verified):
    bending, shear = section_3()
    masses = np.array([2.0, 6.0])
    give = span**3 / 48.0 / bending + span / 4.0 / shear
    test = BendTest(span=span, masses=masses, readings=G * masses * give, outside=0.02864, gauges=SURE)
    raw, corrected = bending_stiffness(test), bending_stiffness(test, shear=exactly(shear))
    # printed to the last digit shown; the notes' ply constants are rounded as well
    verified(
        "bench",
        f"stiffness reads low by, span {span} m",
        NOTES,
        low,
        100.0 * (1.0 - raw.bending.value / bending),
        0.0,
        printed + 0.03 * low,
        "%",
        kind="notes",
    )
    assert corrected.bending.value == pytest.approx(bending, rel=1e-12)
    assert raw.bending.value == pytest.approx(corrected.apparent, rel=1e-12)
    assert corrected.shear_share == pytest.approx(1.0 - raw.bending.value / bending, rel=1e-9)
    assert "bench.note.no_shear" in {n.code for n in raw.notes}
    assert ("bench.note.short_span" in {n.code for n in corrected.notes}) == (span < 45 * 0.02864)
    assert ("bench.note.shear" in {n.code for n in corrected.notes}) == (corrected.shear_share > 0.05)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(
    bending=st.floats(1.0, 1e5),
    shear=st.floats(1e4, 1e7),
    span=st.floats(0.5, 3.0),
    bow=st.floats(-0.05, 0.05),
    own=st.floats(0.0, 5.0),
    loads=st.lists(st.floats(0.5, 20.0), min_size=2, max_size=5, unique=True),
)
def test_own_weight_bow_and_the_zero_of_the_dial_cancel(bending, shear, span, bow, own, loads):
    masses = np.array(loads)
    if np.ptp(masses) < 0.5:
        masses = masses * np.linspace(1.0, 2.0, masses.size)
    give = span**3 / 48.0 / bending + span / 4.0 / shear
    sag = 5.0 * own * span**4 / (384.0 * bending) + own * span**2 / (8.0 * shear)
    test = BendTest(span=span, masses=masses, readings=G * masses * give + sag + bow, gauges=SURE)
    # the sag and bow are up to 1e6 times the movement, so digits are lost
    lost = 1e-10 * (1.0 + (abs(bow) + sag) / (G * give * np.ptp(masses)))
    assert bending_stiffness(test, shear=exactly(shear)).bending.value == pytest.approx(bending, rel=lost + 1e-9)


def test_two_loads_give_the_difference_of_two_readings():
    test = BendTest(span=1.4, masses=[2.0, 6.0], readings=[0.0123, 0.0151], gauges=SURE)
    found = bending_stiffness(test)
    assert found.bending.value == pytest.approx(4.0 * G * 1.4**3 / (48.0 * 0.0028), rel=1e-12)
    assert found.zero.value == pytest.approx(0.0109)


def test_the_order_of_the_loads_does_not_matter():
    one = BendTest(span=1.4, masses=[2.0, 6.0], readings=[0.0123, 0.0151])
    other = BendTest(span=1.4, masses=[6.0, 2.0], readings=[0.0151, 0.0123])
    assert bending_stiffness(one).bending.value == pytest.approx(bending_stiffness(other).bending.value, rel=1e-12)


def test_soft_trestles_are_taken_off():
    seat = 3e-6
    masses = np.array([2.0, 6.0])
    test = BendTest(span=1.4, masses=masses, readings=G * masses * (1.4**3 / 48.0 / 834.0 + seat), gauges=SURE)
    found = bending_stiffness(test, seat=Estimate(seat, 1e-6))
    assert found.bending.value == pytest.approx(834.0, rel=1e-12)
    assert found.seat_share == pytest.approx(seat / (1.4**3 / 48.0 / 834.0 + seat))
    assert next(s.standard for s in found.budget if s.name == "seats") > 0.0


def test_uncertainty_agrees_with_monte_carlo_of_the_whole_test():
    bending, shear, span = 834.0, 127e3, 1.2
    gauges = Gauges(span=2e-3, load_share=4e-3, reading=2e-5, reading_share=5e-3, gravity=0.015)
    masses = np.array([2.0, 4.0, 6.0])
    true = G * masses * (span**3 / 48.0 / bending + span / 4.0 / shear)
    exact = BendTest(span=span, masses=masses, readings=true, gauges=gauges)
    said = bending_stiffness(exact, shear=Estimate(shear, 0.1 * shear)).bending
    rng = np.random.default_rng(5)
    n = 100_000
    readings = true * (1.0 + rng.normal(0.0, 5e-3, (n, 1))) + rng.normal(0.0, 2e-5, (n, 3))
    hung = masses * (1.0 + rng.normal(0.0, 4e-3, (n, 1)))
    force = hung * rng.normal(G, 0.015, (n, 1))
    mean = force.mean(axis=1, keepdims=True)
    slope = ((force - mean) * readings).sum(1) / ((force - mean) ** 2).sum(1)
    spans, shears = rng.normal(span, 2e-3, n), rng.normal(shear, 0.1 * shear, n)
    draws = spans**3 / 48.0 / (slope - spans / 4.0 / shears)
    assert said.standard == pytest.approx(np.std(draws), rel=0.02)


def test_the_interval_covers_as_often_as_it_says():
    rng = np.random.default_rng(11)
    masses, span, n, hits = np.array([2.0, 6.0]), 1.4, 2000, 0
    gauges = Gauges(span=0.0, load_share=0.0, reading=0.0, reading_share=0.0, gravity=0.0)
    true = G * masses[:, None] * span**3 / 48.0 / 834.0
    for _ in range(n):
        test = BendTest(span=span, masses=masses, readings=true + rng.normal(0.0, 2e-5, (2, 3)), gauges=gauges)
        found = bending_stiffness(test).bending
        hits += abs(found.value - 834.0) <= found.expanded
    assert hits / n == pytest.approx(0.9545, abs=3.5 * np.sqrt(0.9545 * 0.0455 / n))


@pytest.mark.parametrize(
    ("change", "field", "remedy"),
    [
        ({"masses": [2.0, 2.0]}, "masses", r"want\.two_loads"),
        ({"readings": [0.0151, 0.0123]}, "readings", r"want\.readings_grow_(dial|downward)"),
        ({"readings": [0.0123, 0.0123]}, "readings", r"want\.readings_grow_(dial|downward)"),
        ({"readings": [0.0123, np.nan]}, "readings", r"want\.finite_readings"),
        ({"readings": [0.0123]}, "readings", r"want\.one_of_each_load"),
        ({"masses": [2.0, -6.0]}, "masses", r"want\.zero_or_more"),
        ({"masses": [2.0, np.inf]}, "masses", r"want\.mass_of_each_load"),
        ({"masses": []}, "masses", r"want\.mass_of_each_load"),
        ({"span": 0.0}, "span", r"want\.bench_can_hold"),
        ({"span": np.nan}, "span", r"want\.bench_can_hold"),
        ({"span": -1.4}, "span", r"want\.bench_can_hold"),
        ({"span": 1e200}, "span", r"want\.bench_can_hold"),
        ({"span": 1e-200}, "span", r"want\.bench_can_hold"),
        ({"readings": [1.0, 1e300]}, "readings", r"want\.at_most_length"),
        ({"masses": [2.0, 1e300]}, "masses", r"want\.at_most_mass"),
        ({"outside": 2.0}, "outside", r"want\.diameter_below_span"),
        ({"arrangement": "sideways"}, "arrangement", r"want\.arrangement"),
        ({"arrangement": "two loads", "inset": 0.9}, "inset", r"want\.inset_below_half_span"),
        ({"arrangement": "two loads"}, "inset", r"want\.inset_below_half_span"),
    ],
)
def test_a_test_that_cannot_be_is_refused_by_the_field(change, field, remedy):
    plain = {"span": 1.4, "masses": [2.0, 6.0], "readings": [0.0123, 0.0151]}
    with pytest.raises(DesignError, match=remedy) as refusal:
        bending_stiffness(BendTest(**(plain | change)), shear=exactly(127e3))
    assert refusal.value.field == field


@pytest.mark.parametrize(
    ("shear", "seat", "field"),
    [(-1.0, 0.0, "shear"), (127e3, -1e-6, "seat"), (100.0, 0.0, "readings"), (127e3, 1.0, "readings")],
)
def test_corrections_that_cannot_be_are_refused(shear, seat, field):
    test = BendTest(span=1.4, masses=[2.0, 6.0], readings=[0.0123, 0.0151])
    with pytest.raises(DesignError) as refusal:
        bending_stiffness(test, shear=exactly(shear), seat=exactly(seat))
    assert refusal.value.field == field


def test_readings_off_the_line_and_too_small_a_travel_are_pointed_out():
    crooked = BendTest(span=1.4, masses=[2.0, 4.0, 6.0], readings=[0.0120, 0.0140, 0.0151])
    assert "bench.note.crooked" in {n.code for n in bending_stiffness(crooked).notes}
    small = BendTest(span=1.4, masses=[2.0, 2.01], readings=[0.012, 0.012007])
    assert {"bench.note.small_travel", "bench.note.no_repeat"} <= {n.code for n in bending_stiffness(small).notes}
    with pytest.raises(DesignError, match=r"want\.zero_or_more"):
        Gauges(reading=-1.0)
    with pytest.raises(ValueError, match="read-only"):
        crooked.readings[0, 0] = 1.0


def test_readings_that_rise_and_fall_back_show_no_give_and_are_refused():
    test = BendTest(span=1.4, masses=[1.0, 2.0, 3.0], readings=[0.001, 0.002, 0.001], gauges=SURE)
    with pytest.raises(DesignError, match=r"want\.readings_grow_downward"):
        bending_stiffness(test)
