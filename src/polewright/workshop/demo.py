"""The demo workshop: finished poles with their materials and mandrels, put in place once."""

from importlib.resources import files
from importlib.resources.abc import Traversable

from sqlalchemy.orm import Session

from polewright.documents.design import Design
from polewright.documents.files import document_from
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.store import Store
from polewright.store.content import Content
from polewright.store.entries import add_shelf_entry, shelf_rows
from polewright.store.poles import latest_rows
from polewright.workshop.designs import Clock, begin
from polewright.workshop.notes import program_note
from polewright.workshop.shelf import Stocked, key_of
from polewright.workshop.words import address_of

__all__ = ["demo_designs", "load_demo"]

WHO = "Quillbeck"


def demo_designs(folder: Traversable | None = None) -> tuple[Design, ...]:
    """The pole designs shipped for the demo workshop, by file name."""
    folder = folder or files("polewright.documents") / "demo"
    if not folder.is_dir():
        return ()
    shipped = {entry.name: entry for entry in folder.iterdir() if entry.name.endswith(".toml")}
    documents = [document_from(shipped[name].read_text(encoding="utf-8"), where=name) for name in sorted(shipped)]
    return tuple(document for document in documents if isinstance(document, Design))


def load_demo(store: Store, clock: Clock, folder: Traversable | None = None) -> tuple[str, ...]:
    """Put the demo workshop into the store, all of it or nothing; what is there already stays untouched.

    Returns
    -------
    Addresses of the poles that were put in; empty when all were there.
    """
    designs = demo_designs(folder)
    with store.writing() as session:
        there = {pole.slug for pole, _, _ in latest_rows(session)}
        new = [design for design in designs if address_of(design.name) not in there]
        added = tuple(
            begin(session, design, note=program_note("note.demo"), who=WHO, at=clock()).slug for design in new
        )
        _stock(session, new, clock)
    return added


def _stock(session: Session, designs: list[Design], clock: Clock) -> None:
    """The materials and mandrels of the designs, each id once, unless it has been on the shelf before."""
    there = {(row.kind, row.key) for row in shelf_rows(session, history=True)}
    for document in (stocked for design in designs for stocked in _of(design)):
        place = (document.document, key_of(document))
        if place not in there:
            there.add(place)
            add_shelf_entry(
                session,
                Content.of(document.plain()),
                kind=place[0],
                key=place[1],
                gone=False,
                corrects=None,
                note=program_note("note.demo"),
                who=WHO,
                at=clock(),
            )


def _of(design: Design) -> list[Stocked]:
    return [
        *(MaterialDocument(material=material) for material in design.materials),
        *(MandrelDocument(mandrel=mandrel) for mandrel in design.mandrels),
    ]
