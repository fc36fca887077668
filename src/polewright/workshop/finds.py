"""Searches under way, one a pole: begun, looked at, stopped, taken; the last answer is kept while the app runs."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from threading import Event, Lock, Thread

from polewright.documents.brief_file import BriefDocument
from polewright.documents.design import Design
from polewright.documents.find_of import Answer, Finder
from polewright.errors import PolewrightError, StockError
from polewright.search import Progress
from polewright.words import default_reader

__all__ = ["FindState", "Finds"]

MOST_KEPT = 32


@dataclass(frozen=True, slots=True, eq=False)
class FindState:
    """How a search stands: what is being done, the gap so far [-] (None: no pole yet), and its answer or refusal.

    asked : content hash of what was searched for, to tell an answer for an older state of the pole. can_go_on : it was
    stopped, and can be gone on with from there.
    """

    asked: str
    doing: str
    gap: float | None
    is_done: bool
    answer: Answer | None = None
    fault: str = ""
    can_go_on: bool = False


class _Run:
    """One search in a thread of its own; the process need not wait for it to end."""

    def __init__(self, document: Design | BriefDocument, begin: Callable[..., Finder], about: str) -> None:
        self._stop, self._lock = Event(), Lock()
        self._state = FindState(about, "beginning", None, False)
        self._document, self._begin = document, begin
        self._finder: Finder | None = None
        self._thread = Thread(target=self._work, daemon=True, name="find")
        self._thread.start()

    @property
    def state(self) -> FindState:
        with self._lock:
            return self._state

    def stop(self) -> None:
        self._stop.set()

    def go_on(self) -> None:
        """Go on from where it was stopped."""
        with self._lock:
            self._state = replace(
                self._state, doing="going on", gap=None, is_done=False, answer=None, fault="", can_go_on=False
            )
        self._stop.clear()
        self._thread = Thread(target=self._work, daemon=True, name="find")
        self._thread.start()

    def wait(self, seconds: float) -> None:
        self._thread.join(seconds)

    def _tell(
        self, doing: str, gap: float | None, answer: Answer | None = None, *, fault: str = "", is_done: bool = False
    ) -> None:
        can_go_on = is_done and self._finder is not None and self._finder.can_go_on
        with self._lock:
            self._state = FindState(self._state.asked, doing, gap, is_done, answer, fault, can_go_on)

    def _say(self, progress: Progress) -> None:
        step = default_reader().say(f"job.step.{progress.step}", done=progress.done, of=progress.of)
        self._tell(step, progress.gap if progress.gap < 10.0 else self.state.gap)

    def _work(self) -> None:
        try:
            finder = self._finder
            if finder is None:
                finder = self._finder = self._begin(self._document, say=self._say, stop=self._stop.is_set)
                self._tell(finder.estimate(), None)
                finder.search()
            else:
                finder.go_on()
            for step in (finder.trade, finder.buy):
                if not (finder.is_stopped or self._stop.is_set()):
                    step()
            answer = finder.answer()
            self._tell("done" if answer.report.is_complete else "stopped", None, answer, is_done=True)
        except PolewrightError as fault:
            self._tell("refused", None, fault=default_reader().refusal(fault), is_done=True)
        except Exception as fault:
            self._tell("refused", None, fault=f"the search failed ({type(fault).__name__})", is_done=True)
            raise


class Finds:
    """The searches of a running app, by the pole's address; each pole has one at a time, the app two."""

    def __init__(self, begin: Callable[..., Finder] = Finder, *, at_once: int = 2) -> None:
        self._runs: dict[str, _Run] = {}
        self._lock, self._begin, self._at_once = Lock(), begin, at_once

    def start(self, slug: str, document: Design | BriefDocument, *, about: str = "") -> FindState:
        """Begin a search in place of the pole's last one; `about` is the content hash of the pole it is for.

        Raises
        ------
        StockError : this pole's search, or as many others as the machine bears, are still under way.
        """
        with self._lock:
            busy = [s for s, run in self._runs.items() if not run.state.is_done]
            if slug in busy:
                raise StockError("find", slug, "is being searched already; stop that search first")
            if len(busy) >= self._at_once:
                raise StockError("find", ", ".join(busy), "are being searched; wait for one, or stop it")
            self._runs.pop(slug, None)
            self._runs[slug] = _Run(document, self._begin, about or document.content_hash())
            while len(self._runs) > MOST_KEPT:
                self._runs.pop(next(s for s, run in self._runs.items() if run.state.is_done))
            return self._runs[slug].state

    def look(self, slug: str) -> FindState | None:
        """How the pole's search stands; None if there was none."""
        with self._lock:
            run = self._runs.get(slug)
        return None if run is None else run.state

    def stop(self, slug: str) -> None:
        """Ask the pole's search to keep the best so far and end."""
        with self._lock:
            run = self._runs.get(slug)
        if run is not None:
            run.stop()

    def go_on(self, slug: str) -> None:
        """Go on with the pole's search from where it was stopped.

        Raises
        ------
        StockError : there is none that was stopped, or the machine is busy with others.
        """
        with self._lock:
            run = self._runs.get(slug)
            if run is None or not run.state.can_go_on:
                raise StockError("find", slug, "has no stopped search to go on with; search again")
            busy = [s for s, other in self._runs.items() if not other.state.is_done]
            if len(busy) >= self._at_once:
                raise StockError("find", ", ".join(busy), "are being searched; wait for one, or stop it")
            run.go_on()

    def wait(self, slug: str, seconds: float) -> FindState | None:
        """How it stands after it ended, or after so many seconds."""
        with self._lock:
            run = self._runs.get(slug)
        if run is not None:
            run.wait(seconds)
        return self.look(slug)

    def close(self) -> None:
        """Ask all searches to end."""
        with self._lock:
            runs = list(self._runs.values())
        for run in runs:
            run.stop()
