"""Long work that is under way in the workshop, a line for each job."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from polewright.words import Reader
from polewright.words.jobs import job_text
from polewright.workshop import Job

__all__ = ["JobLine", "job_line", "job_lines"]

_PLACE = {"find": "find", "scatter": "spread"}  # of the pole, where a kind of work is started and its answer is shown


@dataclass(frozen=True, slots=True)
class JobLine:
    """One job. pole : its name, or "" for work that is about none. place : where its answer comes, or ""."""

    number: int
    kind: str
    pole: str
    place: str
    text: str


def job_lines(jobs: Iterable[Job], names_of: Callable[[], Mapping[str, str]], reader: Reader) -> tuple[JobLine, ...]:
    """A line for each job; names_of : gives the names of the poles by their addresses, asked where there is a job."""
    jobs = tuple(jobs)
    names = names_of() if jobs else {}
    return tuple(
        JobLine(
            job.number,
            job.kind,
            names.get(job.subject, job.subject),
            f"/poles/{job.subject}/{_PLACE[job.kind]}" if job.subject in names and job.kind in _PLACE else "",
            job_line(job, reader),
        )
        for job in jobs
    )


def job_line(job: Job, reader: Reader) -> str:
    """Where a job stands, in text."""
    return reader.say("job.state.waiting") if job.state == "waiting" else job_text(job.progress, reader)
