"""Paths of the bench: a test typed in, kept as read against a serial."""

import re
from collections.abc import Collection, Mapping, Sequence
from datetime import UTC, datetime

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from polewright.codes import Message
from polewright.errors import Absent, DocumentError, Fault
from polewright.web.changes import whole
from polewright.web.request import Form, ReaderDep, Slug, WorkshopDep
from polewright.words import Reader
from polewright.words.form_values import with_unit
from polewright.workshop import RECORD_KINDS, BenchEntry, TestRecord, Workshop, record_of

__all__ = ["bench_paths"]

bench_paths = APIRouter()
MOST_READINGS = 40
_READING = re.compile(r"(\w+)\[(\d+)\]\.(\w+)")
_SERIAL = re.compile(r"[A-Za-z0-9][A-Za-z0-9._/-]{0,39}")


@bench_paths.post("/poles/{slug}/tests")
def keep_test(workshop: WorkshopDep, reader: ReaderDep, form: Form, slug: Slug) -> Response:
    """A further test of the newest saved revision, or one that puts an entry right, of the revision that was tested."""
    record = _record(form, reader)
    wrong = _wrong(workshop, slug, form)
    number = None if wrong is None else wrong.revision
    kept = workshop.records.keep(
        slug,
        record,
        revision=number,
        corrects=None if wrong is None else wrong.number,
        note=record.note,
        who=record.tester,
    )
    return RedirectResponse(f"/poles/{slug}/bench?kept={kept.number}", 303)


def _wrong(workshop: Workshop, slug: str, form: Mapping[str, str]) -> BenchEntry | None:
    """The entry that the form puts right."""
    number = form.get("corrects", "")
    if not number:
        return None
    entry = workshop.records.entry(whole(form, "corrects"))
    if entry.slug != slug:
        raise Absent("corrects", number, Message("want.entry_of_pole"))
    return entry


def _record(form: Mapping[str, str], reader: Reader) -> TestRecord:
    """The record as the form has it; every figure that cannot be read is told at once, by the form's own names."""
    kind = RECORD_KINDS.get(form.get("kind", ""))
    if kind is None:
        wrong = repr(form.get("kind", "")[:40])
        raise DocumentError.at("kind", wrong, Message("want.one", choices=tuple(RECORD_KINDS)))
    rows = {table.name: _rows_read(form, table.prefix) for table in kind.tables}
    figures = {
        field.name: with_unit(form.get(field.name, "").strip(), field.name, reader)
        for field in kind.fields
        if form.get(field.name, "").strip() or field.offered is not None or field.choose is not None
    }
    prefixes = {table.name: table.prefix for table in kind.tables}
    readings = {name: [_reading(form, prefix, row, reader) for row in rows[name]] for name, prefix in prefixes.items()}
    serial = form.get("serial", "").strip()
    plain = {
        "document": "test-record",
        "schema_version": 1,
        "serial": serial,
        "tester": form.get("tester", "").strip(),
        "when": datetime.now(UTC).isoformat(timespec="seconds"),
        "note": form.get("note", "").strip(),
        "test": {"kind": kind.name, **figures, **readings},
    }
    faults = _serial_faults(serial)
    try:
        record = record_of(plain)
    except DocumentError as fault:
        named = (_of_form(each, figures, rows, prefixes) for each in fault.faults)
        faults += [each for each in named if each[0] != "serial"]
    if faults:
        raise DocumentError(faults)
    return record


def _serial_faults(serial: str) -> list[Fault]:
    if _SERIAL.fullmatch(serial):
        return []
    given = repr(serial[:40]) if serial else ""
    return [Fault(("serial", given, Message("want.serial_such_as", example="R7-0031")))]


def _rows_read(form: Mapping[str, str], prefix: str) -> list[int]:
    """Rows of a table of the form in which anything was read; a load alone is a row not used."""
    return [row for row in range(MOST_READINGS) if form.get(f"{prefix}reading_mm-{row}", "").strip()]


def _reading(form: Mapping[str, str], prefix: str, row: int, reader: Reader) -> dict[str, str]:
    """A row as it was typed, each figure with its unit; the clock of one left empty is 0."""
    typed = {name: form.get(f"{prefix}{name}-{row}", "").strip() for name in ("load_g", "reading_mm", "clock_deg")}
    typed["clock_deg"] = typed["clock_deg"] or "0"
    return {name: with_unit(text, name, reader) for name, text in typed.items()}


def _of_form(
    fault: Fault, figures: Collection[str], rows: Mapping[str, Sequence[int]], prefixes: Mapping[str, str]
) -> Fault:
    """A fault of the document at the field of the form where its figure was typed; one that was not stays as it is."""
    place, value, want = fault
    name = place.removeprefix("test.")
    if name in figures:
        return Fault((name, value, want))
    if name in rows and not rows[name]:
        return Fault((f"{prefixes[name]}reading_mm-0", "", Message("want.two_readings")))
    at = _READING.fullmatch(name)
    if at is None or at[1] not in rows:
        return fault
    return Fault((f"{prefixes[at[1]]}{at[3]}-{rows[at[1]][int(at[2])]}", value, want))
