"""What the use cases answer with: frozen values that pages and JSON are made from."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from polewright.documents.design import Design
from polewright.documents.files import Fault
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.documents.test_record import TestRecord

__all__ = ["BenchEntry", "Draft", "OpenPole", "PoleCard", "RevisionCard", "Saved", "ShelfEntry"]


@dataclass(frozen=True, slots=True)
class RevisionCard:
    """A saved revision without its content; `parent` is the number of the one it was made from."""

    number: int
    parent: int | None
    name: str
    note: str
    who: str
    at: datetime
    content_hash: str


@dataclass(frozen=True, slots=True)
class PoleCard:
    """A pole in the list: address, newest revision, whether unsaved work waits."""

    slug: str
    latest: RevisionCard
    has_draft: bool

    @property
    def name(self) -> str:
        """The name of the newest revision."""
        return self.latest.name


@dataclass(frozen=True, slots=True)
class Saved:
    """A saved revision with its design."""

    slug: str
    card: RevisionCard
    design: Design


@dataclass(frozen=True, slots=True)
class Draft:
    """Unsaved work as it was typed; `design` is None while it cannot be read, with faults while it cannot be built."""

    plain: dict[str, Any]
    parent: int
    who: str
    at: datetime
    design: Design | None
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class OpenPole:
    """A pole on the table: its newest revision, and the draft to go on with, if any."""

    saved: Saved
    draft: Draft | None

    @property
    def is_behind(self) -> bool:
        """The draft was begun from a revision that is no longer the newest: two people changed this."""
        return self.draft is not None and self.draft.parent != self.saved.card.number


@dataclass(frozen=True, slots=True)
class ShelfEntry:
    """A material or mandrel as it lies on the shelf or rack."""

    number: int
    document: MaterialDocument | MandrelDocument
    corrects: int | None
    gone: bool
    note: str
    who: str
    at: datetime


@dataclass(frozen=True, slots=True)
class BenchEntry:
    """A test record with the pole and revision it was made on."""

    number: int
    slug: str
    revision: int
    record: TestRecord
    corrects: int | None
    note: str
    who: str
    at: datetime
