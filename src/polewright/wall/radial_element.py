"""One radial element of the exact tube as compiled loops: its polynomials at a place, and integrals over it."""

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled
from polewright.wall.element import element_tables

__all__ = ["NODES", "POINTS", "gauss", "integrals", "shapes_at"]

NODES = 8  # a layer's element: polynomials of order seven
_NODE, _PLACE, _WEIGHT, _VALUE, _SLOPE = element_tables(NODES)
POINTS = NODES + 1  # of integration


@compiled
def gauss(inner: float, outer: float, g: int, shapes: FloatArray) -> tuple[float, float]:
    """Radius and weight [m] of integration point g between two radii [m]; fills values and d/dr slopes [1/m], shapes
    (2, NODES).
    """
    half = 0.5 * (outer - inner)
    for a in range(NODES):
        shapes[0, a] = _VALUE[g, a]
        shapes[1, a] = _SLOPE[g, a] / half
    return inner + half * (1.0 + _PLACE[g]), half * _WEIGHT[g]


@compiled
def integrals(inner: float, outer: float, pair: FloatArray) -> None:
    """Add up over one element between two radii [m]: pair (3, NODES, NODES), of Na Nb / r, Na Nb' and Na' Nb' r."""
    shapes = np.empty((2, NODES))
    for g in range(POINTS):
        r, w = gauss(inner, outer, g, shapes)
        for a in range(NODES):
            for b in range(NODES):
                pair[0, a, b] += w * shapes[0, a] * shapes[0, b] / r
                pair[1, a, b] += w * shapes[0, a] * shapes[1, b]
                pair[2, a, b] += w * shapes[1, a] * shapes[1, b] * r


@compiled
def shapes_at(x: float, half: float, shapes: FloatArray) -> None:
    """Lagrange polynomials and their d/dr slopes at x in [-1, 1] of an element of given half width [m]:
    shapes (2, NODES).
    """
    for a in range(NODES):
        whole, rate = 1.0, 0.0
        for b in range(NODES):
            if b != a:
                gap = _NODE[a] - _NODE[b]
                rate = (rate * (x - _NODE[b]) + whole) / gap
                whole = whole * (x - _NODE[b]) / gap
        shapes[0, a], shapes[1, a] = whole, rate / half
