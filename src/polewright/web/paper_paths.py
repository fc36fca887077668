"""Paths of the files that leave for the cutter, the rolling table and the buyer."""

import re
from collections.abc import Mapping
from datetime import date

from fastapi import APIRouter
from fastapi.responses import Response

from polewright.codes import Message
from polewright.drawings.pole import pole_drawing
from polewright.errors import Absent
from polewright.web.places.sheet import paper_reader
from polewright.web.request import DraftsDep, LanguageQuery, PageStatesDep, ReaderDep, Slug, WorkshopDep
from polewright.words import Reader
from polewright.workshop import Workshop
from polewright.workshop.drafts import WorkingPole
from polewright.workshop.papers import archive_of
from polewright.workshop.scene import pole_scene

__all__ = ["paper_paths"]

paper_paths = APIRouter()
_KINDS = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
    "dxf": "application/dxf",
    "csv": "text/csv; charset=utf-8",
    "plt": "application/vnd.hp-hpgl",
    "txt": "text/plain; charset=utf-8",
    "zip": "application/zip",
}


@paper_paths.get("/poles/{slug}/kit/{name}")
def kit_file(workshop: WorkshopDep, drafts: DraftsDep, reader: ReaderDep, slug: Slug, name: str) -> Response:
    """One file of the kit by its name, or all of them as kit.zip."""
    made = _kit(drafts.look(slug), workshop, reader)
    if name == "kit.zip":
        return _file(archive_of(made), f"{slug}-kit.zip")
    if name not in made:
        raise Absent("file", repr(name), Message("want.file_of_kit"))
    return _file(made[name], name)


@paper_paths.get("/poles/{slug}/kit/section/{section}/{kind}")
def kit_of_section(
    workshop: WorkshopDep, drafts: DraftsDep, reader: ReaderDep, slug: Slug, section: int, kind: str
) -> Response:
    """The file of one kind for one section; several plots, one a prepreg or a tile of it, come as one archive."""
    made = _kit(drafts.look(slug), workshop, reader)
    ending = {"card": "-card.pdf", "dxf": ".dxf", "svg": ".svg", "hpgl": ".plt"}.get(kind, "?")
    own = {n: c for n, c in made.items() if re.search(rf"-s{section}[-.]", n)}
    named = {n: c for n, c in own.items() if n.endswith(ending)}
    if not named:
        raise Absent("file", repr(f"{section}/{kind}"), Message("want.kind_of_file"))
    if len(named) == 1:
        name, content = next(iter(named.items()))
        return _file(content, name)
    notes = {n: c for n, c in own.items() if n.endswith("-tiles.txt")}
    return _file(archive_of({**named, **notes}), f"{slug}-s{section}-hpgl.zip")


@paper_paths.get("/poles/{slug}/sheet/{name}.pdf")
def sheet_file(
    workshop: WorkshopDep, drafts: DraftsDep, reader: ReaderDep, slug: Slug, name: str, language: LanguageQuery = None
) -> Response:
    """The buyer's sheet, in a language of its own where one is asked for."""
    table, paper = drafts.look(slug), paper_reader(reader, language)
    content = workshop.papers.sheet(table.design, paper, date=_today(), revision=_revision(table, paper))
    return _file(content, f"{name}.pdf")


@paper_paths.get("/poles/{slug}/drawing.svg")
def drawing_file(drafts: DraftsDep, states: PageStatesDep, reader: ReaderDep, slug: Slug) -> Response:
    """The drawing of the pole as a file of its own."""
    checked = states.checked(drafts.look(slug).design)
    scene = pole_scene(checked.design, checked.work)
    return _file(pole_drawing(scene, reader, paper=True).encode("utf-8"), f"{slug}.svg")


def _kit(table: WorkingPole, workshop: Workshop, reader: Reader) -> Mapping[str, bytes]:
    return workshop.papers.kit(table.design, reader, date=_today(), revision=_revision(table, reader))


def _revision(table: WorkingPole, reader: Reader) -> str:
    """As it stands on papers: the number if saved, said to be a draft if not."""
    number, mark = table.saved.card.number, table.design.content_hash()[:4]
    return reader.say("paper.revision" if table.is_saved else "paper.revision.draft", number=number, mark=mark)


def _today() -> str:
    return date.today().isoformat()


def _file(content: bytes, name: str) -> Response:
    plain = "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-._") else "-" for sign in name)
    return Response(
        content,
        media_type=_KINDS.get(plain.rsplit(".", 1)[-1], "application/octet-stream"),
        headers={"content-disposition": f'attachment; filename="{plain}"'},
    )
