"""Long work in pieces on any executor: progress to look at, a stop that leaves nothing half done."""

import multiprocessing
import os
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError, Executor, Future, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Event
from typing import Generic, TypeVar

from polewright.codes import Message
from polewright.errors import PolewrightError, StockError

__all__ = ["Progress", "Stopped", "Work", "executor"]

_P = TypeVar("_P")
_R = TypeVar("_R")


class Stopped(PolewrightError):  # noqa: N818
    """The person stopped the work; no part of its result is given."""


@dataclass(frozen=True, slots=True)
class Progress:
    """Pieces done of all; `is_stopped` once the person asked for it."""

    done: int
    of: int
    is_stopped: bool


class Work(Generic[_R]):
    """Pieces of one task under way; each piece should take 50 ms or more, as a stop waits for those begun."""

    def __init__(self, task: Callable[[_P], _R], pieces: Iterable[_P], on: Executor) -> None:
        self._stop = Event()
        self._futures: list[Future[_R]] = [on.submit(task, piece) for piece in pieces]

    def progress(self) -> Progress:
        """How far it is now."""
        return Progress(sum(future.done() for future in self._futures), len(self._futures), self._stop.is_set())

    def each_done(self) -> Iterator[Progress]:
        """The progress after each piece, until the last."""
        for done, _ in enumerate(as_completed(self._futures), start=1):
            yield Progress(done, len(self._futures), self._stop.is_set())

    def stop(self) -> None:
        """Begin no further piece; what has begun is waited for by `results`, and thrown away."""
        self._stop.set()
        for future in self._futures:
            future.cancel()

    def results(self) -> list[_R]:
        """The results in the order of the pieces, once all are done.

        Raises
        ------
        Stopped : the work was stopped. The first fault of a piece is raised as it is, and stops the rest.
        """
        try:
            found = [future.result() for future in self._futures]
        except CancelledError as fault:
            raise Stopped("work", None, Message("work.stopped")) from fault
        except BaseException:
            self.stop()
            raise
        if self._stop.is_set():
            raise Stopped("work", None, Message("work.stopped"))
        return found


@contextmanager
def executor(address: str | None = None, workers: int | None = None) -> Iterator[Executor]:
    """Processes of this machine, or the cluster at `address`; closed at the end, what is under way given up.

    Raises
    ------
    StockError : the cluster's library is not installed, or nobody answers at the address.
    """
    if address is not None:
        with _cluster(address) as on:
            yield on
        return
    # One linear-algebra thread a process. A function of our own here would be looked up in this package, and so load
    # the array library before the variable is set.
    pool = ProcessPoolExecutor(
        workers or os.cpu_count() or 1,
        mp_context=multiprocessing.get_context("spawn"),
        initializer=os.putenv,
        initargs=("OPENBLAS_NUM_THREADS", "1"),
    )
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


@contextmanager
def _cluster(address: str) -> Iterator[Executor]:
    try:
        from distributed import Client
    except ImportError as fault:
        raise StockError(
            "cluster", address, Message("want.cluster_library", command="pip install 'polewright[cluster]'")
        ) from fault
    try:
        client = Client(address, timeout=10, set_as_default=False)
    except (OSError, ValueError) as fault:
        raise StockError("cluster", address, Message("want.cluster_answering", reason=str(fault))) from fault
    with client, client.get_executor() as on:
        yield on
