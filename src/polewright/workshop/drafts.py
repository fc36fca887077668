"""Poles being worked on: the draft with its undo, kept in the store at every edit so that nothing is lost."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from threading import Lock, RLock

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.workshop.edits import Edits
from polewright.workshop.kinds import design_of
from polewright.workshop.views import OpenPole, Saved
from polewright.workshop.workshop import Workshop

__all__ = ["Drafts", "WorkingPole"]

_MOST_OPEN = 64


@dataclass(frozen=True, slots=True)
class WorkingPole:
    """A pole as it is worked on: saved revision, edits since and what they began from, what to know of it."""

    slug: str
    saved: Saved
    edits: Edits
    parent: int
    notice: Message | None = None
    fault: Fault | None = None  # of unsaved work that is not shown

    @property
    def design(self) -> Design:
        """The design at hand."""
        return self.edits.now

    @property
    def seen(self) -> str:
        """What tells one state of the design from another: a page sends it back with its next edit."""
        return self.design.content_hash()[:16]

    @property
    def is_saved(self) -> bool:
        """Nothing is unsaved."""
        return self.design == self.saved.design


class Drafts:
    """Opens poles, makes edits, undoes them, saves. Undo lives as long as the server; the design itself for ever."""

    def __init__(self, workshop: Workshop) -> None:
        self.workshop = workshop
        self._edits: dict[str, Edits] = {}
        self._locks: dict[str, RLock] = {}
        self._lock = Lock()

    def look(self, slug: str) -> WorkingPole:
        """The pole as it is now."""
        with self._lock_of(slug):
            return self._look(slug)

    def edit(self, slug: str, seen: str, change: Callable[[Design], Design]) -> WorkingPole:
        """The pole after one edit, checked whole and kept; a refusal leaves everything as it was.

        Sections that do not fit each other yet are kept and marked: the next edit may be the one that makes room.

        Raises
        ------
        DesignError : the design cannot be so, or was changed elsewhere since the page was shown.
        """
        with self._lock_of(slug):
            pole = self._look(slug)
            _same(pole, seen)
            design = design_of(change(pole.design).plain())  # as it will be read again
            self.workshop.check_draft(design)
            return self._keep(pole, pole.edits.with_edit(design))

    def undo(self, slug: str, seen: str) -> WorkingPole:
        """One edit back."""
        return self._step(slug, seen, Edits.undone)

    def redo(self, slug: str, seen: str) -> WorkingPole:
        """One undone edit forward."""
        return self._step(slug, seen, Edits.redone)

    def save(self, slug: str, seen: str, *, note: str = "", who: str = "") -> WorkingPole:
        """The design at hand as a further revision; undo goes on across it."""
        with self._lock_of(slug):
            pole = self._look(slug)
            _same(pole, seen)
            self.workshop.designs.save(slug, pole.design, parent=pole.parent, note=note, who=who)
            return self._look(slug)

    def forget(self, slug: str) -> WorkingPole:
        """Back to the saved revision; the unsaved work can be undone into again."""
        with self._lock_of(slug):
            pole = self._look(slug)
            self.workshop.designs.drop_draft(slug)
            self._remember(slug, pole.edits.with_edit(pole.saved.design))
            return self._look(slug)

    def go_back(self, slug: str, number: int) -> WorkingPole:
        """A further revision that says what an older one said."""
        with self._lock_of(slug):
            pole = self._look(slug)
            self.workshop.designs.go_back(slug, number, parent=pole.saved.card.number)
            self._remember(slug, pole.edits.with_edit(self.workshop.designs.open(slug).saved.design))
            return self._look(slug)

    def _step(self, slug: str, seen: str, step: Callable[[Edits], Edits]) -> WorkingPole:
        with self._lock_of(slug):
            pole = self._look(slug)
            _same(pole, seen)
            return self._keep(pole, step(pole.edits))

    def _keep(self, pole: WorkingPole, edits: Edits) -> WorkingPole:
        if edits.now == pole.saved.design:
            self.workshop.designs.drop_draft(pole.slug)
        else:
            self.workshop.designs.keep_draft(pole.slug, edits.now.plain(), parent=pole.parent)
        self._remember(pole.slug, edits)
        return replace(pole, edits=edits, notice=None if edits.now == pole.saved.design else pole.notice)

    def _look(self, slug: str) -> WorkingPole:
        found = self.workshop.designs.open(slug)
        now, parent, notice, fault = _at_hand(found)
        edits = self._edits.get(slug)
        if edits is None or edits.now != now:
            edits = Edits(now) if edits is None else edits.with_edit(now)
            self._remember(slug, edits)
        return WorkingPole(slug, found.saved, edits, parent, notice, fault)

    def _remember(self, slug: str, edits: Edits) -> None:
        with self._lock:
            self._edits.pop(slug, None)
            self._edits[slug] = edits
            while len(self._edits) > _MOST_OPEN:
                self._edits.pop(next(iter(self._edits)))

    def _lock_of(self, slug: str) -> RLock:
        with self._lock:
            return self._locks.setdefault(slug, RLock())


def _at_hand(found: OpenPole) -> tuple[Design, int, Message | None, Fault | None]:
    """The design to go on with, the revision it was begun from, and what the person should know about it."""
    draft, newest = found.draft, found.saved.card.number
    if draft is None:
        return found.saved.design, newest, None, None
    if draft.design is None:
        return found.saved.design, newest, Message("notice.draft_faults"), draft.faults[0]
    if found.is_behind:
        notice = Message("notice.two_people", newest=newest, parent=draft.parent)
        return draft.design, draft.parent, notice, None
    return draft.design, draft.parent, None, None


def _same(pole: WorkingPole, seen: str) -> None:
    if seen and seen != pole.seen:
        raise DocumentError.at("page", "", Message("want.page_as_it_is_now"))
