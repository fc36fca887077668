"""One job without a workshop: as a command runs it, with its checkpoints given to the caller."""

from collections.abc import Callable, Mapping
from queue import SimpleQueue
from typing import Any

from polewright.documents.document import Document
from polewright.workshop.jobs.job import JobProgress
from polewright.workshop.jobs.kinds import KINDS, Kind
from polewright.workshop.jobs.order import Order
from polewright.workshop.jobs.process import Checkpoint, End, Event, JobProcess

__all__ = ["LoneJob"]


class LoneJob:
    """A job of a kind in a process of its own, kept nowhere but by its caller."""

    def __init__(
        self,
        kind: str,
        document: Document,
        *,
        options: Mapping[str, Any] | None = None,
        state: bytes | None = None,
        kinds: Mapping[str, Kind] = KINDS,
        every: float = 5.0,
    ) -> None:
        self._order = Order(kinds[kind].work, document.plain(), dict(options or {}), state, every)
        self._events: SimpleQueue[Event | None] = SimpleQueue()

    def stop(self) -> None:
        """Ask it to end with the best so far; asked again, it is ended at once. May be called in a signal handler."""
        self._events.put(None)

    def run(self, *, say: Callable[[JobProgress], None], keep: Callable[[bytes], None]) -> End:
        """Do it to its end; `say` and `keep` are called in this thread, and the process is gone afterwards."""
        process, is_stop_asked = JobProcess(self._order, self._events.put), False
        try:
            while not isinstance(event := self._events.get(), End):
                if event is None:
                    (process.kill if is_stop_asked else process.stop)()
                    is_stop_asked = True
                elif isinstance(event, Checkpoint):
                    keep(event.data)
                else:
                    say(event)
            return event
        finally:
            process.kill()
            process.wait()
