"""Paths of the JSON API on long work: a search or a sampling begun, looked at, stopped, resumed, answered."""

from typing import Annotated, Literal

from fastapi import APIRouter, Path, Query

from polewright.api.answers import JobAnswer, SavedAnswer
from polewright.api.requests import MOST, FindRequest, ScatterRequest, Slug, SlugQuery, TakeRequest, WorkshopDep
from polewright.codes import Message
from polewright.errors import Absent
from polewright.words import default_reader
from polewright.words.reports.find import FindReport, find_report
from polewright.words.reports.scatter import ScatterReport, scatter_report
from polewright.workshop import find_answer
from polewright.workshop.scatter import answer_of

__all__ = ["job_paths"]

job_paths = APIRouter(prefix="/api", tags=["long work"])
JobNumber = Annotated[int, Path(ge=1, le=MOST, description="number of the job")]


@job_paths.post("/poles/{slug}/find", status_code=202)
def start_find(workshop: WorkshopDep, slug: Slug, request: FindRequest) -> JobAnswer:
    """Search for the best pole within the brief of the one at hand; its report is the result of the job."""
    design, whole = workshop.designs.at_hand(slug), request.shelf == "workshop"
    return JobAnswer.of(workshop.searches.start(slug, design, is_whole_shop=whole, who=request.who))


@job_paths.post("/poles/{slug}/find/take", status_code=201)
def take_found(workshop: WorkshopDep, slug: Slug, request: TakeRequest) -> SavedAnswer:
    """A pole of the newest search as a further revision, under the name of the one at hand and with its wishes."""
    design = workshop.searches.taken(slug, str(request.place), workshop.designs.at_hand(slug))
    return SavedAnswer.of(
        workshop.designs.save(slug, design, parent=request.parent, note=request.note, who=request.who)
    )


@job_paths.post("/poles/{slug}/scatter", status_code=202)
def start_scatter(workshop: WorkshopDep, slug: Slug, request: ScatterRequest) -> JobAnswer:
    """Sample copies of the pole at hand; their spread is the result of the job."""
    design = workshop.designs.at_hand(slug)
    job = workshop.samplings.start(
        slug, design, poles=request.poles, order=request.order, seed=request.seed, who=request.who
    )
    return JobAnswer.of(job)


@job_paths.get("/jobs")
def list_jobs(
    workshop: WorkshopDep,
    pole: SlugQuery = None,
    kind: Literal["find", "scatter"] | None = None,
    most: Annotated[int, Query(ge=1, le=200)] = 50,
) -> list[JobAnswer]:
    """The newest jobs, newest first: how each stands."""
    jobs = workshop.jobs.listed(most)
    return [JobAnswer.of(job) for job in jobs if pole in (None, job.subject) and kind in (None, job.kind)]


@job_paths.get("/jobs/{number}")
def read_job(workshop: WorkshopDep, number: JobNumber) -> JobAnswer:
    """How a job stands."""
    return JobAnswer.of(workshop.jobs.look(number))


@job_paths.post("/jobs/{number}/stop")
def stop_job(workshop: WorkshopDep, number: JobNumber) -> JobAnswer:
    """Ask a job to end with the best so far; one that has ended stays as it is."""
    workshop.jobs.stop(number)
    return JobAnswer.of(workshop.jobs.look(number))


@job_paths.post("/jobs/{number}/resume", status_code=202)
def resume_job(workshop: WorkshopDep, number: JobNumber) -> JobAnswer:
    """Go on with a job that ended before its end."""
    return JobAnswer.of(workshop.jobs.go_on(number))


@job_paths.get("/jobs/{number}/result")
def read_result(workshop: WorkshopDep, number: JobNumber) -> FindReport | ScatterReport:
    """What a job found, or has so far; 404 while it has nothing to show."""
    plain, reader = workshop.jobs.answer(number), default_reader()
    if plain is None:
        raise Absent("job", number, Message("want.job_with_result"))
    if workshop.jobs.look(number).kind == "find":
        return find_report(find_answer(plain), reader)
    return scatter_report(answer_of(plain), reader)
