"""The options of the one-wall search as plain arrays, the figures and rules of one wall, and the walls found so far.

Options stand in rank order here (`Shelf`); a recipe is a row of ranks from the bore outward.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.search.bearing import BEARINGS
from polewright.wall.thin_kernel import PlyFigures, beam_of, no_layers, ring_moments, with_layer

__all__ = [
    "APART",
    "BEGINNING",
    "BRANCH",
    "BROKEN",
    "COST",
    "FIGURES",
    "IDEAL",
    "LIGHT",
    "NAMES",
    "ORDERS",
    "ORDER_BOUND",
    "SAME",
    "SEEN",
    "TALLY",
    "TOO_THICK",
    "TOO_THIN",
    "WORDS",
    "Frame",
    "IntArray",
    "KeptWalls",
    "Shelf",
    "Table",
    "allowed",
    "beaten",
    "coded",
    "keep",
    "laid_right",
    "laid_wrong",
    "may_touch",
    "next_block",
    "radial_weight",
    "rule_of",
    "try_all",
    "try_one",
    "wall_figures",
    "write",
]

IntArray = NDArray[np.int64]
NAMES = ("bending", "axial", "mass", "cost", "twist", "ring", "collapse", "wall")
FIGURES = len(NAMES)
LIGHT, COST = 2, 3
WORDS = 3
"""Whole numbers that write a recipe of up to 21 plies."""
_RULES = (
    "least wall",
    "most wall",
    "block of one angle",
    "neighbouring angles",
    "ring stiffness",
    "clamp",
    "twist stiffness",
    "bending stiffness",
)
SEEN, IDEAL, BRANCH, TOO_THICK, TOO_THIN, APART, ORDERS, TRIED, ORDER_BOUND, BEGINNING, BROKEN = range(11)
TALLY = (
    "expanded",
    "ideal",
    "completions",
    "most wall",
    "least wall",
    "apart",
    "orders",
    "orders evaluated",
    "orders by bound",
    "orders by beginning",
    *(f"orders by rule: {r}" for r in _RULES),
    *(f"orders by rule: bears, {b}" for b in BEARINGS),
)
_BEARS = len(_RULES)
_IN_ONE, _BITS = 7, 9
TOO_MUCH, TOO_NEAR = -1.0, -2.0
SAME = 4e-15
"""[-] by which a sum of at most sixteen plies in another order may differ without being another."""


class Shelf(NamedTuple):
    """The options as plain arrays, in rank order."""

    thickness: FloatArray  # (k,) [m]
    layers: IntArray  # (k,) 1, or 2 for a balanced pair
    stiffness: FloatArray  # (k, 2, 6) [Pa] of each layer: 11, 12, 22, 16, 26, 66 in tube axes
    content: FloatArray  # (k, 2) mass [kg/m3] and cost [currency/m3]
    along: FloatArray  # (k,) [Pa] the quadratic form that bounds the gain from above
    angle: FloatArray  # (k, 2) [rad] of the innermost and outermost layer
    number: IntArray  # (k,) as the options are numbered
    radius: float  # [m] bore radius
    is_bending: bool  # the gain is EI, else EA
    is_listed: bool  # one order a set of plies: the rank order
    prune: bool  # bounds may exclude
    rules: FloatArray  # (8,) as `Rules`, in the order of _RULES
    barred: IntArray  # (n, WORDS) walls known not to bear what they must, as `coded`, rising
    barred_by: IntArray  # (n,) place in BEARINGS


class Frame(NamedTuple):
    """Plies fixed innermost and outermost (-1: none), how many may lie between, and the completions of any branch."""

    inner: int
    outer: int
    most: int
    pool: FloatArray  # (n, 8) completions: cubic of the gain, line of mass, line of cost, over the wall so far
    start: IntArray  # (most + 1, k + 1)
    kept: IntArray  # (most + 1, k + 1); -1 where there are too many to keep
    choose: IntArray  # (k + most + 1, most + 1) binomials


class KeptWalls(NamedTuple):
    """Walls kept so far in one chunk of the search."""

    recipe: NDArray[np.int16]  # (room, most)
    figures: FloatArray  # (room, FIGURES)
    size: IntArray  # (room,) plies
    used: IntArray  # (1,)


class Table(NamedTuple):
    """Best gain found at no more than so much mass and cost: best[i, j] for mass <= i step0, cost <= j step1."""

    best: FloatArray
    per: FloatArray  # (2,) cells per [kg/m] and per [currency/m]


@compiled_inside
def radial_weight(inside: float, outside: float, is_bending: bool) -> float:
    """Radial weight of a layer in the gain: pi/4 (ro^4 - ri^4) [m4] for EI, pi (ro^2 - ri^2) [m2] for EA; radii [m].

    Source
    ------
    Second moment and area of a ring.
    """
    if is_bending:
        return np.pi / 4.0 * (outside**4 - inside**4)
    return np.pi * (outside * outside - inside * inside)


@compiled
def wall_figures(shelf: Shelf, recipe: IntArray, n: int, out: FloatArray) -> None:
    """All figures of one wall into out (FIGURES,), thin tier, every layer at its own radius; the order of NAMES.

    recipe (n,) ranks from the bore outward. EI [N m2], EA [N], mass [kg/m], cost [currency/m], GJ [N m2], bending
    stiffness of the ring [N m], collapse pressure [Pa], wall [m].
    """
    sums = no_layers()
    # the wall about its bore: stretch, first and second moment around, and how they mix with shear
    hoop, slip, slide, first, mixed, second = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    mass, cost = 0.0, 0.0
    inside = shelf.radius
    for p in range(n):
        k = recipe[p]
        step = shelf.thickness[k] / shelf.layers[k]
        for layer in range(shelf.layers[k]):
            outside = inside + step
            q, moments = shelf.stiffness[k, layer], ring_moments(inside, outside)
            area = moments.first
            sums = with_layer(sums, PlyFigures(q[0], q[1], q[2], q[3], q[4], q[5]), moments)
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
    beam = beam_of(sums)
    # hoop bending about the neutral axis, shear resultant zero
    both = hoop * slide - slip * slip
    shift, twisted = (slide * first - slip * mixed) / both, (hoop * mixed - slip * first) / both
    ring = second - first * shift - mixed * twisted
    out[0], out[1], out[2], out[3] = beam.bending, beam.axial, mass, cost
    out[4], out[5] = beam.twist, ring
    out[6], out[7] = 3.0 * ring / (shelf.radius + shift) ** 3, inside - shelf.radius


@compiled_inside
def _kink(before: float, after: float) -> float:
    """[rad] between the fibres of two plies, 0 to pi/2."""
    turn = abs(before - after) % np.pi
    return min(turn, np.pi - turn)


@compiled_inside
def next_block(shelf: Shelf, below: int, block: float, k: int) -> float:
    """[m] thickness of one same angle that ends with option k, laid on option `below` (-1: the bare bar), whose own
    block is given; TOO_NEAR or TOO_MUCH (below zero) where k must not lie there.
    """
    step = shelf.thickness[k] / shelf.layers[k]
    if below >= 0:
        turn = _kink(shelf.angle[below, 1], shelf.angle[k, 0])
        if turn > shelf.rules[3] + 1e-9:
            return TOO_NEAR
        block = block + step if turn < 1e-9 else step
    else:
        block = step
    if block > shelf.rules[2] + 1e-12:
        return TOO_MUCH
    if shelf.layers[k] == 2:
        block = block + step if _kink(shelf.angle[k, 0], shelf.angle[k, 1]) < 1e-9 else step
    return TOO_MUCH if block > shelf.rules[2] + 1e-12 else block


@compiled_inside
def rule_of(block: float) -> int:
    """Place in _RULES of the rule that `next_block` found broken; block [m], or the mark of the rule."""
    return 2 if block == TOO_MUCH else 3


@compiled_inside
def laid_wrong(shelf: Shelf, recipe: IntArray, n: int) -> int:
    """The rule that some ply of a recipe (n,) of ranks breaks by what it lies on (place in _RULES), or -1."""
    below, block = -1, 0.0
    for p in range(n):
        block = next_block(shelf, below, block, recipe[p])
        if block < 0.0:
            return rule_of(block)
        below = recipe[p]
    return -1


@compiled_inside
def may_touch(shelf: Shelf, a: int, b: int) -> bool:
    """Whether two options may lie on each other, one way or the other."""
    turn = min(_kink(shelf.angle[a, 1], shelf.angle[b, 0]), _kink(shelf.angle[b, 1], shelf.angle[a, 0]))
    return bool(turn <= shelf.rules[3] + 1e-9)


@compiled
def laid_right(shelf: Shelf, recipes: IntArray) -> NDArray[np.bool_]:
    """Rows of recipes (n, plies) in which every ply may lie on what it lies on."""
    right = np.empty(recipes.shape[0], np.bool_)
    for row in range(right.size):
        right[row] = laid_wrong(shelf, recipes[row], recipes.shape[1]) < 0
    return right


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
def coded(number: IntArray, recipe: IntArray, n: int, out: IntArray) -> None:
    """Write a recipe (n,) of ranks, by the numbers of its options, into out (WORDS,): seven plies a whole number."""
    for word in range(WORDS):
        out[word] = 0
    for p in range(n):
        out[p // _IN_ONE] |= (number[recipe[p]] + 1) << (_BITS * (p % _IN_ONE))


@compiled_inside
def barred_by(shelf: Shelf, recipe: IntArray, n: int) -> int:
    """The bearing (place in BEARINGS) that a wall of ranks recipe (n,) is known to fall short of, or -1."""
    low, high, code = 0, shelf.barred_by.size, np.empty(WORDS, np.int64)
    if high == 0:
        return -1
    coded(shelf.number, recipe, n, code)
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
    """Whether something found is at least as good in all three: gain [N m2] or [N], mass [kg/m], cost [currency/m]."""
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


@compiled_inside
def allowed(shelf: Shelf, recipe: IntArray, n: int, tally: IntArray, out: FloatArray) -> bool:
    """Compute one whole wall and say whether the rules allow it.

    recipe (n,) ranks from the bore outward; tally (n_count,) as TALLY, raised in place; out (FIGURES,) takes the
    figures, with units as `wall_figures`: EI [N m2] first.
    """
    wall_figures(shelf, recipe, n, out)
    rule = _broken(shelf, out)
    if rule >= 0:
        tally[BROKEN + rule] += 1
        return False
    short = barred_by(shelf, recipe, n)
    if short >= 0:
        tally[BROKEN + _BEARS + short] += 1
        return False
    tally[TRIED] += 1
    return True


@compiled_inside
def write(value: FloatArray, to: FloatArray) -> None:
    """Write one row over another of as many numbers [any unit], one by one: the compiler takes far longer over rows."""
    for c in range(value.size):
        to[c] = value[c]


@compiled_inside
def keep(found: KeptWalls, recipe: IntArray, n: int, out: FloatArray) -> None:
    """Note one wall: ranks recipe (n,), figures out (FIGURES,) [SI units]; where there is no room, only the count."""
    at = found.used[0]
    found.used[0] = at + 1
    if at < found.size.size:
        for p in range(n):
            found.recipe[at, p] = recipe[p]
        write(out, found.figures[at])
        found.size[at] = n


@compiled_inside
def try_one(
    shelf: Shelf, recipe: IntArray, n: int, table: Table, found: KeptWalls, tally: IntArray, out: FloatArray
) -> None:
    """Compute one whole wall and keep it if it is allowed and the table knows nothing as good.

    recipe (n,) ranks from the bore outward; tally (n_count,) as TALLY, raised in place; out (FIGURES,) takes the
    figures, with units as `wall_figures`: EI [N m2] first.
    """
    if allowed(shelf, recipe, n, tally, out):
        gain = out[0 if shelf.is_bending else 1]
        if shelf.prune:
            if beaten(table, gain, out[LIGHT], out[COST]):
                return
            _insert(table, gain, out[LIGHT], out[COST])
        keep(found, recipe, n, out)


@compiled
def try_all(shelf: Shelf, recipes: IntArray, size: IntArray, table: Table, found: KeptWalls, tally: IntArray) -> None:
    """Try each row of recipes (n, most), the first `size` plies of it, as far as rules of what lies on what allow."""
    out = np.empty(FIGURES)
    for row in range(size.size):
        rule = laid_wrong(shelf, recipes[row], size[row])
        tally[ORDERS] += 1
        if rule >= 0:
            tally[BROKEN + rule] += 1
        else:
            try_one(shelf, recipes[row], size[row], table, found, tally, out)
