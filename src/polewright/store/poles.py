"""Poles, revisions and drafts as rows: found, or appended inside the caller's transaction."""

from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from polewright.codes import Message
from polewright.errors import Absent, Overtaken, StockError
from polewright.store.content import Content
from polewright.store.tables import DraftRow, PoleRow, RevisionRow

__all__ = [
    "add_pole",
    "add_revision",
    "at_hand",
    "draft_row",
    "drop_draft",
    "keep_draft",
    "latest_rows",
    "pole_row",
    "revision_row",
    "revision_rows",
]


def pole_row(session: Session, slug: str) -> PoleRow:
    """The pole at this address.

    Raises
    ------
    Absent : there is none.
    """
    row = session.scalar(select(PoleRow).where(PoleRow.slug == slug))
    if row is None:
        kept = session.scalars(select(PoleRow.slug).order_by(PoleRow.slug).limit(12)).all()
        raise Absent(
            "pole", repr(slug), Message("want.kept_pole", choices=tuple(kept)) if kept else Message("want.no_pole_yet")
        )
    return row


def at_hand(session: Session, slug: str) -> tuple[PoleRow, RevisionRow, DraftRow | None]:
    """The pole at this address with its newest revision and its draft, in one question.

    Raises
    ------
    Absent : there is none.
    """
    query = (
        select(PoleRow, RevisionRow, DraftRow)
        .join(RevisionRow, RevisionRow.pole_id == PoleRow.id)
        .outerjoin(DraftRow, DraftRow.pole_id == PoleRow.id)
        .where(PoleRow.slug == slug)
        .order_by(RevisionRow.number.desc())
        .limit(1)
    )
    found = session.execute(query).one_or_none()
    if found is None:
        pole = pole_row(session, slug)
        return pole, revision_row(session, pole), draft_row(session, pole)
    return found[0], found[1], found[2]


def latest_rows(session: Session) -> list[tuple[PoleRow, RevisionRow, DraftRow | None]]:
    """Every pole with its newest revision and its draft, by address."""
    newest = select(RevisionRow.pole_id, func.max(RevisionRow.number).label("number")).group_by(RevisionRow.pole_id)
    last = newest.subquery()
    query = (
        select(PoleRow, RevisionRow, DraftRow)
        .join(last, last.c.pole_id == PoleRow.id)
        .join(RevisionRow, (RevisionRow.pole_id == PoleRow.id) & (RevisionRow.number == last.c.number))
        .outerjoin(DraftRow, DraftRow.pole_id == PoleRow.id)
        .order_by(PoleRow.slug)
    )
    return [(pole, revision, draft) for pole, revision, draft in session.execute(query)]


def revision_rows(session: Session, pole: PoleRow) -> list[RevisionRow]:
    """All revisions of a pole, newest first."""
    query = select(RevisionRow).where(RevisionRow.pole_id == pole.id).order_by(RevisionRow.number.desc())
    return list(session.scalars(query))


def revision_row(session: Session, pole: PoleRow, number: int | None = None) -> RevisionRow:
    """One revision of a pole, the newest where no number is given.

    Raises
    ------
    Absent : the pole has no such revision.
    """
    query = select(RevisionRow).where(RevisionRow.pole_id == pole.id).order_by(RevisionRow.number.desc()).limit(1)
    latest = session.scalars(query).one()
    if number is None or number == latest.number:
        return latest
    row = session.scalar(select(RevisionRow).where(RevisionRow.pole_id == pole.id, RevisionRow.number == number))
    if row is None:
        raise Absent("revision", number, Message("want.kept_revision", number=latest.number))
    return row


def add_pole(
    session: Session, slug: str, content: Content, *, name: str, note: str, who: str, at: datetime
) -> RevisionRow:
    """A new pole with its first revision.

    Raises
    ------
    StockError : the address is taken.
    """
    if session.scalar(select(PoleRow.id).where(PoleRow.slug == slug)) is not None:
        raise StockError("pole", repr(slug), Message("want.name_of_new_pole"))
    pole = PoleRow(slug=slug, who=who, at=at)
    session.add(pole)
    session.flush()
    return _append(session, pole, content, number=1, parent=None, name=name, note=note, who=who, at=at)


def add_revision(
    session: Session, pole: PoleRow, content: Content, *, parent: int, name: str, note: str, who: str, at: datetime
) -> RevisionRow:
    """A further revision made from `parent`; the newest itself where it says the same already.

    So a person who saves twice, or whose first answer was lost on the way, makes one revision and not two.

    Raises
    ------
    Overtaken : somebody saved a newer revision than `parent` meanwhile.
    """
    latest = revision_row(session, pole)
    if latest.content_hash == content.hash and parent in (latest.number, latest.parent):
        return latest
    if parent > latest.number or parent < 1:
        raise Absent("revision", parent, Message("want.kept_revision", number=latest.number))
    if parent != latest.number:
        by = "named" if latest.who else "unnamed"
        raise Overtaken(
            "revision",
            parent,
            Message(f"want.choose_revision.{by}", who=latest.who, number=latest.number),
            latest=latest.number,
        )
    return _append(
        session, pole, content, number=latest.number + 1, parent=parent, name=name, note=note, who=who, at=at
    )


def _append(session: Session, pole: PoleRow, content: Content, **facts: object) -> RevisionRow:
    row = RevisionRow(pole_id=pole.id, content=content.text, content_hash=content.hash, **facts)
    session.add(row)
    session.flush()
    return row


def draft_row(session: Session, pole: PoleRow) -> DraftRow | None:
    """The unsaved work on a pole, if any."""
    return session.get(DraftRow, pole.id)


def keep_draft(session: Session, slug: str, content: Content, *, parent: int, who: str, at: datetime) -> DraftRow:
    """Keep unsaved work on a pole in place of the draft before it.

    Raises
    ------
    Absent : there is no such pole, or it has no revision `parent`.
    """
    pole, latest, kept = at_hand(session, slug)
    if parent != latest.number:
        revision_row(session, pole, parent)
    row = kept or DraftRow(pole_id=pole.id)
    row.parent, row.content, row.content_hash, row.who, row.at = parent, content.text, content.hash, who, at
    session.add(row)
    session.flush()
    return row


def drop_draft(session: Session, pole: PoleRow) -> None:
    """Forget the unsaved work on a pole."""
    row = draft_row(session, pole)
    if row is not None:
        session.delete(row)
        session.flush()
