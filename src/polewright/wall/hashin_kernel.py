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


@compiled_inside
def _of_one(load: FloatArray, cure: FloatArray, limits: FloatArray, T: float, every: FloatArray) -> None:
    """Write the four multipliers of one place into `every` (4,); the load is of size one, so that no square is lost."""
    along, pair, still, pair_still = load[0], load[1] + load[2], cure[0], cure[1] + cure[2]
    Xt, Xc, Yt, Yc, S = limits[0], limits[1], limits[2], limits[3], limits[4]
    sheared = (load[5] ** 2 + load[4] ** 2) / S**2
    sheared_cross = (load[5] * cure[5] + load[4] * cure[4]) / S**2
    sheared_still = (cure[5] ** 2 + cure[4] ** 2) / S**2
    push = sheared + (load[3] ** 2 - load[1] * load[2]) / T**2
    push_cross = sheared_cross + (load[3] * cure[3] - (load[1] * cure[2] + load[2] * cure[1]) / 2.0) / T**2
    push_still = sheared_still + (cure[3] ** 2 - cure[1] * cure[2]) / T**2
    every[0] = _first_reached(
        (along / Xt) ** 2 + sheared,
        2.0 * (along / Xt * (still / Xt) + sheared_cross),
        (still / Xt) ** 2 + sheared_still - 1.0,
        along,
        still,
    )
    every[1] = _first_reached(
        (along / Xc) ** 2, 2.0 * along / Xc * (still / Xc), (still / Xc) ** 2 - 1.0, -along, -still
    )
    every[2] = _first_reached(
        (pair / Yt) ** 2 + push,
        2.0 * (pair / Yt * (pair_still / Yt) + push_cross),
        (pair_still / Yt) ** 2 + push_still - 1.0,
        pair,
        pair_still,
    )
    lean = ((Yc / (2.0 * T)) ** 2 - 1.0) / Yc
    every[3] = _first_reached(
        (pair / (2.0 * T)) ** 2 + push,
        2.0 * (pair / (2.0 * T) * (pair_still / (2.0 * T)) + push_cross) + lean * pair,
        (pair_still / (2.0 * T)) ** 2 + push_still + lean * pair_still - 1.0,
        -pair,
        -pair_still,
    )


@compiled
def hashin_multipliers(load: FloatArray, cure: FloatArray, limits: FloatArray, across: FloatArray) -> FloatArray:
    """Load multipliers (n, 4) [-] of the four modes, in the order of `MODES`; formulas as `criteria.hashin_reserve`.

    Parameters
    ----------
    load, cure : (n, 6) [Pa] in ply axes 11, 22, 33, 23, 13, 12; cure is constant.
    limits : (n, 5) [Pa] Xt, Xc, Yt, Yc, S.
    across : (n,) [Pa] shear strength across the fibre.
    """
    every, unit = np.empty((load.shape[0], 4)), np.empty(6)
    for i in range(load.shape[0]):
        size = 0.0
        for k in range(6):
            size = max(size, abs(load[i, k]))
        if size == 0.0:
            size = 1.0
        for k in range(6):
            unit[k] = load[i, k] / size
        _of_one(unit, cure[i], limits[i], across[i], every[i])
        for k in range(4):
            every[i, k] /= size
    return every
