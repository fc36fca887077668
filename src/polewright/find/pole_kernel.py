"""The compiled loops of the whole-pole search; `pole_search` says what they prove and why it holds."""

import numpy as np

from polewright.arrays import FloatArray
from polewright.find.compiled import compiled, compiled_inside
from polewright.find.pole_arrays import BINS, Chain, Stack, Trail
from polewright.find.shelf import IntArray
from polewright.find.span import Spans

__all__ = ["backward", "branch", "forward", "go"]

_DROOP, _FLEX, _MASS, _COST, _CARRY = 0, 1, 2, 3, 4


@compiled_inside
def _step(spans: Spans, chain: Chain, k: int, moment: float, mass: float, before: float, wall: FloatArray,
          lever: float, least: bool, out: FloatArray) -> None:
    """What section k adds to droop, flex, mass and cost, what then lies ahead of the next, and what it adds to the
    further figures: out (6 + n_further,).
    """
    stiff, own = wall[0], wall[1]
    clamp = chain.clamp if k > 0 else 0.0
    mass += clamp
    moment += clamp * spans.mouth[k]
    droop, flex = 0.0, 0.0
    for region in range(2):
        if region == 0 and k == 0:
            continue
        soft = 1.0 / (before + stiff) if region == 0 else 1.0 / stiff
        droop += soft * (spans.by_moment[k, region] * moment + spans.by_mass[k, region] * mass
                         + spans.by_own[k, region] * own + spans.by_tip[k, region])
        flex += soft * spans.by_pull[k, region]
    joint = spans.joint[k]
    droop += chain.give * (joint[0] * moment + joint[1] * mass + joint[2] * own + joint[3])
    droop += lever * (wall[4] if least else wall[3])
    flex += chain.give * joint[4]
    out[0], out[1] = droop, flex
    out[2], out[3] = own * spans.length + clamp, wall[2] * (spans.length + chain.flag_extra)
    out[4] = moment + own * spans.length * (spans.butt[k] + spans.length / 2.0)
    out[5] = mass + own * spans.length


@compiled_inside
def _step_more(rows: FloatArray, give: float, is_inside: bool, moment: float, mass: float, before: float,
               wall: FloatArray, least: bool, out: FloatArray) -> None:
    """What a section adds to the further figures (rows as `packed`); its clamp counts in the moment and mass ahead."""
    stiff, own = wall[0], wall[1]
    for x in range(out.size - 6):
        row = rows[x]
        total = row[15] - row[14] / own + row[12] * (wall[4] if least else wall[3])
        total += (row[4] * moment + row[5] * mass + row[6] * own + row[7]) / (row[13] + stiff)
        total += give * (row[8] * moment + row[9] * mass + row[10] * own + row[11])
        if is_inside:
            total += (row[0] * moment + row[1] * mass + row[2] * own + row[3]) / (row[13] + before + stiff)
        out[6 + x] = total


@compiled_inside
def _step_all(spans: Spans, chain: Chain, k: int, moment: float, mass: float, before: float, wall: FloatArray,
              lever: float, least: bool, out: FloatArray) -> None:
    """The same with the further figures in out[6:]."""
    _step(spans, chain, k, moment, mass, before, wall, lever, least, out)
    if out.size > 6:
        clamp = chain.clamp if k > 0 else 0.0
        _step_more(spans.more[k], chain.give, k > 0, moment + clamp * spans.mouth[k], mass + clamp, before, wall, least,
                   out)


@compiled_inside
def _lever(spans: Spans, k: int) -> float:
    """Of the joint at the butt end of section k."""
    return float(spans.lever[k + 1]) if k + 1 < spans.lever.size else 0.0


@compiled_inside
def _rest(value: FloatArray, chain: Chain, spans: Spans, k: int, moment: float, mass: float) -> float:
    """Least weighted sum of what is still to come, between grid points: no more than the true one, which is concave."""
    grid = chain.grid[k]
    n, m = value.shape
    x = (moment - mass * spans.butt[k] - grid[0]) / max(grid[1] - grid[0], 1e-300) * (n - 1)
    y = (mass - grid[2]) / max(grid[3] - grid[2], 1e-300) * (m - 1)
    i, j = min(max(int(x), 0), n - 2), min(max(int(y), 0), m - 2)
    x, y = min(max(x - i, 0.0), 1.0), min(max(y - j, 0.0), 1.0)
    return float((value[i, j] * (1.0 - x) + value[i + 1, j] * x) * (1.0 - y)
                 + (value[i, j + 1] * (1.0 - x) + value[i + 1, j + 1] * x) * y)


@compiled_inside
def _weighed(out: FloatArray, weight: FloatArray) -> float:
    return float(weight[0] * out[0] + weight[1] * out[1] + weight[2] * out[2] + weight[3] * out[3])


@compiled_inside
def _weighed_all(out: FloatArray, weight: FloatArray) -> float:
    total = _weighed(out, weight)
    for x in range(6, out.size):
        total += weight[x - 1] * out[x]
    return total


@compiled_inside
def _folded(spans: Spans, chain: Chain, weight: FloatArray, k: int, row: FloatArray, fixed: FloatArray) -> None:
    """All figures of section k by their weights as one row (as `packed`), and of every wall what depends on nothing
    else; row[16] further figures are left out, because other tubes lie round that section.
    """
    row[:] = 0.0
    for region in range(2):
        at = 4 * region
        row[at] = weight[_DROOP] * spans.by_moment[k, region]
        row[at + 1] = weight[_DROOP] * spans.by_mass[k, region]
        row[at + 2] = weight[_DROOP] * spans.by_own[k, region]
        row[at + 3] = weight[_DROOP] * spans.by_tip[k, region] + weight[_FLEX] * spans.by_pull[k, region]
    for c in range(4):
        row[8 + c] = weight[_DROOP] * spans.joint[k, c]
    row[11] += weight[_FLEX] * spans.joint[k, 4]
    row[12] = weight[_DROOP] * _lever(spans, k)
    row[15] = weight[_MASS] * (chain.clamp if k > 0 else 0.0)
    for x in range(spans.more.shape[1]):
        if spans.more[k, x, 13] > 0.0:
            row[16] += 1.0
        else:
            for c in range(16):
                row[c] += weight[5 + x] * spans.more[k, x, c]
    long, flag = weight[_MASS] * spans.length, weight[_COST] * (spans.length + chain.flag_extra)
    for w in range(chain.walls.shape[0]):
        own = chain.walls[w, 1]
        fixed[w] = (long * own + flag * chain.walls[w, 2] + row[12] * chain.walls[w, 4] - row[14] / own
                    + chain.give * row[10] * own)


@compiled_inside
def _best_after(spans: Spans, chain: Chain, weight: FloatArray, value: FloatArray, node: int, k: int, moment: float,
                mass: float, before: float, row: FloatArray, fixed: FloatArray, out: FloatArray) -> float:
    """Least weighted sum of section k > 0 and all that follows it, on a part-built pole that ends in a node."""
    best = np.inf
    arm = spans.length * (spans.butt[k] + spans.length / 2.0)
    mass += chain.clamp
    moment += chain.clamp * spans.mouth[k]
    shared, alone = row[0] * moment + row[1] * mass + row[3], row[4] * moment + row[5] * mass + row[7]
    always = chain.give * (row[8] * moment + row[9] * mass + row[11]) + row[15]
    for at in range(chain.link[node], chain.link[node + 1]):
        after = chain.follow[at]
        for w in range(chain.first[after], chain.first[after + 1]):
            if value[after, chain.bin[w], 0, 0] < np.inf:
                stiff, own = chain.walls[w, 0], chain.walls[w, 1]
                total = (always + fixed[w] + (shared + row[2] * own) / (before + stiff)
                         + (alone + row[6] * own) / stiff)
                if row[16] > 0.0:
                    _step_more(spans.more[k], chain.give, True, moment, mass, before, chain.walls[w], True, out)
                    for x in range(out.size - 6):
                        if spans.more[k, x, 13] > 0.0:
                            total += weight[5 + x] * out[6 + x]
                best = min(best, total + _rest(value[after, chain.bin[w]], chain, spans, k, moment + own * arm,
                                               mass + own * spans.length))
    return best


@compiled
def backward(spans: Spans, chain: Chain, weight: FloatArray, value: FloatArray) -> float:
    """Fill value (n_section, n_node, BINS, n, m) from the butt to the tip and return the least weighted sum of all."""
    sections, nodes, _, n, m = value.shape
    out, row, fixed = np.empty(weight.size + 1), np.empty(17), np.empty(chain.walls.shape[0])
    value[:] = np.inf
    for k in range(sections - 1, -1, -1):
        low, high, light, heavy = chain.grid[k]
        if k < sections - 1:
            _folded(spans, chain, weight, k + 1, row, fixed)
        for node in range(nodes):
            if chain.is_last[node] != (k == sections - 1):
                continue
            for b in range(BINS):
                if chain.stiffest[node, b] < 0.0:
                    continue
                for i in range(n):
                    for j in range(m):
                        mass = light + (heavy - light) * j / (m - 1)
                        moment = low + (high - low) * i / (n - 1) + mass * spans.butt[k]
                        if k == sections - 1:
                            value[k, node, b, i, j] = weight[_CARRY] * moment
                        else:
                            value[k, node, b, i, j] = _best_after(spans, chain, weight, value[k + 1], node, k + 1,
                                                                  moment, mass, chain.stiffest[node, b], row, fixed,
                                                                  out)
    return _from_tip(spans, chain, weight, value)


@compiled_inside
def _from_tip(spans: Spans, chain: Chain, weight: FloatArray, value: FloatArray) -> float:
    best, out = np.inf, np.empty(weight.size + 1)
    for node in range(chain.is_last.size):
        for w in range(chain.first[node], chain.first[node + 1]):
            if value[0, node, chain.bin[w], 0, 0] < np.inf:
                _step_all(spans, chain, 0, 0.0, 0.0, 1.0, chain.walls[w], _lever(spans, 0), True, out)
                best = min(best, _weighed_all(out, weight)
                           + _rest(value[0, node, chain.bin[w]], chain, spans, 0, out[4], out[5]))
    return best


@compiled_inside
def go(spans: Spans, chain: Chain, trail: Trail, k: int, w: int, out: FloatArray) -> None:
    """Extend a trail by section k with wall w."""
    _step_all(spans, chain, k, trail.ahead[k, 0], trail.ahead[k, 1], trail.stiff[k], chain.walls[w], _lever(spans, k),
          False, out)
    for f in range(4):
        trail.figures[k + 1, f] = trail.figures[k, f] + out[f]
    trail.figures[k + 1, _CARRY] = out[4]
    for x in range(6, out.size):
        trail.figures[k + 1, x - 1] = trail.figures[k, x - 1] + out[x]
    trail.ahead[k + 1, 0], trail.ahead[k + 1, 1] = out[4], out[5]
    trail.stiff[k + 1] = chain.walls[w, 0]


@compiled
def forward(spans: Spans, chain: Chain, weight: FloatArray, value: FloatArray, trail: Trail, path: IntArray) -> bool:
    """Follow the least weighted sum from tip to butt: path (n_section, 2) of node and wall, figures in the trail."""
    sections, out = value.shape[0], np.empty(weight.size + 1)
    for k in range(sections):
        best = np.inf
        low, high = (0, chain.is_last.size) if k == 0 else (chain.link[path[k - 1, 0]], chain.link[path[k - 1, 0] + 1])
        for row in range(low, high):
            node = row if k == 0 else chain.follow[row]
            for w in range(chain.first[node], chain.first[node + 1]):
                if not value[k, node, chain.bin[w], 0, 0] < np.inf:
                    continue
                _step_all(spans, chain, k, trail.ahead[k, 0], trail.ahead[k, 1], trail.stiff[k], chain.walls[w],
                      _lever(spans, k), True, out)
                total = _weighed_all(out, weight) + _rest(value[k, node, chain.bin[w]], chain, spans, k, out[4], out[5])
                if total < best:
                    best = total
                    path[k, 0], path[k, 1] = node, w
        if not best < np.inf:
            return False
        go(spans, chain, trail, k, path[k, 1], out)
    return True


@compiled_inside
def _bound_of(spans: Spans, chain: Chain, weights: FloatArray, fixed: FloatArray, values: FloatArray, k: int, node: int,
              w: int, trail: Trail, out: FloatArray) -> float:
    """Least value of the aim that any completion can have by the given weights; inf where it can have none.

    Each row of weights gives: aim weight x aim + sum of weight x (figure - limit) >= the sum found; with no weight on
    the aim a positive sum shows that the limits cannot all be met.
    """
    _step_all(spans, chain, k, trail.ahead[k, 0], trail.ahead[k, 1], trail.stiff[k], chain.walls[w], _lever(spans, k),
              True, out)
    worst = -np.inf
    for v in range(weights.shape[0]):
        total = _weighed_all(out, weights[v]) - fixed[v]
        for f in range(weights.shape[1]):
            if f != _CARRY:
                total += weights[v, f] * trail.figures[k, f]
        total += _rest(values[v, k, node, chain.bin[w]], chain, spans, k, out[4], out[5])
        if fixed[weights.shape[0] + v] > 0.0:
            worst = max(worst, total / fixed[weights.shape[0] + v])
        elif total > 1e-9 * abs(fixed[v]):
            return np.inf
    return worst


@compiled_inside
def _look(spans: Spans, chain: Chain, weights: FloatArray, fixed: FloatArray, values: FloatArray, tolerance: float,
          ways: IntArray, stack: Stack, k: int) -> int:
    """Bound every wall that may come next at level k and keep those worth it, the best bound first; how many looks."""
    many, looks, out = 0, 0, np.empty(weights.shape[1] + 1)
    low, high = 0, chain.is_last.size
    if k > 0:
        parent = stack.children[k - 1, stack.next[k - 1] - 1, 0]
        low, high = chain.link[parent], chain.link[parent + 1]
    for row in range(low, high):
        node = row if k == 0 else chain.follow[row]
        if ways[k, node] == 0:
            continue
        for w in range(chain.first[node], chain.first[node + 1]):
            looks += 1
            least = _bound_of(spans, chain, weights, fixed, values, k, node, w, stack.trail, out)
            if least * tolerance >= stack.best[0]:
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
def _weigh_whole(spans: Spans, chain: Chain, stack: Stack, aim: int, limits: FloatArray, bound: float,
                 ask: bool) -> None:
    """A whole pole: keep it, or let it wait to be judged, if it meets the limits and is better. What stands
    for the walls near its own is its bound or its own aim, in droop with the least play of its joints.
    """
    sections = stack.path.shape[0]
    figures = stack.trail.figures[sections]
    stack.tally[0] += 1
    own = figures[aim]
    for level in range(sections - 1 if aim == _DROOP else 0):
        wall = chain.walls[stack.children[level, stack.next[level] - 1, 1]]
        own -= _lever(spans, level) * (wall[3] - wall[4])
    bound = max(bound, own)
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
def branch(spans: Spans, chain: Chain, weights: FloatArray, fixed: FloatArray, values: FloatArray, aim: int,
           limits: FloatArray, tolerance: float, ways: IntArray, stack: Stack, budget: int, ask: bool) -> bool:
    """Branch and bound from where the stack stands, for at most `budget` looks at walls; true when nothing is left.
    With `ask` it halts at every whole pole that would be the best, to be judged.

    weights (n, 5 + n_further) with `fixed` (2 n): sum of weight x limit, then the weight left for the aim; ways
    (n_section, n_node) poles that complete a node, that section's own wall chosen; limits (2, 5 + n_further) least and
    most of each figure.
    """
    sections, out = ways.shape[0], np.empty(weights.shape[1] + 1)
    while stack.depth[0] >= 0 and budget > 0:
        k = stack.depth[0]
        if stack.many[k] < 0:
            budget -= _look(spans, chain, weights, fixed, values, tolerance, ways, stack, k)
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
        go(spans, chain, stack.trail, k, w, out)
        if k < sections - 1:
            stack.depth[0] += 1
        else:
            _weigh_whole(spans, chain, stack, aim, limits, stack.bound[k, at], ask)
            if stack.leaf[0] < np.inf:
                return False
    return bool(stack.depth[0] < 0)
