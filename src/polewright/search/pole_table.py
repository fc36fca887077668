"""What is still to come on a part-built pole, by weights of its figures, as a table; `pole_search` has the proof."""

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.search.pole_arrays import Chain, Trail
from polewright.search.pole_step import CARRY, COST, DROOP, FLEX, MASS, lever_of, step, weighed
from polewright.search.span import Spans

__all__ = ["backward", "between", "place", "rest_after"]


@compiled_inside
def place(
    chain: Chain, spans: Spans, k: int, moment: float, mass: float, n: int, m: int
) -> tuple[int, int, float, float]:
    """Where a moment and mass ahead lie on the grid of section k: cell, and shares of the way through it."""
    grid = chain.grid[k]
    x = (moment - mass * spans.butt[k] - grid[0]) / max(grid[1] - grid[0], 1e-300) * (n - 1)
    y = (mass - grid[2]) / max(grid[3] - grid[2], 1e-300) * (m - 1)
    i, j = min(max(int(x), 0), n - 2), min(max(int(y), 0), m - 2)
    return i, j, min(max(x - i, 0.0), 1.0), min(max(y - j, 0.0), 1.0)


@compiled_inside
def between(value: FloatArray, i: int, j: int, x: float, y: float) -> float:
    """Least weighted sum of what is still to come, between grid points: no more than the true one, which is concave."""
    return float(
        (value[i, j] * (1.0 - x) + value[i + 1, j] * x) * (1.0 - y)
        + (value[i, j + 1] * (1.0 - x) + value[i + 1, j + 1] * x) * y
    )


@compiled_inside
def rest_after(value: FloatArray, chain: Chain, spans: Spans, k: int, w: int, moment: float, mass: float) -> float:
    """The same after wall w, between the ends of its bin: value (2, n, m)."""
    i, j, x, y = place(chain, spans, k, moment, mass, value.shape[1], value.shape[2])
    share = chain.share[w]
    return float(between(value[0], i, j, x, y) * (1.0 - share) + between(value[1], i, j, x, y) * share)


@compiled_inside
def _folded(spans: Spans, chain: Chain, weight: FloatArray, k: int, row: FloatArray, fixed: FloatArray) -> None:
    """All figures of section k by their weights as one row (as `packed`, but for nested ones: row[13] is above zero
    where there are some), and of every wall what depends on nothing else.
    """
    row[:] = 0.0
    for region in range(2):
        at = 4 * region
        row[at] = weight[DROOP] * spans.by_moment[k, region]
        row[at + 1] = weight[DROOP] * spans.by_mass[k, region]
        row[at + 2] = weight[DROOP] * spans.by_own[k, region]
        row[at + 3] = weight[DROOP] * spans.by_tip[k, region] + weight[FLEX] * spans.by_pull[k, region]
    for c in range(4):
        row[8 + c] = weight[DROOP] * spans.joint[k, c]
    row[11] += weight[FLEX] * spans.joint[k, 4]
    row[12] = weight[DROOP] * lever_of(spans, k)
    row[15] = weight[MASS] * (chain.clamp if k > 0 else 0.0)
    for x in range(spans.more.shape[1]):
        for c in range(16):
            if c != 13:
                row[c] += weight[5 + x] * spans.more[k, x, c]
        if weight[5 + x] > 0.0 and (spans.more[k, x, 16] > 0.0 or spans.more[k, x, 19] > 0.0):
            row[13] = 1.0
    long, flag = weight[MASS] * spans.length, weight[COST] * (spans.length + chain.flag_extra)
    for w in range(chain.walls.shape[0]):
        own = chain.walls[w, 1]
        fixed[w] = (
            long * own
            + flag * chain.walls[w, 2]
            + row[12] * chain.walls[w, 4]
            - row[14] / own
            + chain.give * row[10] * own
        )


@compiled_inside
def _soft(load: float, stiff: float, middle: float, end: float) -> float:
    """load/(stiff + before) at one end of the range of `before`, [N m2], so that the straight line between both ends is
    never above it: the tangent at the middle where the load is positive (convex), itself where it is not (concave).
    """
    if load > 0.0:
        soft = 1.0 / (middle + stiff)
        return load * soft * (1.0 + (middle - end) * soft)
    return load / (end + stiff)


@compiled_inside
def _nested_after(
    rows: FloatArray,
    weight: FloatArray,
    moment: float,
    mass: float,
    own: float,
    most: float,
    middle: float,
    end: float,
    stiff: float,
) -> float:
    """Weighted further droop of the section before, nested in this one: its own kg/m least, the one before stiffest."""
    total = 0.0
    for x in range(rows.shape[0]):
        row = rows[x]
        if weight[5 + x] > 0.0 and (row[16] > 0.0 or row[19] > 0.0):
            alone = row[16] * moment + row[17] * mass + row[18] * own + row[19]
            shared = row[20] * moment + row[21] * mass + row[22] * own + row[23]
            total += weight[5 + x] * (
                _soft(alone, stiff + row[13], middle, end) + _soft(shared, stiff + row[13] + most, middle, end)
            )
    return total


@compiled_inside
def _best_after(
    spans: Spans,
    chain: Chain,
    weight: FloatArray,
    rest: FloatArray,
    node: int,
    k: int,
    moment: float,
    mass: float,
    ends: FloatArray,
    end: float,
    row: FloatArray,
    fixed: FloatArray,
) -> float:
    """Least weighted sum of section k > 0 and all that follows it, on a part-built pole that ends in a node with EI at
    one end of a bin; rest (n_wall, n, m).
    """
    best = np.inf
    arm = spans.length * (spans.butt[k] + spans.length / 2.0)
    mass += chain.clamp
    moment += chain.clamp * spans.mouth[k]
    middle = (ends[0] + ends[1]) / 2.0
    shared, alone = row[0] * moment + row[1] * mass + row[3], row[4] * moment + row[5] * mass + row[7]
    always = chain.give * (row[8] * moment + row[9] * mass + row[11]) + row[15]
    for at in range(chain.link[node], chain.link[node + 1]):
        after = chain.follow[at]
        if not rest[chain.first[after], 0, 0] < np.inf:
            continue
        for w in range(chain.first[after], chain.first[after + 1]):
            stiff, own = chain.walls[w, 0], chain.walls[w, 1]
            total = (
                always + fixed[w] + _soft(shared + row[2] * own, stiff, middle, end) + (alone + row[6] * own) / stiff
            )
            if row[13] > 0.0:
                total += _nested_after(
                    spans.more[k], weight, moment, mass, ends[2], chain.most[k - 2], middle, end, stiff
                )
            i, j, x, y = place(
                chain, spans, k, moment + own * arm, mass + own * spans.length, rest.shape[1], rest.shape[2]
            )
            best = min(best, total + between(rest[w], i, j, x, y))
    return best


@compiled_inside
def _is_flat(spans: Spans, weight: FloatArray) -> bool:
    """Whether moment and mass ahead count for nothing in a weighted sum."""
    if weight[DROOP] > 0.0 or weight[CARRY] > 0.0:
        return False
    for x in range(spans.more.shape[1]):
        for k in range(spans.more.shape[0]):
            row = spans.more[k, x]
            for c in (0, 1, 4, 5, 8, 9, 16, 17, 20, 21):
                if weight[5 + x] > 0.0 and row[c] != 0.0:
                    return False
    return True


@compiled_inside
def _after_walls(chain: Chain, value: FloatArray, rest: FloatArray) -> None:
    """What is still to come after every wall, between the ends of its bin: value (n_node, BINS, 2, n, m), rest
    (n_wall, n, m); inf where the node cannot stand there.
    """
    for node in range(chain.is_last.size):
        for w in range(chain.first[node], chain.first[node + 1]):
            ends, share = value[node, chain.bin[w]], chain.share[w]
            for i in range(rest.shape[1]):
                for j in range(rest.shape[2]):
                    low, high = ends[0, i, j], ends[1, i, j]
                    rest[w, i, j] = low * (1.0 - share) + high * share if low < np.inf else np.inf


@compiled
def backward(spans: Spans, chain: Chain, weight: FloatArray, value: FloatArray) -> float:
    """Fill value (n_section, n_node, BINS, 2, n, m) from the butt to the tip; the least weighted sum of all poles."""
    sections, nodes, bins, _, n, m = value.shape
    row, fixed, rest = np.empty(16), np.empty(chain.walls.shape[0]), np.empty((chain.walls.shape[0], n, m))
    flat = _is_flat(spans, weight)
    value[:] = np.inf
    for k in range(sections - 1, -1, -1):
        low, high, light, heavy = chain.grid[k]
        if k < sections - 1:
            _folded(spans, chain, weight, k + 1, row, fixed)
            _after_walls(chain, value[k + 1], rest)
        for node in range(nodes):
            if chain.is_last[node] != (k == sections - 1):
                continue
            for b in range(bins):
                ends = chain.ends[node, b]
                for side in range(2 if ends[0] >= 0.0 else 0):
                    here = value[k, node, b, side]
                    if side == 1 and ends[0] == ends[1]:
                        here[:] = value[k, node, b, 0]
                        continue
                    for i in range(1 if flat else n):
                        for j in range(1 if flat else m):
                            mass = light + (heavy - light) * j / (m - 1)
                            moment = low + (high - low) * i / (n - 1) + mass * spans.butt[k]
                            if k == sections - 1:
                                here[i, j] = weight[CARRY] * moment
                            else:
                                here[i, j] = _best_after(
                                    spans, chain, weight, rest, node, k + 1, moment, mass, ends, ends[side], row, fixed
                                )
                    if flat:
                        here[:] = here[0, 0]
    return _from_tip(spans, chain, weight, value)


@compiled_inside
def _from_tip(spans: Spans, chain: Chain, weight: FloatArray, value: FloatArray) -> float:
    best, out, trail = np.inf, np.empty(weight.size + 1), Trail(np.zeros((1, 1)), np.zeros((1, 2)), np.ones(1))
    for node in range(chain.is_last.size):
        for w in range(chain.first[node], chain.first[node + 1]):
            if value[0, node, chain.bin[w], 0, 0, 0] < np.inf:
                step(spans, chain, 0, trail, chain.walls[w], True, out)
                best = min(
                    best,
                    weighed(out, weight) + rest_after(value[0, node, chain.bin[w]], chain, spans, 0, w, out[4], out[5]),
                )
    return best
