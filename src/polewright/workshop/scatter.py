"""The spread of the copies of a design, for whoever asks; in the workshop one sampling a pole at a time, as a job."""

from collections.abc import Mapping
from typing import Any

from polewright.answers.plain import answer_from
from polewright.answers.scatter import (
    FigureBand,
    MatterShare,
    PromiseChance,
    ScatterAnswer,
    ScatterFigure,
    scatter_answer,
)
from polewright.documents.design import Design
from polewright.documents.values import workpiece
from polewright.scatter import Plan
from polewright.workshop.jobs import Job, Jobs

__all__ = [
    "FigureBand",
    "MatterShare",
    "PromiseChance",
    "Samplings",
    "ScatterAnswer",
    "ScatterFigure",
    "answer_of",
    "sample_plan",
    "scatter_answer",
]

SCATTER = "scatter"


def sample_plan(poles: int, seed: int) -> Plan:
    """So many copies by a seed.

    Raises
    ------
    DesignError : too few copies, or a seed that is none.
    """
    return Plan(poles, seed)


def answer_of(plain: Mapping[str, Any]) -> ScatterAnswer:
    """The answer of a sampling again, from the plain values that its job keeps."""
    return answer_from(ScatterAnswer, plain)


class Samplings:
    """The samplings of a workshop by the address of the pole."""

    def __init__(self, jobs: Jobs) -> None:
        self._jobs = jobs

    def start(self, slug: str, design: Design, *, poles: int, order: int, seed: int = 1, who: str = "") -> Job:
        """Sample so many copies of a pole, for an order of so many that must pass.

        Raises
        ------
        StockError : this pole's sampling is under way. DocumentError : the design cannot be built.
        """
        workpiece(design)
        options = {"poles": poles, "order": order, "seed": seed}
        about = design.content_hash()
        return self._jobs.start(SCATTER, design, subject=slug, about=about, options=options, who=who)

    def latest(self, slug: str) -> Job | None:
        """The pole's newest sampling; None if there was none."""
        return self._jobs.latest(SCATTER, slug)

    def answer(self, slug: str) -> ScatterAnswer | None:
        """What the pole's newest sampling gave; None where it gave nothing, or an earlier version kept it."""
        job = self.latest(slug)
        plain = None if job is None else self._jobs.answer(job.number)
        return None if plain is None else answer_of(plain)

    def stop(self, slug: str) -> None:
        """Ask the pole's sampling to end; nothing of it is kept."""
        job = self.latest(slug)
        if job is not None:
            self._jobs.stop(job.number)
