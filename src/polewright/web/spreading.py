"""Paths of the place Spread: begin a sampling, look at it, stop it."""

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.web.asked import Form, Here, InWork, Out, Reading, SectionAsked, Seeing, Slug
from polewright.web.pages import SEE_OTHER, stepped
from polewright.web.places.spread import COPIES, spread_view
from polewright.web.shell import place_page
from polewright.web.sight import Sights
from polewright.words import Reader
from polewright.workshop import Workshop
from polewright.workshop.drafts import WorkingPole

__all__ = ["spreading_paths"]

spreading_paths = APIRouter()
MOST_ORDER = 10_000


@spreading_paths.get("/poles/{slug}/spread")
def show(
    workshop: Here,
    drafts: InWork,
    sights: Seeing,
    reader: Reading,
    slug: Slug,
    section: SectionAsked = None,
    out: Out = None,
) -> HTMLResponse:
    """The spread of a pole; while it is sampled the page looks again by itself."""
    return _page(workshop, drafts.look(slug), sights, reader, section, out)


@spreading_paths.post("/poles/{slug}/spread/edit")
def edit(
    workshop: Here,
    drafts: InWork,
    sights: Seeing,
    reader: Reading,
    form: Form,
    slug: Slug,
    section: SectionAsked = None,
    out: Out = None,
) -> HTMLResponse:
    """A step back or forward, or a save, from this place."""
    return _page(workshop, stepped(drafts, slug, form, reader.system), sights, reader, section, out)


@spreading_paths.post("/poles/{slug}/spread")
def begin(workshop: Here, drafts: InWork, form: Form, slug: Slug) -> Response:
    """Sample the copies of the pole at hand."""
    copies, order = _count(form, "copies", max(COPIES)), _count(form, "order", MOST_ORDER)
    workshop.samplings.start(slug, drafts.look(slug).design, poles=copies, order=order)
    return RedirectResponse(f"/poles/{slug}/spread", SEE_OTHER)


@spreading_paths.post("/poles/{slug}/spread/stop")
def stop(workshop: Here, slug: Slug) -> Response:
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


def _page(
    workshop: Workshop, table: WorkingPole, sights: Sights, reader: Reader, section: int | None, out: int | None
) -> HTMLResponse:
    sight = sights.of(table, reader, section=section, out=out)
    job, answer = workshop.samplings.latest(table.slug), workshop.samplings.answer(table.slug)
    return HTMLResponse(place_page("spread", sight, spread=spread_view(sight, job, answer)))
