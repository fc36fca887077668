"""One job in a process of its own, seen from the program that started it."""

import os
import signal
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from threading import Lock, Thread
from typing import Any

from polewright.codes import Message
from polewright.workshop.jobs.job import Fault, JobProgress
from polewright.workshop.jobs.order import Answer, Order
from polewright.workshop.jobs.plain import faults_from
from polewright.workshop.jobs.wire import STOP, bytes_of, order_message, read_message, write_message

__all__ = ["Checkpoint", "End", "Event", "JobProcess"]

_ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """Where the job can go on from."""

    data: bytes


@dataclass(frozen=True, slots=True)
class End:
    """The process has ended: with an answer, or with faults. is_refused : the work itself refused what was asked."""

    answer: Answer | None = None
    faults: tuple[Fault, ...] = ()
    is_refused: bool = False


Event = JobProgress | Checkpoint | End


class JobProcess:
    """A worker process under way. `tell` is called for each event in a thread of this process; the last is an `End`.

    Whoever starts it stops or kills it; it ends by itself when this program does.
    """

    def __init__(self, order: Order, tell: Callable[[Event], None]) -> None:
        self._tell, self._lock = tell, Lock()
        self._is_stop_asked = self._is_ordered = False
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-m", "polewright.workshop.jobs.worker"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": _import_path(), **dict.fromkeys(_ONE_THREAD, "1")},
            start_new_session=os.name == "posix",  # Ctrl+C in the terminal is for this program alone
        )
        self._thread = Thread(target=self._run, args=(order,), daemon=True, name="job")
        self._thread.start()

    @property
    def pid(self) -> int:
        """The process's number."""
        return self._process.pid

    def stop(self) -> None:
        """Ask it to end with the best so far."""
        with self._lock:
            self._is_stop_asked = True
            if self._is_ordered:
                self._send(STOP)

    def kill(self) -> None:
        """End it at once; what was kept up to its last checkpoint stays."""
        self._process.kill()

    def wait(self, seconds: float | None = None) -> bool:
        """Wait until its end was told, or so many seconds; whether it has ended."""
        self._thread.join(seconds)
        return not self._thread.is_alive()

    def _send(self, message: dict[str, Any]) -> None:
        assert self._process.stdin is not None
        with suppress(OSError, ValueError):  # it has ended meanwhile, and `_run` tells so
            write_message(self._process.stdin, message)

    def _run(self, order: Order) -> None:
        with self._lock:  # in a thread, as a long order waits until the process has started
            self._send(order_message(order))
            self._is_ordered = True
            if self._is_stop_asked:
                self._send(STOP)
        assert self._process.stdout is not None
        end: End | None = None
        while (message := read_message(self._process.stdout)) is not None:
            event = _event(message)
            if isinstance(event, End):
                end = event
            else:
                self._tell(event)
        self._process.stdout.close()
        status = self._process.wait()
        with self._lock:
            assert self._process.stdin is not None
            with suppress(OSError):
                self._process.stdin.close()
        self._tell(end or End(faults=(("job", None, _died(status)),)))


def _event(message: dict[str, Any]) -> Event:
    kind = message["is"]
    if kind == "progress":
        return JobProgress(message["step"], message["done"], message["of"], message["gap"])
    if kind == "checkpoint":
        return Checkpoint(bytes_of(message["data"]) or b"")
    if kind == "answer":
        return End(Answer(message["plain"], message["is_complete"]))
    if kind == "refused":
        return End(faults=faults_from(message["faults"]), is_refused=not message["is_stopped"])
    return End(faults=(("job", None, Message("job.crashed", error=message["error"])),))


def _died(status: int) -> Message:
    if status < 0:
        return Message("job.killed", signal=signal.Signals(-status).name)
    return Message("job.died", status=status)


def _import_path() -> str:
    """Where the worker finds this very program's packages."""
    return os.pathsep.join(path for path in sys.path if path)
