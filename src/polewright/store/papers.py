"""Papers that left the workshop: sheets given, and the reasons for those of poles whose checks fail; append only."""

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from polewright.store.content import Content
from polewright.store.tables import PaperRow, RevisionRow

__all__ = ["add_paper", "paper_rows", "reason_row", "revision_of_content"]


def revision_of_content(session: Session, design_hash: str, pole_id: int | None = None) -> RevisionRow | None:
    """The newest saved revision that says this, of any pole or of one; None where there is none."""
    query = select(RevisionRow).where(RevisionRow.content_hash == design_hash).order_by(RevisionRow.id.desc()).limit(1)
    return session.scalar(query if pole_id is None else query.where(RevisionRow.pole_id == pole_id))


def reason_row(session: Session, design_hash: str) -> PaperRow | None:
    """The newest reason for giving papers of this design although a check fails; None where none was given."""
    query = (
        select(PaperRow)
        .where(PaperRow.design_hash == design_hash, PaperRow.kind == "reason")
        .order_by(PaperRow.id.desc())
        .limit(1)
    )
    return session.scalar(query)


def paper_rows(session: Session, *, kind: str, design_hash: str = "", pole_id: int | None = None) -> list[PaperRow]:
    """Entries of one kind, newest first, of a design or of every revision of a pole."""
    query = select(PaperRow).where(PaperRow.kind == kind).order_by(PaperRow.id.desc())
    if design_hash:
        query = query.where(PaperRow.design_hash == design_hash)
    if pole_id is not None:
        query = query.where(PaperRow.pole_id == pole_id)
    return list(session.scalars(query))


def add_paper(
    session: Session,
    content: Content,
    *,
    kind: str,
    name: str,
    design_hash: str,
    revision: RevisionRow | None,
    serial: str,
    reason: str,
    who: str,
    at: datetime,
) -> PaperRow:
    """A further entry; the one that says the same already where there is one."""
    for row in paper_rows(session, kind=kind, design_hash=design_hash):
        if (row.content_hash, row.serial, row.reason) == (content.hash, serial, reason):
            return row
    row = PaperRow(
        kind=kind,
        name=name,
        design_hash=design_hash,
        pole_id=None if revision is None else revision.pole_id,
        revision=None if revision is None else revision.number,
        serial=serial,
        reason=reason,
        content=content.text,
        content_hash=content.hash,
        who=who,
        at=at,
    )
    session.add(row)
    session.flush()
    return row
