"""Paths of the find place: begin a search, look at it, stop it, take a pole as a new revision."""

from collections.abc import Mapping
from typing import Annotated, Literal

from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from polewright.web.page_state import PageState
from polewright.web.pages import SEE_OTHER, apply_edit
from polewright.web.places.find import find_view
from polewright.web.request import DraftsDep, Form, PoleRequest, PoleRequestDep, ReaderDep, Slug, WorkshopDep
from polewright.web.shell import place_page

__all__ = ["find_paths"]

find_paths = APIRouter()


Chosen = Annotated[int, Query(ge=0, le=1000)]
Shelf = Literal["own", "workshop"]


@find_paths.get("/poles/{slug}/find")
def show(request: PoleRequestDep, n: Chosen = 0, shelf: Shelf = "own") -> HTMLResponse:
    """The search of a pole; while it goes on the page looks again by itself."""
    return _page(request, request.page_state(), n, shelf)


@find_paths.post("/poles/{slug}/find/edit")
def edit(request: PoleRequestDep, form: Form) -> HTMLResponse:
    """A step back or forward, or a save, from this place."""
    return _page(request, request.page_state(apply_edit(request, form)))


@find_paths.post("/poles/{slug}/find")
def begin(workshop: WorkshopDep, drafts: DraftsDep, form: Form, slug: Slug) -> Response:
    """Search for the best pole within the brief of the one at hand."""
    workshop.searches.start(slug, drafts.look(slug).design, is_whole_shop=form.get("shelf") == "workshop")
    return _to_the_search(slug, form)


@find_paths.post("/poles/{slug}/find/stop")
def stop(workshop: WorkshopDep, form: Form, slug: Slug) -> Response:
    """Keep the best so far and end."""
    workshop.searches.stop(slug)
    return _to_the_search(slug, form)


@find_paths.post("/poles/{slug}/find/on")
def resume(workshop: WorkshopDep, form: Form, slug: Slug) -> Response:
    """Resume the search where it was stopped."""
    workshop.searches.resume(slug)
    return _to_the_search(slug, form)


@find_paths.post("/poles/{slug}/find/take")
def take(workshop: WorkshopDep, drafts: DraftsDep, reader: ReaderDep, form: Form, slug: Slug) -> Response:
    """The pole that is looked at as a further revision of this one; what was at hand stays in the undo."""
    place = form.get("n", "")
    table = drafts.edit(slug, form.get("seen", ""), lambda now: workshop.searches.taken(slug, place, now))
    note = reader.say("note.taken_best") if place == "0" else reader.say("note.taken", number=place)
    drafts.save(slug, table.seen, note=note)
    return RedirectResponse(f"/poles/{slug}/revisions", SEE_OTHER)


def _to_the_search(slug: str, form: Mapping[str, str]) -> Response:
    """Back to the place, which goes on saying what was searched."""
    return RedirectResponse(
        f"/poles/{slug}/find" + ("?shelf=workshop" if form.get("shelf") == "workshop" else ""), SEE_OTHER
    )


def _page(request: PoleRequest, state: PageState, chosen: int = 0, shelf: str = "own") -> HTMLResponse:
    searches = request.workshop.searches
    job = searches.latest(request.slug)
    answer = None if job is None or job.is_under_way else searches.answer(request.slug)
    view = find_view(request.states, state, job, answer, chosen, shelf=shelf)
    return HTMLResponse(place_page("find", state, find=view))
