"""Bands of copies under way, one a pole: at once from a few copies, then growing aside until another hold is asked."""

import os
from collections.abc import Hashable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from threading import Event, Lock, Thread, main_thread

from polewright.codes import Message
from polewright.errors import PolewrightError
from polewright.scatter import Stopped, Watch
from polewright.workshop.hold_band import STEPS, Lines, Sampling, lines_of

__all__ = ["BandState", "Bands"]

FIRST = 20.0  # [s] at most until the first few copies are there
MOST_KEPT = 8


@dataclass(frozen=True, slots=True, eq=False)
class BandState:
    """How a band stands: its lines (None: none yet), copies tried and to be tried, whether more are coming, a fault."""

    lines: Lines | None
    done: int
    of: int
    is_growing: bool
    is_stopped: bool = False
    fault: Message | str = ""


class _Growth:
    """The copies of one hold, in a thread of its own with as many beside it as there are cores."""

    def __init__(self, about: Hashable, sampling: Sampling) -> None:
        self.about = about
        self._stop, self._first, self._lock = Event(), Event(), Lock()
        self._state = BandState(None, 0, STEPS[-1], True)
        self._sampling = sampling
        self._thread = Thread(target=self._work, daemon=True, name="band")
        self._thread.start()

    @property
    def state(self) -> BandState:
        """How it stands, after the first few copies."""
        self._first.wait(FIRST)
        with self._lock:
            return self._state

    def stop(self) -> None:
        """End after the copy in hand; what is there stays."""
        self._stop.set()

    def wait(self, seconds: float) -> None:
        self._thread.join(seconds)

    def _is_stopped(self) -> bool:
        return self._stop.is_set() or not main_thread().is_alive()

    def _tell(self, **changes: object) -> None:
        with self._lock:
            self._state = replace(self._state, **changes)  # type: ignore[arg-type]

    def _work(self) -> None:
        lines: Lines | None = None
        try:
            for most in STEPS:
                lines = self._next(lines, most)
                self._tell(lines=lines, done=lines.copies)
                self._first.set()
            self._tell(is_growing=False)
        except Stopped:
            self._tell(is_growing=False, is_stopped=True, done=0 if lines is None else lines.copies)
        except PolewrightError as fault:
            self._tell(is_growing=False, fault=fault.want)
        except Exception as fault:
            self._tell(is_growing=False, fault=Message("band.failed", error=type(fault).__name__))
            raise
        finally:
            self._first.set()

    def _next(self, lines: Lines | None, most: int) -> Lines:
        if lines is None:
            return lines_of(self._sampling, None, most, is_stopped=self._is_stopped)
        known = lines.copies
        watch = Watch(lambda done, of: self._tell(done=known + (most - known) * done // max(of, 1)), self._is_stopped)
        with ThreadPoolExecutor(os.cpu_count() or 1, thread_name_prefix="band") as pool:
            return lines_of(self._sampling, lines, most, on=pool, watch=watch, is_stopped=self._is_stopped)


class Bands:
    """The bands of a running app, by the pole's address; a pole has one at a time, and another hold ends it."""

    def __init__(self) -> None:
        self._growths: dict[str, _Growth] = {}
        self._lock = Lock()

    def grow(self, slug: str, about: Hashable, sampling: Sampling) -> BandState:
        """How the band of this hold stands, begun if it is not under way; any other of the pole ends."""
        with self._lock:
            growth = self._growths.get(slug)
            if growth is None or growth.about != about:
                if growth is not None:
                    growth.stop()
                growth = self._growths[slug] = _Growth(about, sampling)
                while len(self._growths) > MOST_KEPT:
                    self._growths.pop(next(iter(self._growths))).stop()
        return growth.state

    def leave(self, slug: str, about: Hashable) -> None:
        """End the pole's band unless it is of this hold."""
        with self._lock:
            growth = self._growths.get(slug)
        if growth is not None and growth.about != about:
            growth.stop()

    def stop(self, slug: str) -> None:
        """End the pole's band; the copies there stay."""
        with self._lock:
            growth = self._growths.get(slug)
        if growth is not None:
            growth.stop()

    def wait(self, slug: str, seconds: float) -> BandState | None:
        """How it stands after it ended, or after so many seconds."""
        with self._lock:
            growth = self._growths.get(slug)
        if growth is None:
            return None
        growth.wait(seconds)
        return growth.state
