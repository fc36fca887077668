"""`polewright bench`: keep a test against a serial number, and say what it shows."""

import datetime as dt
import sys
from pathlib import Path

from polewright.cli.files import design_from, naming_file
from polewright.cli.output import write_json
from polewright.codes import Message
from polewright.errors import DocumentError, Fault, PolewrightError
from polewright.words import Reader, default_reader
from polewright.words.reports.bench import bench_result
from polewright.workshop import (
    RECORD_KINDS,
    BenchAnswer,
    BenchEntry,
    BenchFigure,
    Estimate,
    ReadingTable,
    RecordKind,
    TestRecord,
    Workshop,
    address_of,
    check_design,
    default_store_path,
    lots_of,
    open_workshop,
    record_in,
    record_of,
)

__all__ = ["add", "listed", "pole", "record", "standing", "tube"]


def tube(
    design: Path,
    *,
    serial: str,
    section: int,
    span: str,
    readings: list[str],
    tester: str,
    lots: list[str],
    store: Path | None,
    as_json: bool,
) -> None:
    """A two-load bend test of one tube."""
    test = {"kind": "two-load bend", "section": section, "span_mm": span, "readings": _readings(readings)}
    _keep(design, _record(serial, tester, lots, test), store, as_json=as_json)


def pole(
    design: Path,
    *,
    serial: str,
    out: int,
    prop: str,
    readings: list[str],
    tester: str,
    lots: list[str],
    store: Path | None,
    as_json: bool,
) -> None:
    """A tip-load test of a whole pole."""
    test = {"kind": "tip load", "out": out, "prop_mm": prop, "readings": _readings(readings)}
    _keep(design, _record(serial, tester, lots, test), store, as_json=as_json)


def add(
    design: Path,
    *,
    code: str,
    serial: str,
    given: list[str],
    readings: list[str],
    tester: str,
    lots: list[str],
    store: Path | None,
    as_json: bool,
) -> None:
    """A test of any kind of the table; fields as name=value, readings of a further table as "name: load=reading"."""
    kind = next((kind for kind in RECORD_KINDS.values() if kind.code == code), None)
    if kind is None:
        choices = tuple(kind.code for kind in RECORD_KINDS.values())
        raise DocumentError.at("kind", repr(code), Message("want.one", choices=choices))
    test: dict[str, object] = {"kind": kind.name}
    whole = {field.name for field in kind.fields if field.choose is not None}
    for text in given:
        name, _, value = (part.strip() for part in text.partition("="))
        test[name] = int(value) if name in whole and value.isdigit() else value
    for table in kind.tables:
        own = [text.removeprefix(f"{table.name}:") for text in readings if _table_of(text, kind) == table.name]
        test[table.name] = _rows(own, table)
    _keep(design, _record(serial, tester, lots, test), store, as_json=as_json)


def _table_of(text: str, kind: RecordKind) -> str:
    """The table that a row is of: the one it names before a colon, else the first of the kind."""
    name, colon, _ = text.partition(":")
    return name.strip() if colon and name.strip() in {table.name for table in kind.tables} else kind.tables[0].name


def record(design: Path, *, file: Path, store: Path | None, as_json: bool) -> None:
    """A test as written in a test-record file."""
    _keep(design, record_in(file), store, as_json=as_json)


def listed(*, serial: str | None, store: Path | None) -> None:
    """Every test kept, newest first, with what it shows."""
    reader = default_reader()
    with _opened(store) as workshop:
        for entry in workshop.records.listed(serial=serial):
            told = reader.say(
                "cli.bench.listed",
                entry=str(entry.number),
                at=f"{entry.at:%Y-%m-%d %H:%M}",
                serial=entry.record.serial,
                slug=entry.slug,
                revision=entry.revision,
                result=_result(workshop, entry, reader),
            )
            sys.stdout.write(f"{told}\n")


def _result(workshop: Workshop, entry: BenchEntry, reader: Reader) -> str:
    """What an entry shows on its line of a list; of one that cannot be evaluated, why not, and the list goes on."""
    try:
        answer = workshop.records.answer(entry)
    except PolewrightError as fault:
        return reader.refusal(fault)
    if answer.measured is None:
        return reader.say("cli.bench.listed_verdict", what=answer.what, verdict=answer.verdict)
    return reader.say("cli.bench.listed_figure", figure=_pair(answer.measured, answer.figure), verdict=answer.verdict)


def standing(design: Path, *, serial: str | None, store: Path | None) -> None:
    """What may be said of each pole of a design by its tests: sound, not sound, or not proved."""
    reader = default_reader()
    with naming_file(design):
        slug = address_of(design_from(design).name)
    with _opened(store) as workshop:
        for each in workshop.records.standings(slug, serial):
            reasons = " ".join(reader.text(reason) for reason in each.reasons)
            state = reader.say(f"bench.standing.{each.state}")
            sys.stdout.write(f"{reader.say('cli.bench.standing', serial=each.serial, state=state, reasons=reasons)}\n")


def _record(serial: str, tester: str, lots: list[str], test: dict[str, object]) -> TestRecord:
    when = dt.datetime.now(tz=dt.UTC).isoformat(timespec="seconds")
    return record_of(
        {
            "document": "test-record",
            "schema_version": 1,
            "serial": serial,
            "tester": tester,
            "when": when,
            "lots": lots_of(lots),
            "test": test,
        }
    )


def _readings(given: list[str]) -> list[dict[str, object]]:
    """Readings typed as load=reading, and @clock if the tube was turned: "500 g = 12.31 mm @ 90"."""
    return _rows(given, ReadingTable("readings"))


def _rows(given: list[str], table: ReadingTable) -> list[dict[str, object]]:
    """Rows typed in the order of the columns, "=" between the first two, "@" before a place, "#" before a reason."""
    names = [column.name for column in table.columns]
    marked = {name: mark for name, mark in (("clock_deg", "@"), ("at_mm", "@"), ("accepted", "#")) if name in names}
    plain = [name for name in names if name not in marked]
    rows: list[dict[str, object]] = []
    for i, text in enumerate(given):
        rest, row = text, dict[str, object]()
        for name, mark in reversed(marked.items()):
            rest, _, value = rest.partition(mark)
            if value.strip():
                row[name] = value.strip()
        parts = [part.strip() for part in rest.split("=", 1)] if len(plain) > 1 else [rest.strip()]
        if not all(parts) or (len(parts) < len(plain) and table.columns[1].choose is None):
            want = Message("want.load_and_reading" if table.key == "reading_mm" else "want.row_of_columns")
            raise DocumentError([Fault((f"{table.name}[{i}]", repr(text), want))])
        rows.append(dict(zip(plain, parts, strict=False)) | row)
    return rows


def _opened(store: Path | None) -> Workshop:
    place = store or default_store_path()
    place.parent.mkdir(parents=True, exist_ok=True)
    return open_workshop(place)


def _keep(path: Path, test: TestRecord, store: Path | None, *, as_json: bool) -> None:
    """Of a pole that cannot be built, or a test that cannot be evaluated, nothing is kept."""
    reader = default_reader()
    with naming_file(path):
        design = design_from(path)
        check_design(design)  # before a store is made for it
    with _opened(store) as workshop:
        entry, answer = workshop.keep_test(design, test)
    if as_json:
        write_json(bench_result(answer, reader))
        return
    kept = Message("cli.bench.kept", entry=entry.number, serial=test.serial, slug=entry.slug, revision=entry.revision)
    sys.stdout.writelines(f"{reader.text(line)}\n" for line in [kept, *_told(answer)])


def _told(answer: BenchAnswer) -> list[Message]:
    """What a test shows, a line each."""
    measured, predicted = answer.measured, answer.predicted
    lines = []
    if measured is not None:
        lines.append(Message("cli.bench.figure", what=answer.what, figure=_pair(measured, answer.figure)))
    if answer.uncorrected is not None:
        lines.append(Message("cli.bench.uncorrected", value=answer.uncorrected))
    if predicted is not None:
        lines.append(Message("cli.bench.predicted", figure=_pair(predicted, answer.figure)))
    lines.append(answer.says)
    lines += [_further(figure) for figure in answer.further]
    reasons = () if answer.outcome is None else answer.outcome.reasons
    return lines + [Message("cli.bench.note", note=note) for note in (*reasons, *answer.causes, *answer.notes)]


def _further(figure: BenchFigure) -> Message:
    name, measured, beside = (
        Message(f"bench.name.{figure.figure}"),
        _pair(figure.measured, figure.figure),
        figure.comparison,
    )
    if beside is None:
        return Message("cli.bench.alone", name=name, measured=measured)
    predicted = _pair(beside.predicted, figure.figure)
    return Message("cli.bench.further", name=name, measured=measured, predicted=predicted, verdict=beside.verdict)


def _pair(estimate: Estimate, figure: str) -> Message:
    return Message(f"bench.figure.{figure}", value=estimate.value, expanded=estimate.expanded)
