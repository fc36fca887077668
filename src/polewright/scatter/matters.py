"""Which input matters most: variance-based indices, and beside them the shares of a straight line."""

from collections.abc import Mapping
from concurrent.futures import Executor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError, refuse_unless_finite
from polewright.scatter.chunks import Task, Watch, in_chunks
from polewright.scatter.draw import Plan, points_of
from polewright.scatter.interval import Sampled

__all__ = ["Index", "LineShare", "line_shares", "lot_correlation", "sobol_indices"]

Groups = Mapping[str, NDArray[np.int64]]


@dataclass(frozen=True, slots=True)
class Index:
    """Share of a figure's variance that a group of inputs makes by itself (first), and with all it joins (total)."""

    group: str
    first: Sampled
    total: Sampled


@dataclass(frozen=True, slots=True)
class LineShare:
    """Share [-] of a figure's variance that a straight line in a group's inputs explains."""

    group: str
    share: float


def sobol_indices(
    task: Task, groups: Groups, *, inputs: int, plan: Plan, on: Executor | None = None, watch: Watch | None = None
) -> tuple[tuple[Index, ...], ...]:
    """Sobol' indices of each group of inputs, for every figure that `task` gives, in its order.

    Two designs A and B, and for each group A with the group's columns from B: (groups + 2) runs of the plan. First:
    mean(f(B) (f(AB) - f(A))) / V; total: mean((f(A) - f(AB))^2) / (2 V). Errors from the plan's replicates.

    Parameters
    ----------
    groups : columns by name; together they need not be all inputs.
    inputs : number of columns of the points that `task` takes.

    Source
    ------
    I. M. Sobol', Sensitivity estimates for nonlinear mathematical models, 1993; A. Saltelli et al., Variance based
    sensitivity analysis of model output, Computer Physics Communications 181, 2010, table 2 (b) and (f), the latter
    after M. J. W. Jansen, Computer Physics Communications 117, 1999.
    """
    if not groups or inputs < 1:
        raise DesignError("spreads", Message("given.none"), Message("want.at_least_one_spread_above_zero"))
    both = points_of(plan, 2 * inputs, stream=1)
    a, b = both[..., :inputs], both[..., inputs:]
    mixed = []
    for columns in groups.values():
        swapped = a.copy()
        swapped[..., columns] = b[..., columns]
        mixed.append(swapped)
    runs = np.concatenate([a, b, *mixed]).reshape(-1, inputs)
    found = in_chunks(task, runs, on=on, watch=watch)
    found = found.reshape(len(groups) + 2, plan.replicates, -1, found.shape[1])
    return tuple(_of_figure(found[..., k], tuple(groups)) for k in range(found.shape[-1]))


def _of_figure(found: FloatArray, names: tuple[str, ...]) -> tuple[Index, ...]:
    """The indices of one figure from its runs, (n_group + 2, n_replicate, n)."""
    f_a, f_b = found[0], found[1]
    middle = 0.5 * (f_a.mean() + f_b.mean())
    variance = 0.5 * (f_a.var() + f_b.var())
    rows = []
    for name, f_ab in zip(names, found[2:], strict=True):
        first = ((f_b - middle) * (f_ab - f_a)).mean(axis=1)
        total = 0.5 * ((f_a - f_ab) ** 2).mean(axis=1)
        rows.append(Index(name, _shared(first, variance), _shared(total, variance)))
    return tuple(rows)


def _shared(own: FloatArray, variance: float) -> Sampled:
    """A share of the variance from the replicates' own parts; of a figure that does not stray, nothing."""
    if variance <= 0.0:
        return Sampled(0.0, 0.0, own.size - 1.0)
    return Sampled(
        float(own.mean() / variance), float(np.std(own, ddof=1) / np.sqrt(own.size) / variance), own.size - 1.0
    )


def line_shares(points: FloatArray, values: FloatArray, groups: Groups) -> tuple[tuple[LineShare, ...], float]:
    """Share [-] of one figure's variance by a straight line in the normal scores of the inputs; and that of all, R2.

    Sum of squared standardised regression coefficients over a group, less what chance alone would give them. Whatever
    R2 leaves to 1 is curved or joint and not seen here; the Sobol' indices see it.

    Parameters
    ----------
    points : (n, n_input) [-] chances; values : (n,) [any unit].

    Raises
    ------
    DesignError : fewer than twice as many points as inputs.

    Source
    ------
    A. Saltelli et al., Global Sensitivity Analysis: The Primer, 2008, ch. 1: standardised regression coefficients.
    """
    points, values = np.asarray(points, float), np.asarray(values, float)
    if points.ndim != 2 or values.shape != points.shape[:1]:
        raise DesignError("values", values.shape, Message("want.one_each_points", shape=str(points.shape)))
    refuse_unless_finite(values=values)
    if not np.all((points > 0.0) & (points < 1.0)):
        raise DesignError("points", Message("given.not_all_inside"), Message("want.chances_between_0_1"))
    n, inputs = points.shape
    if n < 2 * (inputs + 1):
        raise DesignError("poles", n, Message("want.at_least_inputs", limit=2 * (inputs + 1), inputs=inputs))
    from scipy.special import ndtri  # 14 MB and a tenth of a second: only who asks pays

    scores, own = ndtri(points), values - values.mean()
    scores = scores - scores.mean(axis=0)
    variance = float(own @ own) / (n - 1)
    if variance <= 0.0 or inputs == 0:
        return tuple(LineShare(g, 0.0) for g in groups), 1.0
    inverse = np.linalg.inv(scores.T @ scores)
    slope = inverse @ (scores.T @ own)
    rest = float(np.sum((own - scores @ slope) ** 2)) / (n - 1 - inputs)
    share = (slope**2 - rest * np.diag(inverse)) * scores.var(axis=0, ddof=1) / variance
    rows = tuple(LineShare(g, max(float(share[columns].sum()), 0.0)) for g, columns in groups.items())
    return rows, 1.0 - rest / variance


def lot_correlation(
    task: Task,
    shared: NDArray[np.int64],
    *,
    inputs: int,
    plan: Plan,
    on: Executor | None = None,
    watch: Watch | None = None,
) -> FloatArray:
    """Correlation [-] of every figure between two poles that share some inputs, (n_figure,): those of a lot.

    Pairs of copies with the `shared` columns alike and all others independent; one half of the variance of their
    difference against the variance. A figure of ones and zeros (a promise kept) may be among them.

    Source
    ------
    The closed index of a group, I. M. Sobol', 1993, by M. J. W. Jansen's formula, 1999; intraclass correlation.
    """
    both = points_of(plan, 2 * inputs, stream=2)
    first, second = both[..., :inputs].reshape(-1, inputs), both[..., inputs:].reshape(-1, inputs).copy()
    second[:, shared] = first[:, shared]
    found = in_chunks(task, np.concatenate([first, second]), on=on, watch=watch)
    half = first.shape[0]
    f, g = found[:half], found[half:]
    variance = 0.5 * (f.var(axis=0) + g.var(axis=0))
    apart = 0.5 * np.mean((f - g) ** 2, axis=0)
    return np.where(variance > 0.0, 1.0 - apart / np.where(variance > 0.0, variance, 1.0), 0.0)
