"""The forms of the bench: one of each kind of test record, empty or as an entry that is put right was typed."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from polewright.web.page_state import PageState
from polewright.words import Reader
from polewright.words.form_values import field_stem, field_unit, field_value, plain_figure
from polewright.workshop import (
    DEFECTS,
    RECORD_KINDS,
    BenchEntry,
    FormField,
    ReadingTable,
    RecordKind,
    TestKind,
    drawn_out,
)

__all__ = ["TestForm", "bench_forms"]

READINGS = 6  # rows of a table of a form to begin with
NUMBER, NTH = "#", "@"  # stand in the pattern of a further row for its number and its place


@dataclass(frozen=True, slots=True)
class TestField:
    """A field of a form, or of a row of it: its name, label, value as typed, unit, and what may be chosen, value and
    text.
    """

    __test__ = False
    name: str
    label: str
    value: str
    unit: str
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class TestTable:
    """A table of readings of a form: its caption, the heads of its columns and whether figures stand in
    them, its rows, and the pattern of a further one.
    """

    __test__ = False
    caption: str
    heads: tuple[tuple[str, bool], ...]
    rows: tuple[tuple[TestField, ...], ...]
    pattern: tuple[TestField, ...]


@dataclass(frozen=True, slots=True)
class TestForm:
    """The form of a kind: an empty one, or that of the entry that is put right, by its number."""

    __test__ = False
    kind: str
    code: str
    is_folded: bool
    fields: tuple[TestField, ...]
    tables: tuple[TestTable, ...]
    serial: str = ""
    tester: str = ""
    lots: str = ""
    corrects: int | None = None
    when: str = ""


def bench_forms(state: PageState, wrong: BenchEntry | None) -> tuple[TestForm, ...]:
    """A form of each kind; that of the kind of the wrong entry as it was typed."""
    return tuple(_form(kind, state, wrong) for kind in RECORD_KINDS.values())


def _form(kind: RecordKind, state: PageState, wrong: BenchEntry | None) -> TestForm:
    reader = state.reader
    again = wrong if wrong is not None and wrong.record.test.kind == kind.name else None
    test = None if again is None else again.record.test
    return TestForm(
        kind=kind.name,
        code=kind.code,
        is_folded=not kind.is_daily,
        fields=tuple(_field(field, kind, state, test) for field in kind.fields),
        tables=tuple(_table(table, state, test) for table in kind.tables),
        serial="" if again is None else again.record.serial,
        tester="" if again is None else again.record.tester,
        lots="" if again is None else "; ".join(again.record.lots),
        corrects=None if again is None else again.number,
        when="" if again is None else reader.say("bench.day", day=again.at),
    )


def _field(field: FormField, kind: RecordKind, state: PageState, test: TestKind | None) -> TestField:
    reader, given = state.reader, None if test is None else getattr(test, field.name)
    label = reader.say(f"place.bench.field.{kind.code}.{field.name}")
    if field.choose is not None:
        begin = state.section if field.choose == "section" else 1 if field.choose == "joint" else 0
        text = _chosen(begin if given is None else given, field)
        return TestField(field.name, label, text, "", _choices(field, state))
    assert field.quantity is not None
    text = field_value(field.name, given, reader)
    if test is None and field.offered is not None:
        text = plain_figure(field.offered(state.design, state.section), field.quantity, reader)
    return TestField(field.name, label, text, field_unit(field.name, reader))


def _chosen(given: Any, field: FormField) -> str:
    """The value of the choice that stands for what a record says."""
    return ("yes" if given else "no") if field.choose == "yes_no" else str(given)


def _choices(field: FormField, state: PageState) -> tuple[tuple[str, str], ...]:
    sections, joints, reader = len(state.design.sections), len(state.design.joints), state.reader
    numbers = tuple((str(n), str(n)) for n in range(1, 1 + (joints if field.choose == "joint" else sections)))
    if field.choose == "out":
        outs = [drawn_out(joints, joints), *(drawn_out(out, joints) for out in range(1, joints))]
        return tuple((str(out), reader.text(name)) for out, name in enumerate(outs))
    if field.choose == "yes_no":
        return tuple((code, reader.say(f"place.bench.{code}")) for code in ("no", "yes"))
    if field.choose == "surface":
        return tuple((code, reader.say(f"bench.surface.{code}")) for code in ("soapy", "wet", "dry"))
    if field.choose == "defect":
        return (("", ""), *((code, reader.say(f"bench.defect.{code}")) for code in DEFECTS))
    return (("0", reader.say("place.bench.no_section")), *numbers) if field.choose == "section_or_none" else numbers


def _table(table: ReadingTable, state: PageState, test: TestKind | None) -> TestTable:
    reader = state.reader

    def row(values: Mapping[str, str], number: object, nth: object) -> tuple[TestField, ...]:
        return tuple(
            TestField(
                f"{table.prefix}{column.name}-{nth}",
                reader.say(f"place.bench.{field_stem(column.name)}_of", number=number),
                values.get(column.name, "0" if column.choose == "section_or_none" else ""),
                "",
                () if column.choose is None else _choices(column, state),
            )
            for column in table.columns
        )

    if test is None:
        loads = table.loads if reader.system == "metric" else table.loads_oz
        values = [{"load_g": loads[nth % 2]} for nth in range(2 if table.is_optional else READINGS)]
    else:
        values = [_typed(read, table, reader) for read in getattr(test, table.name)]
        values += [{}] * (READINGS - len(values))
    return TestTable(
        caption=reader.say(f"place.bench.table.{table.name}"),
        heads=tuple((_head(column, reader), column.choose is None) for column in table.columns),
        rows=tuple(row(each, nth + 1, nth) for nth, each in enumerate(values)),
        pattern=row({}, NUMBER, NTH),
    )


def _head(column: FormField, reader: Reader) -> str:
    unit = "" if column.quantity is None else field_unit(column.name, reader)
    return reader.say(f"place.bench.{field_stem(column.name)}", unit=unit)


def _typed(read: Any, table: ReadingTable, reader: Reader) -> dict[str, str]:
    """A row as it was typed, for a hand that changes what was wrong in it."""
    typed = {}
    for column in table.columns:
        value = getattr(read, column.name)
        typed[column.name] = field_value(column.name, value, reader)
    return typed
