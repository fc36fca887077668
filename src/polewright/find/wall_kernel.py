"""The compiled loops of the one-wall search; `wall_front` says what they prove and why it holds.

Options stand in rank order here (`Shelf`); a recipe is a row of ranks from the bore outward.
"""

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from polewright.arrays import FloatArray

__all__ = ["COST", "FIGURES", "LIGHT", "NAMES", "TALLY", "Found", "Frame", "Shelf", "Table",
           "best_rows", "search", "try_all", "wall_figures"]

IntArray = NDArray[np.int64]
NAMES = ("bending", "axial", "mass", "cost", "twist", "ring", "collapse", "wall")
FIGURES = len(NAMES)
LIGHT, COST = 2, 3
_REMEMBERED = 512
_SAME = 1.0 + 4e-15
_RULES = ("least wall", "most wall", "block of one angle", "neighbouring angles", "ring stiffness", "clamp",
          "twist stiffness", "bending stiffness")
_SEEN, _IDEAL, _BRANCH, _TOO_THICK, _TOO_THIN, _ORDERS, _TRIED, _ORDER_BOUND, _BROKEN = 0, 1, 2, 3, 4, 5, 6, 7, 8
TALLY = ("expanded", "ideal", "completions", "most wall", "least wall", "orders", "orders evaluated",
               "orders by bound", *(f"orders by rule: {r}" for r in _RULES))


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


class Frame(NamedTuple):
    """Plies fixed innermost and outermost (-1: none), how many may lie between, and the completions of any branch."""

    inner: int
    outer: int
    most: int
    pool: FloatArray       # (n, 8) completions: cubic of the gain, line of mass, line of cost, over the wall so far
    start: IntArray        # (most + 1, k + 1)
    count: IntArray        # (most + 1, k + 1); -1 where there are too many to keep
    choose: IntArray       # (k + most + 1, most + 1) binomials


class Found(NamedTuple):
    """Walls kept so far in one chunk of the search."""

    recipe: NDArray[np.int16]  # (room, most)
    figures: FloatArray        # (room, FIGURES)
    size: IntArray             # (room,) plies
    count: IntArray            # (1,)


class Table(NamedTuple):
    """Best gain found at no more than so much mass and cost: best[i, j] for mass <= i step0, cost <= j step1."""

    best: FloatArray
    per: FloatArray        # (2,) cells per [kg/m] and per [currency/m]


@njit(cache=True, nogil=True)
def _weight(inside: float, outside: float, is_bending: bool) -> float:
    """Radial weight of a layer in the gain: pi/4 (ro^4 - ri^4) for EI, pi (ro^2 - ri^2) for EA."""
    if is_bending:
        return np.pi / 4.0 * (outside**4 - inside**4)
    return np.pi * (outside * outside - inside * inside)


@njit(cache=True, nogil=True)
def wall_figures(shelf: Shelf, recipe: IntArray, n: int, out: FloatArray) -> None:
    """All figures of one wall, thin tier, every layer at its own radius; the order of NAMES."""
    stretch, between, bend = np.zeros(6), np.zeros(6), np.zeros(6)
    hoop, first, second = 0.0, 0.0, 0.0
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
            first += around * (high * high - low * low) / 2.0
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
    ring = second - first * first / hoop
    out[0], out[1], out[2], out[3] = (bent - skew**2 / sheared) / 2.0, axial - cross**2 / turning, mass, cost
    out[4], out[5] = turning - cross**2 / axial, ring
    out[6], out[7] = 3.0 * ring / (shelf.radius + first / hoop)**3, inside - shelf.radius


@njit(cache=True, nogil=True)
def _kink(before: float, after: float) -> float:
    """[rad] between the fibres of two plies, 0 to pi/2."""
    turn = abs(before - after) % np.pi
    return min(turn, np.pi - turn)


@njit(cache=True, nogil=True)
def _broken_in(shelf: Shelf, recipe: IntArray, n: int) -> int:
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


@njit(cache=True, nogil=True)
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


@njit(cache=True, nogil=True)
def _beaten(table: Table, gain: float, mass: float, cost: float) -> bool:
    """Whether something found already is at least as good in all three."""
    i = min(int(mass * table.per[0]), table.best.shape[0] - 1)
    j = min(int(cost * table.per[1]), table.best.shape[1] - 1)
    return gain <= table.best[i, j]


@njit(cache=True, nogil=True)
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


@njit(cache=True, nogil=True)
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


@njit(cache=True, nogil=True)
def _orders(counts: IntArray, distinct: int) -> int:
    """How many orders a set of plies has: (sum n)! / prod n!."""
    ways, total = 1, 0
    for d in range(distinct):
        for c in range(1, counts[d] + 1):
            total += 1
            ways = ways * total // c
    return ways


@njit(cache=True, nogil=True)
def _squeeze(found: Found, gain: int) -> None:
    """Drop the walls that others beat, when the room runs out."""
    n = found.count[0]
    keep = np.sort(best_rows(found.figures[:n, gain], found.figures[:n, LIGHT], found.figures[:n, COST]))
    for to in range(keep.size):
        found.recipe[to] = found.recipe[keep[to]]
        found.figures[to] = found.figures[keep[to]]
        found.size[to] = found.size[keep[to]]
    found.count[0] = keep.size


@njit(cache=True, nogil=True)
def _try(shelf: Shelf, recipe: IntArray, n: int, table: Table, found: Found, tally: IntArray, out: FloatArray) -> bool:
    """Compute one whole wall, keep it if it is allowed and nothing beats it, and say whether it was kept."""
    gain = 0 if shelf.is_bending else 1
    wall_figures(shelf, recipe, n, out)
    rule = _broken(shelf, out)
    if rule >= 0:
        tally[_BROKEN + rule] += 1
        return False
    tally[_TRIED] += 1
    if shelf.prune:
        if _beaten(table, out[gain], out[LIGHT], out[COST]):
            return False
        _insert(table, out[gain], out[LIGHT], out[COST])
        if found.count[0] == found.size.size:
            _squeeze(found, gain)
    at = found.count[0]
    for p in range(n):
        found.recipe[at, p] = recipe[p]
    found.figures[at] = out
    found.size[at] = n
    found.count[0] = at + 1
    return True


@njit(cache=True, nogil=True)
def try_all(shelf: Shelf, recipes: IntArray, size: IntArray, table: Table, found: Found, tally: IntArray) -> None:
    """Try each row of recipes (n, most), the first `size` plies of it."""
    out = np.empty(FIGURES)
    for row in range(size.size):
        rule, n = -1, 0
        while rule < 0 and n < size[row]:
            n += 1
            rule = _broken_in(shelf, recipes[row], n)
        tally[_ORDERS] += 1
        if rule >= 0:
            tally[_BROKEN + rule] += 1
        else:
            _try(shelf, recipes[row], size[row], table, found, tally, out)


@njit(cache=True, nogil=True)
def _sharpened(shelf: Shelf, recipe: IntArray, n: int, along: FloatArray) -> None:
    """The fixed strain that is right for one order of these plies: hoop resultant zero, no shear. It bounds the gain
    of every order from above, and closely."""
    across, around, inside = 0.0, 0.0, shelf.radius
    for p in range(n):
        k = recipe[p]
        weight = _weight(inside, inside + shelf.thickness[k], shelf.is_bending)
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
    figures of the orders of this set that were computed so far (room, 3), `known` [0] of them."""

    kinds: IntArray
    left: IntArray
    rising: IntArray
    falling: IntArray
    along: FloatArray
    done: FloatArray
    known: IntArray


@njit(cache=True, nogil=True)
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


@njit(cache=True, nogil=True)
def _outdone(table: Table, plies: _Set, gain: float, mass: float, cost: float) -> bool:
    """Whether a wall found, or an order of the same set, is at least as good; the last bits of a sum do not count."""
    if _beaten(table, gain, mass, cost):
        return True
    for row in range(plies.known[0]):
        other = plies.done[row]
        if other[0] >= gain and other[1] <= mass * _SAME and other[2] <= cost * _SAME:
            return True
    return False


@njit(cache=True, nogil=True)
def _rest_beaten(shelf: Shelf, frame: Frame, table: Table, state: FloatArray, plies: _Set) -> bool:
    """Whether every order of the plies left over, on a part-built wall, is beaten: gain with the stiffest outermost,
    mass and cost with the heaviest and dearest innermost."""
    wall, gain, mass, cost = state
    inside = shelf.radius + wall
    for d in plies.rising:
        if plies.left[d]:
            k = plies.kinds[d]
            outside = inside + plies.left[d] * shelf.thickness[k]
            gain += plies.along[k] * _weight(inside, outside, shelf.is_bending)
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
        gain += plies.along[g] * _weight(inside, inside + step, shelf.is_bending)
        mass += shelf.content[g, 0] * np.pi * step * (2.0 * inside + step)
        cost += shelf.content[g, 1] * np.pi * step * (2.0 * inside + step)
    return _outdone(table, plies, gain, mass, cost)


@njit(cache=True, nogil=True)
def _lay(shelf: Shelf, along: FloatArray, k: int, state: FloatArray, after: FloatArray) -> None:
    """Add one option on the outside: wall, gain bound, mass, cost."""
    inside = shelf.radius + state[0]
    step = shelf.thickness[k]
    ring = np.pi * step * (2.0 * inside + step)
    after[0] = state[0] + step
    after[1] = state[1] + along[k] * _weight(inside, inside + step, shelf.is_bending)
    after[2] = state[2] + shelf.content[k, 0] * ring
    after[3] = state[3] + shelf.content[k, 1] * ring


@njit(cache=True, nogil=True)
def _expand(shelf: Shelf, frame: Frame, chosen: IntArray, n: int, table: Table, found: Found, tally: IntArray) -> bool:
    """Every order of one set of plies, or the one listed order; orders that a bound or rule excludes are counted.
    False, and nothing counted, where the sharper bound excludes the whole set."""
    recipe, states, first = np.empty(n + 2, np.int64), np.zeros((n + 3, 4)), 0
    plies = _set_of(shelf, frame, chosen, n, recipe)
    if frame.inner >= 0:
        recipe[0], first = frame.inner, 1
        _lay(shelf, plies.along, frame.inner, states[0], states[1])
    if shelf.prune and _rest_beaten(shelf, frame, table, states[first], plies):
        return False
    distinct, left = plies.kinds.size, plies.left
    tally[_ORDERS] += _orders(left, distinct) if not shelf.is_listed else 1
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
        rule = _broken_in(shelf, recipe, at + 1)
        if rule >= 0:
            tally[_BROKEN + rule] += 1 if shelf.is_listed else _orders(left, distinct)
        elif depth == n - 1:
            _close(shelf, frame, recipe, at + 1, states, plies, table, found, tally)
        elif not shelf.is_listed and shelf.prune and _rest_beaten(shelf, frame, table, states[at + 1], plies):
            tally[_ORDER_BOUND] += _orders(left, distinct)
        else:
            depth += 1
    return True


@njit(cache=True, nogil=True)
def _close(shelf: Shelf, frame: Frame, recipe: IntArray, n: int, states: FloatArray, plies: _Set, table: Table,
           found: Found, tally: IntArray) -> None:
    """Put the fixed outermost ply on, if there is one, and try the wall."""
    if frame.outer >= 0:
        recipe[n] = frame.outer
        n += 1
        rule = _broken_in(shelf, recipe, n)
        if rule >= 0:
            tally[_BROKEN + rule] += 1
            return
        _lay(shelf, plies.along, frame.outer, states[n - 1], states[n])
    if shelf.prune and _outdone(table, plies, states[n, 1], states[n, 2], states[n, 3]):
        tally[_ORDER_BOUND] += 1
        return
    out = np.empty(FIGURES)
    if _try(shelf, recipe, n, table, found, tally, out) and shelf.prune and plies.known[0] < _REMEMBERED:
        row = plies.known[0]
        plies.done[row, 0] = out[0 if shelf.is_bending else 1]
        plies.done[row, 1], plies.done[row, 2] = out[LIGHT], out[COST]
        plies.known[0] = row + 1


@njit(cache=True, nogil=True)
def _branch_beaten(frame: Frame, table: Table, node: FloatArray, left: int, k: int) -> bool:
    """Whether every wall that can grow from a branch is beaten; node is wall, gain, mass, cost."""
    many = frame.count[left, k]
    if many < 0:
        return False
    wall, gain, mass, cost = node
    start = frame.start[left, k]
    for row in range(start, start + many):
        c = frame.pool[row]
        more = c[0] + wall * (c[1] + wall * (c[2] + wall * c[3]))
        if not _beaten(table, gain + more, mass + c[4] + c[5] * wall, cost + c[6] + c[7] * wall):
            return False
    return True


@njit(cache=True, nogil=True)
def _visit(shelf: Shelf, frame: Frame, table: Table, node: FloatArray, chosen: IntArray, n: int, found: Found,
           tally: IntArray) -> bool:
    """Deal with one set of plies and say whether its branch is worth going on with."""
    left, k = frame.most - n, chosen[n - 1] if n else 0
    if node[0] > shelf.rules[1] + 1e-12:
        tally[_TOO_THICK] += frame.choose[shelf.thickness.size - k + left, left]
        return False
    if left > 0 and shelf.prune and _branch_beaten(frame, table, node, left, k):
        tally[_BRANCH] += frame.choose[shelf.thickness.size - k + left, left]
        return False
    own = node.copy()
    if frame.outer >= 0:
        _lay(shelf, shelf.along, frame.outer, node, own)
    if own[0] == 0.0:
        pass  # no ply at all is no wall
    elif own[0] < shelf.rules[0] - 1e-12:
        tally[_TOO_THIN] += 1
    elif own[0] > shelf.rules[1] + 1e-12:
        tally[_TOO_THICK] += 1
    elif shelf.prune and _beaten(table, own[1], own[2], own[3]):
        tally[_IDEAL] += 1
    else:
        tally[_SEEN if _expand(shelf, frame, chosen, n, table, found, tally) else _IDEAL] += 1
    return left > 0


@njit(cache=True, nogil=True)
def _grow(shelf: Shelf, frame: Frame, node: FloatArray, met: FloatArray, k: int, after: FloatArray) -> None:
    """Add option k to a set of plies in rank order: exact gain bound, least mass and cost over all its orders."""
    inside, step = shelf.radius + node[0], shelf.thickness[k]
    after[0] = node[0] + step
    after[1] = node[1] + shelf.along[k] * _weight(inside, inside + step, shelf.is_bending)
    for content in range(2):
        own = shelf.content[k, content] * np.pi * step * (2.0 * shelf.radius + step)
        after[2 + content] = node[2 + content] + own + 2.0 * np.pi * step * met[content, k]


@njit(cache=True, nogil=True)
def _meet(shelf: Shelf, met: FloatArray, k: int, outermost: bool, after: FloatArray) -> None:
    """What the next plies j find below them: sum over the plies i laid of t_i min(c_i, c_j), or t_i c_j if i is
    known to lie inside j."""
    for content in range(2):
        mine = shelf.content[k, content]
        for j in range(shelf.thickness.size):
            each = shelf.content[j, content]
            after[content, j] = met[content, j] + shelf.thickness[k] * (each if outermost else min(mine, each))


@njit(cache=True, nogil=True)
def search(shelf: Shelf, frame: Frame, table: Table, heads: IntArray, found: Found, tally: IntArray,
           stop: NDArray[np.bool_]) -> int:
    """Every set of plies that begins with one of the heads (n, 2): (-1, -1) no ply, (k, -1) ply k alone, (k, j) and
    all that follows. Returns how many heads were done; `stop` [0] may be set from another thread."""
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
            alone = Frame(frame.inner, frame.outer, 0, frame.pool, frame.start, frame.count, frame.choose)
            _visit(shelf, alone, table, nodes[0], chosen, 0, found, tally)
            continue
        chosen[0] = first
        _grow(shelf, frame, nodes[0], met[0], first, nodes[1])
        _meet(shelf, met[0], first, shelf.is_listed, met[1])
        if second < 0:
            alone = Frame(frame.inner, frame.outer, 1, frame.pool, frame.start, frame.count, frame.choose)
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
            _grow(shelf, frame, nodes[depth], met[depth], k, nodes[depth + 1])
            if _visit(shelf, frame, table, nodes[depth + 1], chosen, depth + 1, found, tally):
                _meet(shelf, met[depth], k, shelf.is_listed, met[depth + 1])
                chosen[depth + 1] = k - 1
                depth += 1
    return heads.shape[0]
