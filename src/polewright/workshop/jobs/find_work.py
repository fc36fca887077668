"""The search for the best pole as long work."""

import os
import time
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import contextmanager
from typing import Any

from polewright.answers.find import SECONDS, FindAnswer, Finder, StoppedEarly
from polewright.documents.files import document_of
from polewright.search import Progress
from polewright.workshop.jobs.find_values import plain_find_answer
from polewright.workshop.jobs.order import Answer, Stopped, Watch
from polewright.workshop.work import executor

__all__ = ["find_work"]

MOST_GAP = 10.0
"""[-] above which a gap tells a person nothing."""


def find_work(document: Mapping[str, Any], options: Mapping[str, Any], *, watch: Watch, state: bytes | None) -> Answer:
    """Search for the best pole; the answer is that of `answers.find`.

    options : "seconds" [s] after which it stops with the best so far; "cluster", where walls are evaluated.
    state : the checkpoint of a search of the same document.
    """
    seconds, cluster = options.get("seconds"), options.get("cluster")
    is_stopped = _stop(watch, seconds)

    def say(progress: Progress) -> None:
        gap = progress.gap if progress.gap < MOST_GAP else None
        watch.step(progress.step, progress.done, progress.of, gap)

    with _on(cluster) as on:
        finder = Finder(document_of(dict(document)), executor=on, say=say, stop=is_stopped, keep=watch.keep)
        try:
            answer = _answer(finder, seconds, state, is_stopped)
        except StoppedEarly as fault:
            raise Stopped(fault.field, fault.value, fault.want) from fault
        finally:
            data = finder.state if is_stopped() else None
            if data is not None:
                watch.keep_last(data)
    return Answer(plain_find_answer(answer), answer.is_complete and not is_stopped())


def _answer(finder: Finder, seconds: float | None, state: bytes | None, is_stopped: Callable[[], bool]) -> FindAnswer:
    """Every step; a stop during the search keeps the best so far, a stop later leaves out what is not done."""
    finder.estimate(SECONDS if seconds is None else max(seconds, SECONDS))
    finder.search(state)
    for step in (finder.trade, finder.buy):
        if not (finder.is_stopped or is_stopped()):
            step()
    return finder.answer()


def _stop(watch: Watch, seconds: float | None) -> Callable[[], bool]:
    if seconds is None:
        return watch.is_stopped
    until = time.monotonic() + seconds
    return lambda: watch.is_stopped() or time.monotonic() > until


@contextmanager
def _on(cluster: str | None) -> Iterator[Executor]:
    """Threads of this process (the kernels let go of the interpreter), or the cluster at an address."""
    if cluster is None:
        with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
            yield pool
    else:
        with executor(cluster) as pool:
            yield pool
