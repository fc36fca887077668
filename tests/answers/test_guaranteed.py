"""What a sheet promises is kept by as many poles as it says, by copies that no sheet has seen."""

import json
from pathlib import Path

import numpy as np
import pytest
from tests.kept.drawn import drawn_pole
from tests.sheet.promises import KEPT, LOADS, kept_by

from polewright.answers.guaranteed import guarantee, home_sample, home_test
from polewright.answers.measured_poles import measured_figures, pole_readings
from polewright.answers.scatter_problem import problem_of
from polewright.conventions.gravity import GRAVITY
from polewright.documents.test_record import TestRecord
from polewright.documents.values import workpiece
from polewright.pole.beam import bent
from polewright.pole.state import Bench, State
from polewright.scatter import HomeFigure, Plan, Problem, points_of
from polewright.scatter.copies import copies_of, pole_of_copy
from polewright.sheet.home_rounding import home_rounding
from polewright.words import Reader
from polewright.workshop import design_in

SMALL = Path(__file__).parents[1] / "workshop" / "small-pole.toml"
SAMPLED = 3.5  # standard deviations that a count may lie off


@pytest.fixture(scope="module")
def design():
    return design_in(SMALL)


@pytest.fixture(scope="module")
def sample(design):
    return home_sample(design, home_test(design, LOADS))


@pytest.mark.parametrize("name", ["drawn-101", "drawn-102"])
def test_each_figure_is_kept_by_94_of_100_poles_and_all_by_90(name):
    poles = 1500
    found = kept_by(drawn_pole(name), poles=poles, seed=7)
    off = SAMPLED * np.sqrt(0.06 / poles)
    assert found["least"] >= 0.94
    assert found["together"] >= 0.90
    assert found["most_before_rounding"] <= 0.99 + off


def test_of_fifty_drawn_designs_every_sheet_keeps_its_word(verified):
    """Ten thousand poles each; `python -m tests.sheet.promises` counts them anew."""
    kept = json.loads(KEPT.read_text(encoding="utf-8"))
    rows = kept["designs"]
    assert len(rows) == 50
    assert kept["poles"] == 10_000
    least, together = min(r["least"] for r in rows.values()), min(r["together"] for r in rows.values())
    most = max(r["most_before_rounding"] for r in rows.values())
    source = "10 000 independent copies of each of 50 drawn designs, counted"
    assert least >= 0.94
    assert together >= 0.90
    verified("sheet", "least share of poles that keep a published figure", source, 0.96, least, 0.03, kind="solver")
    verified(
        "sheet", "least share of poles that keep all figures at once", source, 0.925, together, 0.03, kind="solver"
    )
    verified("sheet", "largest share of poles that keep a bound, unrounded", source, 0.98, most, 0.015, kind="solver")


def test_the_printed_home_test_gives_the_printed_figure(design, sample):
    """Of the copy at the bound, held and loaded as the sheet says, by the general solver."""
    given = guarantee(sample, home_rounding(Reader()))
    whole = problem_of(design)
    problem = Problem(whole.build, whole.spreads, ())
    points = points_of(Plan(1024, 20), problem.inputs).reshape(-1, problem.inputs)
    copies = copies_of(problem, points)
    for figure in (HomeFigure("flex", 1), HomeFigure("droop", 1)):
        column = sample.bad[:, sample.figures.index(figure)]
        place = int(np.argmin(np.abs(column - given.bound[figure])))
        pole = pole_of_copy(problem, copies, place)

        def read(mass, pole=pole):
            state = State.out(pole, 1, head_mass=mass, support=Bench(distance=sample.test.prop))
            return bent(pole, state).tip_droop

        found = read(0.0) if figure.kind == "droop" else (read(0.75) - read(0.25)) / (0.5 * GRAVITY)
        assert found == pytest.approx(given.bound[figure], rel=1e-6)
        step = given.published[figure] - given.bound[figure]
        assert (
            0.0 <= step <= max(0.03 * given.published[figure], 1e-3 / (0.1 * GRAVITY if figure.kind == "flex" else 1.0))
        )


def test_the_level_is_the_least_at_which_all_are_kept_together(sample):
    given = guarantee(sample, home_rounding(Reader()))
    assert given.joint >= 0.925
    assert given.level >= 0.96
    plain = guarantee(sample, lambda _, value: value)
    assert plain.level >= given.level
    assert plain.published == plain.bound


def test_a_rounding_to_the_wrong_side_is_not_published(sample):
    """Whatever is done to a bound, the published figure is never better than it."""
    given = guarantee(sample, lambda f, value: value * (0.9 if f.is_most else 1.1))
    assert given.published == given.bound


def record(serial, flex_share, design, *, lots=(), when="2026-11-20"):
    """A tip-load test of a pole that gives so many times what the design gives."""
    pole = workpiece(design).pole
    state = [State.out(pole, 1, head_mass=mass, support=Bench(distance=1.0)) for mass in (0.25, 0.5, 0.75)]
    droop = [bent(pole, s).tip_droop for s in state]
    readings = [
        {"load_g": load, "reading_mm": 1e3 * flex_share * d} for load, d in zip((250, 500, 750), droop, strict=True)
    ]
    test = {"kind": "tip load", "out": 1, "readings": readings}
    plain = {"document": "test-record", "schema_version": 1, "serial": serial, "test": test, "lots": lots, "when": when}
    return TestRecord.model_validate(plain)


def test_measured_poles_give_the_bound_of_their_own(design, sample):
    """Five of lots of their own: mean plus 3.40 standard deviations, worked out by hand."""
    shares = (0.98, 1.01, 1.03, 0.99, 1.04)
    records = [(record(f"P-{i}", s, design, lots=(f"L{i}",)), "") for i, s in enumerate(shares)]
    (found,) = measured_figures(pole_readings(records, design, sample), sample)
    nominal = sample.nominal[HomeFigure("flex", 1)]
    wanted = nominal * (np.mean(shares) + 3.3998 * np.std(shares, ddof=1))
    assert found.tolerance.bound == pytest.approx(wanted, rel=2e-4)
    assert (found.tolerance.count, found.lots, found.when, found.is_enough) == (5, 5, "2026-11-20", True)


def test_poles_of_one_lot_promise_less(design, sample):
    shares = (0.98, 1.01, 1.03, 0.99, 1.04)
    bounds = []
    for lots in ([(f"L{i}",) for i in range(5)], [("L1",)] * 5, [()] * 5):
        records = [
            (record(f"P-{i}", s, design, lots=own), "") for i, (s, own) in enumerate(zip(shares, lots, strict=True))
        ]
        (found,) = measured_figures(pole_readings(records, design, sample), sample)
        bounds.append(found.tolerance.bound)
    assert bounds[0] < bounds[1]
    assert bounds[1] == pytest.approx(bounds[2])


def test_the_newest_test_of_a_serial_counts_and_four_are_too_few(design, sample):
    records = [(record("P-1", 1.0, design), "2026-11-22"), (record("P-1", 1.5, design), "2026-11-01")]
    (reading,) = pole_readings(records, design, sample)
    assert reading.value == pytest.approx(sample.nominal[reading.figure], rel=1e-6)
    assert measured_figures([reading], sample) == ()
    four = [(record(f"P-{i}", 1.0 + 0.01 * i, design), "") for i in range(4)]
    (found,) = measured_figures(pole_readings(four, design, sample), sample)
    assert not found.is_enough
    assert found.lots is None
