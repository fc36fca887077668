"""One set of plies in the one-wall search: its kinds, what its orders reach at best, and the walls that rival it."""

from typing import NamedTuple

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled_inside
from polewright.search.option_table import COST, LIGHT, SAME, IntArray, KeptWalls, Shelf, radial_weight, write

__all__ = ["Kinds", "beats", "ideal_of", "kinds_of", "place_by", "rest_of", "ring", "rival", "rivals_of", "start_of"]

_NEAR = 1.05
"""[-] walls with more than so many times the ideal gain are not looked at as rivals; mostly they weigh too much."""


class Kinds(NamedTuple):
    """A set of plies between two faces: its kinds in the order of their numbers, m of them.

    stride [-] numbers what is laid: the sum of laid * stride, stride[m] such numbers in all.
    """

    rank: IntArray  # (m,)
    turns: IntArray  # (m,) plies of each kind
    along: FloatArray  # (m + 2,) [Pa] as `Shelf.along` with the strain that is right for this set; then both faces
    rising: IntArray  # (m,) kinds by rising `along`
    falling: IntArray  # (2, m) kinds by falling density and price
    stride: IntArray  # (m + 1,)
    inner: int  # ranks of the faces, -1 where free
    outer: int


@compiled_inside
def ring(content: float, inside: float, step: float) -> float:
    """Mass or cost per length of a ply [content] laid on radius `inside`."""
    return content * np.pi * step * (2.0 * inside + step)


@compiled_inside
def place_by(key: FloatArray, order: IntArray) -> None:
    """Fill order (n,) with the places of key (n,) [any unit], rising; equals as they stand."""
    for p in range(order.size):
        at = p
        while at > 0 and key[order[at - 1]] > key[p]:
            order[at] = order[at - 1]
            at -= 1
        order[at] = p


@compiled_inside
def kinds_of(shelf: Shelf, chosen: IntArray, n: int, inner: int, outer: int) -> Kinds:
    """Sort one set of n plies, chosen (n,) by rising rank; inner and outer: ranks fixed at the faces, -1 for none."""
    kinds, turns, m = np.empty(n, np.int64), np.zeros(n, np.int64), 0
    for p in range(n):
        at = m
        while at > 0 and shelf.number[kinds[at - 1]] > shelf.number[chosen[p]]:
            at -= 1
        if at > 0 and kinds[at - 1] == chosen[p]:
            turns[at - 1] += 1
            continue
        for q in range(m, at, -1):
            kinds[q], turns[q] = kinds[q - 1], turns[q - 1]
        kinds[at], turns[at] = chosen[p], 1
        m += 1
    kinds, turns = kinds[:m], turns[:m]
    a = _contraction(shelf, chosen, n, inner, outer)
    along, stride = np.zeros(m + 2), np.empty(m + 1, np.int64)
    key, rising, falling = np.empty(m), np.empty(m, np.int64), np.empty((2, m), np.int64)
    stride[0] = 1
    for d in range(m):
        along[d] = _quadratic(shelf, kinds[d], a)
        stride[d + 1] = stride[d] * (turns[d] + 1)
    if inner >= 0:
        along[m] = _quadratic(shelf, inner, a)
    if outer >= 0:
        along[m + 1] = _quadratic(shelf, outer, a)
    place_by(along[:m], rising)
    for content in range(2):
        for d in range(m):
            key[d] = -shelf.content[kinds[d], content]
        place_by(key, falling[content])
    return Kinds(kinds, turns, along, rising, falling, stride, inner, outer)


@compiled_inside
def _quadratic(shelf: Shelf, k: int, a: float) -> float:
    """[Pa] Q11 - 2 a Q12 + a^2 Q22 of one option, the mean of its layers."""
    total = 0.0
    for layer in range(shelf.layers[k]):
        q = shelf.stiffness[k, layer]
        total += q[0] - 2.0 * a * q[1] + a * a * q[2]
    return float(total / shelf.layers[k])


@compiled_inside
def _contraction(shelf: Shelf, chosen: IntArray, n: int, inner: int, outer: int) -> float:
    """Hoop contraction [-] that is right for these plies laid as given: hoop resultant zero, no shear."""
    across, around, inside = 0.0, 0.0, shelf.radius
    for p in range(-1, n + 1):
        k = inner if p < 0 else outer if p == n else chosen[p]
        if k < 0:
            continue
        weight = radial_weight(inside, inside + shelf.thickness[k], shelf.is_bending) / shelf.layers[k]
        inside += shelf.thickness[k]
        for layer in range(shelf.layers[k]):
            across += weight * shelf.stiffness[k, layer, 1]
            around += weight * shelf.stiffness[k, layer, 2]
    return float(across / around)


@compiled_inside
def start_of(shelf: Shelf, plies: Kinds, out: FloatArray) -> None:
    """Into out (4,), once the inner face is laid: wall [m], bound of the gain [N m2] or [N], mass [kg/m] and cost
    [currency/m].
    """
    for c in range(4):
        out[c] = 0.0
    k = plies.inner
    if k >= 0:
        step = shelf.thickness[k]
        out[0] = step
        out[1] = plies.along[plies.rank.size] * radial_weight(shelf.radius, shelf.radius + step, shelf.is_bending)
        out[2], out[3] = ring(shelf.content[k, 0], shelf.radius, step), ring(shelf.content[k, 1], shelf.radius, step)


@compiled_inside
def rest_of(shelf: Shelf, plies: Kinds, left: IntArray, inside: float, best: bool, out: FloatArray) -> None:
    """Most gain, least mass and least cost (3,) that the plies left over add on radius `inside` [m], outer face and
    all: the stiffest outermost, the heaviest and the dearest innermost. If not `best`, the reverse of each order.

    left (n_kind,) turns of each kind; out: gain [N m2] or [N], mass [kg/m], cost [currency/m].
    """
    m = plies.rank.size
    edge, gain = inside, 0.0
    for p in range(m):
        d = plies.rising[p if best else m - 1 - p]
        if left[d]:
            outside = edge + left[d] * shelf.thickness[plies.rank[d]]
            gain += plies.along[d] * radial_weight(edge, outside, shelf.is_bending)
            edge = outside
    out[0] = gain
    for content in range(2):
        at, more = inside, 0.0
        for p in range(m):
            d = plies.falling[content, p if best else m - 1 - p]
            if left[d]:
                step = left[d] * shelf.thickness[plies.rank[d]]
                more += ring(shelf.content[plies.rank[d], content], at, step)
                at += step
        out[1 + content] = more
    k = plies.outer
    if k >= 0:
        step = shelf.thickness[k]
        out[0] += plies.along[m + 1] * radial_weight(edge, edge + step, shelf.is_bending)
        out[1] += ring(shelf.content[k, 0], edge, step)
        out[2] += ring(shelf.content[k, 1], edge, step)


@compiled_inside
def ideal_of(shelf: Shelf, plies: Kinds, best: bool, out: FloatArray) -> None:
    """Gain [N m2] or [N], mass [kg/m] and cost [currency/m], (3,) into out, that no order of the set can better; if not
    `best`, what none can fall short of by much.
    """
    start = np.empty(4)
    start_of(shelf, plies, start)
    rest_of(shelf, plies, plies.turns, shelf.radius + start[0], best, out)
    for c in range(3):
        out[c] += start[1 + c]


@compiled_inside
def beats(rivals: FloatArray, many: int, gain: float, mass: float, cost: float) -> bool:
    """Whether one of the first `many` rivals, by falling gain, is at least as good in all three.

    rivals (n, 3) and the three: gain [N m2] or [N], mass [kg/m], cost [currency/m].
    """
    heaviest, dearest = mass * (1.0 + SAME), cost * (1.0 + SAME)
    for p in range(many):
        if rivals[p, 0] < gain:
            return False
        if rivals[p, 1] <= heaviest and rivals[p, 2] <= dearest:
            return True
    return False


@compiled_inside
def rival(rivals: FloatArray, many: int, gain: float, mass: float, cost: float) -> int:
    """Put one more wall among the rivals, kept by falling gain with none that another beats; how many there are.

    rivals (n, 3) and the three: gain [N m2] or [N], mass [kg/m], cost [currency/m].
    """
    if beats(rivals, many, gain, mass, cost):
        return many
    at = 0
    while at < many and rivals[at, 0] > gain:
        at += 1
    to = at
    for p in range(at, many):
        if rivals[p, 1] < mass or rivals[p, 2] < cost:
            if to != p:
                write(rivals[p], rivals[to])
            to += 1
    many = min(to + 1, rivals.shape[0])
    for p in range(many - 1, at, -1):
        write(rivals[p - 1], rivals[p])
    if at < many:
        rivals[at, 0], rivals[at, 1], rivals[at, 2] = gain, mass, cost
    return many


@compiled_inside
def rivals_of(
    shelf: Shelf, ideal: FloatArray, worst: FloatArray, front: FloatArray, found: KeptWalls, rivals: FloatArray
) -> int:
    """Gather what may beat orders of a set from the front so far, (n, 3) by rising gain, and from the walls found
    since; as good as the set's ideal where they are better. How many; -1 where one beats all orders of the set.

    ideal, worst (3,), front and rivals (n, 3): gain [N m2] or [N], mass [kg/m], cost [currency/m].
    """
    gain = 0 if shelf.is_bending else 1
    low, high = 0, front.shape[0]
    while low < high:
        middle = (low + high) // 2
        if front[middle, 0] < worst[0]:
            low = middle + 1
        else:
            high = middle
    many, most = 0, ideal[0] * _NEAR
    heaviest, dearest = worst[1] * (1.0 + SAME), worst[2] * (1.0 + SAME)
    for p in range(low, front.shape[0]):
        wall = front[p]
        if wall[0] > most:
            break
        if wall[1] <= heaviest and wall[2] <= dearest:
            many = rival(rivals, many, min(wall[0], ideal[0]), max(wall[1], ideal[1]), max(wall[2], ideal[2]))
    for p in range(min(found.used[0], found.size.size)):
        mine = found.figures[p]
        if mine[LIGHT] <= heaviest and mine[COST] <= dearest and mine[gain] >= worst[0]:
            many = rival(rivals, many, min(mine[gain], ideal[0]), max(mine[LIGHT], ideal[1]), max(mine[COST], ideal[2]))
    return -1 if beats(rivals, many, ideal[0], ideal[1], ideal[2]) else many
