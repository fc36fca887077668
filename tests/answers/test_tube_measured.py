"""A tube weighed and measured: figures and likely causes beside sums by hand on a tube of eleven equal turns."""

import tomllib
from itertools import chain
from math import exp, hypot, pi, sqrt
from pathlib import Path
from typing import Any

import pytest

from polewright.answers.bench import bench_answer
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, document_of
from polewright.documents.material import Given
from polewright.words import Reader
from polewright.words.reports.bench import bench_result

DESIGN = document_of(tomllib.loads((Path(__file__).parents[1] / "workshop" / "small-pole.toml").read_text("utf-8")))

# section 2 by hand: 150 g/m2 of fibre (1800 kg/m3) with 33 % resin (1200 kg/m3), 2 + 7 + 2 turns, 1200 mm long
AREAL = 0.150 / 0.67  # [kg/m2]
PLY = 0.150 / 1800.0 + (AREAL - 0.150) / 1200.0  # [m]
BORE, LENGTH = 0.02404548, 1.2  # [m] a bar of 24 mm after its cool-down
SCALE, CALIPER = 5e-4, 2e-5  # [kg], [m] standard uncertainties of the document's defaults
AREAL_COV, RESIN_COV, OUTSIDE_SD, TOLERANCE = 0.02, 0.03, 5e-5, 5e-4  # of the shipped tables: -, -, [m], [m] of length


def rolled(turns: float = 11, areal: float = AREAL, ply: float = PLY, bore: float = BORE) -> tuple[float, float]:
    """Mass [kg] and outside diameter [m] of so many equal turns: each as long as its own circle."""
    outside = bore + 2.0 * turns * ply
    return pi * (bore + outside) / 2.0 * turns * areal * LENGTH, outside


def answer(mass: float, outside: float, design: Design = DESIGN, **more: float) -> Any:
    test = {"kind": "tube measured", "section": 2, "mass_g": mass * 1e3, "outside_mm": outside * 1e3, **more}
    plain = {"document": "test-record", "schema_version": 1, "serial": "R2-1-S2", "test": test}
    return bench_answer(document_of(plain), design)


def explanations(found: Any) -> list[tuple[Any, float]]:
    """Every cause that is told with its weight, likeliest first; one alone where too many explain it alike."""
    told = found.causes[0]
    if told.code == "bench.diagnosis.cannot_tell":
        return [(told.values["first"], 0.0)]
    return [(c.values["cause"], c.values["weight"]) for c in told.values["causes"]]


def test_a_tube_as_designed_agrees_in_every_figure():
    mass, outside = rolled()
    found = answer(mass, outside, length_mm=1200.0, bore_mm=BORE * 1e3)
    assert [f.figure for f in found.further] == ["outside", "length", "bore"]
    for beside in (found.comparison, *(f.comparison for f in found.further)):
        assert beside.measured.value == pytest.approx(beside.predicted.value, rel=1e-6)
        assert beside.verdict == "agrees"
    assert found.verdict == "agrees"
    assert explanations(found)[0][0].code == "bench.cause.as_designed"


def test_the_uncertainty_of_the_prediction_is_that_of_areal_weight_resin_and_length():
    mass, outside = rolled()
    found = answer(mass, outside)
    share = hypot(AREAL_COV, RESIN_COV * 0.33 / 0.67, TOLERANCE / LENGTH)
    assert found.predicted.standard == pytest.approx(share * mass, rel=1e-6)
    assert found.measured.standard == pytest.approx(SCALE)
    assert found.further[0].comparison.predicted.standard == pytest.approx(OUTSIDE_SD)
    assert found.further[0].comparison.measured.standard == pytest.approx(CALIPER)


def test_half_the_variance_of_a_material_is_gone_where_its_lot_was_measured():
    given = Given(figure="E1_GPa", value=130.0, kind="measured", lot="L1")
    known = DESIGN.model_copy(update={"materials": (DESIGN.materials[0].model_copy(update={"given": (given,)}),)})
    mass, outside = rolled()
    found = answer(mass, outside, design=known)
    share = hypot(AREAL_COV * sqrt(0.5), RESIN_COV * sqrt(0.5) * 0.33 / 0.67, TOLERANCE / LENGTH)
    # the bore after a cool-down moves a little with the stiffness that was given
    assert found.predicted.standard == pytest.approx(share * mass, rel=1e-4)


def test_a_tube_short_of_a_turn_is_shown_to_be_so():
    found = answer(*rolled(turns=10))
    assert found.verdict == "reads_low"
    # all plies are of one prepreg: mass and diameter cannot tell which turn is missing
    missing = {c.values["ply"]: w for c, w in explanations(found) if c.code.startswith("bench.cause.turn_missing")}
    assert set(missing) == {1, 2, 3}
    assert sum(missing.values()) > 0.95


def richer(points: int) -> tuple[float, float]:
    """Mass [-] and outside [m] that so many points more resin add in the seven axial turns, resin of 1220 kg/m3."""
    more = 0.150 / (0.67 - points / 100.0) - AREAL
    middle = BORE + 4.0 * PLY + 7.0 * PLY  # diameter half-way through the axial plies
    return pi * middle * 7.0 * more * LENGTH / rolled()[0], 14.0 * more / 1220.0


def test_more_resin_is_reported_with_the_weights_of_the_normal_law():
    mass, outside = rolled()
    added, thicker = richer(4)
    found = answer(mass * (1.0 + added), outside + thicker)
    blur = (
        hypot(hypot(AREAL_COV, RESIN_COV * 0.33 / 0.67, TOLERANCE / LENGTH), SCALE / mass),
        hypot(OUTSIDE_SD, CALIPER),
    )

    def distance(points: int) -> float:
        one = richer(points)
        return ((added - one[0]) / blur[0]) ** 2 + ((thicker - one[1]) / blur[1]) ** 2

    weights = {c.values["points"]: w for c, w in explanations(found) if c.code == "bench.cause.resin.more"}
    assert explanations(found)[0][0].values["points"] == 2
    # turns that lie further out for the resin below them are left out by hand: a few parts in a hundred
    assert weights[1] / weights[2] == pytest.approx(exp((distance(2) - distance(1)) / 2.0), rel=0.05)


def test_a_mandrel_of_another_size_is_no_fault_of_the_stack():
    wide = BORE + 0.4e-3
    found = answer(*rolled(bore=wide), bore_mm=wide * 1e3)
    verdicts = {f.figure: f.comparison.verdict for f in found.further}
    assert verdicts == {"outside": "reads_high", "bore": "reads_high"}
    assert explanations(found)[0][0].code == "bench.cause.as_designed"


def test_the_mass_is_that_of_the_length_as_measured():
    mass, outside = rolled()
    found = answer(mass * 1.19 / 1.2, outside, length_mm=1190.0)
    assert found.comparison.relative == pytest.approx(0.0, abs=1e-6)
    assert {f.figure: f.comparison.verdict for f in found.further}["length"] == "reads_low"


def test_what_was_not_measured_is_named():
    missing = next(m for m in answer(*rolled()).causes if m.code == "bench.diagnosis.missing")
    assert set(missing.values["measures"]) == {"bending", "ring"}


def test_a_section_that_is_not_there_is_refused():
    test = {"kind": "tube measured", "section": 3, "mass_g": 300.0, "outside_mm": 27.0}
    record = document_of({"document": "test-record", "schema_version": 1, "serial": "R2-1", "test": test})
    with pytest.raises(DocumentError, match=r"want\.section_number") as refused:
        bench_answer(record, DESIGN)
    ((field, given, _),) = refused.value.faults
    assert (field.rpartition(".")[2], given) == ("section", "3")


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_every_figure_is_published_in_its_unit(system):
    mass, outside = rolled(turns=10)
    found = answer(mass, outside, length_mm=1199.0, bore_mm=BORE * 1e3)
    result = bench_result(found, Reader(system=system))
    assert (result.unit, result.measured) == ("g", pytest.approx(mass * 1e3))
    assert result.verdict == "reads low"
    lines = {line.unit: line for line in result.further}
    assert set(lines) == {"mm"}
    assert [line.measured for line in result.further] == pytest.approx([outside * 1e3, 1199.0, BORE * 1e3])
    assert result.further[0].predicted == pytest.approx(rolled()[1] * 1e3)
    assert len(result.causes) == len(found.causes) > 0
    assert "None" not in " ".join(chain(result.causes, [result.says]))
