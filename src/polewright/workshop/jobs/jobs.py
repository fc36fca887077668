"""The workshop's long work: a few jobs at once, the others in order; kept in the store through any restart."""

import json
from collections import deque
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from threading import Condition, Event, Thread
from typing import Any

from polewright.codes import Message
from polewright.documents.document import Document
from polewright.errors import StockError, StoreFault
from polewright.store import Store
from polewright.store.content import Content
from polewright.store.jobs import (
    add_job,
    add_result,
    checkpoint_of,
    drop_checkpoint,
    job_row,
    job_rows,
    keep_checkpoint,
    result_row,
)
from polewright.store.tables import JobRow, JobStateRow
from polewright.workshop.jobs.job import UNDER_WAY, Fault, Job, JobProgress, State
from polewright.workshop.jobs.kinds import KINDS, Kind
from polewright.workshop.jobs.order import Order
from polewright.workshop.jobs.owner import is_alive, owner_name, release
from polewright.workshop.jobs.plain import faults_from, plain_faults
from polewright.workshop.jobs.process import Checkpoint, End, JobProcess
from polewright.workshop.jobs.process import Event as ProcessEvent

__all__ = ["Jobs"]

AT_ONCE = 2
EVERY = 5.0
"""[s] between checkpoints."""
BEAT = 1.0
"""[s] between two writings of how a job stands."""
GRACE = 5.0
"""[s] that jobs have to end with the best so far when the program closes."""
Clock = Callable[[], datetime]


@dataclass(slots=True)
class _Run:
    """A job under way in this program."""

    process: JobProcess
    progress: JobProgress
    is_stop_asked: bool = False


class Jobs:
    """Long work by its number. Several threads may ask at once; `close` ends what is under way."""

    def __init__(
        self,
        store: Store,
        clock: Clock,
        *,
        kinds: Mapping[str, Kind] = KINDS,
        at_once: int = AT_ONCE,
        every: float = EVERY,
    ) -> None:
        self._store, self._clock, self._kinds, self._at_once, self._every = store, clock, kinds, at_once, every
        self._owner = owner_name()
        self._runs: dict[int, _Run] = {}
        self._waiting: deque[int] = deque()
        self._changed = Condition()
        self._is_closing = False
        self._closed, self._beating = Event(), None  # type: tuple[Event, Thread | None]

    def start(
        self,
        kind: str,
        document: Document,
        *,
        subject: str = "",
        about: str = "",
        options: Mapping[str, Any] | None = None,
        who: str = "",
    ) -> Job:
        """Begin a job, or let it wait for its turn.

        Raises
        ------
        StockError : a job of this kind about the same subject is under way. KeyError : there is no such kind.
        """
        options_text = json.dumps({"version": self._kinds[kind].version, **(options or {})}, sort_keys=True)
        with self._changed, self._store.writing() as session:
            for other, stands in job_rows(session, states=UNDER_WAY, kind=kind, subject=subject):
                if subject and self._state(stands) in UNDER_WAY:
                    raise StockError("job", other.id, Message("job.under_way"))
            row, _ = add_job(
                session,
                Content.of(document.plain()),
                kind=kind,
                subject=subject,
                about=about or document.content_hash(),
                options=options_text,
                owner=self._owner,
                who=who,
                at=self._clock(),
            )
            number = row.id
            self._waiting.append(number)
        self._start_next()
        return self.look(number)

    def look(self, number: int) -> Job:
        """How a job stands now.

        Raises
        ------
        Absent : there is no such job.
        """
        with self._store.reading() as session:
            return self._job(*job_row(session, number))

    def latest(self, kind: str, subject: str) -> Job | None:
        """The newest job of a kind about a subject."""
        with self._store.reading() as session:
            found = job_rows(session, kind=kind, subject=subject, most=1)
            return self._job(*found[0]) if found else None

    def listed(self, most: int = 50) -> tuple[Job, ...]:
        """The newest jobs, newest first."""
        with self._store.reading() as session:
            return tuple(self._job(*row) for row in job_rows(session, most=most))

    def under_way(self) -> tuple[Job, ...]:
        """What runs or waits in the whole workshop, in this program or another one; oldest first."""
        with self._store.reading() as session:
            found = [self._job(*row) for row in job_rows(session, states=UNDER_WAY)]
        return tuple(job for job in reversed(found) if job.is_under_way)

    def document(self, number: int) -> dict[str, Any]:
        """The document that a job was given, as plain values."""
        with self._store.reading() as session:
            row, _ = job_row(session, number)
            return Content(row.content, row.content_hash).plain(f"job {number}")

    def answer(self, number: int) -> dict[str, Any] | None:
        """The newest result of a job as plain values; None where it has none in the form of this version."""
        with self._store.reading() as session:
            job, _ = job_row(session, number)
            row = result_row(session, number)
            kind = self._kinds.get(job.kind)
            if row is None or kind is None or row.version != kind.version:
                return None
            return Content(row.content, row.content_hash).plain(f"job {number}")

    def stop(self, number: int) -> None:
        """Ask a job to end with the best so far; one that waits ends at once. Nothing where it has ended."""
        with self._changed:
            run = self._runs.get(number)
            if run is not None:
                run.is_stop_asked = True
                run.process.stop()
                return
            if number in self._waiting:
                self._waiting.remove(number)
                self._write(number, state="stopped")
                self._changed.notify_all()
                return
        with self._store.writing() as session:
            _, state = job_row(session, number)
            if state.state in UNDER_WAY:
                state.is_stop_asked = True

    def go_on(self, number: int) -> Job:
        """Go on with a job that ended before its end, from its last checkpoint.

        Raises
        ------
        Absent : there is no such job. StockError : it is not one that can be gone on with.
        """
        with self._changed, self._store.writing() as session:
            row, state = job_row(session, number)
            if not self._job(row, state).can_go_on:
                raise StockError("job", number, Message("job.cannot_go_on"))
            state.state, state.owner, state.is_stop_asked, state.faults = "waiting", self._owner, False, "[]"
            state.step, state.done, state.of, state.gap, state.at = "start", 0, 0, None, self._clock()
            self._waiting.append(number)
        self._start_next()
        return self.look(number)

    def wait(self, number: int, seconds: float) -> Job:
        """How a job stands after it ended, or after so many seconds."""
        with self._changed:
            self._changed.wait_for(lambda: number not in self._runs and number not in self._waiting, seconds)
        return self.look(number)

    def close(self) -> None:
        """End what is under way, each with the best so far if it ends in time; all may be gone on with."""
        with self._changed:
            self._is_closing = True
            runs, waiting = dict(self._runs), list(self._waiting)
            self._waiting.clear()
            for number in waiting:
                self._write(number, state="interrupted")
            for run in runs.values():
                run.process.stop()
            self._changed.wait_for(lambda: not self._runs, GRACE)
            for run in self._runs.values():
                run.process.kill()
        for run in runs.values():
            run.process.wait()
        self._closed.set()
        if self._beating is not None:
            self._beating.join()
        release(self._owner)

    def pid(self, number: int) -> int | None:
        """The process of a job that runs in this program."""
        with self._changed:
            run = self._runs.get(number)
            return None if run is None else run.process.pid

    def _start_next(self) -> None:
        """Start those whose turn it is."""
        with self._changed:
            while self._waiting and len(self._runs) < self._at_once and not self._is_closing:
                number = self._waiting.popleft()
                order = self._order(number)
                self._write(number, state="running")
                self._runs[number] = _Run(JobProcess(order, partial(self._take_event, number)), JobProgress())
            if self._runs and self._beating is None:
                self._beating = Thread(target=self._beat, daemon=True, name="jobs")
                self._beating.start()

    def _order(self, number: int) -> Order:
        with self._store.reading() as session:
            row, _ = job_row(session, number)
            options = json.loads(row.options)
            kind = self._kinds[row.kind]
            is_same = options.pop("version", None) == kind.version
            return Order(
                kind.work,
                Content(row.content, row.content_hash).plain(f"job {number}"),
                options,
                checkpoint_of(session, number) if is_same else None,
                self._every,
            )

    def _take_event(self, number: int, event: ProcessEvent) -> None:
        """Take an event of a job; called in the thread of its process."""
        if isinstance(event, JobProgress):
            with self._changed:
                if number in self._runs:
                    self._runs[number].progress = event
        elif isinstance(event, Checkpoint):
            with suppress(StoreFault), self._store.drafting() as session:  # busy: the next one comes soon
                keep_checkpoint(session, number, event.data)
        else:
            self._end_run(number, event)

    def _end_run(self, number: int, end: End) -> None:
        with self._changed:
            run = self._runs[number]
            try:
                self._keep_end(number, end, self._end_state(end, run), run.progress)
            finally:
                del self._runs[number]
                self._changed.notify_all()
        self._start_next()

    def _end_state(self, end: End, run: _Run) -> State:
        if end.answer is not None and end.answer.is_complete:
            return "done"
        if end.is_refused:
            return "failed"
        if run.is_stop_asked:
            return "stopped"
        if self._is_closing:
            return "interrupted"
        return "stopped" if end.answer is not None else "failed"

    def _keep_end(self, number: int, end: End, state: State, progress: JobProgress) -> None:
        with self._store.writing() as session:
            row, now = job_row(session, number)
            if end.answer is not None:
                version, content = self._kinds[row.kind].version, Content.of(end.answer.plain)
                add_result(
                    session, number, content, version=version, is_complete=end.answer.is_complete, at=self._clock()
                )
            if state == "done" or end.is_refused:
                drop_checkpoint(session, number)
            now.faults = json.dumps(plain_faults(end.faults))
            now.state, now.is_stop_asked, now.at = state, False, self._clock()
            now.step, now.done, now.of, now.gap = progress.step, progress.done, progress.of, progress.gap

    def _write(self, number: int, *, state: State) -> None:
        with self._store.writing() as session:
            _, row = job_row(session, number)
            row.state, row.owner, row.at = state, self._owner, self._clock()

    def _beat(self) -> None:
        """While jobs are under way, write how they stand, and hear of a stop asked for through the store."""
        while not self._closed.wait(BEAT):
            with self._changed:
                runs = {number: run.progress for number, run in self._runs.items()}
                mine = [*runs, *self._waiting]
            if not mine:
                continue
            try:
                to_stop = self._write_states(mine, runs)
            except StoreFault:  # busy: the next beat is soon
                continue
            for number in to_stop:
                self.stop(number)

    def _write_states(self, mine: list[int], runs: Mapping[int, JobProgress]) -> list[int]:
        to_stop = []
        with self._store.drafting() as session:
            for number in mine:
                _, row = job_row(session, number)
                if row.state not in UNDER_WAY:  # it has ended meanwhile
                    continue
                row.at = self._clock()
                if number in runs:
                    p = runs[number]
                    row.step, row.done, row.of, row.gap = p.step, p.done, p.of, p.gap
                if row.is_stop_asked:
                    to_stop.append(number)
        return to_stop

    def _state(self, row: JobStateRow) -> State:
        """The state of a job, with what has become of its owner."""
        state: State = row.state  # type: ignore[assignment]
        if state not in UNDER_WAY:
            return state
        with self._changed:
            is_mine = row.job_id in self._runs or row.job_id in self._waiting
        has_owner = is_mine if row.owner == self._owner else is_alive(row.owner, row.at, self._clock())
        return state if has_owner else "interrupted"

    def _job(self, row: JobRow, now: JobStateRow) -> Job:
        run = self._runs.get(row.id)
        state = self._state(now)
        faults: tuple[Fault, ...] = faults_from(json.loads(now.faults))
        is_refused = state == "failed" and not any(field == "job" for field, _, _ in faults)
        progress = run.progress if run is not None else JobProgress(now.step, now.done, now.of, now.gap)
        return Job(
            row.id,
            row.kind,
            row.subject,
            row.about,
            state,
            progress,
            faults,
            state in ("stopped", "interrupted", "failed") and not is_refused and row.kind in self._kinds,
            row.who,
            row.at,
        )
