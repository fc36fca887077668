"""When one beginning of a wall makes another with the same plies needless; `wall_front` holds the proof.

The energy of a unit bend (or stretch) is a quadratic form in hoop contraction a and shear g. Over the box of a and g
that the walls of one set of plies can have it is held by its Bernstein coefficients, here called marks.
"""

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled_inside
from polewright.search.option_table import SAME, Shelf, write
from polewright.search.ply_sets import Kinds
from polewright.wall.thin_kernel import ring_moments

__all__ = ["BLOCK", "COSTS", "GAINS", "MARKS", "MASS", "WIDTH", "no_worse", "parts_of", "weigh_marks"]

MARKS = 9
GAINS, MASS, COSTS, BLOCK, WIDTH = 9, 10, 11, 12, 13
_PARTS = 6


@compiled_inside
def parts_of(shelf: Shelf, k: int, inside: float, out: FloatArray) -> None:
    """What option k laid on radius `inside` [m] adds to the energy 11 - 2a 12 + a^2 22 + 2g (13 - a 23) + g^2 33.

    Into out (6,): 11, 12, 22 in [N m2], 13 and 23 in [N m], 33 in [N]; for EA in [N], [N m], [N m2].

    Source
    ------
    Strain energy of a layer of the thin tier in a unit stretch or curvature: a of it around, g in shear.
    """
    for c in range(_PARTS):
        out[c] = 0.0
    step = shelf.thickness[k] / shelf.layers[k]
    for layer in range(shelf.layers[k]):
        outside = inside + step
        ring = ring_moments(inside, outside)
        along, cube, across = ring.third, ring.second, ring.first
        if not shelf.is_bending:
            along, cube, across = 2.0 * ring.first, 2.0 * ring.second, 2.0 * ring.third
        q = shelf.stiffness[k, layer]
        for c in range(3):
            out[c] += q[c] * along / 2.0
        out[3] += q[3] * cube / 2.0
        out[4] += q[4] * cube / 2.0
        out[5] += q[5] * across / 2.0
        inside = outside


@compiled_inside
def _add(part: FloatArray, low: FloatArray, high: FloatArray) -> None:
    for c in range(_PARTS):
        low[c] += part[c]
        high[c] += part[c]


@compiled_inside
def _span(shelf: Shelf, plies: Kinds, low: FloatArray, high: FloatArray) -> None:
    """Least and most (6,) that the parts of all plies can add up to, whatever their order: what a ply adds rises or
    falls steadily with the radius it lies on.
    """
    near, far, first, last = np.empty(_PARTS), np.empty(_PARTS), shelf.radius, shelf.radius
    write(np.zeros(_PARTS), low)
    write(low, high)
    for d in range(plies.rank.size):
        last += plies.turns[d] * shelf.thickness[plies.rank[d]]
    if plies.inner >= 0:
        parts_of(shelf, plies.inner, first, near)
        _add(near, low, high)
        first += shelf.thickness[plies.inner]
        last += shelf.thickness[plies.inner]
    if plies.outer >= 0:
        parts_of(shelf, plies.outer, last, near)
        _add(near, low, high)
    for d in range(plies.rank.size):
        k = plies.rank[d]
        parts_of(shelf, k, first, near)
        parts_of(shelf, k, last - shelf.thickness[k], far)
        for c in range(_PARTS):
            low[c] += plies.turns[d] * min(near[c], far[c])
            high[c] += plies.turns[d] * max(near[c], far[c])


@compiled_inside
def _product(x: tuple[float, float], y: tuple[float, float]) -> tuple[float, float]:
    """Bounds of a product."""
    every = (x[0] * y[0], x[0] * y[1], x[1] * y[0], x[1] * y[1])
    return min(every), max(every)


@compiled_inside
def _ratio(x: tuple[float, float], y: tuple[float, float]) -> tuple[float, float]:
    """Bounds of x / y, y above zero, widened by what rounding may do."""
    low, high = min(x[0] / y[0], x[0] / y[1]), max(x[1] / y[0], x[1] / y[1])
    wider = 1e-9 * (abs(low) + abs(high))
    return low - wider, high + wider


@compiled_inside
def weigh_marks(shelf: Shelf, plies: Kinds, weights: FloatArray) -> int:
    """Weights (MARKS, 6) that turn the parts of a ply into marks over the box of all least-energy strains that walls of
    this set can have; how many marks, 0 where the box cannot be told.

    g = (a 23 - 13) / 33, a = (12 - 13 23 / 33) / (22 - 23^2 / 33), by intervals. Weights of 11, 12, 22 are [-], of 13
    and 23 as g [m], for EA [1/m], of 33 as its square.

    Source
    ------
    The energy of `parts_of` made least in a and g.
    """
    low, high = np.empty(_PARTS), np.empty(_PARTS)
    _span(shelf, plies, low, high)
    if low[2] <= 0.0 or low[5] <= 0.0:
        return 0
    mixed, twisted, stiff = (low[3], high[3]), (low[4], high[4]), (low[5], high[5])
    s, t = _ratio(_product(mixed, twisted), stiff), _ratio(_product(twisted, twisted), stiff)
    if low[2] <= t[1]:
        return 0
    a0, a1 = _ratio((low[1] - s[1], high[1] - s[0]), (low[2] - t[1], high[2] - t[0]))
    turned = _product((a0, a1), twisted)
    g0, g1 = _ratio((turned[0] - mixed[1], turned[1] - mixed[0]), stiff)
    many = 1 if g0 == 0.0 and g1 == 0.0 else 3
    for i in range(3):
        a, aa = (a0, (a0 + a1) / 2.0, a1)[i], (a0 * a0, a0 * a1, a1 * a1)[i]
        for j in range(many):
            g, gg = (g0, (g0 + g1) / 2.0, g1)[j], (g0 * g0, g0 * g1, g1 * g1)[j]
            row = weights[i * many + j]
            row[0], row[1], row[2], row[3], row[4], row[5] = 1.0, -2.0 * a, aa, 2.0 * g, -2.0 * a * g, gg
    return 3 * many


@compiled_inside
def no_worse(one: FloatArray, other: FloatArray, marks: int) -> bool:
    """Whether the first partial wall is at least as good as the other, whatever both go on with.

    one, other : (marks and more,) the marks of the gain, mass [kg/m], cost [currency/m] and block [m] of each.
    """
    if one[MASS] > other[MASS] * (1.0 + SAME) or one[COSTS] > other[COSTS] * (1.0 + SAME) or one[BLOCK] > other[BLOCK]:
        return False
    c = 0
    while c < marks and one[c] + SAME * abs(one[c]) >= other[c]:
        c += 1
    return c == marks
