"""What the JSON API answers with, made from the workshop's frozen views."""

from datetime import datetime
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict

from polewright.codes import Message
from polewright.words import Reader, default_reader, fault_text
from polewright.words.forms import value_text
from polewright.words.jobs import job_text
from polewright.words.report_fields import published
from polewright.workshop import (
    BenchEntry,
    Change,
    Draft,
    Job,
    OpenPole,
    PoleCard,
    RevisionCard,
    Saved,
    ShelfEntry,
    Standing,
)

__all__ = [
    "ChangeAnswer",
    "DesignAnswer",
    "DraftAnswer",
    "EntryAnswer",
    "FaultAnswer",
    "FaultsAnswer",
    "JobAnswer",
    "OpenAnswer",
    "PoleAnswer",
    "RevisionAnswer",
    "SavedAnswer",
    "SchemasAnswer",
    "StandingAnswer",
    "TestAnswer",
]

_MOST_SHOWN = 300


class Answer(BaseModel):
    """A part of an answer."""

    model_config = ConfigDict(frozen=True)


class FaultAnswer(Answer):
    """One thing that is wrong: which field, what stands there, what would be right."""

    field: str
    value: str
    want: str
    says: str

    @classmethod
    def of(cls, field: str, value: object, want: Message | str) -> "FaultAnswer":
        """A fault cut to what can be shown and sent; `says` is the whole of it as a sentence."""
        reader = default_reader()
        text, given = fault_text(reader, field, value, want), value_text(value, "", reader)
        return cls(field=_shown(field), value=_shown(given), want=_shown(text.want), says=_shown(text.says))


class FaultsAnswer(Answer):
    """Every refusal has this one shape; `latest` stands beside a 409 where somebody saved meanwhile."""

    faults: list[FaultAnswer]
    latest: int | None = None


class RevisionAnswer(Answer):
    """A saved revision without its design."""

    number: int
    parent: int | None
    name: str
    note: str
    who: str
    at: datetime
    content_hash: str

    @classmethod
    def of(cls, card: RevisionCard) -> "RevisionAnswer":
        """From the workshop's view."""
        return cls(
            number=card.number,
            parent=card.parent,
            name=card.name,
            note=card.note,
            who=card.who,
            at=card.at,
            content_hash=card.content_hash,
        )


class PoleAnswer(Answer):
    """A pole in the list."""

    slug: str
    name: str
    latest: RevisionAnswer
    has_draft: bool

    @classmethod
    def of(cls, card: PoleCard) -> "PoleAnswer":
        """From the workshop's view."""
        return cls(slug=card.slug, name=card.name, latest=RevisionAnswer.of(card.latest), has_draft=card.has_draft)


class SavedAnswer(Answer):
    """A saved revision with its design."""

    slug: str
    revision: RevisionAnswer
    design: dict[str, Any]

    @classmethod
    def of(cls, saved: Saved) -> "SavedAnswer":
        """From the workshop's view."""
        return cls(slug=saved.slug, revision=RevisionAnswer.of(saved.card), design=saved.design.plain())


class DraftAnswer(Answer):
    """Unsaved work as typed, with what is still wrong in it."""

    draft: dict[str, Any]
    parent: int
    who: str
    at: datetime
    faults: list[FaultAnswer]

    @classmethod
    def of(cls, draft: Draft) -> "DraftAnswer":
        """From the workshop's view."""
        return cls(
            draft=draft.plain,
            parent=draft.parent,
            who=draft.who,
            at=draft.at,
            faults=[FaultAnswer.of(*each) for each in draft.faults],
        )


class OpenAnswer(Answer):
    """A pole on the table; `is_behind` where the draft was begun from an older revision."""

    saved: SavedAnswer
    draft: DraftAnswer | None
    is_behind: bool

    @classmethod
    def of(cls, pole: OpenPole) -> "OpenAnswer":
        """From the workshop's view."""
        return cls(
            saved=SavedAnswer.of(pole.saved),
            is_behind=pole.is_behind,
            draft=None if pole.draft is None else DraftAnswer.of(pole.draft),
        )


class ChangeAnswer(Answer):
    """One field that differs between two revisions."""

    field: str
    before: Any
    after: Any

    @classmethod
    def of(cls, change: Change) -> "ChangeAnswer":
        """From the workshop's view."""
        return cls(field=change.field, before=change.before, after=change.after)


class DesignAnswer(Answer):
    """A design after its edits."""

    design: dict[str, Any]


class SchemasAnswer(Answer):
    """The kinds of document that have a JSON Schema here."""

    kinds: list[str]


class StandingAnswer(Answer):
    """What may be said of one pole by its tests: "sound", "not_sound" or "not_proved", and why, a sentence each."""

    serial: str
    state: Literal["sound", "not_sound", "not_proved"]
    reasons: tuple[str, ...]

    @classmethod
    def of(cls, standing: Standing, reader: Reader) -> "StandingAnswer":
        """From the workshop's view."""
        reasons = tuple(reader.text(reason) for reason in standing.reasons)
        return cls(serial=standing.serial, state=standing.state, reasons=reasons)


class TestAnswer(Answer):
    """A test record with the revision that was built."""

    __test__ = False  # not a test of ours, whatever its name says to the test runner
    number: int
    slug: str
    revision: int
    record: dict[str, Any]
    corrects: int | None
    note: str
    who: str
    at: datetime

    @classmethod
    def of(cls, entry: BenchEntry) -> "TestAnswer":
        """From the workshop's view."""
        return cls(
            number=entry.number,
            slug=entry.slug,
            revision=entry.revision,
            record=entry.record.plain(),
            corrects=entry.corrects,
            note=entry.note,
            who=entry.who,
            at=entry.at,
        )


class EntryAnswer(Answer):
    """An entry of the shelf or the rack."""

    number: int
    entry: dict[str, Any]
    corrects: int | None
    gone: bool
    note: str
    who: str
    at: datetime

    @classmethod
    def of(cls, entry: ShelfEntry) -> "EntryAnswer":
        """From the workshop's view."""
        return cls(
            number=entry.number,
            entry=entry.document.plain(),
            corrects=entry.corrects,
            gone=entry.gone,
            note=entry.note,
            who=entry.who,
            at=entry.at,
        )


class JobAnswer(Answer):
    """How long work stands: its step in words, `done` of its `parts` (0: not counted), the gap left in per cent.

    can_resume: it ended before its end. pole: address of the pole it is about; about: content hash of its state.
    """

    number: int
    kind: str
    pole: str
    about: str
    state: Literal["waiting", "running", "done", "stopped", "failed", "interrupted"]
    says: str
    done: int
    parts: int
    gap_pct: float | None
    can_resume: bool
    faults: list[FaultAnswer]
    who: str
    at: datetime

    @classmethod
    def of(cls, job: Job) -> "JobAnswer":
        """From the workshop's view."""
        progress = job.progress
        return published(
            cls,
            progress,
            number=job.number,
            kind=job.kind,
            pole=job.subject,
            about=job.about,
            state=job.state,
            says=job_text(progress, default_reader()),
            parts=progress.of,
            can_resume=job.can_go_on,
            faults=[FaultAnswer.of(*each) for each in job.faults],
            who=job.who,
            at=job.at,
        )


def _shown(text: str) -> str:
    """The text without what UTF-8 cannot carry, and not longer than a person reads."""
    whole = text.encode("utf-8", "backslashreplace").decode("utf-8")
    return whole if len(whole) <= _MOST_SHOWN else whole[:_MOST_SHOWN] + " ..."
