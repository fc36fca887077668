"""Bounds of the whole-pole search: least weighted sums of figures over all poles, and the weights that bound best.

`pole_search` says what is proved and for which model.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray
from polewright.errors import DesignError
from polewright.find.brief import Brief, Shop
from polewright.find.chain import GRID, Links, chain_of
from polewright.find.found import FoundPole, Progress
from polewright.find.judged import Miss, miss_of, most_flex
from polewright.find.pole_kernel import BINS, FIGURES, Chain, Trail, backward, forward
from polewright.find.shelf import IntArray
from polewright.find.span import Spans, section_length, spans_of

__all__ = ["FIRST_ROUNDS", "Cut", "Hunt", "Problem", "Report", "Stop", "conflict_cut", "cut_of", "limit_sum",
           "priced_cuts", "problems_of", "refuse_empty", "unit_weight"]

ROUNDS = 24
"""Sets of weights tried for the limits."""
FIRST_ROUNDS = 6
"""Of these, before it is asked whether the limits exclude each other."""
Report = Callable[[Progress], None]
Stop = Callable[[], bool]


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """One number of sections, ready for the loops; carry is counted without the fitting, a constant."""

    brief: Brief
    shop: Shop
    links: Links
    spans: Spans
    chain: Chain
    sections: int

    @property
    def limits(self) -> dict[str, float]:
        """The brief's limits by name."""
        limits = self.brief.limits
        if "carry" in limits:
            limits["carry"] = max(limits["carry"] - self.shop.build.fitting * self.brief.reach, 1e-9)
        if np.isfinite(flex := most_flex(self.brief)):
            limits["flex"] = min(limits.get("flex", np.inf), flex)
        return limits

    @property
    def wide(self) -> dict[str, float]:
        """Limits widened by what the kept walls may be worse than those they stand for."""
        slack = 1.0 + self.links.slack
        return {n: v * (slack**2 if n == "droop" else slack) if v > 0.0 else v for n, v in self.limits.items()}

    def value(self) -> FloatArray:
        """Room for the table of what is still to come."""
        return np.empty((self.sections, self.chain.is_last.size, BINS, *GRID))

    def trail(self) -> Trail:
        """A branch that has not begun: the tip fitting alone."""
        n = self.sections + 1
        trail = Trail(np.zeros((n, 5)), np.zeros((n, 2)), np.ones(n))
        trail.figures[0, FIGURES.index("mass")] = self.chain.fitting
        return trail

    def found(self, path: IntArray, figures: FloatArray) -> FoundPole:
        """The pole of a path (n_section, 2) of nodes and walls."""
        nodes = [self.links.links[int(p)] for p in path[:, 0]]
        rows = [int(w - self.chain.first[p]) for p, w in path]
        values = dict(zip(FIGURES, (float(f) for f in figures), strict=True))
        values["carry"] += self.shop.build.fitting * self.brief.reach
        return FoundPole(self.brief, self.shop, tuple(n.inner for n in nodes),
                         tuple(n.recipes[r] for n, r in zip(nodes, rows, strict=True)), **values,
                         outside=np.array([n.outside[r] for n, r in zip(nodes, rows, strict=True)]),
                         length=self.spans.length)

    def miss(self, figures: FloatArray, path: IntArray) -> Miss | None:
        """The first limit asked of whole poles alone that a pole misses."""
        if not self.brief.asks_more:
            return None
        tilt = self.chain.walls[path[:, 1], 3:]
        play = self.brief.reach * float(np.sum(tilt[:-1, 0] - tilt[:-1, 1]))
        return miss_of(self.found(path, figures), slack=self.links.slack, play=play)

    def meets(self, figures: FloatArray) -> bool:
        """Whether figures (5,) keep to the brief."""
        low, high = self.window()
        return bool(np.all(figures >= low) and np.all(figures <= high))

    def window(self) -> tuple[FloatArray, FloatArray]:
        """Least and most of each figure that a pole must keep to."""
        high = np.array([self.limits.get(n, np.inf) for n in FIGURES])
        low = np.full(5, -np.inf)
        if self.brief.flex_wanted is not None:
            low[FIGURES.index("flex")] = self.brief.flex_wanted * (1.0 - self.brief.flex_within)
        return low, high


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """One choice of weights with the table of what is still to come, and the bound that it gives: of the aim, or, where
    the aim has no weight of its own, of how far the limits are missed.
    """

    weight: FloatArray
    is_aim: bool
    value: FloatArray
    bound: float
    figures: FloatArray
    path: IntArray


def limit_sum(problem: Problem, weight: FloatArray, *, is_aim: bool) -> float:
    """Sum of weight x limit over the limits, but for the aim's own."""
    return float(sum(weight[FIGURES.index(n)] * v for n, v in problem.wide.items()
                     if not (is_aim and n == problem.brief.aim)))


def cut_of(problem: Problem, weight: FloatArray, *, is_aim: bool) -> Cut | None:
    """Least weighted sum over all poles, and the pole that (nearly) has it; None where no pole fits together."""
    value, trail = problem.value(), problem.trail()
    least = backward(problem.spans, problem.chain, weight, value)
    path = np.zeros((problem.sections, 2), np.int64)
    if not np.isfinite(least) or not forward(problem.spans, problem.chain, weight, value, trail, path):
        return None
    least += weight[FIGURES.index("mass")] * problem.chain.fitting
    return Cut(weight, is_aim, value, least - limit_sum(problem, weight, is_aim=is_aim), trail.figures[-1].copy(), path)


def unit_weight(name: str, size: float = 1.0) -> FloatArray:
    """(5,) all weight on one figure."""
    weight = np.zeros(5)
    weight[FIGURES.index(name)] = size
    return weight


@dataclass(slots=True)
class Hunt:
    """The best pole so far over all numbers of sections, and what was proved."""

    best: FoundPole | None = None
    value: float = np.inf

    def offer(self, problem: Problem, figures: FloatArray, path: IntArray) -> Miss | None:
        """Keep a pole that meets the brief and is better; otherwise the limit of whole poles that it misses, if any."""
        value = float(figures[FIGURES.index(problem.brief.aim)])
        if not (value < self.value and problem.meets(figures)):
            return None
        missed = problem.miss(figures, path)
        if missed is None:
            self.best, self.value = problem.found(path, figures), value
        return missed


def priced_cuts(problem: Problem, known: list[Cut], hunt: Hunt, say: Report, stop: Stop, *,
                rounds: int = ROUNDS) -> list[Cut]:
    """Cuts with weights found by rising along the shortfalls (subgradients), the best bound first; `known` ones, the
    first with all weight on the aim, are among them.
    """
    aim, limits = problem.brief.aim, {n: v for n, v in problem.wide.items() if n != problem.brief.aim}
    at = FIGURES.index(aim)
    scale, names = known[0].figures[at], list(limits)
    price, cuts, step = np.zeros(len(names)), list(known), 1.0
    for _ in range(rounds if names else 0):
        if stop():
            break
        weight = unit_weight(aim)
        for n, p in zip(names, price, strict=True):
            weight[FIGURES.index(n)] += p * scale / limits[n]
        cut = cut_of(problem, weight, is_aim=True)
        if cut is None:
            break
        hunt.offer(problem, cut.figures, cut.path)
        if cut.bound <= max(c.bound for c in cuts):
            step *= 0.7
        cuts.append(cut)
        say(Progress("prices of the limits", hunt.value, max(c.bound for c in cuts)))
        short = np.array([cut.figures[FIGURES.index(n)] / limits[n] - 1.0 for n in names])
        size = float(np.sum(np.where((price > 0.0) | (short > 0.0), short, 0.0) ** 2))
        target = min(hunt.value, 1.5 * max(scale, *(c.bound for c in cuts)))
        if size < 1e-12 or target - cut.bound <= 1e-6 * target:
            break
        price = np.maximum(price + step * (target - cut.bound) / scale / size * short, 0.0)
    return sorted(cuts, key=lambda c: -c.bound)


def conflict_cut(problem: Problem, say: Report) -> Cut | None:
    """Weights on the limits alone that show that they exclude each other, if rising along the shortfalls finds any."""
    names, limits = list(problem.wide), problem.wide
    price = np.full(len(names), 1.0 / max(len(names), 1))
    best: Cut | None = None
    for turn in range(ROUNDS if names else 0):
        weight = sum((unit_weight(n, p / limits[n]) for n, p in zip(names, price, strict=True)), np.zeros(5))
        cut = cut_of(problem, weight, is_aim=False)
        if cut is None:
            return best
        if best is None or cut.bound > best.bound:
            best = cut
        say(Progress("whether the limits can be met together", np.inf, 0.0))
        if best.bound > 1e-6:
            return best
        short = np.array([cut.figures[FIGURES.index(n)] / limits[n] - 1.0 for n in names])
        price = np.maximum(price + 2.0 / (turn + 2.0) * short / max(np.abs(short).max(), 1e-12), 0.0)
        price /= max(price.sum(), 1e-12)
    return best


def problems_of(brief: Brief, shop: Shop, links: Links) -> list[Problem]:
    """One problem for every number of sections that closes short enough."""
    out = []
    for n in sorted(set(brief.sections)):
        length = section_length(brief, shop.build, n)
        if length + (n - 1) * shop.build.proud <= brief.closed_at_most and links.links:
            spans = spans_of(brief, shop.build, n)
            out.append(Problem(brief, shop, links, spans, chain_of(links, shop.build, spans), n))
    return out


def refuse_empty(brief: Brief, shop: Shop) -> None:
    """Raise DesignError in words where no number of sections closes short enough."""
    shortest = min(section_length(brief, shop.build, n) + (n - 1) * shop.build.proud for n in brief.sections)
    if shortest > brief.closed_at_most:
        raise DesignError("brief.closed_at_most", brief.closed_at_most, f"at least {shortest}, or more sections")
