"""The bench place: what was tested on this pole, what each test shows beside the prediction, and the forms for more."""

from dataclasses import dataclass, replace
from typing import Annotated, Any

from pydantic import Field

from polewright.errors import PolewrightError
from polewright.sheet.cautions import CautionText, caution_texts, cautions
from polewright.web.bench_forms import TestForm, bench_forms
from polewright.web.page_state import PageState
from polewright.web.place_kind import PlaceKind, PlaceQuery
from polewright.words import Reader
from polewright.words.form_values import sent_in
from polewright.words.readings import figure_text, readings_text
from polewright.workshop import RECORD_KINDS, BenchAnswer, BenchEntry, Estimate, Share, Standing, TestKind, Workshop

__all__ = ["PLACE", "BenchView", "StandingLine", "TestLine", "bench_view"]

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
    lots: str
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
class StandingLine:
    """What may be said of one pole by its tests: serial, state, its name, and the reasons."""

    serial: str
    is_sound: bool
    state: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BenchView:
    """All that the bench place shows."""

    tests: tuple[TestLine, ...]
    standings: tuple[StandingLine, ...]
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
        standings=tuple(_standing(each, reader) for each in workshop.records.standings(slug)),
        forms=bench_forms(state, wrong),
        cautions=caution_texts([c for c in cautions("use") if c.id in _AT_THE_BENCH], reader),
    )


def _standing(standing: Standing, reader: Reader) -> StandingLine:
    reasons = tuple(reader.text(reason) for reason in standing.reasons)
    name = reader.say(f"bench.standing.{standing.state}")
    return StandingLine(standing.serial, standing.state == "sound", name, reasons)


def _line(workshop: Workshop, entry: BenchEntry, every: dict[int, BenchEntry], reader: Reader) -> TestLine:
    record = entry.record
    test = record.test
    numbers = {name: getattr(test, name, 0) for name in ("section", "joint")}
    kind = reader.say(f"bench.kind.{RECORD_KINDS[test.kind].code}", **numbers)
    shown: dict[str, Any] = {
        "number": entry.number,
        "when": reader.say("bench.day", day=entry.at),
        "serial": record.serial,
        "tester": record.tester,
        "lots": reader.say("place.bench.of_lots", lots="; ".join(record.lots)) if record.lots else "",
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
    readings, day = "; ".join(_read_test(old.record.test, reader)), reader.say("bench.day", day=old.at)
    if entry.note:
        return reader.say("bench.stands_for_because", day=day, readings=readings, note=entry.note)
    return reader.say("bench.stands_for", day=day, readings=readings)


def _read_test(test: TestKind, reader: Reader) -> tuple[str, ...]:
    """All readings of a test, or its figures where it has no table of readings."""
    kind = RECORD_KINDS[test.kind]
    rows = tuple(text for table in kind.tables for text in readings_text(table, getattr(test, table.name), reader))
    if kind.tables and kind.tables[0].loads != ("", ""):  # its fields say how it was set up, its readings what was read
        return rows
    figures = (
        reader.say(
            "bench.read_figure",
            name=reader.say(f"place.bench.field.{kind.code}.{field.name}"),
            value=figure_text(field.name, given, reader)
            if field.quantity is not None
            else reader.say(f"place.bench.{'yes' if given else 'no'}"),
        )
        for field in kind.fields
        if (field.quantity is not None or field.choose == "yes_no") and (given := getattr(test, field.name)) is not None
    )
    return (*figures, *rows)


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
        reasons=() if answer.outcome is None else tuple(reader.text(reason) for reason in answer.outcome.reasons),
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
