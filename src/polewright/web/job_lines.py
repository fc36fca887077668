"""Long work that is under way in the workshop, a line for each job."""

from collections.abc import Mapping
from dataclasses import dataclass

from polewright.words import Reader
from polewright.words.jobs import job_text
from polewright.workshop import Job, Workshop

__all__ = ["JobLine", "job_line", "job_lines"]


@dataclass(frozen=True, slots=True)
class JobLine:
    """One job. pole : its name, or "" for work that is about none. place : where its answer comes, or ""."""

    number: int
    kind: str
    pole: str
    place: str
    text: str


def job_lines(workshop: Workshop, places: Mapping[str, str], reader: Reader) -> tuple[JobLine, ...]:
    """A line for each job under way; places : kind of job -> the place of a pole where its answer comes."""
    jobs = workshop.jobs.under_way()
    names = workshop.designs.names() if jobs else {}
    return tuple(
        JobLine(
            job.number,
            job.kind,
            names.get(job.subject, job.subject),
            f"/poles/{job.subject}/{places[job.kind]}" if job.subject in names and job.kind in places else "",
            job_line(job, reader),
        )
        for job in jobs
    )


def job_line(job: Job, reader: Reader) -> str:
    """Where a job stands, in text."""
    return reader.say("job.state.waiting") if job.state == "waiting" else job_text(job.progress, reader)
