"""The bench place: what was tested on this pole, what each test shows beside the prediction, and the forms for more."""

from dataclasses import dataclass, replace
from typing import Annotated, Any

from pydantic import Field

from polewright.errors import PolewrightError
from polewright.sheet.cautions import CautionText, caution_texts, cautions
from polewright.web.page_state import PageState
from polewright.web.place_kind import PlaceKind, PlaceQuery
from polewright.words import Reader
from polewright.words.form_values import as_typed, plain_figure, sent_in
from polewright.words.readings import reading_text, typed_reading
from polewright.workshop import (
    RECORD_KINDS,
    BenchAnswer,
    BenchEntry,
    Estimate,
    FormField,
    Reading,
    RecordKind,
    Share,
    TestKind,
    Workshop,
    drawn_out,
)

__all__ = ["PLACE", "BenchView", "TestForm", "TestLine", "bench_view"]

READINGS = 6  # rows of a table of the form
_AT_THE_BENCH = ("falling_pole", "splinters_crush")


class BenchQuery(PlaceQuery):
    """The entry that is to be put right, by its number."""

    correct: Annotated[int, Field(ge=1, le=2**53)] | None = None


@dataclass(frozen=True, slots=True)
class TestLine:
    """One test with its result in words; further: name, measured, predicted and verdict of its other figures;
    reasons: why it passes or not;
    `stands_for`: what the entry said that it puts right; `joint`: what a joint's stiffness writes into the design.
    """

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
    further: tuple[tuple[str, str, str, str], ...] = ()
    reasons: tuple[str, ...] = ()
    causes: tuple[str, ...] = ()
    stands_for: str = ""
    joint: "JointMeasured | None" = None


@dataclass(frozen=True, slots=True)
class JointMeasured:
    """A joint counted from 0, its number in words, its stiffness and the overlap then, with their units."""

    place: int
    number: int
    stiffness: str
    overlap: str


@dataclass(frozen=True, slots=True)
class TestField:
    """A field of a form: its name, label, value as typed, unit, and what may be chosen, value and text."""

    __test__ = False
    name: str
    label: str
    value: str
    unit: str
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class TestTable:
    """A table of readings of a form: what stands before the names of its columns, its caption, and its rows."""

    __test__ = False
    prefix: str
    caption: str
    rows: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class TestForm:
    """The form of a kind: an empty one, or that of the entry that is put right, by its number."""

    __test__ = False
    kind: str
    code: str
    fields: tuple[TestField, ...]
    tables: tuple[TestTable, ...]
    serial: str = ""
    tester: str = ""
    corrects: int | None = None
    when: str = ""


@dataclass(frozen=True, slots=True)
class BenchView:
    """All that the bench place shows."""

    tests: tuple[TestLine, ...]
    length_unit: str
    mass_unit: str
    forms: tuple[TestForm, ...]
    cautions: tuple[CautionText, ...]


def bench_view(workshop: Workshop, state: PageState, correct: int | None = None) -> BenchView:
    """Tests of this pole, newest first, and the forms for more; `correct`: the entry that one of them puts right."""
    slug, reader = state.table.slug, state.reader
    every = {entry.number: entry for entry in workshop.records.listed(slug=slug, history=True)}
    wrong = None if correct is None else every.get(correct)
    return BenchView(
        tests=tuple(
            _for_joint_as_tested(workshop, state, _line(workshop, entry, every, reader))
            for entry in workshop.records.listed(slug=slug)
        ),
        length_unit=reader.unit("length"),
        mass_unit=reader.unit("mass"),
        forms=tuple(_form(kind, state, wrong) for kind in RECORD_KINDS.values()),
        cautions=caution_texts([c for c in cautions("use") if c.id in _AT_THE_BENCH], reader),
    )


def _form(kind: RecordKind, state: PageState, wrong: BenchEntry | None) -> TestForm:
    """The form of a kind, as the wrong entry was typed where that is of this kind."""
    reader = state.reader
    again = wrong if wrong is not None and wrong.record.test.kind == kind.name else None
    test = None if again is None else again.record.test
    return TestForm(
        kind=kind.name,
        code=kind.code,
        fields=tuple(_field(field, kind, state, test) for field in kind.fields),
        tables=tuple(
            TestTable(
                table.prefix,
                reader.say(f"place.bench.table.{table.name}"),
                _rows(table.loads if reader.system == "metric" else table.loads_oz)
                if test is None
                else _read_rows(getattr(test, table.name), reader),
            )
            for table in kind.tables
        ),
        serial="" if again is None else again.record.serial,
        tester="" if again is None else again.record.tester,
        corrects=None if again is None else again.number,
        when="" if again is None else _day(again, reader),
    )


def _field(field: FormField, kind: RecordKind, state: PageState, test: TestKind | None) -> TestField:
    reader, given = state.reader, None if test is None else getattr(test, field.name)
    label = reader.say(f"place.bench.field.{kind.code}.{field.name}")
    if field.choose is not None:
        begin = state.section if field.choose == "section" else 0 if field.choose == "out" else 1
        return TestField(field.name, label, str(begin if given is None else given), "", _choices(field, state))
    assert field.quantity is not None
    text = "" if given is None else as_typed(field.name, given, reader)
    if test is None and field.offered is not None:
        text = plain_figure(field.offered(state.design, state.section), field.quantity, reader)
    return TestField(field.name, label, text, reader.unit(field.quantity))


def _choices(field: FormField, state: PageState) -> tuple[tuple[str, str], ...]:
    sections, joints, reader = len(state.design.sections), len(state.design.joints), state.reader
    if field.choose == "out":
        outs = [drawn_out(joints, joints), *(drawn_out(out, joints) for out in range(1, joints))]
        return tuple((str(out), reader.text(name)) for out, name in enumerate(outs))
    return tuple((str(n), str(n)) for n in range(1, 1 + (sections if field.choose == "section" else joints)))


def _rows(loads: tuple[str, str]) -> tuple[tuple[str, str, str], ...]:
    return tuple((loads[i % 2], "", "") for i in range(READINGS))


def _read_rows(readings: tuple[Reading, ...], reader: Reader) -> tuple[tuple[str, str, str], ...]:
    """Rows as they were typed, for a hand that changes what was wrong in them."""
    read = tuple(typed_reading(reading, reader) for reading in readings)
    return read + (("", "", ""),) * (READINGS - len(read))


def _day(entry: BenchEntry, reader: Reader) -> str:
    return reader.say("bench.day", day=entry.at)


def _line(workshop: Workshop, entry: BenchEntry, every: dict[int, BenchEntry], reader: Reader) -> TestLine:
    record = entry.record
    test = record.test
    numbers = {name: getattr(test, name, 0) for name in ("section", "joint")}
    kind = reader.say(f"bench.kind.{RECORD_KINDS[test.kind].code}", **numbers)
    shown: dict[str, Any] = {
        "number": entry.number,
        "when": _day(entry, reader),
        "serial": record.serial,
        "tester": record.tester,
        "revision": entry.revision,
        "what": kind,
        "readings": _read_test(test, reader),
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
    readings = "; ".join(_read_test(old.record.test, reader))
    if entry.note:
        return reader.say("bench.stands_for_because", day=_day(old, reader), readings=readings, note=entry.note)
    return reader.say("bench.stands_for", day=_day(old, reader), readings=readings)


def _read_test(test: TestKind, reader: Reader) -> tuple[str, ...]:
    """All readings of a test, or its figures where it has no table of readings."""
    kind = RECORD_KINDS[test.kind]
    if kind.tables:
        return tuple(reading_text(r, reader) for table in kind.tables for r in getattr(test, table.name))
    return tuple(
        reader.say(
            "bench.read_figure",
            name=reader.say(f"place.bench.field.{kind.code}.{field.name}"),
            value=as_typed(field.name, given, reader),
            unit=reader.unit(field.quantity),
        )
        for field in kind.fields
        if field.quantity is not None and (given := getattr(test, field.name)) is not None
    )


def _resulted(shown: dict[str, Any], answer: BenchAnswer, reader: Reader) -> TestLine:
    def pair(figure: str, estimate: Estimate) -> str:
        return reader.say(f"bench.figure.{figure}", value=estimate.value, expanded=estimate.expanded)

    def part(share: Share) -> tuple[str, str]:
        metric, inch = (1, 1) if answer.quantity == "bending" else (2, 4)
        value = reader.quantity(share.standard, answer.quantity, metric, inch)
        return reader.say(f"bench.input.{share.name}"), value

    return TestLine(
        **shown,
        measured="" if answer.measured is None else pair(answer.figure, answer.measured),
        predicted="" if answer.predicted is None else pair(answer.figure, answer.predicted),
        verdict=answer.verdict,
        verdict_name=reader.say(f"bench.verdict.{answer.verdict}"),
        says=reader.text(answer.says),
        notes=tuple(reader.text(note) for note in answer.notes),
        budget=tuple(part(share) for share in answer.budget),
        further=tuple(
            (
                reader.say(f"bench.name.{f.figure}"),
                pair(f.figure, f.measured),
                "" if f.comparison is None else pair(f.figure, f.comparison.predicted),
                "" if f.comparison is None else reader.say(f"bench.verdict.{f.comparison.verdict}"),
            )
            for f in answer.further
        ),
        reasons=() if answer.judged is None else tuple(reader.text(reason) for reason in answer.judged.reasons),
        causes=tuple(reader.text(cause) for cause in answer.causes),
        joint=_joint_of(answer),
    )


def _for_joint_as_tested(workshop: Workshop, state: PageState, line: TestLine) -> TestLine:
    """A joint's stiffness is offered only where the joint of that number is still between the tubes of the test."""
    if line.joint is None:
        return line
    tested, place = workshop.designs.revision(state.table.slug, line.revision).design, line.joint.place
    then, now = ([s.mandrel for s in d.sections[place : place + 2]] for d in (tested, state.design))
    return line if then == now else replace(line, joint=None)


def _joint_of(answer: BenchAnswer) -> JointMeasured | None:
    """The stiffness of a joint, ready to be taken into the design: with units, for a page in any."""
    if answer.figure != "joint":
        return None
    joint, overlap = answer.where["joint"], answer.where["overlap"]
    assert isinstance(joint, int)
    assert isinstance(overlap, float)
    stiffness = sent_in("stiffness_kN_m_rad", answer.compared.measured.value)
    return JointMeasured(joint - 1, joint, stiffness, sent_in("overlap_mm", overlap))


PLACE = PlaceKind(
    "prove",
    1,
    lambda request: {"bench": bench_view(request.workshop, request.state, request.query.correct)},
    query=BenchQuery,
)
