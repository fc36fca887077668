"""Polynomials and integration points of one radial element of the exact tube."""

import numpy as np

from polewright.arrays import FloatArray, frozen_array

__all__ = ["element_tables"]


def element_tables(nodes: int) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """Nodes (nodes,) in [-1, 1], Gauss places and weights (nodes + 1,), values and slopes there (nodes + 1, nodes).

    Lagrange polynomials through the ends and the turning points of a Legendre polynomial (Lobatto's nodes).

    Source
    ------
    M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions, 1964, 25.4.30 and 25.4.32 (integration and nodes).
    """
    legendre = np.polynomial.legendre.Legendre.basis(nodes - 1)
    node = np.concatenate([[-1.0], np.sort(legendre.deriv().roots().real), [1.0]])
    place, weight = np.polynomial.legendre.leggauss(nodes + 1)
    value, slope = np.ones((nodes + 1, nodes)), np.zeros((nodes + 1, nodes))
    for a in range(nodes):
        others = np.delete(node, a)
        shape = np.polynomial.Polynomial.fromroots(others) / np.prod(node[a] - others)
        value[:, a], slope[:, a] = shape(place), shape.deriv()(place)
    return frozen_array(node), frozen_array(place), frozen_array(weight), frozen_array(value), frozen_array(slope)
