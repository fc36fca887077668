"""Bending and shear told apart by two spans: exact tubes, Monte Carlo, and spans that cannot tell."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.bench import BendTest, Gauges, stiffness_of_spans
from polewright.errors import DesignError

G = 9.80665
SURE = Gauges(span=0.0, load_share=0.0, reading=1e-12, reading_share=0.0, gravity=0.0)
MASSES = np.array([2.0, 6.0])


def bent(span, bending, shear, *, gauges=SURE, noise=0.0):
    give = span**3 / 48.0 / bending + span / 4.0 / shear
    return BendTest(span=span, masses=MASSES, readings=G * MASSES * give + 0.003 + noise, gauges=gauges)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(
    bending=st.floats(50.0, 5e3),
    shear=st.floats(2e4, 5e5),
    short=st.floats(0.3, 0.7),
    longer=st.floats(1.5, 3.0),
    count=st.integers(2, 5),
)
def test_spans_give_back_the_tube_that_was_bent(bending, shear, short, longer, count):
    found = stiffness_of_spans([bent(span, bending, shear) for span in np.geomspace(short, short * longer, count)])
    assert found.bending.value == pytest.approx(bending, rel=1e-6)
    assert 1.0 / found.softness.value == pytest.approx(shear, rel=1e-4)
    assert found.shear.value == pytest.approx(shear, rel=1e-4)


def test_a_two_load_arc_and_a_middle_load_part_bending_from_shear_over_one_span():
    middle = bent(1.0, 834.0, 127e3)
    arc = BendTest(
        span=1.0,
        masses=MASSES,
        readings=G * MASSES * 0.3 * 0.4**2 / 16.0 / 834.0,
        inset=0.3,
        arrangement="two loads, arc",
        gauges=SURE,
    )
    found = stiffness_of_spans([middle, arc])
    assert found.bending.value == pytest.approx(834.0, rel=1e-9)
    assert found.shear.value == pytest.approx(127e3, rel=1e-7)


def test_uncertainty_of_both_agrees_with_monte_carlo():
    gauges = Gauges(span=1e-4, load_share=2e-3, reading=2e-6, reading_share=2e-3, gravity=0.015)
    spans = (0.5, 1.4)
    said = stiffness_of_spans([bent(span, 834.0, 127e3, gauges=gauges) for span in spans])
    rng = np.random.default_rng(12)
    n = 200_000
    common = (1.0 + rng.normal(0.0, 2e-3, n)) / (1.0 + rng.normal(0.0, 2e-3, n)) * G / rng.normal(G, 0.015, n)
    true = [span**3 / 48.0 / 834.0 + span / 4.0 / 127e3 for span in spans]
    c = [t * common + rng.normal(0.0, 2e-6 * np.sqrt(2.0) / (4.0 * G), n) for t in true]
    (a, b), (g, h) = [rng.normal(span, 1e-4, n) for span in spans], (48.0, 4.0)
    spread = a**3 / g * b / h - b**3 / g * a / h
    bending = spread / (c[0] * b / h - c[1] * a / h)
    softness = (a**3 / g * c[1] - b**3 / g * c[0]) / spread
    assert said.bending.standard == pytest.approx(np.std(bending), rel=0.02)
    assert said.softness.standard == pytest.approx(np.std(softness), rel=0.02)
    assert said.shear.standard == pytest.approx(np.std(1.0 / softness), rel=0.03)


def test_three_spans_count_by_how_well_each_is_known():
    gauges = Gauges(span=1e-3, load_share=0.0, reading=5e-6, reading_share=0.0, gravity=0.0)
    spans, noise = np.array([0.5, 0.9, 1.4]), ([1e-5, -2e-5], [-1e-5, 1e-5], [2e-5, 0.0])
    tests = [bent(span, 834.0, 127e3, gauges=gauges, noise=np.array(n)) for span, n in zip(spans, noise, strict=True)]
    c = np.array([np.ptp(t.readings) / (4.0 * G) for t in tests])
    blur = c * np.hypot(5e-6 * np.sqrt(2.0) / (4.0 * G) / c, 3.0 * 1e-3 / spans)  # reading, and span cubed
    rows = np.stack([spans**3 / 48.0, spans / 4.0], axis=1) / blur[:, None]
    stiffness = np.linalg.lstsq(rows, c / blur)[0]
    found = stiffness_of_spans(tests)
    assert found.bending.value == pytest.approx(1.0 / stiffness[0], rel=1e-9)
    assert found.softness.value == pytest.approx(stiffness[1], rel=1e-6)


def test_long_spans_do_not_show_the_shear_and_say_so():
    gauges = Gauges(span=2e-3, load_share=2e-3, reading=5e-5, reading_share=2e-3)
    found = stiffness_of_spans([bent(span, 834.0, 127e3, gauges=gauges) for span in (1.9, 2.0)])
    assert found.shear is None
    assert "bench.note.no_shear_seen" in {n.code for n in found.notes}


@pytest.mark.parametrize(
    ("tests", "field"),
    [
        ([], "tests"),
        ([bent(1.0, 834.0, 127e3)], "tests"),
        ([bent(1.0, 834.0, 127e3)] * 2, "span"),
        ([bent(1.0, 834.0, 127e3), BendTest(span=0.5, masses=MASSES, readings=[0.3, 0.1])], "tests[1].readings"),
        ([bent(0.5, 834.0, 127e3), BendTest(span=1.4, masses=MASSES, readings=[1.0, 1.00001])], "readings"),
        ([bent(0.5, 834.0, 127e3), BendTest(span=1.4, masses=MASSES, readings=[1.0, 1.0])], "readings"),
    ],
)
def test_tests_that_cannot_part_them_are_refused_by_the_field(tests, field):
    with pytest.raises(DesignError) as refusal:
        stiffness_of_spans(tests)
    assert refusal.value.field == field
