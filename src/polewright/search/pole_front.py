"""The trade between droop, mass and cost of whole poles, with the gap of every pole on it."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from polewright.arrays import FloatArray
from polewright.search.brief import Brief, Shop
from polewright.search.candidate import FoundPole
from polewright.search.chain import Links, brief_base, links_of
from polewright.search.pole_arrays import FIGURES
from polewright.search.pole_bound import Cut, Problem, cut_of, problems_of

__all__ = ["pole_front"]


def pole_front(
    brief: Brief,
    shop: Shop,
    *,
    steps: int = 5,
    digits: int = 5,
    links: Links | None = None,
    stop: Callable[[], bool] | None = None,
) -> tuple[tuple[FoundPole, ...], FloatArray]:
    """Poles on the trade between droop, mass and cost, each with its gap (n,) [-], within base and closed length.

    For steps x steps weights of mass and cost against droop, the pole of least weighted sum; of those the ones that no
    other beats. The gap of each: by how much droop could be lower at no more mass and cost, by all the weights tried.
    stop : asked before each weight; true ends with no poles, for their gaps would not be proved.
    """
    links = links or links_of(shop, brief_base(brief, shop), digits=digits)
    free = replace(
        brief,
        aim="droop",
        droop_at_most=np.inf,
        mass_at_most=np.inf,
        cost_at_most=np.inf,
        carry_at_most=np.inf,
        flex_wanted=None,
        droops=(),
        flexes=(),
        swing_at_least=0.0,
    )
    found: list[FoundPole] = []
    cuts: list[list[Cut]] = []
    for problem in problems_of(free, shop, links):
        own = []
        for weight in _trades(problem, steps):
            cut = None if stop is not None and stop() else cut_of(problem, weight, is_aim=True)
            if cut is not None:
                own.append(cut)
                found.append(problem.found(cut.path, cut.figures))
        if own:
            cuts.append(own)
    if stop is not None and stop():
        return (), np.empty(0)
    kept = _best_of(found)
    slack = (1.0 + links.slack) ** 2
    gaps = [p.droop / (min(_least_droop(own, p, links.slack) for own in cuts) / slack) - 1.0 for p in kept]
    return tuple(kept), np.array(gaps)


def _trades(problem: Problem, steps: int) -> list[FloatArray]:
    """Weights of mass and cost against droop, over the range where they matter."""
    base = cut_of(problem, problem.weight("droop"), is_aim=True)
    if base is None:
        return []
    droop, mass, cost = (float(base.figures[FIGURES.index(n)]) for n in ("droop", "mass", "cost"))
    rates = [0.0, *np.geomspace(0.05, 5.0, steps - 1)]
    per_mass, per_cost = droop / mass, droop / max(cost, 1e-9)
    return [
        problem.weight("droop") + problem.weight("mass", a * per_mass) + problem.weight("cost", b * per_cost)
        for a in rates
        for b in rates
    ]


def _least_droop(cuts: list[Cut], pole: FoundPole, slack: float) -> float:
    """Lower bound of the droop [m] of anything that weighs and costs no more than this pole."""
    mass, cost = FIGURES.index("mass"), FIGURES.index("cost")
    return float(max(c.bound - (1.0 + slack) * (c.weight[mass] * pole.mass + c.weight[cost] * pole.cost) for c in cuts))


def _best_of(poles: list[FoundPole]) -> list[FoundPole]:
    """Those that no other equals or beats in droop, mass and cost; by rising droop."""
    kept: list[FoundPole] = []
    for p in sorted(poles, key=lambda p: (p.droop, p.mass, p.cost)):
        if not any(q.mass <= p.mass and q.cost <= p.cost for q in kept):
            kept.append(p)
    return kept
