"""Paths of the first page: the list of poles, a new one, the units and the language of the reader."""

from typing import Annotated

from fastapi import APIRouter, File, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from polewright.codes import Message
from polewright.drawings.style import screen_css
from polewright.errors import DocumentError, StockError
from polewright.web.job_lines import job_lines
from polewright.web.place_table import GROUPS, JOB_PLACES
from polewright.web.places.today import today_view
from polewright.web.render import page
from polewright.web.request import Form, PageStatesDep, ReaderDep, WorkshopDep, back_from
from polewright.words import languages
from polewright.workshop import address_of

__all__ = ["page_paths"]

page_paths = APIRouter()


SEE_OTHER = 303
MOST_FILE = 1_000_000


@page_paths.get("/")
def today(workshop: WorkshopDep, states: PageStatesDep, reader: ReaderDep) -> HTMLResponse:
    """The workshop's poles."""
    jobs = job_lines(workshop, JOB_PLACES, reader)
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
        raise StockError("name", repr(name), Message("want.another_name_of_pole"))
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
        raise DocumentError.at("file", repr(file.filename), want) from fault
    name = (file.filename or "").lower()
    saved = workshop.designs.bring_in_text(
        text, is_json=name.endswith(".json"), note=reader.say("note.from_file", file=name)[:200]
    )
    return RedirectResponse(f"/poles/{saved.slug}/wall", SEE_OTHER)
