"""Every order of the sets of plies that no bound excludes, beginning by beginning or one by one."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.search.option_table import (
    BEGINNING,
    BROKEN,
    COST,
    FIGURES,
    IDEAL,
    LIGHT,
    ORDER_BOUND,
    ORDERS,
    SEEN,
    IntArray,
    KeptWalls,
    Shelf,
    allowed,
    keep,
    next_block,
    radial_weight,
    rule_of,
    write,
)
from polewright.search.partial_walls import BLOCK, COSTS, GAINS, MARKS, MASS, WIDTH, no_worse, parts_of, weigh_marks
from polewright.search.ply_sets import Kinds, beats, ideal_of, kinds_of, rest_of, ring, rival, rivals_of, start_of

__all__ = ["BEGINNINGS", "Sets", "part_of", "try_orders"]

BEGINNINGS = 32_768
"""Beginnings of one set kept side by side; a set with more is gone through order by order."""
RIVALS = 400
"""Walls found that the orders of one set are held against, at most."""
_DIGIT, _BITS = 15, 4


class Sets(NamedTuple):
    """Sets of plies (n, most) by rising rank, the first `size` of each row, between faces (n, 2)."""

    plies: NDArray[np.int16]
    size: IntArray
    faces: IntArray
    is_alone: NDArray[np.bool_]  # (n,) whether its orders must be gone through one by one
    ideal: FloatArray  # (n, 3) gain that no order is above, mass and cost that none is below


def part_of(sets: Sets, rows: IntArray | NDArray[np.bool_] | slice) -> Sets:
    """Some of the sets: rows are places (n,), a mask (n_set,) or a slice."""
    solid = np.ascontiguousarray  # strided rows would have the loops compiled once more
    return Sets(
        solid(sets.plies[rows]),
        solid(sets.size[rows]),
        solid(sets.faces[rows]),
        solid(sets.is_alone[rows]),
        solid(sets.ideal[rows]),
    )


class _Begun(NamedTuple):
    """Beginnings side by side, in lists by what is laid: next in the list, plies (4 bits each), marks and sums."""

    after: IntArray  # (room,)
    code: IntArray  # (room,)
    sums: FloatArray  # (room, WIDTH)
    head: IntArray  # (reach,) first of each list, -1 if none
    free: IntArray  # (2,) first of the free ones, and how many places were ever used


class _Reach(NamedTuple):
    """What is known of each number of what is laid: orders of the rest (0: not yet known) and what it adds at best."""

    ways: IntArray  # (reach,)
    rest: FloatArray  # (reach, 3)


@compiled_inside
def _orders(left: IntArray) -> int:
    """How many orders a set of plies has: (sum n)! / prod n!."""
    ways, total = 1, 0
    for d in range(left.size):
        for c in range(1, left[d] + 1):
            total += 1
            ways = ways * total // c
    return ways


@compiled_inside
def _many(count: IntArray) -> int:
    total = 0
    for d in range(count.size):
        total += count[d]
    return total


@compiled_inside
def _look_ahead(shelf: Shelf, plies: Kinds, to: int, left: IntArray, inside: float, reach: _Reach) -> None:
    if reach.ways[to] == 0:
        reach.ways[to] = _orders(left)
        rest_of(shelf, plies, left, inside, True, reach.rest[to])


@compiled_inside
def _drop(begun: _Begun, p: int) -> None:
    begun.after[p] = begun.free[0]
    begun.free[0] = p


@compiled_inside
def _enter(begun: _Begun, to: int, new: FloatArray, code: int, marks: int, tail: bool) -> int:
    """Put a beginning into its list unless another makes it needless; how many became needless, -1 without room."""
    p, before, gone = begun.head[to], -1, 0
    while p >= 0:
        after = begun.after[p]
        alike = not tail or (begun.code[p] ^ code) & _DIGIT == 0
        if (
            alike
            and no_worse(begun.sums[p], new, marks)
            and (begun.code[p] < code or not no_worse(new, begun.sums[p], marks))
        ):
            return gone + 1
        if alike and no_worse(new, begun.sums[p], marks):
            if before < 0:
                begun.head[to] = after
            else:
                begun.after[before] = after
            _drop(begun, p)
            gone += 1
        else:
            before = p
        p = after
    p = begun.free[0]
    if p >= 0:
        begun.free[0] = begun.after[p]
    elif begun.free[1] < begun.code.size:
        p = begun.free[1]
        begun.free[1] += 1
    else:
        return -1
    write(new, begun.sums[p])
    begun.code[p], begun.after[p] = code, begun.head[to]
    begun.head[to] = p
    return gone


@compiled_inside
def _lay(shelf: Shelf, plies: Kinds, d: int, inside: float, more: FloatArray) -> None:
    """What one ply of kind d on radius `inside` adds to the bound of the gain, mass and cost (3,)."""
    k = plies.rank[d]
    step = shelf.thickness[k]
    more[0] = plies.along[d] * radial_weight(inside, inside + step, shelf.is_bending)
    more[1] = ring(shelf.content[k, 0], inside, step)
    more[2] = ring(shelf.content[k, 1], inside, step)


@compiled_inside
def _spread(shelf: Shelf, plies: Kinds, s: int, laid: IntArray, inside: float) -> float:
    """Fill in what is laid for a number s; the radius that it reaches."""
    for d in range(laid.size):
        laid[d] = s // plies.stride[d] % (plies.turns[d] + 1)
        inside += laid[d] * shelf.thickness[plies.rank[d]]
    return inside


@compiled_inside
def _below(plies: Kinds, code: int, bare: bool) -> int:
    """Rank of the ply that a beginning ends with, of the inner face if none is laid."""
    return plies.inner if bare else plies.rank[code & _DIGIT]


@compiled_inside
def _go_on(
    shelf: Shelf,
    plies: Kinds,
    s: int,
    d: int,
    inside: float,
    reach: _Reach,
    begun: _Begun,
    weights: FloatArray,
    rivals: FloatArray,
    many: int,
    lost: IntArray,
) -> bool:
    """Lay kind d on every beginning of the list s; False where there is no room."""
    to, k = s + plies.stride[d], plies.rank[d]
    more, parts, new = np.empty(WIDTH), np.empty(6), np.empty(WIDTH)
    marks, bare = weights.shape[0], s == 0
    parts_of(shelf, k, inside, parts)
    for c in range(marks):
        more[c] = 0.0
        for e in range(parts.size):
            more[c] += weights[c, e] * parts[e]
    _lay(shelf, plies, d, inside, more[GAINS:BLOCK])
    tail = shelf.rules[2] < np.inf or shelf.rules[3] < np.inf
    ways, rest = reach.ways[to], reach.rest[to]
    p = begun.head[s]
    while p >= 0:
        old, code, p = begun.sums[p], begun.code[p], begun.after[p]
        for c in range(marks):
            new[c] = old[c] + more[c]
        for c in range(GAINS, BLOCK):
            new[c] = old[c] + more[c]
        new[BLOCK] = 0.0
        if tail:
            new[BLOCK] = next_block(shelf, _below(plies, code, bare), old[BLOCK], k)
            if new[BLOCK] < 0.0:
                lost[BROKEN + rule_of(new[BLOCK])] += ways
                continue
        if beats(rivals, many, new[GAINS] + rest[0], new[MASS] + rest[1], new[COSTS] + rest[2]):
            lost[ORDER_BOUND] += ways
            continue
        gone = _enter(begun, to, new, code << _BITS | d, marks, tail)
        if gone < 0:
            return False
        lost[BEGINNING] += gone * ways
    return True


@compiled_inside
def _by_partial_orders(
    shelf: Shelf, plies: Kinds, begun: _Begun, rivals: FloatArray, many: int, found: KeptWalls, tally: IntArray
) -> bool:
    """Go through a set, beginning by beginning, in the order of what is laid; False, and nothing done, where that
    cannot be.
    """
    weights = np.empty((MARKS, 6))
    weights = weights[: weigh_marks(shelf, plies, weights)]
    if weights.shape[0] == 0:
        return False
    m, last = plies.rank.size, plies.stride[-1] - 1
    start, laid, left, lost = np.empty(4), np.empty(m, np.int64), np.empty(m, np.int64), np.zeros(tally.size, np.int64)
    start_of(shelf, plies, start)
    reach = _Reach(np.zeros(last + 1, np.int64), np.empty((last + 1, 3)))
    for s in range(last + 1):
        begun.head[s] = -1
    begun.free[0], begun.free[1] = -1, 1
    begun.head[0], begun.after[0], begun.code[0] = 0, -1, 0
    write(np.zeros(WIDTH), begun.sums[0])
    write(start[1:], begun.sums[0, GAINS:BLOCK])
    if plies.inner >= 0:
        begun.sums[0, BLOCK] = next_block(shelf, -1, 0.0, plies.inner)
    for s in range(last):
        if begun.head[s] < 0:
            continue
        inside = _spread(shelf, plies, s, laid, shelf.radius + start[0])
        for d in range(m):
            if laid[d] < plies.turns[d]:
                for e in range(m):
                    left[e] = plies.turns[e] - laid[e]
                left[d] -= 1
                _look_ahead(shelf, plies, s + plies.stride[d], left, inside + shelf.thickness[plies.rank[d]], reach)
                if not _go_on(shelf, plies, s, d, inside, reach, begun, weights, rivals, many, lost):
                    return False
        p = begun.head[s]
        while p >= 0:
            after = begun.after[p]
            _drop(begun, p)
            p = after
    for c in range(lost.size):
        tally[c] += lost[c]
    _finish(shelf, plies, begun, found, tally)
    return True


@compiled_inside
def _finish(shelf: Shelf, plies: Kinds, begun: _Begun, found: KeptWalls, tally: IntArray) -> None:
    """Compute the walls that are left."""
    n = _many(plies.turns)
    recipe, out, first = np.empty(n + 2, np.int64), np.empty(FIGURES), 0
    if plies.inner >= 0:
        recipe[0], first = plies.inner, 1
    p = begun.head[plies.stride[-1] - 1]
    while p >= 0:
        code = begun.code[p]
        for at in range(first + n - 1, first - 1, -1):
            recipe[at] = plies.rank[code & _DIGIT]
            code >>= _BITS
        _close(shelf, plies, recipe, first + n, begun.sums[p, BLOCK], found, tally, out)
        p = begun.after[p]


@compiled_inside
def _close(
    shelf: Shelf,
    plies: Kinds,
    recipe: IntArray,
    n: int,
    block: float,
    found: KeptWalls,
    tally: IntArray,
    out: FloatArray,
) -> bool:
    """Lay the outer face, if there is one, and keep the wall if it is allowed."""
    if plies.outer >= 0:
        block = next_block(shelf, recipe[n - 1] if n else -1, block, plies.outer)
        if block < 0.0:
            tally[BROKEN + rule_of(block)] += 1
            return False
        recipe[n] = plies.outer
        n += 1
    if not allowed(shelf, recipe, n, tally, out):
        return False
    keep(found, recipe, n, out)
    return True


@compiled_inside
def _one_by_one(shelf: Shelf, plies: Kinds, rivals: FloatArray, many: int, found: KeptWalls, tally: IntArray) -> None:
    """Go through the orders of a set one by one, those that begin alike excluded together."""
    m, n, first = plies.rank.size, _many(plies.turns), 0
    reach = _Reach(np.zeros(plies.stride[-1], np.int64), np.empty((plies.stride[-1], 3)))
    recipe, out, more = np.empty(n + 2, np.int64), np.empty(FIGURES), np.empty(3)
    best = np.empty(3)
    sums, block, below = np.empty((n + 1, 4)), np.zeros(n + 1), plies.inner
    start_of(shelf, plies, sums[0])
    if plies.inner >= 0:
        recipe[0], first = plies.inner, 1
        block[0] = next_block(shelf, -1, 0.0, plies.inner)
    left, pick, depth, at = plies.turns.copy(), np.full(n + 1, -1, np.int64), 0, 0
    if n == 0:
        _close(shelf, plies, recipe, first, block[0], found, tally, out)
        return
    while depth >= 0:
        d = pick[depth]
        if d >= 0:
            left[d] += 1
            at -= plies.stride[d]
        d += 1
        while d < m and left[d] == 0:
            d += 1
        pick[depth] = d if d < m else -1
        if d == m:
            depth -= 1
            continue
        left[d] -= 1
        at += plies.stride[d]
        below = recipe[first + depth - 1] if first + depth else -1
        recipe[first + depth] = plies.rank[d]
        inside = shelf.radius + sums[depth, 0]
        sums[depth + 1, 0] = sums[depth, 0] + shelf.thickness[plies.rank[d]]
        _lay(shelf, plies, d, inside, more)
        _look_ahead(shelf, plies, at, left, shelf.radius + sums[depth + 1, 0], reach)
        for c in range(3):
            sums[depth + 1, 1 + c] = sums[depth, 1 + c] + more[c]
            best[c] = sums[depth + 1, 1 + c] + reach.rest[at, c]
        block[depth + 1] = next_block(shelf, below, block[depth], plies.rank[d])
        if block[depth + 1] < 0.0:
            tally[BROKEN + rule_of(block[depth + 1])] += reach.ways[at]
        elif shelf.prune and beats(rivals, many, best[0], best[1], best[2]):
            tally[ORDER_BOUND] += reach.ways[at]
        elif depth < n - 1:
            depth += 1
        elif _close(shelf, plies, recipe, first + n, block[n], found, tally, out) and shelf.prune:
            many = rival(rivals, many, out[0 if shelf.is_bending else 1], out[LIGHT], out[COST])


@compiled
def try_orders(
    shelf: Shelf, sets: Sets, front: FloatArray, found: KeptWalls, tally: IntArray, stop: NDArray[np.bool_]
) -> int:
    """The orders of each set that no wall of the front so far, (n, 3) gain, mass and cost by rising gain, is known to
    better. How many sets were done; `stop` [0] may be set from another thread.
    """
    room, most = BEGINNINGS, sets.plies.shape[1]
    begun = _Begun(
        np.empty(room, np.int64),
        np.empty(room, np.int64),
        np.empty((room, WIDTH)),
        np.empty(1 << most, np.int64),
        np.empty(2, np.int64),
    )
    rivals, many, ideal, worst = np.empty((RIVALS, 3)), 0, np.empty(3), np.empty(3)
    chosen = np.empty(most, np.int64)
    for row in range(sets.size.size):
        if stop[0] or 2 * found.used[0] > found.size.size:
            return row
        n = sets.size[row]
        for p in range(n):
            chosen[p] = sets.plies[row, p]
        plies = kinds_of(shelf, chosen, n, sets.faces[row, 0], sets.faces[row, 1])
        if shelf.prune:
            ideal_of(shelf, plies, True, ideal)
            ideal_of(shelf, plies, False, worst)
            many = rivals_of(shelf, ideal, worst, front, found, rivals)
            if many < 0:
                tally[IDEAL] += 1
                continue
        tally[SEEN] += 1
        tally[ORDERS] += _orders(plies.turns)
        if sets.is_alone[row] or n < 2 or not _by_partial_orders(shelf, plies, begun, rivals, many, found, tally):
            _one_by_one(shelf, plies, rivals, many, found, tally)
    return int(sets.size.size)
