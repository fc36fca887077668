"""The spread of the copies of a pole as long work."""

import os
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from typing import Any

from polewright.answers.plain import plain_answer
from polewright.answers.scatter import scatter_answer
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import document_of
from polewright.errors import DesignError
from polewright.scatter import Plan
from polewright.scatter import Stopped as SamplingStopped
from polewright.scatter import Watch as SamplingWatch
from polewright.workshop.jobs.order import Answer, Stopped, Watch

__all__ = ["scatter_work"]


def scatter_work(
    document: Mapping[str, Any], options: Mapping[str, Any], *, watch: Watch, state: bytes | None
) -> Answer:
    """Sample the copies of a design; the answer is a `ScatterAnswer` as plain values.

    options : "poles" to sample, the "order" that must pass, and the "seed".
    state : nothing is kept on the way; a sampling that was stopped begins anew.
    """
    del state
    design = document_of(dict(document))
    if not isinstance(design, Design):
        raise DesignError("document", design.document, Message("want.document_kind", kinds="pole-design"))

    def watching(step: str) -> SamplingWatch:
        return SamplingWatch(partial(watch.step, step), watch.is_stopped)

    plan = Plan(int(options["poles"]), int(options["seed"]))
    try:
        with ThreadPoolExecutor(os.cpu_count() or 1) as on:
            answer = scatter_answer(design, plan=plan, order=int(options["order"]), on=on, watching=watching)
    except SamplingStopped as fault:
        raise Stopped(fault.field, fault.value, fault.want) from fault
    return Answer(plain_answer(answer), is_complete=True)
