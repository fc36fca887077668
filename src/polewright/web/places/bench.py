"""The bench place: what was tested on this pole, and what each test shows beside the prediction."""

from dataclasses import dataclass
from typing import Any

from polewright.documents.bench_result import BenchResult, bench_result
from polewright.documents.test_record import BendTest
from polewright.errors import PolewrightError
from polewright.units import display_unit, si
from polewright.web.say import say, spoken
from polewright.web.sight import Sight
from polewright.workshop import BenchEntry, Workshop

__all__ = ["BenchView", "TestLine", "bench_view"]

READINGS = 6      # rows of the form


@dataclass(frozen=True, slots=True)
class TestLine:
    """One test with its result in words."""

    __test__ = False
    number: int
    when: str
    serial: str
    tester: str
    revision: int
    what: str
    measured: str
    predicted: str
    verdict: str
    says: str
    notes: tuple[str, ...]
    budget: tuple[tuple[str, str], ...]
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BenchView:
    """All that the bench place shows."""

    tests: tuple[TestLine, ...]
    sections: int
    section: int
    span: str
    prop: str
    outs: tuple[tuple[int, str], ...]
    length_unit: str
    mass_unit: str
    loads: tuple[str, ...]
    tip_loads: tuple[str, ...]
    rows: int = READINGS


def bench_view(workshop: Workshop, sight: Sight) -> BenchView:
    """Tests of this pole, newest first, and the forms for new ones."""
    entries = workshop.records.listed(slug=sight.table.slug)
    metric = sight.system == "metric"
    span = max(sight.design.sections[sight.section - 1].length_mm - 150.0, 100.0)
    joints = len(sight.design.joints)
    outs = ((0, "all out"), *((n, "section 1 out" if n == 1 else f"sections 1 to {n} out") for n in range(1, joints)))
    return BenchView(
        tests=tuple(_line(workshop, entry) for entry in entries), sections=len(sight.design.sections),
        section=sight.section, span=say(si("x_mm", span), "length", sight.system, 0, 2).number.replace("\u202f", ""),
        prop=say(si("x_mm", sight.design.setting.prop_mm), "length", sight.system, 0, 2).number.replace("\u202f", ""),
        outs=outs, length_unit=display_unit("length", sight.system), mass_unit=display_unit("mass", sight.system),
        loads=("500", "2500") if metric else ("16", "80"), tip_loads=("250", "750") if metric else ("8", "24"))


def _line(workshop: Workshop, entry: BenchEntry) -> TestLine:
    record = entry.record
    test = record.test
    bend = isinstance(test, BendTest)
    kind = f"bend test of section {test.section}" if isinstance(test, BendTest) else "tip-load test"
    readings = tuple(f"{r.load_g:g} g: {r.reading_mm:g} mm" + (f" at {r.clock_deg:g}°" if r.clock_deg else "")
                     for r in test.readings)
    shown: dict[str, Any] = {
        "number": entry.number, "when": f"{entry.at:%d %B %Y}".lstrip("0"), "serial": record.serial,
        "tester": record.tester, "revision": entry.revision, "what": kind, "readings": readings}
    try:
        built = workshop.designs.revision(entry.slug, entry.revision).design
        return _resulted(shown, bench_result(record, built), bend)
    except PolewrightError as fault:
        return TestLine(**shown, measured="", predicted="", verdict="cannot tell", says=fault.sentence(), notes=(),
                        budget=())


def _resulted(shown: dict[str, Any], result: BenchResult, bend: bool) -> TestLine:
    digits = 0 if bend else 1
    unit = "N·m²" if bend else "mm/100 g"
    measured = f"{spoken(result.measured, digits)} ± {spoken(result.uncertainty, digits)} {unit}"
    predicted = f"{spoken(result.predicted, digits)} ± {spoken(result.predicted_uncertainty, digits)} {unit}"
    budget = tuple((line.name, f"{spoken(line.part, digits + 1)} {unit}") for line in result.budget)
    return TestLine(**shown, measured=measured, predicted=predicted, verdict=result.verdict, says=result.says,
                    notes=result.notes, budget=budget)
