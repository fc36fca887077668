"""Paths of the place Spread: begin a sampling, look at it, stop it."""

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.web.page_state import PageState
from polewright.web.pages import SEE_OTHER, apply_edit
from polewright.web.places.spread import COPIES, spread_view
from polewright.web.request import DraftsDep, Form, PoleRequest, PoleRequestDep, Slug, WorkshopDep
from polewright.web.shell import place_page

__all__ = ["spread_paths"]

spread_paths = APIRouter()
MOST_ORDER = 10_000


@spread_paths.get("/poles/{slug}/spread")
def show(request: PoleRequestDep) -> HTMLResponse:
    """The spread of a pole; while it is sampled the page looks again by itself."""
    return _page(request, request.page_state())


@spread_paths.post("/poles/{slug}/spread/edit")
def edit(request: PoleRequestDep, form: Form) -> HTMLResponse:
    """A step back or forward, or a save, from this place."""
    return _page(request, request.page_state(apply_edit(request, form)))


@spread_paths.post("/poles/{slug}/spread")
def begin(workshop: WorkshopDep, drafts: DraftsDep, form: Form, slug: Slug) -> Response:
    """Sample the copies of the pole at hand."""
    copies, order = _count(form, "copies", max(COPIES)), _count(form, "order", MOST_ORDER)
    workshop.samplings.start(slug, drafts.look(slug).design, poles=copies, order=order)
    return RedirectResponse(f"/poles/{slug}/spread", SEE_OTHER)


@spread_paths.post("/poles/{slug}/spread/stop")
def stop(workshop: WorkshopDep, slug: Slug) -> Response:
    """No further copies; nothing is kept of those there."""
    workshop.samplings.stop(slug)
    return RedirectResponse(f"/poles/{slug}/spread", SEE_OTHER)


def _count(form: Form, field: str, most: int) -> int:
    """A whole number of a form.

    Raises
    ------
    DesignError : it is none, or out of its range.
    """
    typed = form.get(field, "").strip()
    if not typed.isdecimal() or not 1 <= int(typed) <= most:
        raise DesignError(field, repr(typed[:20]), Message("want.whole_number_between", least=1, most=most))
    return int(typed)


def _page(request: PoleRequest, state: PageState) -> HTMLResponse:
    samplings = request.workshop.samplings
    job, answer = samplings.latest(request.slug), samplings.answer(request.slug)
    return HTMLResponse(place_page("spread", state, spread=spread_view(state, job, answer)))
