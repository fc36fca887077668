"""Paths of the bench: a test typed in, kept as read against a serial."""

import re
from collections.abc import Collection, Mapping, Sequence
from datetime import UTC, datetime

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from polewright.codes import Message
from polewright.errors import DocumentError, Fault
from polewright.web.changes import whole
from polewright.web.request import Form, ReaderDep, Slug, WorkshopDep
from polewright.words import Reader
from polewright.words.form_values import with_unit
from polewright.workshop import RECORD_KINDS, ReadingTable, TestRecord, lots_of, record_of

__all__ = ["bench_paths"]

bench_paths = APIRouter()
_READING = re.compile(r"(\w+)\[(\d+)\]\.(\w+)")


@bench_paths.post("/poles/{slug}/tests")
def keep_test(workshop: WorkshopDep, reader: ReaderDep, form: Form, slug: Slug) -> Response:
    """A further test of the newest saved revision, or one that puts an entry right, of the revision that was tested."""
    record = _record(form, reader)
    corrects = whole(form, "corrects") if form.get("corrects") else None
    kept = workshop.records.keep(slug, record, corrects=corrects, note=record.note, who=record.tester)
    return RedirectResponse(f"/poles/{slug}/bench?kept={kept.number}", 303)


def _record(form: Mapping[str, str], reader: Reader) -> TestRecord:
    """The record as the form has it; every figure that cannot be read is told at once, by the form's own names."""
    kind = RECORD_KINDS.get(form.get("kind", ""))
    if kind is None:
        wrong = repr(form.get("kind", "")[:40])
        raise DocumentError.at("kind", wrong, Message("want.one", choices=tuple(RECORD_KINDS)))
    rows = {table.name: _rows_read(form, table) for table in kind.tables}
    figures = {
        field.name: with_unit(form.get(field.name, "").strip(), field.name, reader)
        for field in kind.fields
        if form.get(field.name, "").strip() or field.offered is not None or field.choose is not None
    }
    tables = {table.name: table for table in kind.tables}
    readings = {name: [_reading(form, table, row, reader) for row in rows[name]] for name, table in tables.items()}
    plain = {
        "document": "test-record",
        "schema_version": 1,
        "serial": form.get("serial", "").strip(),
        "tester": form.get("tester", "").strip(),
        "lots": lots_of([form.get("lots", "")]),
        "when": datetime.now(UTC).isoformat(timespec="seconds"),
        "note": form.get("note", "").strip(),
        "test": {"kind": kind.name, **figures, **readings},
    }
    try:
        return record_of(plain)
    except DocumentError as fault:
        raise DocumentError([_of_form(each, figures, rows, tables) for each in fault.faults]) from fault


def _rows_read(form: Mapping[str, str], table: ReadingTable) -> list[int]:
    """Rows of a table of the form in which anything was read; a load alone is a row not used."""
    key = re.compile(rf"{table.prefix}{table.key}-(0|[1-9]\d{{0,4}})")
    rows = (key.fullmatch(name) for name, text in form.items() if text.strip())
    return sorted(int(row[1]) for row in rows if row is not None)


def _reading(form: Mapping[str, str], table: ReadingTable, row: int, reader: Reader) -> dict[str, str]:
    """A row as it was typed, each figure with its unit; what was left empty is left out."""
    typed = {column.name: form.get(f"{table.prefix}{column.name}-{row}", "").strip() for column in table.columns}
    must = {column.name for column in table.columns[:2]} - {"clock_deg"}
    return {name: with_unit(text, name, reader) for name, text in typed.items() if text or name in must}


def _of_form(
    fault: Fault, figures: Collection[str], rows: Mapping[str, Sequence[int]], tables: Mapping[str, ReadingTable]
) -> Fault:
    """A fault of the document at the field of the form where its figure was typed; one that was not stays as it is."""
    place, value, want = fault
    name = place.removeprefix("test.")
    if name.partition("[")[0] == "lots":
        return Fault(("lots", value, want))
    if name in figures:
        return Fault((name, value, want))
    if name in rows and not rows[name]:
        table = tables[name]
        wanted = "want.two_readings" if table.loads != ("", "") else "want.one_row"
        return Fault((f"{table.prefix}{table.key}-0", "", Message(wanted)))
    at = _READING.fullmatch(name)
    if at is None or at[1] not in rows:
        return fault
    return Fault((f"{tables[at[1]].prefix}{at[3]}-{rows[at[1]][int(at[2])]}", value, want))
