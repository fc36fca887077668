"""What is still to come on a part-built pole, by weights of its figures, as a table; `pole_search` has the proof."""

from typing import Any, NamedTuple

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.search.pole_arrays import FURTHER_ROW, Chain, Trail
from polewright.search.pole_step import (
    AHEAD_MASS,
    AHEAD_MOMENT,
    CARRY,
    COST,
    DROOP,
    FIRST_FURTHER,
    FLEX,
    MASS,
    is_nested,
    lever_of,
    loaded,
    step,
    weighed,
)
from polewright.search.span import Spans

__all__ = ["backward", "between", "place", "rest_after"]


class Folded(NamedTuple):
    """All figures of one section by their weights: one row of FURTHER_ROW; of every wall what depends on nothing else
    (n_wall,); and whether the section before lies nested in it.
    """

    row: Any
    walls: FloatArray
    nests: bool


@compiled_inside
def place(
    chain: Chain, spans: Spans, k: int, moment: float, mass: float, n: int, m: int
) -> tuple[int, int, float, float]:
    """Where a moment [kg m] and mass [kg] ahead lie on the n by m grid of section k: cell, and shares [-] of it."""
    grid = chain.grid[k]
    across = max(grid.most_moment - grid.least_moment, 1e-300)
    x = (moment - mass * spans.butt[k] - grid.least_moment) / across * (n - 1)
    y = (mass - grid.least_mass) / max(grid.most_mass - grid.least_mass, 1e-300) * (m - 1)
    i, j = min(max(int(x), 0), n - 2), min(max(int(y), 0), m - 2)
    return i, j, min(max(x - i, 0.0), 1.0), min(max(y - j, 0.0), 1.0)


@compiled_inside
def between(value: FloatArray, i: int, j: int, x: float, y: float) -> float:
    """Least weighted sum [-] of what is still to come, between grid points: no more than the true one, it is concave.

    value (n, m) of the grid; i, j a cell and x, y [-] the way through it, as `place` gives them.
    """
    return float(
        (value[i, j] * (1.0 - x) + value[i + 1, j] * x) * (1.0 - y)
        + (value[i, j + 1] * (1.0 - x) + value[i + 1, j + 1] * x) * y
    )


@compiled_inside
def rest_after(value: FloatArray, chain: Chain, spans: Spans, k: int, w: int, moment: float, mass: float) -> float:
    """The same [-] after wall w, between the ends of its bin: value (2, n, m); moment [kg m] and mass [kg] ahead."""
    i, j, x, y = place(chain, spans, k, moment, mass, value.shape[1], value.shape[2])
    share = chain.share[w]
    return float(between(value[0], i, j, x, y) * (1.0 - share) + between(value[1], i, j, x, y) * share)


@compiled_inside
def _add_load(to: Any, load: Any, weight: float) -> None:
    """Add so much of one load to another."""
    to.moment += weight * load.moment
    to.mass += weight * load.mass
    to.own += weight * load.own
    to.always += weight * load.always


@compiled_inside
def _region(load: Any, spans: Spans, weight: FloatArray, k: int, region: int) -> None:
    """Droop and flex by their weights as the load of one region."""
    load.moment = weight[DROOP] * spans.by_moment[k, region]
    load.mass = weight[DROOP] * spans.by_mass[k, region]
    load.own = weight[DROOP] * spans.by_own[k, region]
    load.always = weight[DROOP] * spans.by_tip[k, region] + weight[FLEX] * spans.by_pull[k, region]


@compiled_inside
def _folded(spans: Spans, chain: Chain, weight: FloatArray, k: int, row: Any, fixed: FloatArray) -> bool:
    """All figures of section k by their weights as one row, but for nested ones (whether there are any is returned),
    and of every wall what depends on nothing else.
    """
    _region(row.shared, spans, weight, k, 0)
    _region(row.alone, spans, weight, k, 1)
    joint, own_joint = spans.joint[k], row.joint
    own_joint.moment, own_joint.mass = weight[DROOP] * joint.load.moment, weight[DROOP] * joint.load.mass
    own_joint.own, own_joint.always = weight[DROOP] * joint.load.own, weight[DROOP] * joint.load.always
    own_joint.always += weight[FLEX] * joint.pull
    row.lever = weight[DROOP] * lever_of(spans, k)
    row.light = 0.0
    row.heavy = weight[MASS] * spans.length
    row.shift = weight[MASS] * (chain.clamp if k > 0 else 0.0)
    nests = False
    for x in range(spans.more.shape[1]):
        more, share = spans.more[k, x], weight[FIRST_FURTHER + x]
        _add_load(row.shared, more.shared, share)
        _add_load(row.alone, more.alone, share)
        _add_load(row.joint, more.joint, share)
        row.lever += share * more.lever
        row.light += share * more.light
        row.heavy += share * more.heavy
        row.shift += share * more.shift
        nests = nests or (share > 0.0 and is_nested(more))
    flag = weight[COST] * (spans.length + chain.flag_extra)
    for w in range(chain.walls.shape[0]):
        wall = chain.walls[w]
        fixed[w] = (
            row.heavy * wall.mass
            + flag * wall.cost
            + row.lever * wall.least_tilt
            - row.light / wall.mass
            + chain.give * row.joint.own * wall.mass
        )
    return nests


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
    rows: Any,
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
        row, share = rows[x], weight[FIRST_FURTHER + x]
        if share > 0.0 and is_nested(row):
            alone, shared = loaded(row.nested_alone, moment, mass, own), loaded(row.nested_shared, moment, mass, own)
            total += share * (
                _soft(alone, stiff + row.stiffer, middle, end) + _soft(shared, stiff + row.stiffer + most, middle, end)
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
    ends: Any,
    end: float,
    folded: Folded,
) -> float:
    """Least weighted sum of section k > 0 and all that follows it, on a part-built pole that ends in a node with EI at
    one end of a bin; rest (n_wall, n, m).
    """
    best, row, fixed = np.inf, folded.row, folded.walls
    arm = spans.length * (spans.butt[k] + spans.length / 2.0)
    mass += chain.clamp
    moment += chain.clamp * spans.mouth[k]
    middle, in_overlap, by_itself, joint = (ends.softest + ends.stiffest) / 2.0, row.shared, row.alone, row.joint
    shared = in_overlap.moment * moment + in_overlap.mass * mass + in_overlap.always
    alone = by_itself.moment * moment + by_itself.mass * mass + by_itself.always
    always = chain.give * (joint.moment * moment + joint.mass * mass + joint.always) + row.shift
    shared_own, alone_own = in_overlap.own, by_itself.own
    for at in range(chain.link[node], chain.link[node + 1]):
        after = chain.follow[at]
        if not rest[chain.first[after], 0, 0] < np.inf:
            continue
        for w in range(chain.first[after], chain.first[after + 1]):
            stiff, own = chain.walls[w].bending, chain.walls[w].mass
            total = (
                always
                + fixed[w]
                + _soft(shared + shared_own * own, stiff, middle, end)
                + (alone + alone_own * own) / stiff
            )
            if folded.nests:
                total += _nested_after(
                    spans.more[k], weight, moment, mass, ends.lightest, chain.most[k - 2], middle, end, stiff
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
            if weight[FIRST_FURTHER + x] > 0.0 and not _is_fixed(spans.more[k, x]):
                return False
    return True


@compiled_inside
def _is_fixed(row: Any) -> bool:
    """Whether moment and mass ahead count for nothing in a further figure of a section."""
    for load in (row.shared, row.alone, row.joint, row.nested_alone, row.nested_shared):
        if load.moment != 0.0 or load.mass != 0.0:
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
    """Fill value (n_section, n_node, BINS, 2, n, m) from the butt to the tip; the least weighted sum of all poles.

    weight : (n_figure,) [1/unit of each figure], so that all sums are plain numbers.
    """
    sections, nodes, bins, _, n, m = value.shape
    row, fixed = np.zeros(1, FURTHER_ROW)[0], np.empty(chain.walls.shape[0])
    folded, rest = Folded(row, fixed, False), np.empty((chain.walls.shape[0], n, m))
    flat = _is_flat(spans, weight)
    value[:] = np.inf
    for k in range(sections - 1, -1, -1):
        grid = chain.grid[k]
        if k < sections - 1:
            folded = Folded(row, fixed, _folded(spans, chain, weight, k + 1, row, fixed))
            _after_walls(chain, value[k + 1], rest)
        for node in range(nodes):
            if chain.is_last[node] != (k == sections - 1):
                continue
            for b in range(bins):
                ends = chain.ends[node, b]
                for side in range(2 if ends.softest >= 0.0 else 0):
                    here = value[k, node, b, side]
                    if side == 1 and ends.softest == ends.stiffest:
                        here[:] = value[k, node, b, 0]
                        continue
                    end = ends.softest if side == 0 else ends.stiffest
                    for i in range(1 if flat else n):
                        for j in range(1 if flat else m):
                            mass = grid.least_mass + (grid.most_mass - grid.least_mass) * j / (m - 1)
                            moment = (
                                grid.least_moment
                                + (grid.most_moment - grid.least_moment) * i / (n - 1)
                                + mass * spans.butt[k]
                            )
                            if k == sections - 1:
                                here[i, j] = weight[CARRY] * moment
                            else:
                                here[i, j] = _best_after(
                                    spans, chain, weight, rest, node, k + 1, moment, mass, ends, end, folded
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
                    weighed(out, weight)
                    + rest_after(value[0, node, chain.bin[w]], chain, spans, 0, w, out[AHEAD_MOMENT], out[AHEAD_MASS]),
                )
    return best
