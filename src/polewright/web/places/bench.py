"""The bench place: what was tested on this pole, what each test shows beside the prediction, and the forms for more."""

from dataclasses import dataclass
from typing import Any

from polewright.documents.bench_result import BenchResult, bench_result
from polewright.documents.test_record import BendTest, Reading, TipTest
from polewright.errors import PolewrightError
from polewright.sheet.cautions import Caution, cautions
from polewright.units import System, display_unit, si
from polewright.web.say import say
from polewright.web.sight import Sight
from polewright.workshop import BenchEntry, Workshop

__all__ = ["BenchView", "TestForm", "TestLine", "bench_view"]

READINGS = 6  # rows of the form
_AT_THE_BENCH = ("falling_pole", "splinters_crush")


@dataclass(frozen=True, slots=True)
class TestLine:
    """One test with its result in words; `stands_for`: what the entry said that it puts right."""

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
    stands_for: str = ""


@dataclass(frozen=True, slots=True)
class TestForm:
    """What stands in a form: an empty one, or that of the entry that is put right, by its number."""

    __test__ = False
    place: int
    apart: str
    rows: tuple[tuple[str, str, str], ...]
    serial: str = ""
    tester: str = ""
    corrects: int | None = None
    when: str = ""


@dataclass(frozen=True, slots=True)
class BenchView:
    """All that the bench place shows."""

    tests: tuple[TestLine, ...]
    sections: int
    outs: tuple[tuple[int, str], ...]
    length_unit: str
    mass_unit: str
    bend: TestForm
    tip: TestForm
    cautions: tuple[Caution, ...]


def bench_view(workshop: Workshop, sight: Sight, correct: int | None = None) -> BenchView:
    """Tests of this pole, newest first, and the forms for more; `correct`: the entry that one of them puts right."""
    slug, system = sight.table.slug, sight.system
    every = {entry.number: entry for entry in workshop.records.listed(slug=slug, history=True)}
    wrong = None if correct is None else every.get(correct)
    joints = len(sight.design.joints)
    outs = ((0, "all out"), *((n, "section 1 out" if n == 1 else f"sections 1 to {n} out") for n in range(1, joints)))
    return BenchView(
        tests=tuple(_line(workshop, entry, every, system) for entry in workshop.records.listed(slug=slug)),
        sections=len(sight.design.sections),
        outs=outs,
        length_unit=display_unit("length", system),
        mass_unit=display_unit("mass", system),
        bend=_bend_form(sight, wrong),
        tip=_tip_form(sight, wrong),
        cautions=tuple(c for c in cautions("use") if c.id in _AT_THE_BENCH),
    )


def _bend_form(sight: Sight, wrong: BenchEntry | None) -> TestForm:
    if wrong is not None and isinstance(wrong.record.test, BendTest):
        return _again(wrong, wrong.record.test.section, wrong.record.test.span_mm, sight.system)
    span = max(sight.design.sections[sight.section - 1].length_mm - 150.0, 100.0)
    loads = ("500", "2500") if sight.system == "metric" else ("16", "80")
    return TestForm(sight.section, _typed("x_mm", span, sight.system), _rows(loads))


def _tip_form(sight: Sight, wrong: BenchEntry | None) -> TestForm:
    if wrong is not None and isinstance(wrong.record.test, TipTest):
        return _again(wrong, wrong.record.test.out, wrong.record.test.prop_mm, sight.system)
    loads = ("250", "750") if sight.system == "metric" else ("8", "24")
    return TestForm(0, _typed("x_mm", sight.design.setting.prop_mm, sight.system), _rows(loads))


def _rows(loads: tuple[str, str]) -> tuple[tuple[str, str, str], ...]:
    return tuple((loads[i % 2], "", "") for i in range(READINGS))


def _again(wrong: BenchEntry, place: int, apart: float, system: System) -> TestForm:
    """The form as the wrong entry was typed, for a hand that changes what was wrong in it."""
    read = tuple(
        (_typed("x_g", r.load_g, system), _typed("x_mm", r.reading_mm, system, fine=True), f"{r.clock_deg:g}")
        for r in wrong.record.test.readings
    )
    rows = read + (("", "", ""),) * (READINGS - len(read))
    return TestForm(
        place, _typed("x_mm", apart, system), rows, wrong.record.serial, wrong.record.tester, wrong.number, _day(wrong)
    )


def _typed(name: str, value: float, system: System, *, fine: bool = False) -> str:
    """A figure of a record as it would be typed on this page: plain, without marks between thousands."""
    quantity = "mass" if name == "x_g" else "length"
    digits = 2 if system == "metric" else 4 if fine else 2
    text = say(si(name, value), quantity, system, digits).number.replace("\u202f", "").replace("\u2212", "-")
    return text.rstrip("0").rstrip(".") if "." in text else text


def _day(entry: BenchEntry) -> str:
    return f"{entry.at:%d %B %Y}".lstrip("0")


def _line(workshop: Workshop, entry: BenchEntry, every: dict[int, BenchEntry], system: System) -> TestLine:
    record = entry.record
    test = record.test
    bend = isinstance(test, BendTest)
    kind = f"bend test of section {test.section}" if isinstance(test, BendTest) else "tip-load test"
    shown: dict[str, Any] = {
        "number": entry.number,
        "when": _day(entry),
        "serial": record.serial,
        "tester": record.tester,
        "revision": entry.revision,
        "what": kind,
        "readings": _read(test.readings, system),
        "stands_for": _stands_for(entry, every, system),
    }
    try:
        built = workshop.designs.revision(entry.slug, entry.revision).design
        return _resulted(shown, bench_result(record, built), bend, system)
    except PolewrightError as fault:
        return TestLine(
            **shown, measured="", predicted="", verdict="cannot tell", says=fault.sentence(), notes=(), budget=()
        )


def _stands_for(entry: BenchEntry, every: dict[int, BenchEntry], system: System) -> str:
    old = None if entry.corrects is None else every.get(entry.corrects)
    if old is None:
        return ""
    why = f" What was wrong: {entry.note}." if entry.note else ""
    return f"stands for the entry of {_day(old)}, which read {'; '.join(_read(old.record.test.readings, system))}.{why}"


def _read(readings: tuple[Reading, ...], system: System) -> tuple[str, ...]:
    mass, length = display_unit("mass", system), display_unit("length", system)
    return tuple(
        f"{_typed('x_g', r.load_g, system)} {mass}: {_typed('x_mm', r.reading_mm, system, fine=True)} {length}"
        + (f" at {r.clock_deg:g}°" if r.clock_deg else "")
        for r in readings
    )


def _resulted(shown: dict[str, Any], result: BenchResult, bend: bool, system: System) -> TestLine:
    digits = (0 if bend else 1) if system == "metric" else (0 if bend else 3)

    def said(value: float, more: int = 0) -> tuple[str, str]:
        whole = say(value if bend else si("x_mm_per_100g", value), "bending" if bend else "flex", system, digits + more)
        return whole.number, whole.unit

    def pair(value: float, about: float) -> str:
        return f"{said(value)[0]} ± {said(about)[0]} {said(value)[1]}"

    budget = tuple((line.name, " ".join(said(line.part, 1))) for line in result.budget)
    return TestLine(
        **shown,
        measured=pair(result.measured, result.uncertainty),
        predicted=pair(result.predicted, result.predicted_uncertainty),
        verdict=result.verdict,
        says=result.says,
        notes=result.notes,
        budget=budget,
    )
