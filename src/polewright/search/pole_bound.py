"""Bounds of the whole-pole search: least weighted sums of figures over all poles, and the weights that bound best.

`pole_search` says what is proved and for which model.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.search.brief import Brief, Shop
from polewright.search.candidate import FoundPole, Progress
from polewright.search.chain import GRID, Links, brief_base, chain_of, heaviest_walls
from polewright.search.further_limits import EASE, Limit, Range, further_of
from polewright.search.local_search import polish
from polewright.search.option_table import IntArray
from polewright.search.pole_arrays import BINS, FIGURES, Chain, Trail
from polewright.search.pole_kernel import forward
from polewright.search.pole_table import backward
from polewright.search.span import Spans, packed, section_length, spans_of
from polewright.search.whole_pole_limits import Miss, miss_of, most_flex

__all__ = [
    "FIRST_ROUNDS",
    "Cut",
    "Incumbent",
    "Problem",
    "Report",
    "Stop",
    "conflict_cut",
    "cut_of",
    "limit_sum",
    "polished",
    "priced_cuts",
    "problems_of",
    "refuse_empty",
    "row_of",
    "steeper_cuts",
]

ROUNDS = 24
"""Sets of weights tried for the limits."""
DEAREST = 200.0
"""Most price of a limit, as a multiple of the least aim."""
STEEPER = (1.01, 1.02, 1.04, 1.07, 1.12, 1.2, 1.35, 1.6)
TRIES = 4
"""Times that a pole is made better with limits ever tighter, until it keeps those that are judged."""
IDLE = 4
"""Rounds in a row that better nothing, after which weights are good enough."""
NEAR = 1e-4
"""[-] to which the best weights are sought."""
FIRST_ROUNDS = 8
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
    further: tuple[Limit, ...] = ()

    @property
    def figures(self) -> tuple[str, ...]:
        """Names of all figures, the further ones last."""
        return (*FIGURES, *(f.name for f in self.further))

    def weight(self, name: str, size: float = 1.0) -> FloatArray:
        """All weight on one figure: (n_figure,) with `size` [1/unit of the figure] there."""
        weight = np.zeros(len(self.figures))
        weight[self.figures.index(name)] = size
        return weight

    def beside(self, references: tuple[FoundPole, ...]) -> "Problem":
        """The same with its further limits set by reference poles."""
        heaviest = heaviest_walls(self.shop, self.links, brief_base(self.brief, self.shop), self.sections)
        room = Range(self.chain.most, float(self.chain.walls["mass"].min()), heaviest)
        limits, rows = further_of(self.brief, self.shop.build, self.spans, room, references)
        return replace(self, spans=self.spans._replace(more=packed(rows)), further=limits)

    @property
    def limits(self) -> dict[str, float]:
        """The brief's limits by name, [SI unit of each figure]."""
        limits = self.brief.limits
        if "carry" in limits:
            limits["carry"] = max(limits["carry"] - self.shop.build.fitting * self.brief.reach, 1e-9)
        if np.isfinite(flex := most_flex(self.brief)):
            limits["flex"] = min(limits.get("flex", np.inf), flex)
        return {**limits, **{f.name: f.limit for f in self.further}}

    @property
    def wide(self) -> dict[str, float]:
        """Limits [SI unit of each figure] widened by what the kept walls may be worse than those they stand for."""
        slack = 1.0 + self.links.slack
        wide = {n: v * (slack**2 if n == "droop" else slack) if v > 0.0 else v for n, v in self.limits.items()}
        return {**wide, **{f.name: f.limit + f.widen * self.links.slack * (1.0 + slack) / 2.0 for f in self.further}}

    def value(self) -> FloatArray:
        """Room (n_section, n_node, BINS, 2, *GRID) for the table of what is still to come [-]."""
        return np.empty((self.sections, self.chain.is_last.size, BINS, 2, *GRID))

    def trail(self) -> Trail:
        """A branch that has not begun: the tip fitting alone."""
        n = self.sections + 1
        trail = Trail(np.zeros((n, len(self.figures))), np.zeros((n, 2)), np.ones(n))
        trail.figures[0, FIGURES.index("mass")] = self.chain.fitting
        return trail

    def found(self, path: IntArray, figures: FloatArray) -> FoundPole:
        """The pole of a path (n_section, 2) of nodes and walls, with its figures (n_figure,) [SI unit of each]."""
        nodes = [self.links.links[int(p)] for p in path[:, 0]]
        rows = [int(w - self.chain.first[p]) for p, w in path]
        values = dict(zip(FIGURES, (float(f) for f in figures[: len(FIGURES)]), strict=True))
        values["carry"] += self.shop.build.fitting * self.brief.reach
        return FoundPole(
            self.brief,
            self.shop,
            tuple(n.inner for n in nodes),
            tuple(n.recipes[r] for n, r in zip(nodes, rows, strict=True)),
            **values,
            outside=np.array([n.outside[r] for n, r in zip(nodes, rows, strict=True)]),
            length=self.spans.length,
        )

    def miss(self, figures: FloatArray, path: IntArray) -> Miss | None:
        """The first limit asked of whole poles alone that a pole misses.

        figures (n_figure,) [SI unit of each]; path (n_section, 2) node and wall of each section.
        """
        if not self.brief.asks_more:
            return None
        walls = self.chain.walls[path[:-1, 1]]
        play = self.brief.reach * float(np.sum(walls["tilt"] - walls["least_tilt"]))
        return miss_of(self.found(path, figures), slack=self.links.slack, play=play)

    def meets(self, figures: FloatArray, window: FloatArray | None = None) -> bool:
        """Whether figures (n_figure,) [SI unit of each] keep to the brief, or to another window (2, n_figure)."""
        low, high = self.window() if window is None else window
        return bool(np.all(figures >= low) and np.all(figures <= high))

    def wide_window(self) -> FloatArray:
        """As `window`, (2, n_figure) [SI unit of each], further figures as far as any pole that keeps its limits."""
        low, high = self.window()
        high[len(FIGURES) :] = [self.wide[f.name] for f in self.further]
        low[len(FIGURES) :] *= 1.0 - 4.0 * EASE
        return np.array([low, high])

    def wide_most(self) -> FloatArray:
        """Most of each figure, (n_figure,) [SI unit of each], of a pole that stands for some that keep the limits."""
        wide = self.wide
        return np.array([wide.get(n, np.inf) for n in self.figures])

    def window(self) -> tuple[FloatArray, FloatArray]:
        """Least and most of each figure that a pole must keep to, (n_figure,) [SI unit of each]."""
        high = np.array([*(self.limits.get(n, np.inf) for n in FIGURES), *(f.high for f in self.further)])
        low = np.array([*(-np.inf for _ in FIGURES), *(f.low for f in self.further)])
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
    """Sum of weight x limit over the limits, but for the aim's own; weight (n_figure,) [1/unit of each figure]."""
    return float(
        sum(
            weight[problem.figures.index(n)] * v
            for n, v in problem.wide.items()
            if not (is_aim and n == problem.brief.aim)
        )
    )


def cut_of(problem: Problem, weight: FloatArray, *, is_aim: bool) -> Cut | None:
    """Least weighted sum over all poles, and the pole that (nearly) has it; None where no pole fits together.

    weight : (n_figure,) [1/unit of each figure].
    """
    value, trail = problem.value(), problem.trail()
    least = backward(problem.spans, problem.chain, weight, value)
    path = np.zeros((problem.sections, 2), np.int64)
    if not np.isfinite(least) or not forward(problem.spans, problem.chain, weight, value, trail, path):
        return None
    least += weight[FIGURES.index("mass")] * problem.chain.fitting
    return Cut(weight, is_aim, value, least - limit_sum(problem, weight, is_aim=is_aim), trail.figures[-1].copy(), path)


@dataclass(slots=True)
class Incumbent:
    """The best pole so far over all numbers of sections, and what was proved."""

    best: FoundPole | None = None
    value: float = np.inf

    def offer(
        self, problem: Problem, figures: FloatArray, path: IntArray, window: FloatArray | None = None
    ) -> Miss | None:
        """Keep a pole that meets the brief and is better; otherwise the limit of whole poles that it misses, if any.

        figures (n_figure,) [SI unit of each]; path (n_section, 2) node and wall of each section.
        window (2, n_figure) : least and most of each figure, in place of the problem's own.
        """
        value = float(figures[FIGURES.index(problem.brief.aim)])
        if not (value < self.value and problem.meets(figures, window)):
            return None
        missed = problem.miss(figures, path)
        if missed is None:
            self.best, self.value = problem.found(path, figures), value
        return missed


def priced_cuts(
    problem: Problem, known: list[Cut], incumbent: Incumbent, say: Report, stop: Stop, *, rounds: int = ROUNDS
) -> list[Cut]:
    """Cuts with weights that bound the aim ever better, the best bound first; `known` ones, the first with all weight
    on the aim, are among them.

    The bound is concave in the weights, and every pole seen gives a plane above it; the next weights lie half-way from
    the best ones to the summit of these planes.
    """
    aim, limits = problem.brief.aim, {n: v for n, v in problem.wide.items() if n != problem.brief.aim}
    at = problem.figures.index(aim)
    size, names = known[0].figures[at], list(limits)
    places = [problem.figures.index(n) for n in names]
    over = np.array([c.figures[places] for c in known]) / np.array([*limits.values()]) - 1.0
    planes = np.column_stack([np.array([c.figures[at] for c in known]) / size, over])
    cuts = [c for c in known if c.is_aim]
    top = max(cuts, key=lambda c: c.bound)
    best = top.weight[places] * np.array([*limits.values()]) / size
    idle = 0
    for turn in range(rounds if names else 0):
        if stop():
            break
        price, height = _summit(planes)
        if height * size <= top.bound * (1.0 + NEAR):
            break
        price = price if turn == 0 and len(cuts) == 1 else (price + best) / 2.0
        weight = problem.weight(aim)
        for n, p in zip(names, price, strict=True):
            weight[problem.figures.index(n)] += p * size / limits[n]
        cut = cut_of(problem, weight, is_aim=True)
        if cut is None:
            break
        incumbent.offer(problem, cut.figures, cut.path)
        idle = 0 if cut.bound > top.bound * (1.0 + NEAR) else idle + 1
        if cut.bound > top.bound:
            best, top = price, cut
        cuts.append(cut)
        if idle == IDLE:
            break
        say(Progress("prices", incumbent.value, top.bound))
        short = cut.figures[places] / np.array([*limits.values()]) - 1.0
        planes = np.vstack([planes, [cut.figures[at] / size, *short]])
    return sorted(cuts, key=lambda c: -c.bound)


def steeper_cuts(problem: Problem, cut: Cut, incumbent: Incumbent, say: Report, stop: Stop) -> list[Cut]:
    """Cuts with dearer limits than those of a good one: their poles keep the limits sooner, and are offered."""
    out, aim = [], problem.figures.index(problem.brief.aim)
    for times in STEEPER:
        if stop():
            break
        weight = cut.weight * times
        weight[aim] = cut.weight[aim]
        other = cut_of(problem, weight, is_aim=True)
        if other is not None:
            incumbent.offer(problem, other.figures, other.path)
            out.append(other)
        say(Progress("first_poles", incumbent.value, cut.bound))
    return out


def _summit(planes: FloatArray) -> tuple[FloatArray, float]:
    """Prices (n_limit,), 0 to DEAREST, at which the least of planes (n, 1 + n_limit), value at no price and slopes, is
    highest, and that height.
    """
    n = planes.shape[1] - 1
    from scipy.optimize import linprog  # a fifth of a second and 27 MB: only who searches whole poles pays

    found = linprog(
        np.array([-1.0, *np.zeros(n)]),
        A_ub=np.column_stack([np.ones(len(planes)), -planes[:, 1:]]),
        b_ub=planes[:, 0],
        bounds=[(None, None), *[(0.0, DEAREST)] * n],
        method="highs",
    )
    summit = np.asarray(found.x, float)
    return summit[1:], float(summit[0])


def row_of(problem: Problem, missed: Miss, figures: FloatArray) -> int | None:
    """Place of the further figure that a missed limit stands in; of several for the swing the nearest to its most.

    figures : (n_figure,) [SI unit of each].
    """
    near = [
        (figures[at] / f.high, at)
        for at, f in enumerate(problem.further, len(FIGURES))
        if f.name == missed.figure or (missed.figure == "swing" and f.name.startswith("swing"))
    ]
    return max(near)[1] if near else None


def polished(
    problem: Problem, cuts: list[Cut], incumbent: Incumbent, window: FloatArray, stop: Stop
) -> list[FoundPole]:
    """Better poles for the incumbent, by changing two walls at a time of those that the cuts gave; those that missed a
    limit of whole poles, though they keep it in the search's own sums.

    window : (2, n_figure) [SI unit of each] least and most of each figure.
    """
    window = window.copy()
    out: list[FoundPole] = []
    for cut in cuts:
        for _ in range(TRIES):
            if stop():
                return out
            path, trail = cut.path.copy(), problem.trail()
            merit = polish(problem.spans, problem.chain, FIGURES.index(problem.brief.aim), window, path, trail)
            missed = incumbent.offer(problem, trail.figures[-1], path) if merit < incumbent.value else None
            if missed is None or not missed.by > 0.0:
                break
            out.append(problem.found(path, trail.figures[-1]))
            at = row_of(problem, missed, trail.figures[-1])
            if at is None:
                break
            window[1, at] = float(trail.figures[-1][at]) - 1.5 * missed.by * abs(window[1, at])
    return out


def conflict_cut(problem: Problem, say: Report) -> Cut | None:
    """Weights on the limits alone that show that they exclude each other, if rising along the shortfalls finds any."""
    names, limits = list(problem.wide), problem.wide
    price = np.full(len(names), 1.0 / max(len(names), 1))
    best: Cut | None = None
    for turn in range(ROUNDS if names else 0):
        weight = sum(
            (problem.weight(n, p / limits[n]) for n, p in zip(names, price, strict=True)),
            np.zeros(len(problem.figures)),
        )
        cut = cut_of(problem, weight, is_aim=False)
        if cut is None:
            return best
        if best is None or cut.bound > best.bound:
            best = cut
        say(Progress("conflict"))
        if best.bound > 1e-6:
            return best
        short = np.array([cut.figures[problem.figures.index(n)] / limits[n] - 1.0 for n in names])
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
        raise DesignError(
            "brief.closed_at_most", brief.closed_at_most, Message("want.at_least_or_more_sections", shortest=shortest)
        )
