"""The worker process: does one order and ends; `python -m polewright.workshop.jobs.worker` with messages on its pipes.

It ends at once when the program that started it is gone. Ctrl+C is that program's to hear.
"""

import os
import signal
import sys
import time
import traceback
from collections.abc import Callable
from importlib import import_module
from threading import Event, Lock, Thread
from typing import IO, Any

from polewright.errors import PolewrightError
from polewright.workshop.jobs.order import Order, Stopped, Work
from polewright.workshop.jobs.plain import plain_faults
from polewright.workshop.jobs.wire import order_from, read_message, text_of, write_message

__all__ = ["main"]

OFTEN = 0.1
"""[s] at least between two words of progress within a step."""
ORPHANED = 3


class _WorkerWatch:
    """The `Watch` of the work in this process."""

    def __init__(self, out: IO[bytes], every: float) -> None:
        self._out, self._every, self._stop, self._lock = out, every, Event(), Lock()
        self._kept_at, self._said_at, self._step = time.monotonic(), 0.0, ""

    def send(self, message: dict[str, Any]) -> None:
        with self._lock:
            write_message(self._out, message)

    def stop(self) -> None:
        self._stop.set()

    def is_stopped(self) -> bool:
        return self._stop.is_set()

    def step(self, step: str, done: int = 0, of: int = 0, gap: float | None = None) -> None:
        now = time.monotonic()
        if step == self._step and done < of and now - self._said_at < OFTEN:
            return
        self._step, self._said_at = step, now
        self.send({"is": "progress", "step": step, "done": done, "of": of, "gap": gap})

    def keep(self, make: Callable[[], bytes]) -> None:
        if time.monotonic() - self._kept_at < self._every:
            return
        self.keep_last(make())

    def keep_last(self, data: bytes) -> None:
        self.send({"is": "checkpoint", "data": text_of(data)})
        self._kept_at = time.monotonic()


def main() -> None:
    """Do the order that comes first on the pipe; a stop, or the end of the pipe, may follow."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints must not come between the messages
    source = sys.stdin.buffer
    message = read_message(source)
    if message is None:
        os._exit(ORPHANED)
    order = order_from(message)
    watch = _WorkerWatch(out, order.every)
    Thread(target=_listen, args=(source, watch), daemon=True, name="stop").start()
    watch.send(_done(order, watch))
    out.flush()
    os._exit(0)  # nothing is left to close, and a thread may still wait for the pipe


def _listen(source: IO[bytes], watch: _WorkerWatch) -> None:
    while True:
        if read_message(source) is None:
            os._exit(ORPHANED)
        watch.stop()


def _done(order: Order, watch: _WorkerWatch) -> dict[str, Any]:
    """The last message: an answer, a refusal, or the name of the fault that ended the work."""
    module, _, name = order.work.partition(":")
    try:
        work: Work = getattr(import_module(module), name)
        answer = work(order.document, order.options, watch=watch, state=order.state)
    except PolewrightError as fault:
        is_stopped = watch.is_stopped() or isinstance(fault, Stopped)
        return {"is": "refused", "faults": plain_faults(fault.faults), "is_stopped": is_stopped}
    except Exception as fault:
        traceback.print_exc()
        return {"is": "crashed", "error": type(fault).__name__}
    return {"is": "answer", "plain": answer.plain, "is_complete": answer.is_complete}


if __name__ == "__main__":
    main()
