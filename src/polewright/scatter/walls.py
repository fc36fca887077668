"""Stiffness and mass of many tubes in one compiled loop: the thin-wall tier, layer by layer at its own radius."""

from collections.abc import Callable
from typing import Any, NamedTuple, TypeVar, cast

import numpy as np
from numba import njit

from polewright.arrays import FloatArray

__all__ = ["Layers", "tubes_of"]

_Loop = TypeVar("_Loop", bound=Callable[..., Any])


def _compiled(loop: _Loop) -> _Loop:
    return cast(_Loop, njit(cache=True, nogil=True)(loop))


class Layers(NamedTuple):
    """The layers of many tubes, bore outward, each (n_case, n_layer).

    E1, E2, G12 [Pa]; nu12 [-]; angle [rad]; thickness [m]; density [kg/m3].
    """

    E1: FloatArray
    E2: FloatArray
    G12: FloatArray
    nu12: FloatArray
    angle: FloatArray
    thickness: FloatArray
    density: FloatArray


@_compiled
def _sum_layers(bore: FloatArray, layers: Layers, out: FloatArray) -> None:
    """Fill out (5, n_case, n_station): EA, EI, shear, mass per length, outside; strictly one order of additions."""
    for i in range(bore.shape[0]):
        for j in range(bore.shape[1]):
            inner = bore[i, j] / 2.0
            radius, cube, square, mass = np.zeros(4), np.zeros(4), np.zeros(2), 0.0
            for k in range(layers.angle.shape[1]):
                outer = inner + layers.thickness[i, k]
                c, s = np.cos(layers.angle[i, k]), np.sin(layers.angle[i, k])
                c2, s2, cs = c * c, s * s, c * s
                share = layers.nu12[i, k] * layers.E2[i, k]
                scale = 1.0 / (1.0 - layers.nu12[i, k] * share / layers.E1[i, k])
                q11, q22, q12, q66 = layers.E1[i, k] * scale, layers.E2[i, k] * scale, share * scale, layers.G12[i, k]
                along = q11 * c2 * c2 + 2.0 * (q12 + 2.0 * q66) * s2 * c2 + q22 * s2 * s2
                mixed = (q11 + q22 - 4.0 * q66) * s2 * c2 + q12 * (s2 * s2 + c2 * c2)
                around = q11 * s2 * s2 + 2.0 * (q12 + 2.0 * q66) * s2 * c2 + q22 * c2 * c2
                shear = (q11 + q22 - 2.0 * q12 - 2.0 * q66) * s2 * c2 + q66 * (s2 * s2 + c2 * c2)
                w1 = np.pi * (outer**2 - inner**2)
                w2 = 2.0 * np.pi / 3.0 * (outer**3 - inner**3)
                w3 = np.pi / 2.0 * (outer**4 - inner**4)
                four = (along, mixed, around, shear)
                for g in range(4):
                    radius[g] += w1 * four[g]
                    cube[g] += w3 * four[g]
                square[0] += w2 * ((q11 - q12 - 2.0 * q66) * cs * c2 + (q12 - q22 + 2.0 * q66) * cs * s2)
                square[1] += w2 * ((q11 - q12 - 2.0 * q66) * cs * s2 + (q12 - q22 + 2.0 * q66) * cs * c2)
                mass += w1 * layers.density[i, k]
                inner = outer
            stretch = radius[0] - radius[1] ** 2 / radius[2]
            turn = cube[3] - square[1] ** 2 / radius[2]
            cross = square[0] - radius[1] * square[1] / radius[2]
            out[0, i, j] = stretch - cross**2 / turn
            bend = cube[0] - cube[1] ** 2 / cube[2]
            slip = radius[3] - square[1] ** 2 / cube[2]
            cross = square[0] - cube[1] * square[1] / cube[2]
            out[1, i, j] = (bend - cross**2 / slip) / 2.0
            out[2, i, j] = (slip - cross**2 / bend) / 2.0
            out[3, i, j] = mass
            out[4, i, j] = 2.0 * inner


def tubes_of(bore: FloatArray, layers: Layers) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """EA [N], EI [N m2], shear stiffness [N], mass [kg/m] and outside diameter [m], each (n_case, n_station).

    Parameters
    ----------
    bore : (n_case, n_station) [m] diameter.
    layers : the same along a tube, one row a case.

    Source
    ------
    As `polewright.wall.membrane.tube_stiffness`, twist free, whose figures these are; written out for speed.
    """
    out = np.empty((5, *bore.shape))
    _sum_layers(np.ascontiguousarray(bore), Layers(*(np.ascontiguousarray(a) for a in layers)), out)
    return out[0], out[1], out[2], out[3], out[4]
