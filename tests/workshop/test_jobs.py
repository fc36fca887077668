"""Long work: progress, a stop that keeps the best, order, and nothing lost by any end of a worker or of the program."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.errors import StockError
from polewright.store import Absent, Store, open_store, store_faults
from polewright.store.jobs import checkpoint_of
from polewright.workshop.jobs import Job, JobProgress, Jobs, Kind
from polewright.workshop.workshop import utc_now

pytestmark = pytest.mark.slow

HERE = Path(__file__).parent
KINDS = {name: Kind(name, f"tests.workshop.job_works:{name}", 1) for name in ("count", "refuse", "crash", "die")}
PATIENCE = 60.0
"""[s] after which a state that does not come fails the test; it is never waited out where all is well."""


def until(holds: Callable[[], bool]) -> None:
    """Wait for a state."""
    end = time.monotonic() + PATIENCE
    while not holds():
        assert time.monotonic() < end, "the state never came"
        time.sleep(0.01)


def is_gone(pid: int) -> bool:
    """Whether a process has ended, reaped by its parent or not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rsplit(")", 1)[1].split()[0] in "ZX"
    except (FileNotFoundError, ProcessLookupError):
        return True


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "workshop.db"


@pytest.fixture
def opened(place: Path) -> Iterator[Callable[..., Jobs]]:
    """Opens the workshop's jobs; each call is a program of its own on the same store. All are closed at the end."""
    made: list[tuple[Jobs, Store]] = []

    def open_jobs(**more: object) -> Jobs:
        store = open_store(place)
        jobs = Jobs(store, utc_now, **{"kinds": KINDS, "every": 0.0, **more})
        made.append((jobs, store))
        return jobs

    yield open_jobs
    for jobs, store in made:
        jobs.close()
        store.close()


@pytest.fixture
def gate(tmp_path: Path) -> Path:
    return tmp_path / "gate"


def held(jobs: Jobs, design: Design, gate: Path, *, at: int = 3, subject: str = "pole") -> Job:
    """A job that counts to nine and waits on the way until the gate opens."""
    return jobs.start("count", design, subject=subject, options={"to": 9, "hold": at, "gate": str(gate)})


def kept_at(store_path: Path, number: int) -> bytes | None:
    with open_store(store_path) as store, store.reading() as session:
        return checkpoint_of(session, number)


def test_of_a_job_that_has_said_nothing_nothing_is_done():
    assert JobProgress() == JobProgress("start", 0, 0, None)


def test_a_job_tells_its_progress_and_keeps_its_answer(opened, design, gate):
    jobs = opened()
    job = held(jobs, design, gate)
    assert (job.kind, job.subject, job.about) == ("count", "pole", design.content_hash())
    until(lambda: jobs.look(job.number).progress.done == 3)
    now = jobs.look(job.number)
    assert now.state == "running"
    assert now.progress == JobProgress("walls", 3, 9, pytest.approx(1 / 3))
    assert jobs.answer(job.number) is None
    gate.touch()
    done = jobs.wait(job.number, PATIENCE)
    assert (done.state, done.faults, done.can_go_on) == ("done", (), False)
    assert jobs.answer(job.number) == {"begun": 0, "number": 9, "name": design.name, "blas": "1"}
    assert jobs.document(job.number) == design.plain()


def test_work_is_done_in_a_process_of_its_own(opened, design, gate):
    jobs = opened()
    job = held(jobs, design, gate)
    pid = jobs.pid(job.number)
    assert pid not in {None, os.getpid()}
    gate.touch()
    jobs.wait(job.number, PATIENCE)
    assert is_gone(pid)
    assert jobs.pid(job.number) is None


def test_a_stop_keeps_the_best_so_far_and_the_job_can_be_resumed(opened, design, gate):
    jobs = opened()
    job = held(jobs, design, gate)
    until(lambda: jobs.look(job.number).progress.done == 3)
    jobs.stop(job.number)
    stopped = jobs.wait(job.number, PATIENCE)
    assert (stopped.state, stopped.can_go_on) == ("stopped", True)
    assert jobs.answer(job.number)["number"] == 3
    gate.touch()
    jobs.go_on(job.number)
    assert jobs.wait(job.number, PATIENCE).state == "done"
    assert jobs.answer(job.number) == {"begun": 3, "number": 9, "name": design.name, "blas": "1"}
    with pytest.raises(StockError):
        jobs.go_on(job.number)


def test_a_stop_before_there_is_anything_to_keep_says_so(opened, design, gate):
    jobs = opened()
    job = held(jobs, design, gate, at=0)
    jobs.stop(job.number)
    stopped = jobs.wait(job.number, PATIENCE)
    assert stopped.state == "stopped"
    assert stopped.faults == (("search", None, Message("want.finite")),)
    assert jobs.answer(job.number) is None
    assert stopped.can_go_on


def test_so_many_run_at_once_and_the_others_wait_in_order(opened, design, gate):
    jobs = opened(at_once=1)
    numbers = [held(jobs, design, gate, subject=name).number for name in ("a", "b", "c")]
    assert [jobs.look(n).state for n in numbers] == ["running", "waiting", "waiting"]
    assert [job.number for job in jobs.under_way()] == numbers
    jobs.stop(numbers[1])
    assert jobs.look(numbers[1]).state == "stopped"
    gate.touch()
    for number in (numbers[0], numbers[2]):
        assert jobs.wait(number, PATIENCE).state == "done"
    assert jobs.under_way() == ()
    assert [job.number for job in jobs.listed()] == numbers[::-1]


def test_a_subject_has_one_job_of_a_kind_at_a_time(opened, design, gate):
    jobs = opened()
    job = held(jobs, design, gate)
    with pytest.raises(StockError) as refused:
        held(jobs, design, gate)
    assert refused.value.want == Message("job.under_way")
    gate.touch()
    jobs.wait(job.number, PATIENCE)
    again = held(jobs, design, gate)
    assert jobs.latest("count", "pole").number == again.number
    assert jobs.latest("count", "another pole") is None


def test_a_refusal_of_the_work_is_kept_by_its_codes(opened, design):
    jobs = opened()
    failed = jobs.wait(jobs.start("refuse", design).number, PATIENCE)
    assert (failed.state, failed.can_go_on) == ("failed", False)
    assert failed.faults == (("brief.reach", 0.25, Message("want.finite", limits=(1.0, Message("want.finite")))),)


def test_a_fault_of_the_program_is_reported_by_its_name_and_leaves_no_answer(opened, design):
    jobs = opened()
    failed = jobs.wait(jobs.start("crash", design).number, PATIENCE)
    assert failed.state == "failed"
    assert failed.faults == (("job", None, Message("job.crashed", error="ZeroDivisionError")),)
    assert jobs.answer(failed.number) is None


def test_a_worker_that_dies_is_noticed_and_told(opened, design):
    jobs = opened()
    failed = jobs.wait(jobs.start("die", design).number, PATIENCE)
    assert (failed.state, failed.can_go_on) == ("failed", True)
    assert failed.faults == (("job", None, Message("job.killed", signal="SIGKILL")),)


def test_a_worker_killed_from_outside_leaves_its_checkpoint_to_go_on_from(opened, place, design, gate):
    jobs = opened()
    job = held(jobs, design, gate)
    until(lambda: kept_at(place, job.number) == b"3")
    os.kill(jobs.pid(job.number), signal.SIGKILL)
    assert jobs.wait(job.number, PATIENCE).state == "failed"
    gate.touch()
    jobs.go_on(job.number)
    assert jobs.wait(job.number, PATIENCE).state == "done"
    assert jobs.answer(job.number)["begun"] == 3
    assert kept_at(place, job.number) is None


def test_a_job_that_died_lets_the_next_one_have_its_turn(opened, design):
    jobs = opened(at_once=1)
    numbers = [jobs.start(kind, design).number for kind in ("die", "crash", "refuse")]
    assert [jobs.wait(n, PATIENCE).state for n in numbers] == ["failed"] * 3


def test_the_answer_of_an_ended_job_is_there_after_a_restart(opened, place, design, gate):
    gate.touch()
    first = opened()
    job = held(first, design, gate)
    first.wait(job.number, PATIENCE)
    first.close()
    again = opened()
    assert again.look(job.number).state == "done"
    assert again.answer(job.number)["number"] == 9
    with open_store(place) as store:
        assert store_faults(store) == []


def test_an_answer_in_the_form_of_another_version_is_not_read(opened, design, gate):
    gate.touch()
    first = opened()
    job = held(first, design, gate)
    first.wait(job.number, PATIENCE)
    newer = opened(kinds={"count": Kind("count", "tests.workshop.job_works:count", 2)})
    assert newer.answer(job.number) is None
    assert opened(kinds={}).answer(job.number) is None


def test_closing_ends_what_is_under_way_and_keeps_the_best_and_the_queue(opened, design, gate):
    jobs = opened(at_once=1)
    running, waiting = (held(jobs, design, gate, subject=name) for name in ("a", "b"))
    until(lambda: jobs.look(running.number).progress.done == 3)
    pid = jobs.pid(running.number)
    jobs.close()
    assert is_gone(pid)
    again = opened()
    assert again.look(running.number).state == again.look(waiting.number).state == "interrupted"
    assert again.answer(running.number)["number"] == 3
    gate.touch()
    for job in (running, waiting):
        again.go_on(job.number)
        assert again.wait(job.number, PATIENCE).state == "done"
    assert again.answer(running.number)["begun"] == 3


def test_another_program_sees_what_runs_and_can_stop_it(opened, design, gate):
    one, two = opened(), opened()
    job = held(one, design, gate)
    until(lambda: [(j.number, j.progress.done) for j in two.under_way()] == [(job.number, 3)])
    with pytest.raises(StockError):
        two.go_on(job.number)
    two.stop(job.number)
    assert one.wait(job.number, PATIENCE).state == "stopped"
    assert two.under_way() == ()
    assert two.answer(job.number)["number"] == 3


def test_a_number_that_is_no_job_is_refused(opened):
    jobs = opened()
    for call in (jobs.look, jobs.stop, jobs.go_on, jobs.answer):
        with pytest.raises(Absent):
            call(7)


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_a_program_that_is_killed_leaves_its_job_to_go_on_from_the_checkpoint(opened, place, gate, how):
    open_store(place).close()
    server = subprocess.Popen(
        [sys.executable, HERE / "job_server.py", place, gate, "3", HERE / "small-pole.toml"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with server:
        number, worker = map(int, server.stdout.readline().split())
        until(lambda: kept_at(place, number) == b"3")
        jobs = opened()
        assert jobs.look(number).state == "running"
        server.send_signal(how)
        server.wait()
        until(lambda: is_gone(worker))
        assert jobs.look(number).state == "interrupted"
        assert jobs.under_way() == ()
        gate.touch()
        jobs.go_on(number)
        assert jobs.wait(number, PATIENCE).state == "done"
        assert jobs.answer(number)["begun"] == 3
