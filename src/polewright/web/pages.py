"""Paths of the pages: the list of poles, the places of one pole, its edits and its revisions."""

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, File, Query, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from pydantic import AfterValidator

from polewright.codes import Message
from polewright.drawings.style import screen_css
from polewright.errors import DocumentError, StockError
from polewright.web.job_lines import job_lines
from polewright.web.place_table import GROUPS, PLACES, PlaceRequest
from polewright.web.places.today import today_view
from polewright.web.render import page
from polewright.web.request import (
    DraftsDep,
    Form,
    LanguageQuery,
    PageStatesDep,
    PoleRequest,
    PoleRequestDep,
    ReaderDep,
    Slug,
    WorkshopDep,
    back_from,
)
from polewright.web.shelf_paths import form_change
from polewright.web.shell import place_page
from polewright.words import languages
from polewright.workshop import address_of
from polewright.workshop.drafts import WorkingPole

__all__ = ["apply_edit", "page_paths"]

page_paths = APIRouter()


def _known(place: str) -> str:
    """A place that the general path shows; one that does not exist is refused with all that do."""
    general = tuple(code for code, kind in PLACES.items() if kind.values is not None)
    if place not in general:
        raise ValueError(Message("want.one", choices=general if place in PLACES else tuple(PLACES)))
    return place


Place = Annotated[str, AfterValidator(_known)]
Entry = Annotated[int | None, Query(ge=1, le=2**53)]
SEE_OTHER = 303
MOST_FILE = 1_000_000


@page_paths.get("/")
def today(workshop: WorkshopDep, states: PageStatesDep, reader: ReaderDep) -> HTMLResponse:
    """The workshop's poles."""
    jobs = job_lines(workshop.jobs.under_way(), workshop.designs.names, reader)
    return HTMLResponse(page("today.html", reader, view=today_view(workshop, states, reader), places=GROUPS, jobs=jobs))


@page_paths.get("/drawing.css")
def drawing_style() -> Response:
    """The style of every drawing."""
    return Response(screen_css(), media_type="text/css", headers={"cache-control": "max-age=3600"})


@page_paths.post("/units")
def choose_units(form: Form) -> Response:
    """Metric or inch from now on."""
    system = form.get("units", "metric")
    answer = RedirectResponse(back_from(form), SEE_OTHER)
    answer.set_cookie(
        "units", "inch" if system == "inch" else "metric", max_age=31_536_000, httponly=True, samesite="strict"
    )
    return answer


@page_paths.post("/language")
def choose_language(form: Form) -> Response:
    """A language that has a catalogue, from now on; back to that of the server for any other."""
    language, answer = form.get("language", ""), RedirectResponse(back_from(form), SEE_OTHER)
    if language in languages():
        answer.set_cookie("language", language, max_age=31_536_000, httponly=True, samesite="strict")
    else:
        answer.delete_cookie("language")
    return answer


@page_paths.post("/poles")
def start_from(workshop: WorkshopDep, form: Form) -> Response:
    """A new pole begun from another one."""
    name = form.get("name", "").strip()
    if not name:
        raise DocumentError.at("name", "", Message("want.name_for_new_pole"))
    if address_of(name) in {card.slug for card in workshop.designs.all()}:
        raise StockError("name", repr(name[:80]), Message("want.another_name_of_pole"))
    saved = workshop.designs.start_from(form.get("from", ""), name)
    return RedirectResponse(f"/poles/{saved.slug}/brief", SEE_OTHER)


@page_paths.post("/files")
def bring_in(workshop: WorkshopDep, reader: ReaderDep, file: Annotated[UploadFile, File()]) -> Response:
    """A new pole from a design file."""
    raw = file.file.read(MOST_FILE + 1)
    if len(raw) > MOST_FILE:
        raise DocumentError.at("file", Message("given.over_bytes", most=MOST_FILE), Message("want.small_design"))
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        want = Message("want.design_as_text", start=fault.start)
        raise DocumentError.at("file", repr(file.filename)[:80], want) from fault
    name = (file.filename or "").lower()
    saved = workshop.designs.bring_in_text(
        text, is_json=name.endswith(".json"), note=reader.say("note.from_file", file=name)[:200]
    )
    return RedirectResponse(f"/poles/{saved.slug}/wall", SEE_OTHER)


@page_paths.get("/poles/{slug}")
def pole(slug: Slug) -> Response:
    """A pole opens at its wall."""
    return RedirectResponse(f"/poles/{address_of(slug)}/wall", SEE_OTHER)


@page_paths.get("/poles/{slug}/{place}")
def show(request: PoleRequestDep, place: Place, correct: Entry = None, language: LanguageQuery = None) -> HTMLResponse:
    """A place of a pole; at the bench `correct` is the entry to be put right, `language` is that of the sheet."""
    return _shown(place, PlaceRequest(request.workshop, request.page_state(), correct, language))


@page_paths.post("/poles/{slug}/{place}/edit")
def edit(request: PoleRequestDep, form: Form, place: Place) -> HTMLResponse:
    """One edit, or a step back or forward; the place as it is after it."""
    return _shown(place, PlaceRequest(request.workshop, request.page_state(apply_edit(request, form))))


@page_paths.post("/poles/{slug}/revisions")
def save(drafts: DraftsDep, form: Form, slug: Slug) -> Response:
    """The work at hand as a further revision, with a note."""
    drafts.save(slug, form.get("seen", ""), note=form.get("note", ""), who=form.get("who", ""))
    return RedirectResponse(f"/poles/{slug}/revisions", SEE_OTHER)


@page_paths.post("/poles/{slug}/forget")
def forget(drafts: DraftsDep, slug: Slug) -> Response:
    """Back to the saved revision."""
    drafts.forget(slug)
    return RedirectResponse(f"/poles/{slug}/wall", SEE_OTHER)


@page_paths.post("/poles/{slug}/revisions/{number}/return")
def go_back(drafts: DraftsDep, slug: Slug, number: int) -> Response:
    """A further revision that says what an older one said."""
    drafts.go_back(slug, number)
    return RedirectResponse(f"/poles/{slug}/revisions", SEE_OTHER)


@page_paths.get("/poles/{slug}/file/{name}")
def take_out(
    workshop: WorkshopDep, slug: Slug, name: str, number: Annotated[int | None, Query(ge=1)] = None
) -> Response:
    """The design file of a revision, TOML or JSON by its name."""
    is_json = name.endswith(".json")
    text = workshop.designs.take_out(slug, number, is_json=is_json)
    return Response(
        text,
        media_type="application/json" if is_json else "application/toml",
        headers={"content-disposition": "attachment"},
    )


def _shown(place: str, request: PlaceRequest) -> HTMLResponse:
    """The page of a place."""
    values = PLACES[place].values
    assert values is not None
    return HTMLResponse(place_page(place, request.state, **values(request)))


def apply_edit(request: PoleRequest, form: Mapping[str, str]) -> WorkingPole:
    """The pole after what the form asks: an edit, a step back or forward, a save."""
    drafts, slug = request.drafts, request.slug
    what, seen = form.get("edit", ""), form.get("seen", "")
    if what == "undo":
        return drafts.undo(slug, seen)
    if what == "redo":
        return drafts.redo(slug, seen)
    if what == "save":
        return drafts.save(slug, seen)
    return drafts.edit(slug, seen, form_change(form, request.reader.system, drafts.workshop))
