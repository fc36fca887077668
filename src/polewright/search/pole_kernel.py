"""The compiled loops of the whole-pole search; `pole_search` says what they prove and why it holds."""

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.search.option_table import IntArray
from polewright.search.pole_arrays import Chain, Stack, Trail
from polewright.search.pole_step import (
    AHEAD_MASS,
    AHEAD_MOMENT,
    CARRY,
    COST,
    DROOP,
    FIRST_FURTHER,
    FURTHER,
    MASS,
    extend_trail,
    lever_of,
    step,
    weighed,
)
from polewright.search.pole_table import between, place, rest_after
from polewright.search.span import Spans

__all__ = ["branch", "forward"]


@compiled
def forward(spans: Spans, chain: Chain, weight: FloatArray, value: FloatArray, trail: Trail, path: IntArray) -> bool:
    """Follow the least weighted sum from tip to butt; whether there is a pole.

    weight (n_figure,) [1/unit of each figure]; value as `backward` fills it; path (n_section, 2) takes node and wall,
    the trail the figures.
    """
    sections, out = value.shape[0], np.empty(weight.size + 1)
    for k in range(sections):
        best = np.inf
        low, high = (0, chain.is_last.size) if k == 0 else (chain.link[path[k - 1, 0]], chain.link[path[k - 1, 0] + 1])
        for row in range(low, high):
            node = row if k == 0 else chain.follow[row]
            for w in range(chain.first[node], chain.first[node + 1]):
                if not value[k, node, chain.bin[w], 0, 0, 0] < np.inf:
                    continue
                step(spans, chain, k, trail, chain.walls[w], True, out)
                total = weighed(out, weight) + rest_after(
                    value[k, node, chain.bin[w]], chain, spans, k, w, out[AHEAD_MOMENT], out[AHEAD_MASS]
                )
                if total < best:
                    best = total
                    path[k, 0], path[k, 1] = node, w
        if not best < np.inf:
            return False
        extend_trail(spans, chain, trail, k, path[k, 1], out)
    return True


@compiled_inside
def _begun(
    spans: Spans,
    chain: Chain,
    weights: FloatArray,
    fixed: FloatArray,
    stack: Stack,
    k: int,
    figures: FloatArray,
    begun: FloatArray,
) -> None:
    """Figures of the k sections laid so far with the least tilt that their joints stand for, and by each row of weights
    their sum less that of the limits (n,).
    """
    figures[:] = stack.trail.figures[k]
    for level in range(k):
        wall = chain.walls[stack.children[level, stack.next[level] - 1, 1]]
        figures[DROOP] -= lever_of(spans, level) * (wall.tilt - wall.least_tilt)
        for x in range(spans.more.shape[1]):
            figures[FIRST_FURTHER + x] -= spans.more[level, x].lever * (wall.tilt - wall.least_tilt)
    for v in range(weights.shape[0]):
        begun[v] = -fixed[v]
        for f in range(weights.shape[1]):
            if f != CARRY:
                begun[v] += weights[v, f] * figures[f]


@compiled_inside
def _bound_of(
    spans: Spans,
    chain: Chain,
    weights: FloatArray,
    fixed: FloatArray,
    begun: FloatArray,
    values: FloatArray,
    k: int,
    node: int,
    w: int,
    trail: Trail,
    enough: float,
    out: FloatArray,
) -> float:
    """Least value of the aim that any completion can have by the given weights, sought until it is enough; inf where it
    can have none.

    Each row of weights gives: aim weight x aim + sum of weight x (figure - limit) >= the sum found; with no weight on
    the aim a positive sum shows that the limits cannot all be met.
    """
    step(spans, chain, k, trail, chain.walls[w], True, out)
    i, j, x, y = place(chain, spans, k, out[AHEAD_MOMENT], out[AHEAD_MASS], values.shape[5], values.shape[6])
    worst, share, b = -np.inf, chain.share[w], chain.bin[w]
    for v in range(weights.shape[0]):
        rest = values[v, k, node, b]
        total = (
            begun[v]
            + weighed(out, weights[v])
            + between(rest[0], i, j, x, y) * (1.0 - share)
            + between(rest[1], i, j, x, y) * share
        )
        if fixed[weights.shape[0] + v] > 0.0:
            worst = max(worst, total / fixed[weights.shape[0] + v])
            if worst >= enough:
                return float(worst)
        elif total > 1e-9 * abs(fixed[v]):
            return np.inf
    return float(worst)


@compiled_inside
def _bound_of_whole(
    spans: Spans,
    chain: Chain,
    figures: FloatArray,
    aim: int,
    wide: FloatArray,
    k: int,
    w: int,
    trail: Trail,
    enough: float,
    out: FloatArray,
) -> float:
    """The aim of the poles that a whole one stands for, at least; inf where they miss a limit `wide` (n_figure,)."""
    if aim in (MASS, COST):
        wall = chain.walls[w]
        own = figures[aim] + (
            wall.mass * spans.length + (chain.clamp if k > 0 else 0.0)
            if aim == MASS
            else wall.cost * (spans.length + chain.flag_extra)
        )
        if own >= enough:
            return float(own)
    step(spans, chain, k, trail, chain.walls[w], True, out)
    for f in range(figures.size):
        if f == CARRY:
            total = out[AHEAD_MOMENT]
        else:
            total = figures[f] + (out[f] if f < CARRY else out[FURTHER + f - FIRST_FURTHER])
        if total > wide[f]:
            return np.inf
    return float(out[AHEAD_MOMENT] if aim == CARRY else figures[aim] + out[aim])


@compiled_inside
def _look(
    spans: Spans,
    chain: Chain,
    weights: FloatArray,
    fixed: FloatArray,
    values: FloatArray,
    aim: int,
    wide: FloatArray,
    tolerance: float,
    ways: IntArray,
    stack: Stack,
    k: int,
) -> int:
    """Bound every wall that may come next at level k and keep those worth it, the best bound first; how many looks."""
    many, looks, out = 0, 0, np.empty(weights.shape[1] + 1)
    begun, figures = np.empty(weights.shape[0]), np.empty(weights.shape[1])
    _begun(spans, chain, weights, fixed, stack, k, figures, begun)
    low, high = 0, chain.is_last.size
    if k > 0:
        parent = stack.children[k - 1, stack.next[k - 1] - 1, 0]
        low, high = chain.link[parent], chain.link[parent + 1]
    is_last, enough = k == ways.shape[0] - 1, stack.best[0] / tolerance
    for row in range(low, high):
        node = row if k == 0 else chain.follow[row]
        if ways[k, node] == 0:
            continue
        for w in range(chain.first[node], chain.first[node + 1]):
            looks += 1
            if is_last:
                least = _bound_of_whole(spans, chain, figures, aim, wide, k, w, stack.trail, enough, out)
            else:
                least = _bound_of(spans, chain, weights, fixed, begun, values, k, node, w, stack.trail, enough, out)
            if least >= enough:
                stack.tally[1] += ways[k, node]
                stack.least[0] = min(stack.least[0], least)
                continue
            stack.children[k, many, 0], stack.children[k, many, 1] = node, w
            stack.bound[k, many] = least
            many += 1
    order = np.argsort(stack.bound[k, :many], kind="mergesort")
    stack.children[k, :many] = stack.children[k, :many][order]
    stack.bound[k, :many] = stack.bound[k, :many][order]
    stack.many[k], stack.next[k] = many, 0
    return looks


@compiled_inside
def _weigh_whole(stack: Stack, aim: int, limits: FloatArray, bound: float, ask: bool) -> None:
    """A whole pole: keep it, or let it wait to be judged, if it meets the limits and is better; `bound` speaks of all
    that it stands for.
    """
    sections = stack.path.shape[0]
    figures = stack.trail.figures[sections]
    stack.tally[0] += 1
    meets = True
    for f in range(figures.size):
        meets = meets and limits[0, f] <= figures[f] and figures[f] <= limits[1, f]
    better = meets and figures[aim] < stack.best[0]
    if better and ask:
        stack.leaf[0] = bound
    else:
        stack.least[0] = min(stack.least[0], bound)
    if better:
        if not ask:
            stack.best[0] = figures[aim]
        stack.figures[:] = figures
        for level in range(sections):
            stack.path[level] = stack.children[level, stack.next[level] - 1]


@compiled
def branch(
    spans: Spans,
    chain: Chain,
    weights: FloatArray,
    fixed: FloatArray,
    values: FloatArray,
    aim: int,
    limits: FloatArray,
    tolerance: float,
    ways: IntArray,
    stack: Stack,
    budget: int,
    ask: bool,
) -> bool:
    """Branch and bound from where the stack stands, for at most `budget` looks at walls; true when nothing is left.
    With `ask` it halts at every whole pole that would be the best, to be judged.

    weights (n, 5 + n_further) with `fixed` (2 n): sum of weight x limit, then the weight left for the aim; ways
    (n_section, n_node) poles that complete a node, that section's own wall chosen; limits (3, 5 + n_further) least and
    most of each figure [SI unit of each], and the most that a pole may have which stands for some that keep the limits.
    """
    sections, out = ways.shape[0], np.empty(weights.shape[1] + 1)
    while stack.depth[0] >= 0 and budget > 0:
        k = stack.depth[0]
        if stack.many[k] < 0:
            budget -= _look(spans, chain, weights, fixed, values, aim, limits[2], tolerance, ways, stack, k)
        if stack.next[k] >= stack.many[k]:
            stack.many[k] = -1
            stack.depth[0] -= 1
            continue
        at = stack.next[k]
        stack.next[k] += 1
        node, w = stack.children[k, at]
        if stack.bound[k, at] * tolerance >= stack.best[0]:
            stack.tally[1] += ways[k, node]
            stack.least[0] = min(stack.least[0], stack.bound[k, at])
            continue
        extend_trail(spans, chain, stack.trail, k, w, out)
        if k < sections - 1:
            stack.depth[0] += 1
        else:
            _weigh_whole(stack, aim, limits, stack.bound[k, at], ask)
            if stack.leaf[0] < np.inf:
                return False
    return bool(stack.depth[0] < 0)
