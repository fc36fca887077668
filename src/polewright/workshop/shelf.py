"""The use cases on the shelf and the rack: put a material or mandrel there, correct an entry, take it off."""

from sqlalchemy.orm import Session

from polewright.codes import Message
from polewright.documents.design import MandrelData
from polewright.documents.files import DocumentError, Fault, document_of
from polewright.documents.material import Material
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.errors import Absent
from polewright.store import Store
from polewright.store.content import Content
from polewright.store.entries import add_shelf_entry, shelf_rows
from polewright.store.tables import ShelfRow
from polewright.workshop.designs import Clock
from polewright.workshop.notes import program_note
from polewright.workshop.views import ShelfEntry
from polewright.workshop.words import words

__all__ = ["Shelf", "key_of"]

Stocked = MaterialDocument | MandrelDocument


class Shelf:
    """Materials and mandrels of the workshop as append-only entries."""

    def __init__(self, store: Store, clock: Clock) -> None:
        self._store, self._clock = store, clock

    def materials(self) -> tuple[ShelfEntry, ...]:
        """What lies on the shelf now, by id and age."""
        return self._listed("material", history=False)

    def mandrels(self) -> tuple[ShelfEntry, ...]:
        """What hangs on the rack now, by id and age."""
        return self._listed("mandrel", history=False)

    def kept_materials(self) -> tuple[Material, ...]:
        """The materials themselves that lie on the shelf now; of one id the newest alone."""
        return tuple(
            {
                m.id: m
                for e in self.materials()
                if isinstance(e.document, MaterialDocument)
                for m in (e.document.material,)
            }.values()
        )

    def kept_mandrels(self) -> tuple[MandrelData, ...]:
        """The mandrels themselves that hang on the rack now; of one id the newest alone."""
        return tuple(
            {
                m.id: m
                for e in self.mandrels()
                if isinstance(e.document, MandrelDocument)
                for m in (e.document.mandrel,)
            }.values()
        )

    def on_shelf(self, number: int) -> Stocked:
        """The thing of an entry that lies on the shelf now.

        Raises
        ------
        DocumentError : no such entry, or it was corrected or taken off.
        """
        there = {entry.number: entry.document for entry in (*self.materials(), *self.mandrels())}
        if number not in there:
            raise DocumentError.at("entry", str(number), Message("want.entry_on_shelf_now"))
        return there[number]

    def put_back(self, number: int) -> ShelfEntry:
        """What was taken off the shelf lies there again, as a further entry.

        Raises
        ------
        Absent : no entry of that number was taken off.
        """
        gone = next((entry for entry in self.history() if entry.number == number and entry.gone), None)
        if gone is None:
            raise Absent("entry", number, Message("want.entry_taken_off"))
        return self.keep(gone.document, note=program_note("note.put_back"))

    def history(self) -> tuple[ShelfEntry, ...]:
        """Every entry ever made, corrected and taken off ones too."""
        return self._listed(None, history=True)

    def put(self, document: Stocked, *, corrects: int | None = None, note: str = "", who: str = "") -> ShelfEntry:
        """A further entry; `corrects` names the entry that it replaces, which stays in the history.

        Raises
        ------
        StockError : the entry to correct is not there, is another thing, or was corrected already.
        """
        with self._store.writing() as session:
            return _entry(self._add(session, document, corrects=corrects, note=note, who=who))

    def keep(self, document: Stocked, *, note: str = "", who: str = "") -> ShelfEntry:
        """A thing of a pole for the whole workshop: a further entry in place of the one of the same id that lies there.

        What says the same as the entry that lies there makes no further one: that one is given back.
        """
        key = words(key_of(document), "id")
        with self._store.writing() as session:
            there = [row for row in shelf_rows(session, document.document) if row.key == key]
            if there and _document(there[-1]) == document:
                return _entry(there[-1])
            corrects = there[-1].id if there else None
            return _entry(self._add(session, document, corrects=corrects, note=note, who=who))

    def take_off(self, number: int, *, note: str = "", who: str = "") -> ShelfEntry:
        """An entry that says that entry `number` no longer lies there.

        Raises
        ------
        StockError : there is no such entry, or it is gone already.
        """
        with self._store.writing() as session:
            row = session.get(ShelfRow, number)
            if row is None:
                raise Absent("entry", number, Message("want.no_such_entry_on_shelf"))
            return _entry(self._add(session, _document(row), corrects=number, note=note, who=who, gone=True))

    def _listed(self, kind: str | None, *, history: bool) -> tuple[ShelfEntry, ...]:
        with self._store.reading() as session:
            return tuple(_entry(row) for row in shelf_rows(session, kind, history=history))

    def _add(
        self, session: Session, document: Stocked, *, corrects: int | None, note: str, who: str, gone: bool = False
    ) -> ShelfRow:
        return add_shelf_entry(
            session,
            Content.of(document.plain()),
            kind=document.document,
            key=words(key_of(document), "id"),
            gone=gone,
            corrects=corrects,
            note=words(note, "note"),
            who=words(who, "who"),
            at=self._clock(),
        )


def key_of(document: Stocked) -> str:
    """The id by which designs name it."""
    return document.material.id if isinstance(document, MaterialDocument) else document.mandrel.id


def _document(row: ShelfRow) -> Stocked:
    what = f"shelf entry {row.id}"
    document = document_of(Content(row.content, row.content_hash).plain(what), where=what)
    if not isinstance(document, MaterialDocument | MandrelDocument):
        raise DocumentError(
            [
                Fault(
                    ("document", repr(document.document), Message("want.document_kind", kinds=("material", "mandrel")))
                )
            ],
            what,
        )
    return document


def _entry(row: ShelfRow) -> ShelfEntry:
    return ShelfEntry(row.id, _document(row), row.corrects, row.gone, row.note, row.who, row.at)
