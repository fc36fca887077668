"""Paths of the bench: a test typed in, kept as read against a serial."""

import re
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from polewright.codes import Message
from polewright.errors import Absent, DocumentError, Fault, PolewrightError
from polewright.units import System, display_unit, from_si, parse
from polewright.web.changes import whole
from polewright.web.request import Form, ReaderDep, Slug, WorkshopDep
from polewright.workshop import RECORD_KINDS, BenchEntry, Workshop, record_of

__all__ = ["bench_paths"]

bench_paths = APIRouter()
MOST_READINGS = 40
_SERIAL = re.compile(r"[A-Za-z0-9][A-Za-z0-9._/-]{0,39}")


@bench_paths.post("/poles/{slug}/tests")
def keep_test(workshop: WorkshopDep, reader: ReaderDep, form: Form, slug: Slug) -> Response:
    """A further test of the newest saved revision, or one that puts an entry right, of the revision that was tested."""
    record = record_of(_record(form, reader.system))
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


def _record(form: Mapping[str, str], system: System) -> dict[str, Any]:
    """The record as plain values; every figure that cannot be read is told at once, by the form's own names."""
    faults: list[Fault] = []
    test: dict[str, Any] = {"kind": form.get("kind", "")}
    kind = RECORD_KINDS.get(test["kind"])
    if kind is None:
        raise DocumentError.at("kind", repr(test["kind"][:40]), Message("want.one", choices=tuple(RECORD_KINDS)))
    for field in kind.fields:
        if form.get(field.name, "").strip() or field.offered is not None or field.choose is not None:
            test[field.name] = _number(field.name, form.get(field.name, ""), field.quantity, system, faults)
    for table in kind.tables:
        test[table.name] = _readings(form, table.prefix, system, faults)
    serial = form.get("serial", "").strip()
    if not _SERIAL.fullmatch(serial):
        faults.insert(
            0, Fault(("serial", repr(serial[:40]) if serial else "", Message("want.serial_such_as", example="R7-0031")))
        )
    if faults:
        raise DocumentError(faults)
    return {
        "document": "test-record",
        "schema_version": 1,
        "serial": serial,
        "tester": form.get("tester", "").strip(),
        "when": datetime.now(UTC).isoformat(timespec="seconds"),
        "note": form.get("note", "").strip(),
        "test": test,
    }


def _readings(form: Mapping[str, str], prefix: str, system: System, faults: list[Fault]) -> list[dict[str, Any]]:
    """Rows of the form in which anything was read; a load alone is a row not used."""
    out = []
    for row in range(MOST_READINGS):
        names = [f"{prefix}{name}-{row}" for name in ("load_g", "reading_mm", "clock_deg")]
        load, reading, clock = (form.get(name, "").strip() for name in names)
        if not reading:
            continue
        out.append(
            {
                "load_g": _number(names[0], load, "mass", system, faults),
                "reading_mm": _number(names[1], reading, "length", system, faults),
                "clock_deg": _number(names[2], clock or "0", None, system, faults),
            }
        )
    if not out:
        faults.append(Fault((f"{prefix}reading_mm-0", "", Message("want.two_readings"))))
    return out


def _number(name: str, text: str, quantity: str | None, system: System, faults: list[Fault]) -> float:
    """A number typed in a field of the form; a bare one is in the unit that the page shows. A fault is added."""
    field = name.rsplit("-", 1)[0]
    try:
        if quantity is None:
            return float(parse(text, "rate", "1/s"))
        return from_si(field, parse(text, quantity, display_unit(quantity, system)))
    except PolewrightError as fault:
        faults.append(Fault((name, repr(text) if text else "", fault.want)))
        return 0.0
