"""Is the store whole: the database's own check, every reference, every text against its hash."""

from sqlalchemy import select, text
from sqlalchemy.orm import Session

from polewright.errors import StoreFault
from polewright.store.content import Content
from polewright.store.store import Store
from polewright.store.tables import BenchRow, DraftRow, JobResultRow, JobRow, PaperRow, RevisionRow, ShelfRow

__all__ = ["store_faults"]


def store_faults(store: Store) -> list[str]:
    """Every fault found, as a sentence; an empty list for a sound store."""
    with store.reading() as session:
        faults = _file_faults(session) if store.dialect == "sqlite" else []
        for table in (RevisionRow, DraftRow, ShelfRow, BenchRow, PaperRow, JobRow, JobResultRow):
            faults += _damaged(session, table)
    return faults


def _file_faults(session: Session) -> list[str]:
    found = [str(line) for line in session.scalars(text("PRAGMA integrity_check")) if line != "ok"]
    return found + [
        f"{row[0]}: row {row[1]} names a row of {row[2]} that is not there"
        for row in session.execute(text("PRAGMA foreign_key_check"))
    ]


def _damaged(
    session: Session, table: type[RevisionRow | DraftRow | ShelfRow | BenchRow | PaperRow | JobRow | JobResultRow]
) -> list[str]:
    faults = []
    for place, row in enumerate(session.execute(select(table.content, table.content_hash)), start=1):
        try:
            Content(row.content, row.content_hash).plain(f"{table.__tablename__} row {place}")
        except StoreFault as fault:
            faults.append(fault.sentence())
    return faults
