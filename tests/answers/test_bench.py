"""What a test shows beside its design: figures, verdicts and refusals, by codes and values."""

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from polewright.answers.bench import bench_answer
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.documents.files import DocumentError, document_of
from polewright.documents.values import workpiece
from polewright.words import Reader, default_reader
from polewright.words.reports.bench import bench_result

DESIGN = document_of(tomllib.loads((Path(__file__).parents[1] / "workshop" / "small-pole.toml").read_text("utf-8")))
WORK = workpiece(DESIGN)
SPAN = 1.0  # [m]


def record(kind: str, readings: list[dict[str, float]], **more: Any) -> Any:
    test = {"kind": kind, "readings": readings, **more}
    return document_of({"document": "test-record", "schema_version": 1, "serial": "R2-1", "test": test})


def bend(droop_mm: float, section: int = 2, **more: Any) -> Any:
    """A bend test over a metre: 500 and 2500 g, the second that much lower."""
    rows = [{"load_g": 500.0, "reading_mm": 1.0}, {"load_g": 2500.0, "reading_mm": 1.0 + droop_mm}]
    return record("two-load bend", rows, **{"section": section, "span_mm": 1000.0, **more})


def as_designed(section: int = 2) -> float:
    """[mm] that a tube built as designed moves under 2 kg more: bending and shear, by hand."""
    tube = WORK.pole.tubes[section - 1]
    bending = float(np.interp(tube.length / 2.0, tube.station, tube.bending))
    return 1e3 * 2.0 * GRAVITY * (SPAN**3 / (48.0 * bending) + SPAN / (4.0 * float(np.mean(tube.shear))))


def tip(first_mm: float, second_mm: float, **more: Any) -> Any:
    rows = [{"load_g": 250.0, "reading_mm": first_mm}, {"load_g": 750.0, "reading_mm": second_mm}]
    return record("tip load", rows, **more)


@pytest.mark.parametrize("section", [1, 2])
def test_a_tube_that_moves_as_designed_reads_its_own_stiffness(section):
    found = bench_answer(bend(as_designed(section), section), DESIGN)
    assert found.quantity == "bending"
    assert found.measured.value == pytest.approx(found.predicted.value, rel=1e-9)
    assert found.uncorrected == pytest.approx(2.0 * GRAVITY * SPAN**3 / 48.0 / (1e-3 * as_designed(section)), rel=1e-9)
    assert found.comparison.relative == pytest.approx(0.0, abs=1e-9)
    assert Message("bench.note.blind_to_hoop") in found.notes


@pytest.mark.parametrize(("share", "verdict"), [(1.4, "reads_low"), (0.6, "reads_high")])
def test_a_tube_that_gives_more_reads_low(share, verdict):
    found = bench_answer(bend(share * as_designed()), DESIGN)
    assert found.comparison.verdict == verdict
    assert found.says.code == f"bench.says.{verdict}_outside"
    assert found.says.values["difference"] == pytest.approx(abs(found.comparison.relative))


def test_flex_is_the_droop_added_by_the_load():
    found = bench_answer(tip(100.0, 150.0), DESIGN)
    assert found.measured.value == pytest.approx(0.050 / (0.5 * GRAVITY), rel=1e-9)
    assert found.what == Message("bench.what.flex", out=Message("reach.all"))


def test_the_published_result_is_in_the_units_it_names():
    tube, pole = bench_answer(bend(as_designed()), DESIGN), bench_answer(tip(100.0, 150.0), DESIGN)
    shown, flexed = bench_result(tube, default_reader()), bench_result(pole, default_reader())
    assert (shown.unit, flexed.unit) == ("N m²", "mm per 100 g")
    assert shown.measured == pytest.approx(tube.measured.value)
    assert shown.uncertainty == pytest.approx(tube.measured.expanded)
    assert flexed.measured == pytest.approx(10.0), "50 mm for 500 g more"
    assert flexed.predicted == pytest.approx(pole.predicted.value / pole.measured.value * 10.0)
    assert flexed.difference_pct == pytest.approx(100.0 * pole.comparison.relative)
    assert sum(line.part**2 for line in shown.budget) == pytest.approx(tube.measured.standard**2)
    assert sum(line.part**2 for line in flexed.budget) == pytest.approx(
        (10.0 * pole.measured.standard / pole.measured.value) ** 2
    )


def test_the_published_verdict_is_the_same_in_every_language():
    found = bench_answer(bend(1.4 * as_designed()), DESIGN)
    results = [bench_result(found, Reader(language)) for language in ("en", "x-marked", "x-reworded")]
    assert {r.verdict for r in results} == {"reads low"}
    assert len({r.says for r in results}) == 3


CANNOT = [
    (bend(2.0, section=9), "test.section", "want.section_number"),
    (bend(2.0, span_mm=4000.0), "test.span_mm", "want.span_in_tube"),
    (bend(-2.0), "test.readings", "want.readings_grow_downward"),
    (tip(100.0, 150.0, prop_mm=20000.0), "test.prop_mm", "want.prop_below_length"),
    (tip(100.0, 150.0, out=9), "test.out", "want.sections_out"),
    (tip(150.0, 100.0), "test.readings", "want.droops_grow"),
]


@pytest.mark.parametrize(("test", "field", "code"), CANNOT, ids=[case[2] for case in CANNOT])
def test_what_cannot_be_evaluated_is_refused_at_its_field(test, field, code):
    with pytest.raises(DocumentError) as refusal:
        bench_answer(test, DESIGN)
    ((where, _, want),) = refusal.value.faults
    assert (where, want.code) == (field, code)


@pytest.mark.parametrize(
    ("clocks", "code"), [((0.0, 90.0), "want.half_turn_apart"), ((0.0, 180.0), "want.same_loads_in_both_positions")]
)
def test_rolls_of_a_pole_are_half_a_turn_apart_with_the_same_loads(clocks, code):
    rows = [
        {"load_g": load, "reading_mm": 100.0 + load / 10.0, "clock_deg": clock}
        for clock, load in zip((clocks[0], clocks[0], clocks[1]), (250.0, 750.0, 250.0), strict=True)
    ]
    with pytest.raises(DocumentError) as refusal:
        bench_answer(record("tip load", rows), DESIGN)
    assert refusal.value.faults[0][2].code == code


@pytest.mark.parametrize(("clock", "is_half_a_turn"), [(179.1, True), (180.9, True), (178.8, False), (181.2, False)])
def test_half_a_turn_is_meant_to_a_degree(clock, is_half_a_turn):
    rows = [
        {"load_g": load, "reading_mm": 100.0 + load / 5.0, "clock_deg": at}
        for at in (0.0, clock)
        for load in (250.0, 750.0)
    ]
    if is_half_a_turn:
        # 100 mm for 500 g in either position
        assert bench_answer(record("tip load", rows), DESIGN).measured.value == pytest.approx(0.1 / (0.5 * GRAVITY))
        return
    with pytest.raises(DocumentError) as refusal:
        bench_answer(record("tip load", rows), DESIGN)
    assert refusal.value.faults[0][2].code == "want.half_turn_apart"


FINE = {"reading_u_mm": 1e-3, "load_u_g": 0.01, "span_u_mm": 0.01}
COARSE = {"reading_u_mm": 20.0}


@pytest.mark.parametrize(("gauges", "verdict"), [(FINE, "agrees"), (COARSE, "cannot_tell")])
@pytest.mark.parametrize(("share", "side"), [(1.01, "below"), (0.99, "above")])
def test_a_verdict_says_on_which_side_of_the_design_the_tube_is(share, side, gauges, verdict):
    """A tube that moves more is softer: below its design; readings too coarse to tell say the side all the same."""
    found = bench_answer(bend(share * as_designed(), **gauges), DESIGN)
    assert (found.measured.value < found.predicted.value) is (share > 1.0)
    assert found.says.code == f"bench.says.{verdict}_{side}"
    assert found.says.values["difference"] == pytest.approx(0.01, rel=0.1)


def with_joint(overlap_mm: float, stiffness: float) -> Any:
    joint = DESIGN.joints[0].model_copy(update={"overlap_mm": overlap_mm, "stiffness_kN_m_rad": stiffness})
    return DESIGN.model_copy(update={"joints": (joint,)})


@pytest.mark.parametrize("shorter_mm", [40.0, -30.0])
def test_a_pole_that_is_not_as_long_as_designed_is_compared_at_its_own_length(shorter_mm):
    """The same figure as of a pole designed with that overlap, its joint stiffer by the square of it."""
    long = 2.0 * 1200.0 - 180.0
    as_it_is = bench_answer(tip(100.0, 150.0, length_mm=long - shorter_mm), with_joint(180.0, 9.0))
    stiffer = 9.0 * ((180.0 + shorter_mm) / 180.0) ** 2
    designed = bench_answer(tip(100.0, 150.0), with_joint(180.0 + shorter_mm, stiffer))
    assert as_it_is.predicted.value == pytest.approx(designed.predicted.value, rel=1e-9)
    nominal = bench_answer(tip(100.0, 150.0), with_joint(180.0, 9.0)).predicted.value
    assert (as_it_is.predicted.value < nominal) is (shorter_mm > 0.0)
    assert Message("bench.note.own_length", length=(long - shorter_mm) / 1e3).code in {n.code for n in as_it_is.notes}
    same = bench_answer(tip(100.0, 150.0, length_mm=long), with_joint(180.0, 9.0))
    assert same.predicted.value == pytest.approx(nominal, rel=1e-9)


@pytest.mark.parametrize("length_mm", [1500.0, 2500.0])
def test_a_length_that_its_joints_cannot_have_is_refused_with_those_they_can(length_mm):
    with pytest.raises(DocumentError) as refusal:
        bench_answer(tip(100.0, 150.0, length_mm=length_mm), DESIGN)
    ((where, _, want),) = refusal.value.faults
    assert (where, want.code) == ("test.length_mm", "want.length_of_pole")
    edges = (want.values["least"], want.values["most"])
    for edge, inside in zip(edges, (0.5, -0.5), strict=True):
        assert bench_answer(tip(100.0, 150.0, length_mm=1e3 * edge + inside), DESIGN).verdict
    assert not edges[0] <= length_mm / 1e3 <= edges[1]
