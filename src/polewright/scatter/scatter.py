"""The whole question at once: sample the copies, and say what a shop would ask of them."""

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.confidence import CONFIDENCE
from polewright.errors import DesignError
from polewright.pole.pole import Pole
from polewright.scatter.chunks import Watch, in_chunks
from polewright.scatter.copies import copies_of, figures_of, pole_of_copy
from polewright.scatter.draw import Plan, points_of
from polewright.scatter.interval import FigureSpread, figure_spread
from polewright.scatter.matters import Index, LineShare, line_shares, lot_correlation, sobol_indices
from polewright.scatter.problem import Problem
from polewright.scatter.promise import Miss, Promise, misses, passed

__all__ = ["Sample", "nominal_figures", "sampled"]


@dataclass(frozen=True, slots=True, eq=False)
class Sample:
    """Every figure of every copy: values (n_replicate, n, n_figure) SI, names (n_figure,), nominal (n_figure,).

    points (n_replicate, n, n_input) are the chances that made the copies.
    """

    problem: Problem
    plan: Plan
    points: FloatArray
    values: FloatArray
    nominal: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("points", "values", "nominal"))

    @property
    def names(self) -> tuple[str, ...]:
        """The figures in order."""
        return self.problem.names

    def of(self, name: str) -> FloatArray:
        """One figure of every copy, (n_replicate, n) [SI unit of the figure]."""
        return np.asarray(self.values[..., self.names.index(name)])

    def pole_at(self, name: str, share: float) -> Pole:
        """The copy that `share` [-] of all copies do not exceed in a figure: 0.025 and 0.975 are the ends of a band.

        Raises
        ------
        DesignError : a figure that is not known, or a share that is none.
        """
        if name not in self.names:
            raise DesignError("figure", repr(name), Message("want.one", choices=tuple(self.names)))
        if not 0.0 <= share <= 1.0:
            raise DesignError("share", share, Message("want.between_0_1"))
        own = self.of(name).ravel()
        at = int(np.argsort(own, kind="stable")[round(share * (own.size - 1))])
        point = self.points.reshape(own.size, self.problem.inputs)[at : at + 1]
        return pole_of_copy(self.problem, copies_of(self.problem, point), 0)

    def spreads(self, *, coverage: float = CONFIDENCE) -> tuple[FigureSpread, ...]:
        """Every figure's mean, deviation and interval that holds `coverage` [-] of the copies."""
        return tuple(
            figure_spread(self.values[..., k], name=name, coverage=coverage) for k, name in enumerate(self.names)
        )

    def misses(self, promises: Sequence[Promise], *, confidence: float = CONFIDENCE) -> tuple[Miss, ...]:
        """How often each promise is missed, and last, any of them; intervals by `confidence` [-]."""
        return misses(self.values, self.names, promises, confidence=confidence)

    def line_shares(self, name: str) -> tuple[tuple[LineShare, ...], float]:
        """Share [-] that each input gives of a figure's variance, as a straight line sees it; and R2 [-]."""
        inputs = self.problem.inputs
        return line_shares(self.points.reshape(-1, inputs), self.of(name).ravel(), self.problem.groups)

    def sobol(
        self, plan: Plan, *, on: Executor | None = None, watch: Watch | None = None
    ) -> dict[str, tuple[Index, ...]]:
        """First and total indices of every group of inputs, by figure; (groups + 2) runs of the plan."""
        problem = self.problem
        found = sobol_indices(
            partial(figures_of, problem), problem.groups, inputs=problem.inputs, plan=plan, on=on, watch=watch
        )
        return dict(zip(self.names, found, strict=True))

    def lot_correlation(
        self, promises: Sequence[Promise], plan: Plan, *, on: Executor | None = None, watch: Watch | None = None
    ) -> float:
        """Correlation [-] between two poles of the same lots keeping all promises; 0 if none or all ever do."""
        found = lot_correlation(
            partial(_kept, self.problem, tuple(promises)),
            self.problem.lot_columns,
            inputs=self.problem.inputs,
            plan=plan,
            on=on,
            watch=watch,
        )
        return float(np.clip(found[0], 0.0, 1.0 - 1e-9))


def _kept(problem: Problem, promises: tuple[Promise, ...], points: FloatArray) -> FloatArray:
    return passed(figures_of(problem, points), problem.names, promises)[:, None]


def nominal_figures(problem: Problem) -> FloatArray:
    """Every figure of the pole as designed, (n_figure,) [SI unit of the figure], no input spread."""
    bare = Problem(problem.build, type(problem.spreads)(), problem.reaches)
    return np.asarray(figures_of(bare, np.empty((1, 0)))[0])


def sampled(problem: Problem, plan: Plan, *, on: Executor | None = None, watch: Watch | None = None) -> Sample:
    """Copies of a pole by a quasi-random design, every figure of each with large deflection.

    The same answer to the last bit for the same seed, on any executor and any number of workers: the pieces are fixed
    and every number is computed of its own copy alone.

    Parameters
    ----------
    on : an executor of threads, processes or a cluster; None computes here.
    watch : who is told of progress and may stop.

    Raises
    ------
    NotConverged : some copy finds no posture in balance. Stopped : the person asked for it.
    DesignError : a spread so wide that some copy cannot be.
    """
    points = points_of(plan, problem.inputs)
    flat = points.reshape(-1, problem.inputs) if problem.inputs else np.empty((plan.size, 0))
    values = in_chunks(partial(figures_of, problem), flat, on=on, watch=watch)
    return Sample(problem, plan, points, values.reshape(plan.replicates, -1, values.shape[1]), nominal_figures(problem))
