"""The bench place: what was tested on this pole, what each test shows beside the prediction, and the forms for more."""

from dataclasses import dataclass
from typing import Any

from polewright.answers.bench import BenchAnswer
from polewright.answers.reach import drawn_out
from polewright.bench.uncertainty import Estimate, Share
from polewright.documents.test_record import BendTest, Reading, TipTest
from polewright.errors import PolewrightError
from polewright.sheet.cautions import CautionText, caution_texts, cautions
from polewright.units import si
from polewright.web.sight import Sight
from polewright.words import Reader
from polewright.workshop import RECORD_KINDS, BenchEntry, Workshop

__all__ = ["BenchView", "TestForm", "TestLine", "bench_view"]

READINGS = 6  # rows of the form
LESS_THAN_TUBE, LEAST_SPAN = 0.150, 0.100  # [m] by which the span offered falls short of the tube; its least
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
    verdict_name: str
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
    cautions: tuple[CautionText, ...]


def bench_view(workshop: Workshop, sight: Sight, correct: int | None = None) -> BenchView:
    """Tests of this pole, newest first, and the forms for more; `correct`: the entry that one of them puts right."""
    slug, reader = sight.table.slug, sight.reader
    every = {entry.number: entry for entry in workshop.records.listed(slug=slug, history=True)}
    wrong = None if correct is None else every.get(correct)
    joints = len(sight.design.joints)
    outs = [drawn_out(joints, joints), *(drawn_out(out, joints) for out in range(1, joints))]
    return BenchView(
        tests=tuple(_line(workshop, entry, every, reader) for entry in workshop.records.listed(slug=slug)),
        sections=len(sight.design.sections),
        outs=tuple((out, reader.text(name)) for out, name in enumerate(outs)),
        length_unit=reader.unit("length"),
        mass_unit=reader.unit("mass"),
        bend=_bend_form(sight, wrong, reader),
        tip=_tip_form(sight, wrong, reader),
        cautions=caution_texts([c for c in cautions("use") if c.id in _AT_THE_BENCH], reader),
    )


def _bend_form(sight: Sight, wrong: BenchEntry | None, reader: Reader) -> TestForm:
    if wrong is not None and isinstance(wrong.record.test, BendTest):
        test = wrong.record.test
        return _again(wrong, test.section, si("span_mm", test.span_mm), reader)
    span = max(si("length_mm", sight.design.sections[sight.section - 1].length_mm) - LESS_THAN_TUBE, LEAST_SPAN)
    loads = ("500", "2500") if reader.system == "metric" else ("16", "80")
    return TestForm(sight.section, _typed(span, "length", reader), _rows(loads))


def _tip_form(sight: Sight, wrong: BenchEntry | None, reader: Reader) -> TestForm:
    if wrong is not None and isinstance(wrong.record.test, TipTest):
        test = wrong.record.test
        return _again(wrong, test.out, si("prop_mm", test.prop_mm), reader)
    loads = ("250", "750") if reader.system == "metric" else ("8", "24")
    return TestForm(0, _typed(si("prop_mm", sight.design.setting.prop_mm), "length", reader), _rows(loads))


def _rows(loads: tuple[str, str]) -> tuple[tuple[str, str, str], ...]:
    return tuple((loads[i % 2], "", "") for i in range(READINGS))


def _again(wrong: BenchEntry, place: int, apart: float, reader: Reader) -> TestForm:
    """The form as the wrong entry was typed, for a hand that changes what was wrong in it; apart [m]."""
    read = tuple((*_load_and_reading(r, reader), f"{r.clock_deg:g}") for r in wrong.record.test.readings)
    rows = read + (("", "", ""),) * (READINGS - len(read))
    return TestForm(
        place,
        _typed(apart, "length", reader),
        rows,
        wrong.record.serial,
        wrong.record.tester,
        wrong.number,
        _day(wrong, reader),
    )


def _load_and_reading(reading: Reading, reader: Reader) -> tuple[str, str]:
    """Both as they would be typed."""
    load, read = si("load_g", reading.load_g), si("reading_mm", reading.reading_mm)
    return _typed(load, "mass", reader), _typed(read, "length", reader, fine=True)


def _typed(value: float, quantity: str, reader: Reader, *, fine: bool = False) -> str:
    """A figure of a record as it would be typed on this page: plain, without marks between thousands."""
    digits = 2 if reader.system == "metric" else 4 if fine else 2
    plain = Reader(system=reader.system)  # a field of a form is read back with a decimal point
    text = plain.bare(value, quantity, digits, digits).replace("\u202f", "").replace("\u2212", "-")
    return text.rstrip("0").rstrip(".") if "." in text else text


def _day(entry: BenchEntry, reader: Reader) -> str:
    return reader.say("bench.day", day=entry.at)


def _line(workshop: Workshop, entry: BenchEntry, every: dict[int, BenchEntry], reader: Reader) -> TestLine:
    record = entry.record
    test = record.test
    kind = reader.say(f"bench.kind.{RECORD_KINDS[test.kind].code}", section=getattr(test, "section", 0))
    shown: dict[str, Any] = {
        "number": entry.number,
        "when": _day(entry, reader),
        "serial": record.serial,
        "tester": record.tester,
        "revision": entry.revision,
        "what": kind,
        "readings": _read(test.readings, reader),
        "stands_for": _stands_for(entry, every, reader),
    }
    try:
        return _resulted(shown, workshop.records.answer(entry), reader)
    except PolewrightError as fault:
        return TestLine(
            **shown,
            measured="",
            predicted="",
            verdict="cannot_tell",
            verdict_name=reader.say("bench.verdict.cannot_tell"),
            says=reader.refusal(fault),
            notes=(),
            budget=(),
        )


def _stands_for(entry: BenchEntry, every: dict[int, BenchEntry], reader: Reader) -> str:
    old = None if entry.corrects is None else every.get(entry.corrects)
    if old is None:
        return ""
    readings = "; ".join(_read(old.record.test.readings, reader))
    if entry.note:
        return reader.say("bench.stands_for_because", day=_day(old, reader), readings=readings, note=entry.note)
    return reader.say("bench.stands_for", day=_day(old, reader), readings=readings)


def _read(readings: tuple[Reading, ...], reader: Reader) -> tuple[str, ...]:
    out = []
    for reading in readings:
        load, read = _load_and_reading(reading, reader)
        units = {"mass_unit": reader.unit("mass"), "length_unit": reader.unit("length")}
        clock = si("clock_deg", reading.clock_deg)
        code = "bench.reading_at_clock" if clock else "bench.reading"
        out.append(reader.say(code, load=load, reading=read, clock=clock, **units))
    return tuple(out)


def _resulted(shown: dict[str, Any], answer: BenchAnswer, reader: Reader) -> TestLine:
    def pair(estimate: Estimate) -> str:
        return reader.say(f"bench.figure.{answer.quantity}", value=estimate.value, expanded=estimate.expanded)

    def part(share: Share) -> tuple[str, str]:
        metric, inch = (1, 1) if answer.quantity == "bending" else (2, 4)
        value = reader.quantity(share.standard, answer.quantity, metric, inch)
        return reader.say(f"bench.input.{share.name}"), value

    return TestLine(
        **shown,
        measured=pair(answer.measured),
        predicted=pair(answer.predicted),
        verdict=answer.comparison.verdict,
        verdict_name=reader.say(f"bench.verdict.{answer.comparison.verdict}"),
        says=reader.text(answer.says),
        notes=tuple(reader.text(note) for note in answer.notes),
        budget=tuple(part(share) for share in answer.budget),
    )
