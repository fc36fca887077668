"""Hashin's four modes as one compiled loop over many places: every wall is asked for them at hundreds.

A plain twin in arrays, by `criteria.modes_reserve`, stands in the tests, which compare the two on random stresses.
"""

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside

__all__ = ["MODES", "hashin_multipliers"]

MODES = ("fibre_tension", "fibre_compression", "matrix_tension", "matrix_compression")
"""Codes of the modes, in the order of the multipliers."""


@compiled_inside
def _first_reached(second: float, first: float, last: float, slope: float, start: float) -> float:
    """Smallest R >= 0 with second R2 + first R + last >= 0 while start + slope R >= 0; inf where there is none."""
    low, high = 0.0, np.inf
    if start < 0.0:
        if slope <= 0.0:
            return np.inf
        low = -start / slope
    elif slope < 0.0:
        high = -start / slope
    if (second * low + first) * low + last >= 0.0:
        return low
    under = first * first - 4.0 * second * last
    if under < 0.0 or (second <= 0.0 and first <= 0.0):
        return np.inf
    root = np.sqrt(under)
    found = -2.0 * last / (first + root) if first > 0.0 else (root - first) / (2.0 * second)
    return found if found <= high else np.inf


@compiled
def hashin_multipliers(load: FloatArray, cure: FloatArray, limits: FloatArray, across: FloatArray) -> FloatArray:
    """Load multipliers (n, 4) [-] of the four modes, in the order of `MODES`.

    Parameters
    ----------
    load, cure : (n, 6) [Pa] in ply axes 11, 22, 33, 23, 13, 12; cure is constant.
    limits : (n, 5) [Pa] Xt, Xc, Yt, Yc, S.
    across : (n,) [Pa] shear strength across the fibre.

    Source
    ------
    Z. Hashin, Failure criteria for unidirectional fiber composites, J. Applied Mechanics 47, 1980, 329-334.
    """
    every = np.empty((load.shape[0], 4))
    for i in range(load.shape[0]):
        size = 0.0
        for k in range(6):
            size = max(size, abs(load[i, k]))
        if size == 0.0:
            size = 1.0
        along, pair = load[i, 0] / size, (load[i, 1] + load[i, 2]) / size
        along_still, pair_still = cure[i, 0], cure[i, 1] + cure[i, 2]
        Xt, Xc, Yt, Yc, S = limits[i, 0], limits[i, 1], limits[i, 2], limits[i, 3], limits[i, 4]
        T = across[i]
        sheared = ((load[i, 5] / size) ** 2 + (load[i, 4] / size) ** 2) / S**2
        sheared_cross = (load[i, 5] * cure[i, 5] + load[i, 4] * cure[i, 4]) / size / S**2
        sheared_still = (cure[i, 5] ** 2 + cure[i, 4] ** 2) / S**2
        push = sheared + ((load[i, 3] / size) ** 2 - load[i, 1] / size * (load[i, 2] / size)) / T**2
        push_cross = (
            sheared_cross
            + (load[i, 3] * cure[i, 3] - (load[i, 1] * cure[i, 2] + load[i, 2] * cure[i, 1]) / 2.0) / size / T**2
        )
        push_still = sheared_still + (cure[i, 3] ** 2 - cure[i, 1] * cure[i, 2]) / T**2
        every[i, 0] = _first_reached(
            (along / Xt) ** 2 + sheared,
            2.0 * (along / Xt * (along_still / Xt) + sheared_cross),
            (along_still / Xt) ** 2 + sheared_still - 1.0,
            along,
            along_still,
        )
        every[i, 1] = _first_reached(
            (along / Xc) ** 2,
            2.0 * along / Xc * (along_still / Xc),
            (along_still / Xc) ** 2 - 1.0,
            -along,
            -along_still,
        )
        every[i, 2] = _first_reached(
            (pair / Yt) ** 2 + push,
            2.0 * (pair / Yt * (pair_still / Yt) + push_cross),
            (pair_still / Yt) ** 2 + push_still - 1.0,
            pair,
            pair_still,
        )
        bent = ((Yc / (2.0 * T)) ** 2 - 1.0) / Yc
        every[i, 3] = _first_reached(
            (pair / (2.0 * T)) ** 2 + push,
            2.0 * (pair / (2.0 * T) * (pair_still / (2.0 * T)) + push_cross) + bent * pair,
            (pair_still / (2.0 * T)) ** 2 + push_still + bent * pair_still - 1.0,
            -pair,
            -pair_still,
        )
        for k in range(4):
            every[i, k] /= size
    return every
