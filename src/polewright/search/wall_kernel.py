"""The compiled loops of the one-wall search over sets of plies; `wall_front` says why they may."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.search.option_table import (
    APART,
    BRANCH,
    BROKEN,
    FIGURES,
    IDEAL,
    ORDERS,
    SEEN,
    TOO_THICK,
    TOO_THIN,
    Frame,
    IntArray,
    KeptWalls,
    Shelf,
    Table,
    beaten,
    laid_wrong,
    may_touch,
    radial_weight,
    try_one,
    write,
)
from polewright.search.ply_sets import ideal_of, kinds_of, ring

__all__ = ["OpenSets", "Walk", "search"]


class Walk(NamedTuple):
    """Where a search stands: place (3,) head, depth and sets of plies left for their orders; plies chosen; for each
    of them the wall, gain, mass and cost, and what further plies meet.
    """

    place: IntArray
    chosen: IntArray  # (most + 2,)
    nodes: FloatArray  # (most + 3, 4), the last for the wall with its outer face
    met: FloatArray  # (most + 2, 2, k)


class OpenSets(NamedTuple):
    """Sets of plies left over for their orders."""

    plies: NDArray[np.int16]  # (room, most)
    size: IntArray  # (room,)
    ideal: FloatArray  # (room, 3) most gain, least mass and cost


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
def _lay(shelf: Shelf, k: int, node: FloatArray, after: FloatArray) -> None:
    """Add one option on the outside: wall, gain bound, mass, cost."""
    inside, step = shelf.radius + node[0], shelf.thickness[k]
    after[0] = node[0] + step
    after[1] = node[1] + shelf.along[k] * radial_weight(inside, inside + step, shelf.is_bending)
    after[2] = node[2] + ring(shelf.content[k, 0], inside, step)
    after[3] = node[3] + ring(shelf.content[k, 1], inside, step)


@compiled_inside
def _visit(
    shelf: Shelf, frame: Frame, table: Table, walk: Walk, n: int, found: KeptWalls, left: OpenSets, tally: IntArray
) -> bool:
    """Deal with one set of n plies and say whether its branch is worth going on with."""
    more, k, node = frame.most - n, walk.chosen[n - 1] if n else 0, walk.nodes[n]
    if node[0] > shelf.rules[1] + 1e-12:
        tally[TOO_THICK] += frame.choose[shelf.thickness.size - k + more, more]
        return False
    if more > 0 and shelf.prune and _branch_beaten(frame, table, node, more, k):
        tally[BRANCH] += frame.choose[shelf.thickness.size - k + more, more]
        return False
    own = walk.nodes[-1]
    write(node, own)
    if frame.outer >= 0:
        _lay(shelf, frame.outer, node, own)
    if own[0] == 0.0:
        pass  # no ply at all is no wall
    elif own[0] < shelf.rules[0] - 1e-12:
        tally[TOO_THIN] += 1
    elif own[0] > shelf.rules[1] + 1e-12:
        tally[TOO_THICK] += 1
    elif shelf.prune and beaten(table, own[1], own[2], own[3]):
        tally[IDEAL] += 1
    else:
        _settle(shelf, frame, table, walk, n, found, left, tally)
    return more > 0


@compiled_inside
def _hang_together(shelf: Shelf, chosen: IntArray, n: int, frame: Frame) -> bool:
    """Whether from each ply a chain of plies that may touch leads to every other, faces and all: no order can keep
    the rule of neighbouring angles otherwise.
    """
    rank, m = np.empty(n + 2, np.int64), n
    for p in range(n):
        rank[p] = chosen[p]
    for face in (frame.inner, frame.outer):
        if face >= 0:
            rank[m] = face
            m += 1
    met = 1  # the first `met` of rank hang together
    for p in range(m):
        if p == met:
            return False
        for q in range(met, m):
            if may_touch(shelf, rank[p], rank[q]):
                rank[met], rank[q] = rank[q], rank[met]
                met += 1
    return True


@compiled_inside
def _settle(
    shelf: Shelf, frame: Frame, table: Table, walk: Walk, n: int, found: KeptWalls, left: OpenSets, tally: IntArray
) -> None:
    """Try the one order of a listed set; leave any other set over, and try the order with the stiffest outermost so
    that the table knows of it.
    """
    if shelf.rules[3] < np.inf and not _hang_together(shelf, walk.chosen, n, frame):
        tally[APART] += 1
        return
    recipe, out, ideal = np.empty(n + 2, np.int64), np.empty(FIGURES), np.empty(3)
    if shelf.prune:
        plies = kinds_of(shelf, walk.chosen, n, frame.inner, frame.outer)
        ideal_of(shelf, plies, True, ideal)
        if beaten(table, ideal[0], ideal[1], ideal[2]):
            tally[IDEAL] += 1
            return
    at = 0
    if frame.inner >= 0:
        recipe[0], at = frame.inner, 1
    for p in range(n):
        recipe[at] = walk.chosen[p]
        at += 1
    if frame.outer >= 0:
        recipe[at] = frame.outer
        at += 1
    count = tally
    if shelf.is_listed:
        tally[SEEN] += 1
        tally[ORDERS] += 1
    else:
        count = np.zeros(tally.size, np.int64)
        row = walk.place[2]
        walk.place[2] = row + 1
        left.size[row] = n
        write(ideal, left.ideal[row])
        for p in range(n):
            left.plies[row, p] = walk.chosen[p]
    if shelf.is_listed or shelf.prune:
        rule = laid_wrong(shelf, recipe, at)
        if rule >= 0:
            count[BROKEN + rule] += 1
        else:
            try_one(shelf, recipe, at, table, found, count, out)


@compiled_inside
def _grow(shelf: Shelf, node: FloatArray, met: FloatArray, k: int, after: FloatArray) -> None:
    """Add option k to a set of plies in rank order: exact gain bound, least mass and cost over all its orders."""
    inside, step = shelf.radius + node[0], shelf.thickness[k]
    after[0] = node[0] + step
    after[1] = node[1] + shelf.along[k] * radial_weight(inside, inside + step, shelf.is_bending)
    for content in range(2):
        own = ring(shelf.content[k, content], shelf.radius, step)
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


@compiled_inside
def _begin(
    shelf: Shelf,
    frame: Frame,
    table: Table,
    walk: Walk,
    head: IntArray,
    found: KeptWalls,
    left: OpenSets,
    tally: IntArray,
) -> bool:
    """Begin with a head; whether more is to follow."""
    n = 0
    if head[0] >= 0:
        n = 1
        walk.chosen[0] = head[0]
        _grow(shelf, walk.nodes[0], walk.met[0], head[0], walk.nodes[1])
        _meet(shelf, walk.met[0], head[0], shelf.is_listed, walk.met[1])
    if head[1] < 0:
        # these plies alone: the branch belongs to other heads, so only the set itself is dealt with
        alone = Frame(frame.inner, frame.outer, n, frame.pool, frame.start, frame.kept, frame.choose)
        _visit(shelf, alone, table, walk, n, found, left, tally)
        return False
    walk.chosen[1] = head[1] - 1
    return True


@compiled
def search(
    shelf: Shelf,
    frame: Frame,
    table: Table,
    heads: IntArray,
    walk: Walk,
    found: KeptWalls,
    left: OpenSets,
    tally: IntArray,
    stop: NDArray[np.bool_],
) -> bool:
    """Every set of plies that begins with one of the heads (n, 2): (-1, -1) no ply, (k, -1) ply k alone, (k, j) and
    all that follows. True when all is done; false where room is short, to be called again when there is more, or where
    `stop` [0] was set from another thread.
    """
    size, place = shelf.thickness.size, walk.place
    while place[0] < heads.shape[0]:
        if stop[0] or place[2] == left.size.size or found.used[0] == found.size.size:
            return False
        depth = place[1]
        if depth == 0:
            if place[0] == 0 and frame.inner >= 0:
                _lay(shelf, frame.inner, np.zeros(4), walk.nodes[0])
                _meet(shelf, np.zeros((2, size)), frame.inner, True, walk.met[0])
            if _begin(shelf, frame, table, walk, heads[place[0]], found, left, tally):
                place[1] = 1
            else:
                place[0] += 1
            continue
        walk.chosen[depth] += 1
        k = walk.chosen[depth]
        if k >= size or (depth == 1 and k > heads[place[0], 1]):
            place[1] -= 1
            place[0] += 1 if depth == 1 else 0
            continue
        _grow(shelf, walk.nodes[depth], walk.met[depth], k, walk.nodes[depth + 1])
        if _visit(shelf, frame, table, walk, depth + 1, found, left, tally):
            _meet(shelf, walk.met[depth], k, shelf.is_listed, walk.met[depth + 1])
            walk.chosen[depth + 1] = k - 1
            place[1] += 1
    return True
