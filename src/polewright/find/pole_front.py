"""The whole pole: bars, walls and sections together, the best within the limits, with a proved lower bound.

What is proved, and for which model
-----------------------------------
The bound is for the small-deflection model of `span`. Droop is a sum over regions of (moment ahead x arm)/EI with
moment linear in the masses of the sections nearer the tip; flex, mass, cost and carry moment are sums over sections.

1. *Walls.* On each bar and for each next bar, best_walls gives every wall that fits and that no other beats in EI,
   mass and cost within the same slice of the clearance window. Figures equal to `digits` digits count once, so a wall
   left out has one kept that is worse by at most `slack` in each. A pole with walls left out is then matched by one of
   kept walls with mass, cost and carry no more than (1 + slack) and droop no more than (1 + slack)^2 of its own, the
   tilt of each joint taken at the least of its slice. So limits are widened by that much for the bound, and the bound
   is divided by it.
2. *Weights.* For weights w >= 0, min over all poles of sum(w figure) less sum(w limit) bounds the aim from below
   (Lagrange); with no weight on the aim, a positive value shows that the limits exclude each other.
3. *That minimum* is bounded by going from the butt to the tip. What is still to come, for given bar, next bar and EI
   of the present section, is a least of functions linear in the moment and mass ahead, so it is concave in these
   two; between the points of a grid a straight line lies below it. EI of the present section matters in the overlap
   alone, and is taken as the most of its bin.
4. *Branch and bound* from tip to butt drops every beginning whose bound, times (1 + tolerance), reaches the best pole
   found. When nothing is left the least bound dropped, or the best pole, is a lower bound for all.

One thread does it all in a fixed order: the same answer whatever the machine.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from polewright.arrays import FloatArray
from polewright.find.brief import Brief, Shop
from polewright.find.certificate import Certificate, Ledger
from polewright.find.chain import GRID, Links, brief_base, chain_of, links_of, ways_of
from polewright.find.found import FoundPole, Progress
from polewright.find.pole_kernel import BINS, FIGURES, Chain, IntArray, Stack, Trail, backward, branch, forward
from polewright.find.span import Spans, section_length, spans_of

__all__ = ["PoleSearch", "SearchState", "best_pole", "pole_front"]

MODEL = ("level pole, small deflections, walls added in overlaps, joints as springs and free tilts; "
         "shear and the weight between the supports left out")
_ROUNDS = 24
_SLICE = 3_000_000
Report = Callable[[Progress], None]
Stop = Callable[[], bool]


@dataclass(frozen=True, slots=True, eq=False)
class _Problem:
    """One number of sections, ready for the loops; carry is counted without the fitting, a constant."""

    brief: Brief
    shop: Shop
    links: Links
    spans: Spans
    chain: Chain
    sections: int

    @property
    def limits(self) -> dict[str, float]:
        limits = self.brief.limits
        if "carry" in limits:
            limits["carry"] -= self.shop.build.fitting * self.brief.reach
        return limits

    @property
    def wide(self) -> dict[str, float]:
        """Limits widened by what the kept walls may be worse than those they stand for."""
        slack = 1.0 + self.links.slack
        return {n: v * (slack**2 if n == "droop" else slack) if v > 0.0 else v for n, v in self.limits.items()}

    def value(self) -> FloatArray:
        return np.empty((self.sections, self.chain.is_last.size, BINS, *GRID))

    def trail(self) -> Trail:
        n = self.sections + 1
        trail = Trail(np.zeros((n, 5)), np.zeros((n, 2)), np.ones(n))
        trail.figures[0, FIGURES.index("mass")] = self.chain.fitting
        return trail

    def found(self, path: IntArray, figures: FloatArray) -> FoundPole:
        nodes = [self.links.links[int(p)] for p in path[:, 0]]
        rows = [int(w - self.chain.first[p]) for p, w in path]
        values = dict(zip(FIGURES, (float(f) for f in figures), strict=True))
        values["carry"] += self.shop.build.fitting * self.brief.reach
        return FoundPole(self.brief, self.shop, tuple(n.inner for n in nodes),
                         tuple(n.recipes[r] for n, r in zip(nodes, rows, strict=True)), **values,
                         outside=np.array([n.outside[r] for n, r in zip(nodes, rows, strict=True)]),
                         length=self.spans.length)

    def meets(self, figures: FloatArray) -> bool:
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
class _Cut:
    """One choice of weights with the table of what is still to come, and the bound that it gives: of the aim, or, where
    the aim has no weight of its own, of how far the limits are missed."""

    weight: FloatArray
    is_aim: bool
    value: FloatArray
    bound: float
    figures: FloatArray
    path: IntArray


def _fixed(problem: _Problem, weight: FloatArray, *, is_aim: bool) -> float:
    """Sum of weight x limit over the limits, but for the aim's own."""
    return float(sum(weight[FIGURES.index(n)] * v for n, v in problem.wide.items()
                     if not (is_aim and n == problem.brief.aim)))


def _cut(problem: _Problem, weight: FloatArray, *, is_aim: bool) -> _Cut | None:
    """Least weighted sum over all poles, and the pole that (nearly) has it; None where no pole fits together."""
    value, trail = problem.value(), problem.trail()
    least = backward(problem.spans, problem.chain, weight, value)
    path = np.zeros((problem.sections, 2), np.int64)
    if not np.isfinite(least) or not forward(problem.spans, problem.chain, weight, value, trail, path):
        return None
    least += weight[FIGURES.index("mass")] * problem.chain.fitting
    return _Cut(weight, is_aim, value, least - _fixed(problem, weight, is_aim=is_aim), trail.figures[-1].copy(), path)


def _unit(name: str, size: float = 1.0) -> FloatArray:
    weight = np.zeros(5)
    weight[FIGURES.index(name)] = size
    return weight


@dataclass(slots=True)
class _Hunt:
    """The best pole so far over all numbers of sections, and what was proved."""

    best: FoundPole | None = None
    value: float = np.inf

    def offer(self, problem: _Problem, figures: FloatArray, path: IntArray) -> None:
        value = float(figures[FIGURES.index(problem.brief.aim)])
        if value < self.value and problem.meets(figures):
            self.best, self.value = problem.found(path, figures), value


def _prices(problem: _Problem, alone: _Cut, hunt: _Hunt, say: Report, stop: Stop) -> list[_Cut]:
    """Cuts with weights found by rising along the shortfalls (subgradients), the best bound first."""
    aim, limits = problem.brief.aim, {n: v for n, v in problem.wide.items() if n != problem.brief.aim}
    at = FIGURES.index(aim)
    scale, names = alone.figures[at], list(limits)
    price, cuts, step = np.zeros(len(names)), [alone], 1.0
    for _ in range(_ROUNDS if names else 0):
        if stop():
            break
        weight = _unit(aim)
        for n, p in zip(names, price, strict=True):
            weight[FIGURES.index(n)] += p * scale / limits[n]
        cut = _cut(problem, weight, is_aim=True)
        if cut is None:
            break
        hunt.offer(problem, cut.figures, cut.path)
        if cut.bound <= max(c.bound for c in cuts):
            step *= 0.7
        cuts.append(cut)
        say(Progress("prices of the limits", hunt.value, max(c.bound for c in cuts)))
        short = np.array([cut.figures[FIGURES.index(n)] / limits[n] - 1.0 for n in names])
        size = float(np.sum(np.where((price > 0.0) | (short > 0.0), short, 0.0) ** 2))
        target = min(hunt.value, 1.5 * max(scale, max(c.bound for c in cuts)))
        if size < 1e-12 or target - cut.bound <= 1e-6 * target:
            break
        price = np.maximum(price + step * (target - cut.bound) / scale / size * short, 0.0)
    return sorted(cuts, key=lambda c: -c.bound)


def _conflict(problem: _Problem, say: Report) -> _Cut | None:
    """Weights on the limits alone that show that they exclude each other, if rising along the shortfalls finds any."""
    names, limits = list(problem.wide), problem.wide
    price = np.full(len(names), 1.0 / max(len(names), 1))
    best: _Cut | None = None
    for turn in range(_ROUNDS if names else 0):
        weight = sum((_unit(n, p / limits[n]) for n, p in zip(names, price, strict=True)), np.zeros(5))
        cut = _cut(problem, weight, is_aim=False)
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


@dataclass(slots=True)
class _Part:
    """Branch and bound for one number of sections."""

    problem: _Problem
    cuts: list[_Cut]
    stack: Stack
    ways: IntArray
    in_all: int
    done: bool = False

    @property
    def bound(self) -> float:
        """Lower bound of the aim over these poles as far as proved."""
        root = max((c.bound for c in self.cuts if c.is_aim), default=0.0)
        return max(min(float(self.stack.least[0]), float(self.stack.best[0])), root) if self.done else root


@dataclass(frozen=True, slots=True, eq=False)
class SearchState:
    """Where a stopped search stands; it may be kept, pickled and gone on with."""

    hunt: "_Hunt"
    parts: tuple[_Part, ...]


@dataclass(frozen=True, slots=True, eq=False)
class PoleSearch:
    """The answer: best pole (None: none meets the limits), proved lower bound of the aim, gap, certificate.

    is_complete: whether every candidate was dealt with; `state` goes into `best_pole(..., resume=state)` to go on.
    """

    best: FoundPole | None
    bound: float
    certificate: Certificate
    is_complete: bool
    state: "SearchState | None" = None

    @property
    def gap(self) -> float:
        """[-] by how much anything could be better than the best pole; inf where there is none."""
        if self.best is None:
            return np.inf
        return max(self.best.figure(self.best.brief.aim) / self.bound - 1.0, 0.0) if self.bound > 0.0 else np.inf


def _stack(problem: _Problem) -> Stack:
    n, room = problem.sections, len(problem.chain.walls)
    return Stack(np.zeros(1, np.int64), np.zeros((n, room, 2), np.int64), np.zeros((n, room)),
                 np.full(n, -1, np.int64), np.zeros(n, np.int64), np.zeros(2, np.int64), np.full(1, np.inf),
                 np.full(1, np.inf), np.zeros((n, 2), np.int64), np.zeros(5), problem.trail())


def _begin(problem: _Problem, hunt: _Hunt, say: Report, stop: Stop) -> _Part | None:
    """Bounds of one number of sections; None where no chain of bars fits together."""
    ways, total = ways_of(problem.chain, problem.sections)
    if total == 0:
        return None
    part = _Part(problem, [], _stack(problem), ways, total)
    alone = {n: c for n in (problem.brief.aim, *problem.limits)
             if (c := _cut(problem, _unit(n), is_aim=n == problem.brief.aim)) is not None}
    for cut in alone.values():
        hunt.offer(problem, cut.figures, cut.path)
    cuts = _prices(problem, alone[problem.brief.aim], hunt, say, stop)
    part.cuts = [*cuts[:3], *(replace(alone[n], is_aim=False) for n in problem.limits)]
    if hunt.best is None and problem.limits:
        conflict = _conflict(problem, say)
        part.cuts += [conflict] if conflict is not None else []
    return part


def _search(part: _Part, hunt: _Hunt, tolerance: float, say: Report, stop: Stop) -> None:
    """Branch and bound until nothing is left or it is to stop."""
    problem, stack = part.problem, part.stack
    fixed = [_fixed(problem, c.weight, is_aim=c.is_aim) for c in part.cuts] + [float(c.is_aim) for c in part.cuts]
    weights = np.array([c.weight for c in part.cuts])
    values = np.array([c.value for c in part.cuts])
    while not part.done and not stop():
        stack.best[0] = min(stack.best[0], hunt.value)
        part.done = branch(problem.spans, problem.chain, weights, np.array(fixed), values,
                           FIGURES.index(problem.brief.aim), np.array(problem.window()), 1.0 + tolerance, part.ways,
                           stack, _SLICE)
        if np.any(stack.figures):
            hunt.offer(problem, stack.figures, stack.path)
        say(Progress(f"{problem.sections} sections", hunt.value, part.bound))


def _problems(brief: Brief, shop: Shop, links: Links) -> list[_Problem]:
    out = []
    for n in sorted(set(brief.sections)):
        length = section_length(brief, shop.build, n)
        if length + (n - 1) * shop.build.proud <= brief.closed_at_most and links.links:
            spans = spans_of(brief, shop.build, n)
            out.append(_Problem(brief, shop, links, spans, chain_of(links, shop.build, spans), n))
    return out


def best_pole(brief: Brief, shop: Shop, *, tolerance: float = 0.006, digits: int = 4, links: Links | None = None,
              progress: Report | None = None, stop: Stop | None = None,
              resume: SearchState | None = None) -> PoleSearch:
    """The best pole for a brief from what the workshop has, with a proved lower bound.

    Parameters
    ----------
    tolerance : [-] nothing dropped unseen may be better than the best pole by more than this.
    digits : to how many significant digits walls of one link must differ to be told apart.
    links : walls of the rack from an earlier run (`links_of`), when only the brief's figures changed.
    progress : called as the search goes, with the gap so far; stop : asked as often, true ends it with the best so far.
    resume : `state` of an answer that was stopped, for the same brief and shop.

    Returns
    -------
    PoleSearch; best None where no pole meets the limits (then, if complete, it is proved that there is none).
    """
    say, halt = progress or (lambda _: None), stop or (lambda: False)
    if resume is not None:
        parts, hunt = list(resume.parts), resume.hunt
    else:
        refuse_empty(brief, shop)
        links = links or links_of(shop, brief_base(brief, shop), digits=digits)
        hunt = _Hunt()
        begun = [_begin(p, hunt, say, halt) for p in _problems(brief, shop, links)]
        parts = [p for p in begun if p is not None]
    for part in sorted(parts, key=lambda p: p.bound):
        _search(part, hunt, tolerance, say, halt)
    return _answer(brief, parts, hunt)


def _answer(brief: Brief, parts: list[_Part], hunt: _Hunt) -> PoleSearch:
    done = all(p.done for p in parts)
    slack = parts[0].problem.links.slack if parts else 0.0
    bound = min((p.bound for p in parts), default=np.inf) / (1.0 + slack) ** (2 if brief.aim == "droop" else 1)
    bound += parts[0].problem.shop.build.fitting * brief.reach if parts and brief.aim == "carry" else 0.0
    gap = max(hunt.best.figure(brief.aim) / bound - 1.0, 0.0) if bound > 0.0 and hunt.best is not None else np.inf
    ledgers = tuple(Ledger(f"poles of {p.problem.sections} sections from the best walls", p.in_all,
                           int(p.stack.tally[0]),
                           (("no completion is better than the best pole, or none meets the limits",
                             int(p.stack.tally[1])),)) for p in parts)
    if parts:
        links = parts[0].problem.links
        ledgers = (Ledger("sets of plies over all bars", links.candidates, links.evaluated,
                          (("walls of a better wall's fit", links.candidates - links.evaluated),)), *ledgers)
    return PoleSearch(hunt.best, bound, Certificate(ledgers, gap=gap, model=MODEL), done,
                      None if done else SearchState(hunt, tuple(parts)))


def pole_front(brief: Brief, shop: Shop, *, steps: int = 5, digits: int = 4, links: Links | None = None) \
        -> tuple[tuple[FoundPole, ...], FloatArray]:
    """Poles on the trade between droop, mass and cost, each with its gap (n,) [-], within base and closed length.

    For steps x steps weights of mass and cost against droop, the pole of least weighted sum; of those the ones that no
    other beats. The gap of each: by how much droop could be lower at no more mass and cost, by all the weights tried.
    """
    links = links or links_of(shop, brief_base(brief, shop), digits=digits)
    free = replace(brief, aim="droop", droop_at_most=np.inf, mass_at_most=np.inf, cost_at_most=np.inf,
                   carry_at_most=np.inf, flex_wanted=None)
    found: list[FoundPole] = []
    cuts: list[list[_Cut]] = []
    for problem in _problems(free, shop, links):
        own = []
        for weight in _trades(problem, steps):
            cut = _cut(problem, weight, is_aim=True)
            if cut is not None:
                own.append(cut)
                found.append(problem.found(cut.path, cut.figures))
        if own:
            cuts.append(own)
    kept = _best_of(found)
    slack = (1.0 + links.slack) ** 2
    gaps = [p.droop / (min(_least_droop(own, p) for own in cuts) / slack) - 1.0 for p in kept]
    return tuple(kept), np.array(gaps)


def _trades(problem: _Problem, steps: int) -> list[FloatArray]:
    """Weights of mass and cost against droop, over the range where they matter."""
    base = _cut(problem, _unit("droop"), is_aim=True)
    if base is None:
        return []
    droop, mass, cost = (float(base.figures[FIGURES.index(n)]) for n in ("droop", "mass", "cost"))
    rates = [0.0, *np.geomspace(0.05, 5.0, steps - 1)]
    return [_unit("droop") + _unit("mass", a * droop / mass) + _unit("cost", b * droop / max(cost, 1e-9))
            for a in rates for b in rates]


def _least_droop(cuts: list[_Cut], pole: FoundPole) -> float:
    """Lower bound of the droop [m] of anything that weighs and costs no more than this pole."""
    mass, cost = FIGURES.index("mass"), FIGURES.index("cost")
    slack = 1.0 + 10.0 ** -3
    return max(c.bound - slack * (c.weight[mass] * pole.mass + c.weight[cost] * pole.cost) for c in cuts)


def _best_of(poles: list[FoundPole]) -> list[FoundPole]:
    """Those that no other equals or beats in droop, mass and cost; by rising droop."""
    kept: list[FoundPole] = []
    for p in sorted(poles, key=lambda p: (p.droop, p.mass, p.cost)):
        if not any(q.mass <= p.mass and q.cost <= p.cost for q in kept):
            kept.append(p)
    return kept


def refuse_empty(brief: Brief, shop: Shop) -> None:
    """Raise DesignError in words where no number of sections closes short enough."""
    shortest = min(section_length(brief, shop.build, n) + (n - 1) * shop.build.proud for n in brief.sections)
    if shortest > brief.closed_at_most:
        raise DesignError("brief.closed_at_most", brief.closed_at_most, f"at least {shortest}, or more sections")
