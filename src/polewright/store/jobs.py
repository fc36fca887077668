"""Long work as rows: what was asked, how it stands, its checkpoint, and what came of it."""

import base64
from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from polewright.codes import Message
from polewright.errors import Absent
from polewright.store.content import Content
from polewright.store.tables import JobCheckpointRow, JobResultRow, JobRow, JobStateRow

__all__ = [
    "add_job",
    "add_result",
    "checkpoint_of",
    "drop_checkpoint",
    "has_checkpoint",
    "job_row",
    "job_rows",
    "keep_checkpoint",
    "result_row",
]

PART = 4 * 2**20
"""[bytes] of a checkpoint in one row, so that no line of a backup grows too long."""


def add_job(
    session: Session,
    content: Content,
    *,
    kind: str,
    subject: str,
    about: str,
    options: str,
    owner: str,
    who: str,
    at: datetime,
) -> tuple[JobRow, JobStateRow]:
    """A further job, waiting for its turn with `owner`."""
    row = JobRow(
        kind=kind,
        subject=subject,
        about=about,
        options=options,
        content=content.text,
        content_hash=content.hash,
        who=who,
        at=at,
    )
    session.add(row)
    session.flush()
    state = JobStateRow(
        job_id=row.id,
        state="waiting",
        owner=owner,
        step="start",
        done=0,
        of=0,
        gap=None,
        faults="[]",
        is_stop_asked=False,
        at=at,
    )
    session.add(state)
    session.flush()
    return row, state


def job_row(session: Session, number: int) -> tuple[JobRow, JobStateRow]:
    """A job and how it stands.

    Raises
    ------
    Absent : there is none of this number.
    """
    found = session.execute(
        select(JobRow, JobStateRow).join(JobStateRow, JobStateRow.job_id == JobRow.id).where(JobRow.id == number)
    ).one_or_none()
    if found is None:
        raise Absent("job", number, Message("job.absent"))
    return found[0], found[1]


def job_rows(
    session: Session,
    *,
    states: Sequence[str] | None = None,
    kind: str | None = None,
    subject: str | None = None,
    most: int | None = None,
) -> list[tuple[JobRow, JobStateRow]]:
    """Jobs with how they stand, newest first."""
    query = select(JobRow, JobStateRow).join(JobStateRow, JobStateRow.job_id == JobRow.id).order_by(JobRow.id.desc())
    if states is not None:
        query = query.where(JobStateRow.state.in_(states))
    if kind is not None:
        query = query.where(JobRow.kind == kind)
    if subject is not None:
        query = query.where(JobRow.subject == subject)
    if most is not None:
        query = query.limit(most)
    return [(job, state) for job, state in session.execute(query)]


def keep_checkpoint(session: Session, number: int, data: bytes) -> None:
    """Keep where a job can go on from, in place of its last checkpoint."""
    drop_checkpoint(session, number)
    for part, start in enumerate(range(0, max(len(data), 1), PART)):
        text = base64.b64encode(data[start : start + PART]).decode("ascii")
        session.add(JobCheckpointRow(job_id=number, part=part, data=text))
    session.flush()


def drop_checkpoint(session: Session, number: int) -> None:
    """Forget a job's checkpoint."""
    session.execute(delete(JobCheckpointRow).where(JobCheckpointRow.job_id == number))


def checkpoint_of(session: Session, number: int) -> bytes | None:
    """A job's checkpoint; None where it has none."""
    query = select(JobCheckpointRow.data).where(JobCheckpointRow.job_id == number).order_by(JobCheckpointRow.part)
    parts = session.scalars(query).all()
    return b"".join(base64.b64decode(part) for part in parts) if parts else None


def has_checkpoint(session: Session, number: int) -> bool:
    """Whether a job has a checkpoint."""
    query = select(func.count()).select_from(JobCheckpointRow).where(JobCheckpointRow.job_id == number)
    return bool(session.scalar(query))


def add_result(
    session: Session, number: int, content: Content, *, version: int, is_complete: bool, at: datetime
) -> JobResultRow:
    """A further result of a job; it holds instead of those before it."""
    row = JobResultRow(
        job_id=number, version=version, is_complete=is_complete, content=content.text, content_hash=content.hash, at=at
    )
    session.add(row)
    session.flush()
    return row


def result_row(session: Session, number: int) -> JobResultRow | None:
    """The newest result of a job; None where it has none."""
    query = select(JobResultRow).where(JobResultRow.job_id == number).order_by(JobResultRow.id.desc()).limit(1)
    return session.scalar(query)
