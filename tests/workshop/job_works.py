"""Work for the tests of the runner: counts, waits where it is told to, and fails in every way there is."""

import os
import signal
import sys
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.workshop.jobs.order import Answer, Watch


def count(document: Mapping[str, Any], options: Mapping[str, Any], *, watch: Watch, state: bytes | None) -> Answer:
    """Count to options["to"], from the number in `state`; at options["hold"] wait until the file options["gate"] is
    there or a stop is asked for.
    """
    sys.stdout.write("noise that a library makes\n")
    begun = number = int(state or b"0")
    while number < options["to"]:
        if number == options.get("hold") and not Path(options["gate"]).exists():
            if watch.is_stopped():
                break
            time.sleep(0.005)
        else:
            number += 1
        watch.step("walls", number, options["to"], 1.0 / number)
        watch.keep(lambda counted=number: str(counted).encode())
    if number == 0:
        raise DesignError("search", None, Message("want.finite"))
    return Answer(
        {"begun": begun, "number": number, "name": document["name"], "blas": os.environ["OPENBLAS_NUM_THREADS"]},
        number == options["to"],
    )


def search(document: Mapping[str, Any], options: Mapping[str, Any], *, watch: Watch, state: bytes | None) -> Answer:
    """A search that evaluates three walls of nine, waits for the file named by TEST_GATE, and finds nothing."""
    watch.step("walls", 3, 9)
    while not Path(os.environ["TEST_GATE"]).exists() and not watch.is_stopped():
        time.sleep(0.005)
    raise DesignError("search", None, Message("want.finite"))


def refuse(document: Mapping[str, Any], options: Mapping[str, Any], *, watch: Watch, state: bytes | None) -> Answer:
    raise DesignError("brief.reach", 0.25, Message("want.finite", limits=(1.0, Message("want.finite"))))


def crash(document: Mapping[str, Any], options: Mapping[str, Any], *, watch: Watch, state: bytes | None) -> Answer:
    return Answer({"third": 1 / int(options.get("by", 0))}, True)


def die(document: Mapping[str, Any], options: Mapping[str, Any], *, watch: Watch, state: bytes | None) -> Answer:
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError
