"""The use cases on poles: open, save a revision, go back, compare, begin a new one, bring in and take out a file."""

from collections.abc import Callable
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

from sqlalchemy.orm import Session

from polewright.answers.check import check_design
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault, document_from, document_of, dump_json, dump_toml, load
from polewright.documents.values import draft_workpiece
from polewright.errors import Absent
from polewright.store import Store
from polewright.store.content import Content
from polewright.store.poles import (
    add_pole,
    add_revision,
    at_hand,
    drop_draft,
    keep_draft,
    latest_rows,
    pole_row,
    revision_row,
    revision_rows,
)
from polewright.store.tables import DraftRow, RevisionRow
from polewright.workshop.compare import Change, changes
from polewright.workshop.notes import program_note
from polewright.workshop.views import Draft, OpenPole, PoleCard, RevisionCard, Saved
from polewright.workshop.words import address_of, words

__all__ = ["Clock", "Designs", "begin", "read_design"]

Clock = Callable[[], datetime]
MOST_DRAFT = 1_000_000


class Designs:
    """The workshop's poles; every call is one transaction, whole or not at all.

    What becomes a revision is computed first, whichever face it comes through: a pole that cannot be built is refused
    in words and nothing is kept. Unsaved work may have faults (`keep_draft`).
    """

    def __init__(
        self, store: Store, clock: Clock, refuse_unbuildable: Callable[[Design], object] = check_design
    ) -> None:
        self._store, self._clock, self._refuse_unbuildable = store, clock, refuse_unbuildable

    def all(self) -> tuple[PoleCard, ...]:
        """Every pole, by address."""
        with self._store.reading() as session:
            return tuple(
                PoleCard(pole.slug, _card(revision), draft is not None)
                for pole, revision, draft in latest_rows(session)
            )

    def names(self) -> dict[str, str]:
        """The name of each pole by its address."""
        return {card.slug: card.name for card in self.all()}

    def open(self, slug: str) -> OpenPole:
        """The newest revision of a pole and its draft, if any."""
        with self._store.reading() as session:
            _, newest, draft = at_hand(session, slug)
            return OpenPole(_saved(slug, newest), None if draft is None else _draft(slug, draft))

    def at_hand(self, slug: str) -> Design:
        """The design to go on with: the draft, unless it has faults, else the newest revision."""
        pole = self.open(slug)
        draft = None if pole.draft is None else pole.draft.design
        return pole.saved.design if draft is None else draft

    def revision(self, slug: str, number: int | None = None) -> Saved:
        """One revision with its design, the newest where no number is given."""
        with self._store.reading() as session:
            return _saved(slug, revision_row(session, pole_row(session, slug), number))

    def revisions(self, slug: str) -> tuple[RevisionCard, ...]:
        """All revisions of a pole, newest first."""
        with self._store.reading() as session:
            return tuple(_card(row) for row in revision_rows(session, pole_row(session, slug)))

    def start(self, design: Design, *, note: str = "", who: str = "") -> Saved:
        """A new pole with this design as its first revision; its address is made from its name.

        Raises
        ------
        StockError : a pole of this name is kept already.
        DesignError : it cannot be built or computed.
        """
        self._refuse_unbuildable(design)
        with self._store.writing() as session:
            return begin(session, design, note=note, who=who, at=self._clock())

    def start_from(self, slug: str, name: str, *, number: int | None = None, who: str = "") -> Saved:
        """A new pole by the name given, begun as a copy of another one's revision."""
        begun = self.revision(slug, number)
        note = program_note("note.begun_from", pole=begun.card.name, revision=begun.card.number)
        return self.start(renamed(begun.design, name), note=note, who=who)

    def save(self, slug: str, design: Design, *, parent: int, note: str = "", who: str = "") -> Saved:
        """A further revision made from revision `parent`; the draft is done with.

        A design that says what the newest revision says makes no further one: that one is given back.

        Raises
        ------
        Overtaken : somebody saved a newer revision than `parent` meanwhile; nothing is lost or overwritten.
        DesignError : it cannot be built or computed.
        """
        self._refuse_unbuildable(design)
        with self._store.writing() as session:
            pole = pole_row(session, slug)
            row = add_revision(
                session,
                pole,
                Content.of(design.plain()),
                parent=parent,
                name=words(design.name, "name"),
                note=words(note, "note"),
                who=words(who, "who"),
                at=self._clock(),
            )
            drop_draft(session, pole)
            return _saved(slug, row)

    def go_back(self, slug: str, number: int, *, parent: int, who: str = "") -> Saved:
        """A further revision that says what revision `number` said; what came between stays in the list."""
        design = self.revision(slug, number).design
        return self.save(slug, design, parent=parent, note=program_note("note.back_to", revision=number), who=who)

    def differences(self, slug: str, before: int, after: int) -> tuple[Change, ...]:
        """What changed between two revisions, field by field."""
        with self._store.reading() as session:
            pole = pole_row(session, slug)
            old, new = (_design(slug, revision_row(session, pole, number)) for number in (before, after))
        return changes(old.plain(), new.plain())

    def keep_draft(self, slug: str, plain: dict[str, Any], *, parent: int, who: str = "") -> Draft:
        """Keep unsaved work as typed, faults and all, in place of the draft before it.

        Raises
        ------
        DocumentError : it is no JSON that can be kept, or too long.
        """
        content = _draft_content(plain)
        with self._store.drafting() as session:
            row = keep_draft(session, slug, content, parent=parent, who=words(who, "who"), at=self._clock())
            return _draft(slug, row)

    def drop_draft(self, slug: str) -> None:
        """Forget unsaved work; the saved revisions stay as they are."""
        with self._store.drafting() as session:
            drop_draft(session, pole_row(session, slug))

    def bring_in(self, path: str | Path, *, note: str = "", who: str = "") -> Saved:
        """A new pole from a design file."""
        return self.start(
            _a_design(load(path), str(path)), note=note or program_note("note.from_file", file=Path(path).name), who=who
        )

    def bring_in_text(self, text: str, *, is_json: bool = False, note: str = "", who: str = "") -> Saved:
        """A new pole from the text of a design file."""
        return self.start(read_design(text, is_json=is_json), note=note, who=who)

    def brought_in(self, design: Design, *, note: str = "", who: str = "") -> Saved:
        """The revision that says this, of the pole of its name; a further one, or a new pole, where there is none."""
        slug = address_of(design.name)
        try:
            cards = self.revisions(slug)
        except Absent:
            return self.start(design, note=note, who=who)
        same = next((card.number for card in cards if card.content_hash == design.content_hash()), None)
        if same is not None:
            return self.revision(slug, same)
        return self.save(slug, design, parent=cards[0].number, note=note, who=who)

    def take_out(self, slug: str, number: int | None = None, *, is_json: bool = False) -> str:
        """The text of a design file, TOML or JSON, that brings the same revision in elsewhere."""
        design = self.revision(slug, number).design
        return dump_json(design) if is_json else dump_toml(design)


def read_design(text: str, *, is_json: bool = False) -> Design:
    """A pole design from the text of its file.

    Raises
    ------
    DocumentError : it is no whole file, another kind of document, or has faults.
    """
    return _a_design(document_from(text, is_json=is_json), "")


def begin(session: Session, design: Design, *, note: str, who: str, at: datetime) -> Saved:
    """A new pole inside the caller's transaction."""
    slug = address_of(design.name)
    row = add_pole(
        session,
        slug,
        Content.of(design.plain()),
        name=words(design.name, "name"),
        note=words(note, "note"),
        who=words(who, "who"),
        at=at,
    )
    return _saved(slug, row)


def renamed(design: Design, name: str) -> Design:
    """The same design under another name."""
    return _a_design(document_of({**design.plain(), "name": words(name, "name")}), "")


def _a_design(document: object, where: str) -> Design:
    if not isinstance(document, Design):
        kind = getattr(document, "document", "")
        raise DocumentError.at("document", repr(kind), Message("want.document_kind", kinds="pole-design"), where)
    return document


def _card(row: RevisionRow) -> RevisionCard:
    return RevisionCard(row.number, row.parent, row.name, row.note, row.who, row.at, row.content_hash)


def _design(slug: str, row: RevisionRow) -> Design:
    what = f"{slug}@{row.number}"
    return _read(Content(row.content, row.content_hash), what)


@lru_cache(maxsize=24)
def _read(content: Content, what: str) -> Design:
    """A design as kept: the same text is read and checked once."""
    return _a_design(document_of(content.plain(what), where=what), what)


def _saved(slug: str, row: RevisionRow) -> Saved:
    return Saved(slug, _card(row), _design(slug, row))


def _draft_content(plain: dict[str, Any]) -> Content:
    try:
        content = Content.of(plain)
    except (ValueError, TypeError, RecursionError) as fault:
        raise DocumentError.at("draft", "", Message("want.plain_fields")) from fault
    if len(content.text) > MOST_DRAFT:
        raise DocumentError.at(
            "draft",
            Message("given.characters", count=len(content.text)),
            Message("want.at_most_count", limit=MOST_DRAFT),
        )
    return content


def _draft(slug: str, row: DraftRow) -> Draft:
    content = Content(row.content, row.content_hash)
    plain = content.plain(f"{slug} draft")
    design: Design | None = None
    faults: tuple[Fault, ...] = ()
    try:
        design = _read(content, "")
        faults = draft_workpiece(design).misfits
    except DocumentError as fault:
        faults = tuple(fault.faults)
    return Draft(plain, row.parent, row.who, row.at, design, faults)
