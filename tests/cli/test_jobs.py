"""Long work seen from the command line, and what a termination signal leaves of it."""

import signal
import subprocess
import sys
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import httpx
import pytest
from tests.said import said

from polewright.cli.jobs import _stands
from polewright.codes import Message
from polewright.documents.files import load
from polewright.errors import Fault
from polewright.store import open_store
from polewright.words import default_reader
from polewright.words.jobs import job_text
from polewright.words.reports.plain import plain_text
from polewright.workshop import JobProgress, open_workshop
from polewright.workshop.jobs import Jobs, Kind
from polewright.workshop.workshop import utc_now

SMALL = Path(__file__).parents[1] / "workshop" / "small-pole.toml"
KINDS = {"find": Kind("find", "tests.workshop.job_works:search", 1)}
PATIENCE = 60.0
"""[s] after which a state that does not come fails the test; it is never waited out where all is well."""


@pytest.fixture
def running(tmp_path, own_place, monkeypatch):
    """A search under way in another program on the store of the commands; its number."""
    monkeypatch.setenv("TEST_GATE", str(tmp_path / "gate"))
    with open_store(own_place / "workshop.sqlite") as store:
        jobs = Jobs(store, utc_now, kinds=KINDS, every=0.0)
        yield jobs, jobs.start("find", load(SMALL), subject="small-pole").number
        jobs.close()


@pytest.mark.slow
def test_jobs_are_listed_with_their_state_and_stopped_by_number(polewright, running):
    jobs, number = running
    listed = polewright("jobs", "list")
    assert listed.returncode == 0, listed.stderr
    line = next(line for line in listed.stdout.splitlines() if line.split()[:1] == [str(number)])
    assert plain_text(said("job.kind.find", pole="small-pole")) in line
    assert plain_text(said("job.state.running")) in line
    stopped = polewright("jobs", "stop", number)
    assert stopped.stdout == f"{said('job.stopping', number=number)}\n"
    assert jobs.wait(number, PATIENCE).state == "stopped"
    assert plain_text(said("job.state.stopped")) in polewright("jobs", "list").stdout


def test_a_running_job_tells_its_step_and_an_ended_one_why(running):
    jobs, number = running
    progress, fault = JobProgress("walls", 3, 9, 0.02), Fault(("brief", "1", Message("want.bore_skin_or_place")))
    job = replace(jobs.look(number), progress=progress, faults=(fault,))
    reader = default_reader()
    told = {state: _stands(replace(job, state=state)) for state in ("running", "failed")}
    assert told == {
        "running": (reader.say("job.state.running"), job_text(progress, reader)),
        "failed": (reader.say("job.state.failed"), reader.fault(*fault)),
    }


def test_a_job_that_is_not_there_is_refused(polewright, own_place):
    assert polewright("jobs", "list").returncode == 2
    open_workshop(own_place / "workshop.sqlite").close()
    assert polewright("jobs", "list").stdout == f"{said('job.none')}\n"
    refused = polewright("jobs", "stop", 7)
    assert refused.returncode == 2
    assert plain_text(said("job.absent")) in refused.stderr


@pytest.mark.slow
@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_closes_the_app_and_leaves_its_search_to_be_resumed(own_place, how):
    place = own_place / "workshop.sqlite"
    server = subprocess.Popen(
        [Path(sys.executable).parent / "polewright", "open", "--no-browser", "--store", place],
        stdout=subprocess.PIPE,
        text=True,
    )
    with server, open_workshop_when(place, server) as (address, workshop):
        assert httpx.post(f"{address}/poles/tallreed-11/find").status_code == 303
        job = workshop.searches.latest("tallreed-11")
        assert job.is_under_way
        server.send_signal(how)
        assert server.wait(PATIENCE) == 0
        ended = workshop.jobs.look(job.number)
        assert (ended.state, ended.can_go_on) == ("interrupted", True)


@contextmanager
def open_workshop_when(place, server):
    """The address of a server that has started, and its workshop opened beside it."""
    address = server.stdout.readline().split()[0]
    with open_workshop(place) as workshop:
        yield address, workshop
