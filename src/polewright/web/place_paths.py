"""Paths of a pole's places: each page, its edits and what its forms do, as the table of places says; its revisions."""

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, HTTPException, Query, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from pydantic import AfterValidator, ValidationError

from polewright.codes import Message
from polewright.web.place_kind import ActionRequest, PlaceQuery, PlaceRequest
from polewright.web.place_table import PLACES
from polewright.web.request import DraftsDep, Form, PoleRequest, PoleRequestDep, ReaderDep, Slug, WorkshopDep
from polewright.web.shelf_paths import form_change
from polewright.web.shell import place_page
from polewright.workshop import address_of
from polewright.workshop.drafts import WorkingPole

__all__ = ["place_paths"]

place_paths = APIRouter()
SEE_OTHER = 303


def _known(place: str) -> str:
    """A place by its code; one that does not exist is refused with all that do."""
    if place not in PLACES:
        raise ValueError(Message("want.one", choices=tuple(PLACES)))
    return place


Place = Annotated[str, AfterValidator(_known)]


@place_paths.get("/poles/{slug}")
def pole(slug: Slug) -> Response:
    """A pole opens at its wall."""
    return RedirectResponse(f"/poles/{address_of(slug)}/wall", SEE_OTHER)


@place_paths.post("/poles/{slug}/forget")
def forget(drafts: DraftsDep, slug: Slug) -> Response:
    """Back to the saved revision."""
    drafts.forget(slug)
    return RedirectResponse(f"/poles/{slug}/wall", SEE_OTHER)


@place_paths.post("/poles/{slug}/revisions/{number}/return")
def go_back(drafts: DraftsDep, slug: Slug, number: int) -> Response:
    """A further revision that says what an older one said."""
    drafts.go_back(slug, number)
    return RedirectResponse(f"/poles/{slug}/revisions", SEE_OTHER)


@place_paths.get("/poles/{slug}/file/{name}")
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


@place_paths.get("/poles/{slug}/{place}")
def show(request: PoleRequestDep, address: Request, place: Place) -> HTMLResponse:
    """A place of a pole."""
    return _page(place, request, address, request.drafts.look(request.slug))


@place_paths.post("/poles/{slug}/{place}/edit")
def edit(request: PoleRequestDep, address: Request, form: Form, place: Place) -> HTMLResponse:
    """One edit, or a step back or forward; the place as it is after it."""
    return _page(place, request, address, _apply_edit(request, form))


@place_paths.post("/poles/{slug}/{place}")
@place_paths.post("/poles/{slug}/{place}/{action}")
def act(
    workshop: WorkshopDep, drafts: DraftsDep, reader: ReaderDep, form: Form, slug: Slug, place: Place, action: str = ""
) -> Response:
    """What a form of a place asks for, then the page that it leads to."""
    known = PLACES[place].actions.get(action)
    if known is None:
        raise HTTPException(404 if action else 405)
    address = known(ActionRequest(workshop, drafts, reader, slug, form))
    return RedirectResponse(f"/poles/{slug}/{place}" if address is None else address, SEE_OTHER)


def _page(place: str, request: PoleRequest, address: Request, table: WorkingPole) -> HTMLResponse:
    """The page of a place for the pole on the table."""
    query = _query(PLACES[place].query, address.query_params)
    made_from = PlaceRequest(request.workshop, request.states, request.page_state(table), query)
    return HTMLResponse(place_page(place, made_from))


def _query(kind: type[PlaceQuery], given: Mapping[str, str]) -> PlaceQuery:
    """What an address says to a place.

    Raises
    ------
    RequestValidationError : a value that the place does not take, by its name.
    """
    try:
        return kind.model_validate(dict(given))
    except ValidationError as fault:
        raise RequestValidationError([{**item, "loc": ("query", *item["loc"])} for item in fault.errors()]) from fault


def _apply_edit(request: PoleRequest, form: Mapping[str, str]) -> WorkingPole:
    """The pole after what the form asks: an edit, a step back or forward, a save."""
    drafts, slug = request.drafts, request.slug
    what, seen = form.get("edit", ""), form.get("seen", "")
    if what == "undo":
        return drafts.undo(slug, seen)
    if what == "redo":
        return drafts.redo(slug, seen)
    if what == "save":
        return drafts.save(slug, seen)
    return drafts.edit(slug, seen, form_change(form, request.reader, drafts.workshop))
