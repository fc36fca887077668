"""`polewright bench`: keep a test against a serial number, and say what it shows."""

import datetime as dt
import json
import sys
from pathlib import Path

from polewright.cli.files import design_from, told_of
from polewright.documents.bench_result import BenchResult, bench_result
from polewright.documents.check import check
from polewright.documents.files import DocumentError, Fault, document_of, load
from polewright.documents.test_record import TestRecord
from polewright.workshop import Workshop, open_workshop
from polewright.workshop.place import usual_place

__all__ = ["listed", "pole", "record", "tube"]


def tube(
    design: Path,
    *,
    serial: str,
    section: int,
    span: str,
    readings: list[str],
    tester: str,
    store: Path | None,
    as_json: bool,
) -> None:
    """A two-load bend test of one tube."""
    test = {"kind": "two-load bend", "section": section, "span_mm": span, "readings": _readings(readings)}
    _keep(design, _record(serial, tester, test), store, as_json=as_json)


def pole(
    design: Path,
    *,
    serial: str,
    out: int,
    prop: str,
    readings: list[str],
    tester: str,
    store: Path | None,
    as_json: bool,
) -> None:
    """A tip-load test of a whole pole."""
    test = {"kind": "tip load", "out": out, "prop_mm": prop, "readings": _readings(readings)}
    _keep(design, _record(serial, tester, test), store, as_json=as_json)


def record(design: Path, *, file: Path, store: Path | None, as_json: bool) -> None:
    """A test as written in a test-record file."""
    document = load(file)
    if not isinstance(document, TestRecord):
        raise DocumentError([Fault(("document", repr(document.document), "a test-record"))], str(file))
    _keep(design, document, store, as_json=as_json)


def listed(*, serial: str | None, store: Path | None) -> None:
    """Every test kept, newest first, with what it shows."""
    with _opened(store) as workshop:
        for entry in workshop.records.listed(serial=serial):
            built = workshop.designs.revision(entry.slug, entry.revision).design
            result = bench_result(entry.record, built)
            sys.stdout.write(
                f"{entry.number}  {entry.at:%Y-%m-%d %H:%M}  {entry.record.serial}  {entry.slug} "
                f"revision {entry.revision}  {_figure(result)}  {result.verdict}\n"
            )


def _record(serial: str, tester: str, test: dict[str, object]) -> TestRecord:
    when = dt.datetime.now(tz=dt.UTC).isoformat(timespec="seconds")
    made = document_of(
        {"document": "test-record", "schema_version": 1, "serial": serial, "tester": tester, "when": when, "test": test}
    )
    assert isinstance(made, TestRecord)
    return made


def _readings(given: list[str]) -> list[dict[str, object]]:
    """Readings typed as load=reading, and @clock if the tube was turned: "500 g = 12.31 mm @ 90"."""
    rows: list[dict[str, object]] = []
    for i, text in enumerate(given):
        load_text, sep, rest = text.partition("=")
        reading, _, clock = rest.partition("@")
        if not sep or not load_text.strip() or not reading.strip():
            raise DocumentError([Fault((f"reading[{i}]", repr(text), 'load=reading, such as "500 g=12.31 mm"'))])
        row: dict[str, object] = {"load_g": load_text.strip(), "reading_mm": reading.strip()}
        if clock.strip():
            try:
                row["clock_deg"] = float(clock.strip())
            except ValueError as fault:
                raise DocumentError(
                    [Fault((f"reading[{i}] clock", repr(clock.strip()), "degrees, a number from 0 to 360"))]
                ) from fault
        rows.append(row)
    return rows


def _opened(store: Path | None) -> Workshop:
    place = store or usual_place()
    place.parent.mkdir(parents=True, exist_ok=True)
    return open_workshop(place)


def _keep(path: Path, test: TestRecord, store: Path | None, *, as_json: bool) -> None:
    """Evaluate first: of a pole that cannot be built, or a test that cannot be evaluated, nothing is kept."""
    with told_of(path):
        design = design_from(path)
        check(design)
    result = bench_result(test, design)
    with _opened(store) as workshop:
        built = workshop.designs.brought_in(design, note="brought in by a test")
        known = test.model_copy(update={"design_hash": design.content_hash()})
        entry = workshop.records.keep(built.slug, known, who=test.tester)
    if as_json:
        sys.stdout.write(json.dumps(result.model_dump(mode="json"), indent=2, ensure_ascii=False) + "\n")
        return
    sys.stdout.write(f"kept as entry {entry.number}: {test.serial}, {built.slug} revision {entry.revision}\n")
    sys.stdout.write(f"{result.what}: {_figure(result)}\n")
    if result.uncorrected is not None:
        sys.stdout.write(f"without the shear correction it would read {result.uncorrected:.4g} {result.unit}\n")
    sys.stdout.write(f"predicted: {result.predicted:.4g} ± {result.predicted_uncertainty:.2g} {result.unit}\n")
    sys.stdout.write(f"{result.says}\n")
    for note in result.notes:
        sys.stdout.write(f"- {note}\n")


def _figure(result: BenchResult) -> str:
    return f"{result.measured:.4g} ± {result.uncertainty:.2g} {result.unit} (covers 95 %)"
