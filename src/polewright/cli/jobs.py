"""`polewright jobs`: what works in the workshop, in the app or elsewhere, and a stop for it."""

import sys
from pathlib import Path

from polewright.cli.output import console_of, table_of, without_markup
from polewright.cli.store import place_of
from polewright.words import default_reader
from polewright.words.jobs import job_text
from polewright.workshop import Job, open_workshop

__all__ = ["listed", "stop"]


def listed(*, store: Path | None) -> None:
    """The newest jobs with their states, newest first."""
    reader = default_reader()
    with open_workshop(place_of(store)) as workshop:
        jobs, names = workshop.jobs.listed(), workshop.designs.names()
    if not jobs:
        sys.stdout.write(f"{reader.say('job.none')}\n")
        return
    table = table_of("", *(reader.say(f"job.column.{name}") for name in ("number", "what", "state", "progress", "at")))
    for column in table.columns[1:]:
        column.justify = "left"
    for job in jobs:
        what = reader.say(f"job.kind.{job.kind}", pole=names.get(job.subject, job.subject))
        table.add_row(
            str(job.number), without_markup(what), *map(without_markup, _stands(job)), f"{job.at:%Y-%m-%d %H:%M}"
        )
    console_of(132).print(table)


def _stands(job: Job) -> tuple[str, str]:
    """State and what it is at, or why it ended."""
    reader = default_reader()
    text = "; ".join(reader.fault(*fault) for fault in job.faults)
    if job.state == "running":
        text = job_text(job.progress, reader)
    return reader.say(f"job.state.{job.state}"), text


def stop(number: int, *, store: Path | None) -> None:
    """Ask a job to end with the best so far; the program that runs it hears of it within a second or two."""
    with open_workshop(place_of(store)) as workshop:
        workshop.jobs.stop(number)
    sys.stdout.write(f"{default_reader().say('job.stopping', number=number)}\n")
