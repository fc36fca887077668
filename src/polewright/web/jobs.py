"""Paths of the workshop's long work: what is under way, on every page, and a stop for it."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from polewright.web.job_lines import job_lines
from polewright.web.place_table import JOB_PLACES
from polewright.web.render import page
from polewright.web.request import Form, ReaderDep, WorkshopDep, back_from

__all__ = ["job_paths"]

job_paths = APIRouter()
SEE_OTHER = 303


@job_paths.get("/jobs")
def show(workshop: WorkshopDep, reader: ReaderDep) -> HTMLResponse:
    """The line alone, which looks again by itself while there is anything under way."""
    lines = job_lines(workshop, JOB_PLACES, reader)
    return HTMLResponse(page("jobs.html", reader, jobs=lines))


@job_paths.post("/jobs/{number}/stop")
def stop(workshop: WorkshopDep, reader: ReaderDep, form: Form, request: Request, number: int) -> Response:
    """Let a job end with the best so far; the page's own script gets the line, a plain form goes back."""
    workshop.jobs.stop(number)
    if "hx-request" in request.headers:
        return show(workshop, reader)
    return RedirectResponse(back_from(form), SEE_OTHER)
