"""Work in fixed pieces on any executor: the same bits whoever does them, with progress and a stop."""

from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import PolewrightError

__all__ = ["CHUNK", "Stopped", "Watch", "in_chunks", "pieces_of"]

CHUNK = 128
Task = Callable[[FloatArray], FloatArray]


class Stopped(PolewrightError):  # noqa: N818 - a person's choice, not a fault
    """The person stopped the sampling; no part of it is given."""


class Watch:
    """Who wants to see progress or to stop: `told(done, of)` after each piece; `is_stopped()` is asked between them."""

    def __init__(
        self, told: Callable[[int, int], None] | None = None, is_stopped: Callable[[], bool] | None = None
    ) -> None:
        self._told, self._is_stopped = told, is_stopped

    def step(self, done: int, of: int) -> None:
        """Say how far it is.

        Raises
        ------
        Stopped : the person asked for it.
        """
        if self._told is not None:
            self._told(done, of)
        if self._is_stopped is not None and self._is_stopped():
            raise Stopped("scatter", None, Message("scatter.stopped"))


def pieces_of(points: FloatArray) -> list[FloatArray]:
    """The points (n, n_input) [-] cut into pieces of a fixed size, whatever the engine."""
    return [points[i : i + CHUNK] for i in range(0, points.shape[0], CHUNK)]


def in_chunks(task: Task, points: FloatArray, *, on: Executor | None = None, watch: Watch | None = None) -> FloatArray:
    """What `task` gives for every point, (n, n_figure), in order.

    Parameters
    ----------
    task : takes (n_chunk, n_input) and gives (n_chunk, n_figure); for other processes it must travel (be picklable).
    points : (n, n_input) [-] chances, or whatever `task` takes.
    on : any executor: threads, processes, a cluster's; without one the pieces are done here, one by one.
    """
    pieces, watch = pieces_of(points), watch or Watch()
    if on is None:
        found: list[FloatArray] = []
        for piece in pieces:
            watch.step(len(found), len(pieces))
            found.append(task(piece))
        watch.step(len(pieces), len(pieces))
        return np.concatenate(found)
    futures = [on.submit(task, piece) for piece in pieces]
    try:
        _await(futures, watch)
        return np.concatenate([f.result() for f in futures])
    finally:
        for future in futures:
            future.cancel()


def _await(futures: Sequence[Future[FloatArray]], watch: Watch) -> None:
    """Wait for all, ten times a second looking for a stop; the first fault of a piece ends it."""
    waiting = set(futures)
    while waiting:
        done, waiting = wait(waiting, timeout=0.1, return_when=FIRST_COMPLETED)
        for future in done:
            future.result()
        watch.step(len(futures) - len(waiting), len(futures))
