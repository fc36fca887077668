"""Append-only entries: what lies on the shelf, what was tested; a mistake is corrected by a further entry."""

from datetime import datetime
from typing import TypeVar

from sqlalchemy import select
from sqlalchemy.orm import Session, aliased

from polewright.codes import Message
from polewright.errors import Absent, StockError
from polewright.store.content import Content
from polewright.store.tables import BenchRow, PoleRow, ShelfRow

__all__ = ["add_bench_entry", "add_shelf_entry", "bench_row", "bench_rows", "shelf_rows"]

_Row = TypeVar("_Row", ShelfRow, BenchRow)


def shelf_rows(session: Session, kind: str | None = None, *, history: bool = False) -> list[ShelfRow]:
    """Entries of the shelf by kind, key and age; without `history` only those that stand and are not gone."""
    query = select(ShelfRow).order_by(ShelfRow.kind, ShelfRow.key, ShelfRow.id)
    if kind is not None:
        query = query.where(ShelfRow.kind == kind)
    if not history:
        later = aliased(ShelfRow)
        query = query.where(ShelfRow.gone.is_(False), ~select(later.id).where(later.corrects == ShelfRow.id).exists())
    return list(session.scalars(query))


def add_shelf_entry(
    session: Session,
    content: Content,
    *,
    kind: str,
    key: str,
    gone: bool,
    corrects: int | None,
    note: str,
    who: str,
    at: datetime,
) -> ShelfRow:
    """A further entry of the shelf.

    Raises
    ------
    Absent, StockError : the entry to correct is not there, is another thing, or was corrected already.
    """
    if corrects is not None:
        earlier = _standing(session, ShelfRow, corrects)
        if (earlier.kind, earlier.key) != (kind, key):
            raise StockError(
                f"entry {corrects}",
                f"{earlier.kind} {earlier.key}",
                Message("want.entry_of_same_thing", kind=earlier.kind, other_kind=kind, key=key),
            )
    row = ShelfRow(
        kind=kind,
        key=key,
        gone=gone,
        content=content.text,
        content_hash=content.hash,
        corrects=corrects,
        note=note,
        who=who,
        at=at,
    )
    session.add(row)
    session.flush()
    return row


def bench_rows(
    session: Session, *, serial: str | None = None, pole: PoleRow | None = None, history: bool = False
) -> list[BenchRow]:
    """Test records, newest first; without `history` only those that no later entry corrects."""
    query = select(BenchRow).order_by(BenchRow.id.desc())
    if serial is not None:
        query = query.where(BenchRow.serial == serial)
    if pole is not None:
        query = query.where(BenchRow.pole_id == pole.id)
    if not history:
        later = aliased(BenchRow)
        query = query.where(~select(later.id).where(later.corrects == BenchRow.id).exists())
    return list(session.scalars(query))


def bench_row(session: Session, number: int) -> BenchRow:
    """One test record by its entry number.

    Raises
    ------
    Absent : there is no such entry.
    """
    row = session.get(BenchRow, number)
    if row is None:
        raise Absent("entry", number, Message("want.no_such_entry_list_tests_serial"))
    return row


def add_bench_entry(
    session: Session,
    content: Content,
    *,
    serial: str,
    pole: PoleRow,
    revision: int,
    corrects: int | None,
    note: str,
    who: str,
    at: datetime,
) -> BenchRow:
    """A further test record of a serial.

    Raises
    ------
    Absent, StockError : the entry to correct is not there, is of another serial, or was corrected already.
    """
    if corrects is not None and (earlier := _standing(session, BenchRow, corrects)).serial != serial:
        raise StockError(
            f"entry {corrects}",
            Message("given.serial", serial=earlier.serial),
            Message("want.not_serial", serial=serial),
        )
    row = BenchRow(
        serial=serial,
        pole_id=pole.id,
        revision=revision,
        content=content.text,
        content_hash=content.hash,
        corrects=corrects,
        note=note,
        who=who,
        at=at,
    )
    session.add(row)
    session.flush()
    return row


def _standing(session: Session, table: type[_Row], number: int) -> _Row:
    """The entry, if no later one corrects it."""
    row = session.get(table, number)
    if row is None:
        raise Absent("entry", number, Message("want.no_such_entry_correct"))
    later = session.scalar(select(table.id).where(table.corrects == number))
    if later is not None:
        raise StockError("entry", number, Message("want.latest_entry", later=later))
    return row
