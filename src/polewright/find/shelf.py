"""The options of the one-wall search as plain arrays, the figures and rules of one wall, and the walls found so far.

Options stand in rank order here (`Shelf`); a recipe is a row of ranks from the bore outward.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.find.bearing import BEARINGS
from polewright.find.compiled import compiled, compiled_inside

__all__ = ["BRANCH", "BROKEN", "COST", "FIGURES", "IDEAL", "LIGHT", "NAMES", "ORDERS", "ORDER_BOUND", "SEEN", "TALLY",
           "TOO_THICK", "TOO_THIN", "WORDS", "Found", "Frame", "IntArray", "Shelf", "Table", "beaten", "best_rows",
           "broken_in", "coded", "radial_weight", "try_all", "try_one", "wall_figures"]

IntArray = NDArray[np.int64]
NAMES = ("bending", "axial", "mass", "cost", "twist", "ring", "collapse", "wall")
FIGURES = len(NAMES)
LIGHT, COST = 2, 3
WORDS = 3
"""Whole numbers that write a recipe of up to 21 plies."""
_RULES = ("least wall", "most wall", "block of one angle", "neighbouring angles", "ring stiffness", "clamp",
          "twist stiffness", "bending stiffness")
SEEN, IDEAL, BRANCH, TOO_THICK, TOO_THIN, ORDERS, TRIED, ORDER_BOUND, BROKEN = 0, 1, 2, 3, 4, 5, 6, 7, 8
TALLY = ("expanded", "ideal", "completions", "most wall", "least wall", "orders", "orders evaluated",
         "orders by bound", *(f"orders by rule: {r}" for r in _RULES),
         *(f"orders by rule: bears, {b}" for b in BEARINGS))
_BEARS = len(_RULES)
_IN_ONE, _BITS = 7, 9


class Shelf(NamedTuple):
    """The options as plain arrays, in rank order."""

    thickness: FloatArray  # (k,) [m]
    layers: IntArray       # (k,) 1, or 2 for a balanced pair
    stiffness: FloatArray  # (k, 2, 6) [Pa] of each layer: 11, 12, 22, 16, 26, 66 in tube axes
    content: FloatArray    # (k, 2) mass [kg/m3] and cost [currency/m3]
    along: FloatArray      # (k,) [Pa] the quadratic form that bounds the gain from above
    angle: FloatArray      # (k, 2) [rad] of the innermost and outermost layer
    by_content: IntArray   # (2, k) place of each option when sorted by falling content
    radius: float          # [m] bore radius
    is_bending: bool       # the gain is EI, else EA
    is_listed: bool        # one order a set of plies: the rank order
    prune: bool            # bounds may exclude
    rules: FloatArray      # (8,) as `Rules`, in the order of _RULES
    base: int              # rank of the first option here on the whole shelf
    barred: IntArray       # (n, WORDS) walls known not to bear what they must, as `coded`, rising
    barred_by: IntArray    # (n,) place in BEARINGS


class Frame(NamedTuple):
    """Plies fixed innermost and outermost (-1: none), how many may lie between, and the completions of any branch."""

    inner: int
    outer: int
    most: int
    pool: FloatArray       # (n, 8) completions: cubic of the gain, line of mass, line of cost, over the wall so far
    start: IntArray        # (most + 1, k + 1)
    kept: IntArray         # (most + 1, k + 1); -1 where there are too many to keep
    choose: IntArray       # (k + most + 1, most + 1) binomials


class Found(NamedTuple):
    """Walls kept so far in one chunk of the search."""

    recipe: NDArray[np.int16]  # (room, most)
    figures: FloatArray        # (room, FIGURES)
    size: IntArray             # (room,) plies
    used: IntArray             # (1,)


class Table(NamedTuple):
    """Best gain found at no more than so much mass and cost: best[i, j] for mass <= i step0, cost <= j step1."""

    best: FloatArray
    per: FloatArray        # (2,) cells per [kg/m] and per [currency/m]


@compiled_inside
def radial_weight(inside: float, outside: float, is_bending: bool) -> float:
    """Radial weight of a layer in the gain: pi/4 (ro^4 - ri^4) for EI, pi (ro^2 - ri^2) for EA."""
    if is_bending:
        return np.pi / 4.0 * (outside**4 - inside**4)
    return np.pi * (outside * outside - inside * inside)


@compiled
def wall_figures(shelf: Shelf, recipe: IntArray, n: int, out: FloatArray) -> None:
    """All figures of one wall, thin tier, every layer at its own radius; the order of NAMES."""
    stretch, between, bend = np.zeros(6), np.zeros(6), np.zeros(6)
    # the wall about its bore: stretch, first and second moment around, and how they mix with shear
    hoop, slip, slide, first, mixed, second = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    mass, cost = 0.0, 0.0
    inside = shelf.radius
    for p in range(n):
        k = recipe[p]
        step = shelf.thickness[k] / shelf.layers[k]
        for layer in range(shelf.layers[k]):
            outside = inside + step
            area = np.pi * (outside * outside - inside * inside)
            cube = 2.0 * np.pi / 3.0 * (outside**3 - inside**3)
            fourth = np.pi / 2.0 * (outside**4 - inside**4)
            for c in range(6):
                value = shelf.stiffness[k, layer, c]
                stretch[c] += value * area
                between[c] += value * cube
                bend[c] += value * fourth
            low, high = inside - shelf.radius, outside - shelf.radius
            around = shelf.stiffness[k, layer, 2]
            hoop += around * (high - low)
            slip += shelf.stiffness[k, layer, 4] * (high - low)
            slide += shelf.stiffness[k, layer, 5] * (high - low)
            first += around * (high * high - low * low) / 2.0
            mixed += shelf.stiffness[k, layer, 4] * (high * high - low * low) / 2.0
            second += around * (high**3 - low**3) / 3.0
            mass += shelf.content[k, 0] * area
            cost += shelf.content[k, 1] * area
            inside = outside
    # hoop resultant free, shear angle free in bending and twist in stretching, as in the thin tier of the wall room
    bent = bend[0] - bend[1]**2 / bend[2]
    sheared = stretch[5] - between[4]**2 / bend[2]
    skew = between[3] - bend[1] * between[4] / bend[2]
    axial = stretch[0] - stretch[1]**2 / stretch[2]
    turning = bend[5] - between[4]**2 / stretch[2]
    cross = between[3] - stretch[1] * between[4] / stretch[2]
    # hoop bending about the neutral axis, shear resultant zero
    both = hoop * slide - slip * slip
    shift, twisted = (slide * first - slip * mixed) / both, (hoop * mixed - slip * first) / both
    ring = second - first * shift - mixed * twisted
    out[0], out[1], out[2], out[3] = (bent - skew**2 / sheared) / 2.0, axial - cross**2 / turning, mass, cost
    out[4], out[5] = turning - cross**2 / axial, ring
    out[6], out[7] = 3.0 * ring / (shelf.radius + shift)**3, inside - shelf.radius


@compiled_inside
def _kink(before: float, after: float) -> float:
    """[rad] between the fibres of two plies, 0 to pi/2."""
    turn = abs(before - after) % np.pi
    return min(turn, np.pi - turn)


@compiled_inside
def broken_in(shelf: Shelf, recipe: IntArray, n: int) -> int:
    """The rule that the last ply of a part-built wall breaks (place in _RULES), or -1."""
    k = recipe[n - 1]
    if n > 1 and _kink(shelf.angle[recipe[n - 2], 1], shelf.angle[k, 0]) > shelf.rules[3] + 1e-9:
        return 3
    block = shelf.thickness[k] / shelf.layers[k]
    p = n - 2
    while p >= 0 and shelf.layers[recipe[p + 1]] == 1 and _kink(shelf.angle[recipe[p], 1], shelf.angle[k, 0]) < 1e-9:
        block += shelf.thickness[recipe[p]] / shelf.layers[recipe[p]]
        p -= 1
    return 2 if block > shelf.rules[2] + 1e-12 else -1


@compiled_inside
def _broken(shelf: Shelf, out: FloatArray) -> int:
    """The rule that the figures of a whole wall break (place in _RULES), or -1."""
    if out[7] < shelf.rules[0] - 1e-12:
        return 0
    if out[7] > shelf.rules[1] + 1e-12:
        return 1
    for rule, figure in ((4, 5), (5, 6), (6, 4), (7, 0)):
        if out[figure] < shelf.rules[rule]:
            return rule
    return -1


@compiled
def coded(recipe: IntArray, n: int, base: int, out: IntArray) -> None:
    """Write a recipe of ranks, counted from `base`, as WORDS whole numbers of seven plies each; no two are alike."""
    out[:] = 0
    for p in range(n):
        out[p // _IN_ONE] |= (recipe[p] + base + 1) << (_BITS * (p % _IN_ONE))


@compiled_inside
def _barred(shelf: Shelf, recipe: IntArray, n: int) -> int:
    """The bearing (place in BEARINGS) that a wall is known to fall short of, or -1."""
    low, high, code = 0, shelf.barred_by.size, np.empty(WORDS, np.int64)
    if high == 0:
        return -1
    coded(recipe, n, shelf.base, code)
    while low < high:
        middle = (low + high) // 2
        side = 0
        for word in range(WORDS):
            if side == 0 and code[word] != shelf.barred[middle, word]:
                side = -1 if code[word] < shelf.barred[middle, word] else 1
        if side == 0:
            return int(shelf.barred_by[middle])
        if side < 0:
            high = middle
        else:
            low = middle + 1
    return -1


@compiled_inside
def beaten(table: Table, gain: float, mass: float, cost: float) -> bool:
    """Whether something found already is at least as good in all three."""
    i = min(int(mass * table.per[0]), table.best.shape[0] - 1)
    j = min(int(cost * table.per[1]), table.best.shape[1] - 1)
    return bool(gain <= table.best[i, j])


@compiled_inside
def _insert(table: Table, gain: float, mass: float, cost: float) -> None:
    """Note a wall that can be had, in every cell of no less mass and cost."""
    first, last = int(np.ceil(mass * table.per[0])), int(np.ceil(cost * table.per[1]))
    for i in range(first, table.best.shape[0]):
        if last >= table.best.shape[1] or table.best[i, last] >= gain:
            return
        for j in range(last, table.best.shape[1]):
            if table.best[i, j] >= gain:
                break
            table.best[i, j] = gain


@compiled
def best_rows(gain: FloatArray, mass: FloatArray, cost: FloatArray) -> IntArray:
    """Rows that no other row equals or beats in all three, the first of equals; sorted by mass, cost, falling gain."""
    n = gain.size
    order = np.argsort(-gain, kind="mergesort")
    order = order[np.argsort(cost[order], kind="mergesort")]
    order = order[np.argsort(mass[order], kind="mergesort")]
    rank = np.empty(n, np.int64)
    levels = np.unique(cost)
    for p in range(n):
        rank[p] = np.searchsorted(levels, cost[p])
    tree = np.full(levels.size + 1, -np.inf)
    kept, count = np.empty(n, np.int64), 0
    for row in order:
        best, at = -np.inf, rank[row] + 1
        while at > 0:
            best = max(best, tree[at])
            at -= at & -at
        if best >= gain[row]:
            continue
        kept[count] = row
        count += 1
        at = rank[row] + 1
        while at <= levels.size:
            tree[at] = max(tree[at], gain[row])
            at += at & -at
    return kept[:count]


@compiled_inside
def _squeeze(found: Found, gain: int) -> None:
    """Drop the walls that others beat, when the room runs out."""
    n = found.used[0]
    keep = np.sort(best_rows(found.figures[:n, gain], found.figures[:n, LIGHT], found.figures[:n, COST]))
    for to in range(keep.size):
        found.recipe[to] = found.recipe[keep[to]]
        found.figures[to] = found.figures[keep[to]]
        found.size[to] = found.size[keep[to]]
    found.used[0] = keep.size


@compiled_inside
def try_one(shelf: Shelf, recipe: IntArray, n: int, table: Table, found: Found, tally: IntArray,
            out: FloatArray) -> bool:
    """Compute one whole wall, keep it if it is allowed and nothing beats it, and say whether it was kept."""
    gain = 0 if shelf.is_bending else 1
    wall_figures(shelf, recipe, n, out)
    rule = _broken(shelf, out)
    if rule >= 0:
        tally[BROKEN + rule] += 1
        return False
    short = _barred(shelf, recipe, n)
    if short >= 0:
        tally[BROKEN + _BEARS + short] += 1
        return False
    tally[TRIED] += 1
    if shelf.prune:
        if beaten(table, out[gain], out[LIGHT], out[COST]):
            return False
        _insert(table, out[gain], out[LIGHT], out[COST])
        if found.used[0] == found.size.size:
            _squeeze(found, gain)
    at = found.used[0]
    for p in range(n):
        found.recipe[at, p] = recipe[p]
    found.figures[at] = out
    found.size[at] = n
    found.used[0] = at + 1
    return True


@compiled
def try_all(shelf: Shelf, recipes: IntArray, size: IntArray, table: Table, found: Found, tally: IntArray) -> None:
    """Try each row of recipes (n, most), the first `size` plies of it."""
    out = np.empty(FIGURES)
    for row in range(size.size):
        rule, n = -1, 0
        while rule < 0 and n < size[row]:
            n += 1
            rule = broken_in(shelf, recipes[row], n)
        tally[ORDERS] += 1
        if rule >= 0:
            tally[BROKEN + rule] += 1
        else:
            try_one(shelf, recipes[row], size[row], table, found, tally, out)
