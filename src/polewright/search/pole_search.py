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
   is divided by it. Where no price is asked for, walls that only their price keeps are left out besides.
2. *Weights.* For weights w >= 0, min over all poles of sum(w figure) less sum(w limit) bounds the aim from below
   (Lagrange); with no weight on the aim, a positive value shows that the limits exclude each other.
3. *That minimum* is bounded by going from the butt to the tip. What is still to come, for given bar, next bar and EI
   of the present section, is a least of functions linear in the moment and mass ahead, so it is concave in these
   two; between the points of a grid a straight line lies below it. EI s of the present section matters in the overlap
   alone, by c/(s + EI of the next): for c >= 0 convex in s, so its tangent at the middle of a bin lies below it; for
   c < 0 concave, so the line between the ends of the bin does. A least of lines and of concave functions of s is
   concave: the line between its values at both ends of the bin lies below all of them.
4. *Branch and bound* from tip to butt drops every beginning whose bound, times (1 + tolerance), reaches the best pole
   found; a whole pole counts with its own aim, and not at all where even the widened limits are missed. When nothing
   is left the least bound dropped, or the best pole, is a lower bound for all.

5. *Limits of whole poles* (other droops, swing) are asked of a pole that would be the best. One that misses them is
   turned down and counted by name; `whole_pole_limits` says when it may be passed over in the lower bound.

One thread does it all in a fixed order: the same answer whatever the machine.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from polewright.search.brief import Brief, Shop
from polewright.search.candidate import FoundPole, Progress
from polewright.search.chain import Links, asked_of, brief_base, links_of, ways_of
from polewright.search.pole_arrays import FIGURES, Stack
from polewright.search.pole_bound import (
    FIRST_ROUNDS,
    Cut,
    Incumbent,
    Problem,
    Report,
    Stop,
    conflict_cut,
    cut_of,
    limit_sum,
    polished,
    priced_cuts,
    problems_of,
    refuse_empty,
    row_of,
    steeper_cuts,
)
from polewright.search.pole_kernel import branch
from polewright.search.pole_parts import Part, PoleSearch, SearchState, answer_of, state_now
from polewright.search.whole_pole_limits import Miss

__all__ = ["best_pole"]

START, STARTS = 1.004, 3
"""A best pole so far that may be worse than its bound by more is looked for from so many poles."""
MOST_TURNED_DOWN = 400
"""Poles turned down by limits of whole poles, after which those near a limit are no longer judged."""
SETTINGS = 6
"""Times that the further limits are set by a pole, at most."""
MOST_REFERENCES = 4
"""Poles that set them at a time."""
SETTLED = 1e-3
"""[-] by which the bound moves no more once they are set well."""
_SLICE = 3_000_000


def _stack(problem: Problem) -> Stack:
    n, room = problem.sections, len(problem.chain.walls)
    return Stack(
        np.zeros(1, np.int64),
        np.zeros((n, room, 2), np.int64),
        np.zeros((n, room)),
        np.full(n, -1, np.int64),
        np.zeros(n, np.int64),
        np.zeros(2, np.int64),
        np.full(1, np.inf),
        np.full(1, np.inf),
        np.zeros((n, 2), np.int64),
        np.zeros(len(problem.figures)),
        np.full(1, np.inf),
        problem.trail(),
    )


def _miss(problem: Problem, alone: Cut) -> float:
    """By how much the least of one figure misses that figure's limit, above zero where it cannot be met."""
    aimless = limit_sum(problem, alone.weight, is_aim=False)
    return alone.bound + limit_sum(problem, alone.weight, is_aim=alone.is_aim) - aimless


def _set_beside(
    problem: Problem, incumbent: Incumbent, say: Report, stop: Stop
) -> tuple[Problem, tuple[FoundPole, ...]]:
    """The problem with the further limits of its brief in its bounds, set by poles ever nearer to the best one, and the
    poles that set them.
    """
    before = 0.0
    references: tuple[FoundPole, ...] = ()
    for _ in range(SETTINGS if problem.brief.asks_more else 0):
        alone = _alone(problem)
        if problem.brief.aim not in alone or stop():
            break
        cuts = priced_cuts(problem, list(alone.values()), incumbent, say, stop, rounds=FIRST_ROUNDS)
        missed: list[FoundPole] = []
        if references:
            missed = polished(problem, _unlike(cuts)[:1], incumbent, np.array(problem.window()), stop)[:1]
        if not missed and abs(cuts[0].bound - before) <= SETTLED * abs(before):
            break
        before = cuts[0].bound
        references = (*references, *(missed or [problem.found(cuts[0].path, cuts[0].figures)]))[-MOST_REFERENCES:]
        problem = problem.beside(references)
    return problem, references


def _unlike(cuts: list[Cut]) -> list[Cut]:
    """Cuts whose poles differ."""
    kept: dict[bytes, Cut] = {}
    for cut in cuts:
        kept.setdefault(cut.path.tobytes(), cut)
    return list(kept.values())


def _alone(problem: Problem) -> dict[str, Cut]:
    """The least of the aim and of every figure with a limit, each alone; the aim first."""
    return {
        n: c
        for n in (problem.brief.aim, *problem.limits)
        if (c := cut_of(problem, problem.weight(n), is_aim=n == problem.brief.aim)) is not None
    }


def _begin(problem: Problem, incumbent: Incumbent, say: Report, stop: Stop) -> Part | None:
    """Bounds of one number of sections; None where no chain of bars fits together."""
    ways, total = ways_of(problem.chain, problem.sections, problem.links)
    if total == 0:
        return None
    problem, references = _set_beside(problem, incumbent, say, stop)
    part = Part(problem, [], _stack(problem), ways, total, problem.wide_window(), references)
    alone = _alone(problem)
    for cut in alone.values():
        incumbent.offer(problem, cut.figures, cut.path)
    lone = [replace(alone[n], is_aim=False, bound=_miss(problem, alone[n])) for n in problem.limits]
    cuts = list(alone.values())
    conflict = next((c for c in lone if c.bound > 0.0), None)
    if conflict is None:
        cuts = priced_cuts(problem, cuts, incumbent, say, stop, rounds=FIRST_ROUNDS)
        if incumbent.best is None and problem.limits:
            conflict = conflict_cut(problem, say)
        if conflict is None or conflict.bound <= 0.0:
            cuts = priced_cuts(problem, [*lone, *cuts], incumbent, say, stop)
            if incumbent.value > cuts[0].bound * START:
                steep = steeper_cuts(problem, cuts[0], incumbent, say, stop)
                near = [c for c in steep if problem.meets(c.figures)][:1]
                polished(problem, _unlike([*near, *cuts])[:STARTS], incumbent, np.array(problem.window()), stop)
                # where a beginning strains a limit, dearer limits bound it better than the best ones of all
                cuts = [cuts[0], *steep[2::2], *_unlike(cuts)[1:3]]
    part.cuts = [*_unlike(cuts)[:1], *cuts[1:6], *lone, *([conflict] if conflict is not None else [])]
    return part


def _search(part: Part, incumbent: Incumbent, tolerance: float, say: Callable[[Part], None], stop: Stop) -> None:
    """Branch and bound until nothing is left or it is to stop; `say` is called after each slice."""
    problem, stack = part.problem, part.stack
    fixed = [limit_sum(problem, c.weight, is_aim=c.is_aim) for c in part.cuts] + [float(c.is_aim) for c in part.cuts]
    weights = np.array([c.weight for c in part.cuts])
    values = np.array([c.value for c in part.cuts])
    while not part.done and not stop():
        stack.best[0] = min(stack.best[0], incumbent.value)
        part.done = branch(
            problem.spans,
            problem.chain,
            weights,
            np.array(fixed),
            values,
            FIGURES.index(problem.brief.aim),
            np.vstack([part.window, problem.wide_most()]),
            1.0 + tolerance,
            part.ways,
            stack,
            _SLICE,
            problem.brief.asks_more,
        )
        if np.isfinite(stack.leaf[0]):
            _settle_leaf(part, incumbent)
        elif np.any(stack.figures):
            incumbent.offer(problem, stack.figures, stack.path)
        say(part)


def _settle_leaf(part: Part, incumbent: Incumbent) -> None:
    """The whole pole that waits: the best so far, or turned down."""
    stack = part.stack
    missed = incumbent.offer(part.problem, stack.figures, stack.path, part.window)
    if missed is not None:
        part.turned_down[missed.limit] = part.turned_down.get(missed.limit, 0) + 1
        if sum(part.turned_down.values()) >= MOST_TURNED_DOWN:
            _narrow(part, missed)
    if missed is None or not missed.is_sure:
        stack.least[0] = min(stack.least[0], stack.leaf[0])
    stack.leaf[0] = np.inf


def _narrow(part: Part, missed: Miss) -> None:
    """Poles so near a limit in the search's own sums are not worth judging any more; they count with their bounds."""
    part.window[1] = np.minimum(part.window[1], part.problem.window()[1])
    at = row_of(part.problem, missed, part.stack.figures) if missed.by > 0.0 else None
    if at is not None:
        kept = float(part.stack.figures[at]) - missed.by * part.problem.further[at - len(FIGURES)].high
        part.window[1, at] = min(part.window[1, at], kept)


def best_pole(
    brief: Brief,
    shop: Shop,
    *,
    tolerance: float = 0.006,
    digits: int = 5,
    links: Links | None = None,
    progress: Report | None = None,
    stop: Stop | None = None,
    resume: SearchState | None = None,
    checkpoint: Callable[[SearchState], None] | None = None,
) -> PoleSearch:
    """The best pole for a brief from what the workshop has, with a proved lower bound.

    Parameters
    ----------
    tolerance : [-] nothing dropped unseen may be better than the best pole by more than this.
    digits : to how many significant digits walls of one link must differ to be told apart.
    links : walls of the rack from an earlier run (`links_of`), when only the brief's figures changed.
    progress : called as the search goes, with the gap so far; stop : asked as often, true ends it with the best so far.
    resume : `state` of an answer that was stopped, for the same brief and shop.
    checkpoint : called with the state to resume from, which changes afterwards: as the limits of each number of
        sections are priced, and after each slice of branch and bound.

    Returns
    -------
    PoleSearch; best None where no pole meets the limits (then, if complete, it is proved that there is none).
    """
    say, halt = progress or (lambda _: None), stop or (lambda: False)
    offer = checkpoint or (lambda _: None)
    before = resume or SearchState(Incumbent(), ())
    if not before.parts:
        refuse_empty(brief, shop)
        links = links or links_of(shop, brief_base(brief, shop), digits=digits)
    links = links or before.parts[0].problem.links
    incumbent = before.incumbent
    parts = _begin_all(problems_of(brief, shop, asked_of(links, brief)), before, say, halt, offer)
    state = state_now(incumbent, parts)

    def sliced(part: Part) -> None:
        done = sum(p.done for p in parts)
        say(Progress("branch", incumbent.value, part.bound, done, len(parts)))
        offer(state)

    for part in sorted(parts, key=lambda p: p.bound):
        _search(part, incumbent, tolerance, sliced, halt)
    return answer_of(brief, parts, incumbent)


def _begin_all(
    problems: list[Problem], before: SearchState, say: Report, stop: Stop, offer: Callable[[SearchState], None]
) -> list[Part]:
    """The parts of every number of sections: those that were begun before, and the others begun now."""
    incumbent, parts = before.incumbent, list(before.parts)

    def priced(progress: Progress) -> None:
        say(progress)
        offer(state_now(incumbent, parts))

    begun = {p.problem.sections for p in before.parts}
    for problem in problems:
        part = None if problem.sections in begun else _begin(problem, incumbent, priced, stop)
        if part is not None:
            part.is_bounded = not stop()
            parts.append(part)
    return parts
