"""Paths of the terms of the trade: the page Words, and one term for the box that a "?" beside a label opens."""

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from polewright.codes import Message
from polewright.errors import Absent
from polewright.web.job_lines import job_lines
from polewright.web.place_table import JOB_PLACES
from polewright.web.render import page
from polewright.web.request import ReaderDep, Slug, WorkshopDep
from polewright.words.terms import TERMS, term_text, terms_text

__all__ = ["term_paths"]

term_paths = APIRouter()


@term_paths.get("/words")
def show_all(workshop: WorkshopDep, reader: ReaderDep) -> HTMLResponse:
    """Every term with its meaning."""
    jobs = job_lines(workshop, JOB_PLACES, reader)
    return HTMLResponse(page("words.html", reader, groups=terms_text(reader), jobs=jobs))


@term_paths.get("/words/{code}")
def show_one(reader: ReaderDep, code: Slug) -> HTMLResponse:
    """One term alone."""
    if code not in TERMS:
        raise Absent("term", repr(code), Message("want.known_term"))
    return HTMLResponse(page("term.html", reader, term=term_text(code, reader)))
