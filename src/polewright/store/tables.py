"""The tables: what is kept for ever, and the little that may be overwritten."""

from datetime import UTC, datetime

from sqlalchemy import (
    CheckConstraint,
    Dialect,
    Double,
    ForeignKey,
    ForeignKeyConstraint,
    MetaData,
    String,
    Text,
    UniqueConstraint,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column
from sqlalchemy.types import TypeDecorator

__all__ = [
    "BenchRow",
    "CopyRow",
    "DraftRow",
    "JobCheckpointRow",
    "JobResultRow",
    "JobRow",
    "JobStateRow",
    "Kept",
    "PaperRow",
    "PoleRow",
    "RevisionRow",
    "SettingRow",
    "ShelfRow",
]


class Moment(TypeDecorator[datetime]):
    """A moment in UTC, kept as text that sorts by time and reads the same in every database."""

    impl = String(32)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        """UTC with microseconds; a moment without a zone is a fault of the caller."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment needs its time zone")
        return value.astimezone(UTC).isoformat(timespec="microseconds")

    def process_result_value(self, value: str | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """The moment again, in UTC."""
        return None if value is None else datetime.fromisoformat(value)


class Kept(DeclarativeBase):
    """The schema; constraints have fixed names so that a migration can find them."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(column_0_N_label)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class PoleRow(Kept):
    """A pole by its address; its name is that of its newest revision. Never changes."""

    __tablename__ = "poles"
    id: Mapped[int] = mapped_column(primary_key=True)
    slug: Mapped[str] = mapped_column(String(80), unique=True)
    who: Mapped[str] = mapped_column(String(80))
    at: Mapped[datetime] = mapped_column(Moment)


class RevisionRow(Kept):
    """A saved revision of a pole: whole, numbered from 1, with the one it was made from. Never changes."""

    __tablename__ = "revisions"
    __table_args__ = (
        UniqueConstraint("pole_id", "number"),
        ForeignKeyConstraint(["pole_id", "parent"], ["revisions.pole_id", "revisions.number"]),
        CheckConstraint("number >= 1", name="number_from_one"),
        CheckConstraint("parent < number", name="parent_is_older"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    pole_id: Mapped[int] = mapped_column(ForeignKey("poles.id"))
    number: Mapped[int]
    parent: Mapped[int | None]
    name: Mapped[str] = mapped_column(String(80))
    content: Mapped[str] = mapped_column(Text)
    content_hash: Mapped[str] = mapped_column(String(64))
    note: Mapped[str] = mapped_column(Text)
    who: Mapped[str] = mapped_column(String(80))
    at: Mapped[datetime] = mapped_column(Moment)


class DraftRow(Kept):
    """Unsaved work on a pole, one a pole, overwritten as the person goes on; may be half finished."""

    __tablename__ = "drafts"
    __table_args__ = (ForeignKeyConstraint(["pole_id", "parent"], ["revisions.pole_id", "revisions.number"]),)
    pole_id: Mapped[int] = mapped_column(ForeignKey("poles.id"), primary_key=True, autoincrement=False)
    parent: Mapped[int]
    content: Mapped[str] = mapped_column(Text)
    content_hash: Mapped[str] = mapped_column(String(64))
    who: Mapped[str] = mapped_column(String(80))
    at: Mapped[datetime] = mapped_column(Moment)


class ShelfRow(Kept):
    """A material or mandrel put on the shelf, or (`gone`) taken off it. Never changes; `corrects` an earlier entry."""

    __tablename__ = "shelf_entries"
    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(20), index=True)
    key: Mapped[str] = mapped_column(String(80))
    gone: Mapped[bool]
    content: Mapped[str] = mapped_column(Text)
    content_hash: Mapped[str] = mapped_column(String(64))
    corrects: Mapped[int | None] = mapped_column(ForeignKey("shelf_entries.id"), unique=True)
    note: Mapped[str] = mapped_column(Text)
    who: Mapped[str] = mapped_column(String(80))
    at: Mapped[datetime] = mapped_column(Moment)


class BenchRow(Kept):
    """A raw test record of one serial, made to one revision. Never changes; `corrects` an earlier entry."""

    __tablename__ = "test_entries"
    __table_args__ = (ForeignKeyConstraint(["pole_id", "revision"], ["revisions.pole_id", "revisions.number"]),)
    id: Mapped[int] = mapped_column(primary_key=True)
    serial: Mapped[str] = mapped_column(String(80), index=True)
    pole_id: Mapped[int] = mapped_column(ForeignKey("poles.id"))
    revision: Mapped[int]
    content: Mapped[str] = mapped_column(Text)
    content_hash: Mapped[str] = mapped_column(String(64))
    corrects: Mapped[int | None] = mapped_column(ForeignKey("test_entries.id"), unique=True)
    note: Mapped[str] = mapped_column(Text)
    who: Mapped[str] = mapped_column(String(80))
    at: Mapped[datetime] = mapped_column(Moment)


class PaperRow(Kept):
    """A buyer's sheet that was given, or (kind "reason") why papers are given although a check fails. Never changes.

    design_hash : of the design that it is about; pole_id, revision : where that design is a saved revision.
    content : what the sheet said, or the checks that failed, as canonical JSON.
    """

    __tablename__ = "paper_entries"
    __table_args__ = (ForeignKeyConstraint(["pole_id", "revision"], ["revisions.pole_id", "revisions.number"]),)
    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(20))
    name: Mapped[str] = mapped_column(String(80))
    design_hash: Mapped[str] = mapped_column(String(64), index=True)
    pole_id: Mapped[int | None] = mapped_column(ForeignKey("poles.id"), index=True)
    revision: Mapped[int | None]
    serial: Mapped[str] = mapped_column(String(80))
    reason: Mapped[str] = mapped_column(Text)
    content: Mapped[str] = mapped_column(Text)
    content_hash: Mapped[str] = mapped_column(String(64))
    who: Mapped[str] = mapped_column(String(80))
    at: Mapped[datetime] = mapped_column(Moment)


class SettingRow(Kept):
    """A choice of the workshop (its name, its units) as JSON text; overwritten when chosen anew."""

    __tablename__ = "settings"
    key: Mapped[str] = mapped_column(String(80), primary_key=True)
    value: Mapped[str] = mapped_column(Text)
    who: Mapped[str] = mapped_column(String(80))
    at: Mapped[datetime] = mapped_column(Moment)


class CopyRow(Kept):
    """A backup that was written and read back whole: when, under which file name, with which hash. Never changes."""

    __tablename__ = "copies"
    id: Mapped[int] = mapped_column(primary_key=True)
    file: Mapped[str] = mapped_column(Text)
    file_hash: Mapped[str] = mapped_column(String(64))
    n_rows: Mapped[int]
    at: Mapped[datetime] = mapped_column(Moment)


class JobRow(Kept):
    """Long work that was asked for: its kind, the document as it was (canonical JSON) and options. Never changes.

    subject : address of the pole it is about, or "". about : content hash of the pole's state that it is for.
    """

    __tablename__ = "jobs"
    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(20))
    subject: Mapped[str] = mapped_column(String(80), index=True)
    about: Mapped[str] = mapped_column(String(64))
    options: Mapped[str] = mapped_column(Text)
    content: Mapped[str] = mapped_column(Text)
    content_hash: Mapped[str] = mapped_column(String(64))
    who: Mapped[str] = mapped_column(String(80))
    at: Mapped[datetime] = mapped_column(Moment)


class JobResultRow(Kept):
    """What a job gave, whole or the best so far, in the form `version` of its kind. Never changes; the newest holds."""

    __tablename__ = "job_results"
    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    version: Mapped[int]
    is_complete: Mapped[bool]
    content: Mapped[str] = mapped_column(Text)
    content_hash: Mapped[str] = mapped_column(String(64))
    at: Mapped[datetime] = mapped_column(Moment)


class JobStateRow(Kept):
    """How a job stands, one row a job, overwritten as it goes on; `at` is when its owner last wrote.

    owner : the process that runs it or has it waiting. step, done, of, gap [-] : its progress. faults : JSON list of
    what it was refused for. is_stop_asked : somebody else than the owner asked to stop it.
    """

    __tablename__ = "job_states"
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), primary_key=True, autoincrement=False)
    state: Mapped[str] = mapped_column(String(20), index=True)
    owner: Mapped[str] = mapped_column(String(200))
    step: Mapped[str] = mapped_column(String(40))
    done: Mapped[int]
    of: Mapped[int]
    gap: Mapped[float | None] = mapped_column(Double)
    faults: Mapped[str] = mapped_column(Text)
    is_stop_asked: Mapped[bool]
    at: Mapped[datetime] = mapped_column(Moment)


class JobCheckpointRow(Kept):
    """Where a job can go on from: base64 text in parts, replaced as a whole by the next checkpoint."""

    __tablename__ = "job_checkpoints"
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), primary_key=True, autoincrement=False)
    part: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    data: Mapped[str] = mapped_column(Text)
