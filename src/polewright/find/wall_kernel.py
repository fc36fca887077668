"""The compiled loops of the one-wall search over sets of plies and their orders; `wall_front` says why they may."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.find.compiled import compiled, compiled_inside
from polewright.find.shelf import (
    BRANCH,
    BROKEN,
    COST,
    FIGURES,
    IDEAL,
    LIGHT,
    ORDER_BOUND,
    ORDERS,
    SEEN,
    TOO_THICK,
    TOO_THIN,
    Found,
    Frame,
    IntArray,
    Shelf,
    Table,
    beaten,
    broken_in,
    radial_weight,
    try_one,
)

__all__ = ["search"]

_REMEMBERED = 512
_SAME = 1.0 + 4e-15


@compiled_inside
def _orders(counts: IntArray, distinct: int) -> int:
    """How many orders a set of plies has: (sum n)! / prod n!."""
    ways, total = 1, 0
    for d in range(distinct):
        for c in range(1, counts[d] + 1):
            total += 1
            ways = ways * total // c
    return ways


@compiled_inside
def _sharpened(shelf: Shelf, recipe: IntArray, n: int, along: FloatArray) -> None:
    """The fixed strain that is right for one order of these plies: hoop resultant zero, no shear. It bounds the gain
    of every order from above, and closely.
    """
    across, around, inside = 0.0, 0.0, shelf.radius
    for p in range(n):
        k = recipe[p]
        weight = radial_weight(inside, inside + shelf.thickness[k], shelf.is_bending)
        inside += shelf.thickness[k]
        for layer in range(shelf.layers[k]):
            across += weight * shelf.stiffness[k, layer, 1] / shelf.layers[k]
            around += weight * shelf.stiffness[k, layer, 2] / shelf.layers[k]
    a = across / around
    for p in range(n):
        k, along[recipe[p]] = recipe[p], 0.0
        for layer in range(shelf.layers[k]):
            q = shelf.stiffness[k, layer]
            along[k] += (q[0] - 2.0 * a * q[1] + a * a * q[2]) / shelf.layers[k]


class _Set(NamedTuple):
    """One set of plies between the faces: kinds (m,), how many of each are not yet laid, how to sort them, and the
    figures of the orders of this set that were computed so far (room, 3), `known` [0] of them.
    """

    kinds: IntArray
    left: IntArray
    rising: IntArray
    falling: IntArray
    along: FloatArray
    done: FloatArray
    known: IntArray


@compiled_inside
def _set_of(shelf: Shelf, frame: Frame, chosen: IntArray, n: int, recipe: IntArray) -> _Set:
    """Sort one set of plies; recipe is scratch."""
    kinds, left, distinct, at = np.empty(n, np.int64), np.zeros(n, np.int64), 0, 0
    if frame.inner >= 0:
        recipe[0], at = frame.inner, 1
    for p in range(n):
        if p == 0 or chosen[p] != chosen[p - 1]:
            kinds[distinct] = chosen[p]
            distinct += 1
        left[distinct - 1] += 1
        recipe[at] = chosen[p]
        at += 1
    if frame.outer >= 0:
        recipe[at] = frame.outer
        at += 1
    kinds = kinds[:distinct]
    along = shelf.along.copy()
    _sharpened(shelf, recipe, at, along)
    falling = np.empty((2, distinct), np.int64)
    for content in range(2):
        falling[content] = np.argsort(shelf.by_content[content][kinds])
    return _Set(kinds, left[:distinct], np.argsort(along[kinds], kind="mergesort"), falling, along,
                np.empty((_REMEMBERED, 3)), np.zeros(1, np.int64))


@compiled_inside
def _outdone(table: Table, plies: _Set, gain: float, mass: float, cost: float) -> bool:
    """Whether a wall found, or an order of the same set, is at least as good; the last bits of a sum do not count."""
    if beaten(table, gain, mass, cost):
        return True
    for row in range(plies.known[0]):
        other = plies.done[row]
        if other[0] >= gain and other[1] <= mass * _SAME and other[2] <= cost * _SAME:
            return True
    return False


@compiled_inside
def _rest_beaten(shelf: Shelf, frame: Frame, table: Table, state: FloatArray, plies: _Set) -> bool:
    """Whether every order of the plies left over, on a part-built wall, is beaten: gain with the stiffest outermost,
    mass and cost with the heaviest and dearest innermost.
    """
    wall, gain, mass, cost = state
    inside = shelf.radius + wall
    for d in plies.rising:
        if plies.left[d]:
            k = plies.kinds[d]
            outside = inside + plies.left[d] * shelf.thickness[k]
            gain += plies.along[k] * radial_weight(inside, outside, shelf.is_bending)
            inside = outside
    for content in range(2):
        edge, more = shelf.radius + wall, 0.0
        for d in plies.falling[content]:
            if plies.left[d]:
                step = plies.left[d] * shelf.thickness[plies.kinds[d]]
                more += shelf.content[plies.kinds[d], content] * np.pi * step * (2.0 * edge + step)
                edge += step
        if content == 0:
            mass += more
        else:
            cost += more
    if frame.outer >= 0:
        g, step = frame.outer, shelf.thickness[frame.outer]
        gain += plies.along[g] * radial_weight(inside, inside + step, shelf.is_bending)
        mass += shelf.content[g, 0] * np.pi * step * (2.0 * inside + step)
        cost += shelf.content[g, 1] * np.pi * step * (2.0 * inside + step)
    return _outdone(table, plies, gain, mass, cost)


@compiled_inside
def _lay(shelf: Shelf, along: FloatArray, k: int, state: FloatArray, after: FloatArray) -> None:
    """Add one option on the outside: wall, gain bound, mass, cost."""
    inside = shelf.radius + state[0]
    step = shelf.thickness[k]
    ring = np.pi * step * (2.0 * inside + step)
    after[0] = state[0] + step
    after[1] = state[1] + along[k] * radial_weight(inside, inside + step, shelf.is_bending)
    after[2] = state[2] + shelf.content[k, 0] * ring
    after[3] = state[3] + shelf.content[k, 1] * ring


@compiled_inside
def _expand(shelf: Shelf, frame: Frame, chosen: IntArray, n: int, table: Table, found: Found, tally: IntArray) -> bool:
    """Every order of one set of plies, or the one listed order; orders that a bound or rule excludes are counted.
    False, and nothing counted, where the sharper bound excludes the whole set.
    """
    recipe, states, first = np.empty(n + 2, np.int64), np.zeros((n + 3, 4)), 0
    plies = _set_of(shelf, frame, chosen, n, recipe)
    if frame.inner >= 0:
        recipe[0], first = frame.inner, 1
        _lay(shelf, plies.along, frame.inner, states[0], states[1])
    if shelf.prune and _rest_beaten(shelf, frame, table, states[first], plies):
        return False
    distinct, left = plies.kinds.size, plies.left
    tally[ORDERS] += _orders(left, distinct) if not shelf.is_listed else 1
    if n == 0:
        _close(shelf, frame, recipe, first, states, plies, table, found, tally)
        return True
    pick, depth = np.full(n + 1, -1, np.int64), 0
    while depth >= 0:
        if pick[depth] >= 0:
            left[pick[depth]] += 1
        d = pick[depth] + 1
        while d < distinct and (left[d] == 0 or (shelf.is_listed and d > 0 and left[d - 1] > 0)):
            d += 1
        if d >= distinct:
            pick[depth] = -1
            depth -= 1
            continue
        pick[depth] = d
        left[d] -= 1
        at = first + depth
        recipe[at] = plies.kinds[d]
        _lay(shelf, plies.along, plies.kinds[d], states[at], states[at + 1])
        rule = broken_in(shelf, recipe, at + 1)
        if rule >= 0:
            tally[BROKEN + rule] += 1 if shelf.is_listed else _orders(left, distinct)
        elif depth == n - 1:
            _close(shelf, frame, recipe, at + 1, states, plies, table, found, tally)
        elif not shelf.is_listed and shelf.prune and _rest_beaten(shelf, frame, table, states[at + 1], plies):
            tally[ORDER_BOUND] += _orders(left, distinct)
        else:
            depth += 1
    return True


@compiled_inside
def _close(shelf: Shelf, frame: Frame, recipe: IntArray, n: int, states: FloatArray, plies: _Set, table: Table,
           found: Found, tally: IntArray) -> None:
    """Put the fixed outermost ply on, if there is one, and try the wall."""
    if frame.outer >= 0:
        recipe[n] = frame.outer
        n += 1
        rule = broken_in(shelf, recipe, n)
        if rule >= 0:
            tally[BROKEN + rule] += 1
            return
        _lay(shelf, plies.along, frame.outer, states[n - 1], states[n])
    if shelf.prune and _outdone(table, plies, states[n, 1], states[n, 2], states[n, 3]):
        tally[ORDER_BOUND] += 1
        return
    out = np.empty(FIGURES)
    if try_one(shelf, recipe, n, table, found, tally, out) and shelf.prune and plies.known[0] < _REMEMBERED:
        row = plies.known[0]
        plies.done[row, 0] = out[0 if shelf.is_bending else 1]
        plies.done[row, 1], plies.done[row, 2] = out[LIGHT], out[COST]
        plies.known[0] = row + 1


@compiled_inside
def _branch_beaten(frame: Frame, table: Table, node: FloatArray, left: int, k: int) -> bool:
    """Whether every wall that can grow from a branch is beaten; node is wall, gain, mass, cost."""
    many = frame.kept[left, k]
    if many < 0:
        return False
    wall, gain, mass, cost = node
    start = frame.start[left, k]
    for row in range(start, start + many):
        c = frame.pool[row]
        more = c[0] + wall * (c[1] + wall * (c[2] + wall * c[3]))
        if not beaten(table, gain + more, mass + c[4] + c[5] * wall, cost + c[6] + c[7] * wall):
            return False
    return True


@compiled_inside
def _visit(shelf: Shelf, frame: Frame, table: Table, node: FloatArray, chosen: IntArray, n: int, found: Found,
           tally: IntArray) -> bool:
    """Deal with one set of plies and say whether its branch is worth going on with."""
    left, k = frame.most - n, chosen[n - 1] if n else 0
    if node[0] > shelf.rules[1] + 1e-12:
        tally[TOO_THICK] += frame.choose[shelf.thickness.size - k + left, left]
        return False
    if left > 0 and shelf.prune and _branch_beaten(frame, table, node, left, k):
        tally[BRANCH] += frame.choose[shelf.thickness.size - k + left, left]
        return False
    own = node.copy()
    if frame.outer >= 0:
        _lay(shelf, shelf.along, frame.outer, node, own)
    if own[0] == 0.0:
        pass  # no ply at all is no wall
    elif own[0] < shelf.rules[0] - 1e-12:
        tally[TOO_THIN] += 1
    elif own[0] > shelf.rules[1] + 1e-12:
        tally[TOO_THICK] += 1
    elif shelf.prune and beaten(table, own[1], own[2], own[3]):
        tally[IDEAL] += 1
    else:
        tally[SEEN if _expand(shelf, frame, chosen, n, table, found, tally) else IDEAL] += 1
    return left > 0


@compiled_inside
def _grow(shelf: Shelf, node: FloatArray, met: FloatArray, k: int, after: FloatArray) -> None:
    """Add option k to a set of plies in rank order: exact gain bound, least mass and cost over all its orders."""
    inside, step = shelf.radius + node[0], shelf.thickness[k]
    after[0] = node[0] + step
    after[1] = node[1] + shelf.along[k] * radial_weight(inside, inside + step, shelf.is_bending)
    for content in range(2):
        own = shelf.content[k, content] * np.pi * step * (2.0 * shelf.radius + step)
        after[2 + content] = node[2 + content] + own + 2.0 * np.pi * step * met[content, k]


@compiled_inside
def _meet(shelf: Shelf, met: FloatArray, k: int, outermost: bool, after: FloatArray) -> None:
    """What the next plies j find below them: sum over the plies i laid of t_i min(c_i, c_j), or t_i c_j if i is
    known to lie inside j.
    """
    for content in range(2):
        mine = shelf.content[k, content]
        for j in range(shelf.thickness.size):
            each = shelf.content[j, content]
            after[content, j] = met[content, j] + shelf.thickness[k] * (each if outermost else min(mine, each))


@compiled
def search(shelf: Shelf, frame: Frame, table: Table, heads: IntArray, found: Found, tally: IntArray,
           stop: NDArray[np.bool_]) -> int:
    """Every set of plies that begins with one of the heads (n, 2): (-1, -1) no ply, (k, -1) ply k alone, (k, j) and
    all that follows. Returns how many heads were done; `stop` [0] may be set from another thread.
    """
    size, most = shelf.thickness.size, frame.most
    nodes, met = np.zeros((most + 2, 4)), np.zeros((most + 2, 2, size))
    chosen = np.zeros(most + 2, np.int64)
    if frame.inner >= 0:
        _lay(shelf, shelf.along, frame.inner, np.zeros(4), nodes[0])
        _meet(shelf, np.zeros((2, size)), frame.inner, True, met[0])
    for h in range(heads.shape[0]):
        if stop[0]:
            return h
        first, second = heads[h]
        if first < 0:
            # the root alone: its branch is the whole search, so only the set itself is dealt with
            alone = Frame(frame.inner, frame.outer, 0, frame.pool, frame.start, frame.kept, frame.choose)
            _visit(shelf, alone, table, nodes[0], chosen, 0, found, tally)
            continue
        chosen[0] = first
        _grow(shelf, nodes[0], met[0], first, nodes[1])
        _meet(shelf, met[0], first, shelf.is_listed, met[1])
        if second < 0:
            alone = Frame(frame.inner, frame.outer, 1, frame.pool, frame.start, frame.kept, frame.choose)
            _visit(shelf, alone, table, nodes[1], chosen, 1, found, tally)
            continue
        depth = 1
        chosen[1] = second - 1
        while depth >= 1:
            chosen[depth] += 1
            k = chosen[depth]
            if k >= size or (depth == 1 and k > second):
                depth -= 1
                continue
            _grow(shelf, nodes[depth], met[depth], k, nodes[depth + 1])
            if _visit(shelf, frame, table, nodes[depth + 1], chosen, depth + 1, found, tally):
                _meet(shelf, met[depth], k, shelf.is_listed, met[depth + 1])
                chosen[depth + 1] = k - 1
                depth += 1
    return int(heads.shape[0])
