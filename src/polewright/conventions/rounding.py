"""How turns and figures are rounded.

A number of turns is a decimal that a person types or that lengths divide to; it counts as whole when it misses a whole
number by less than `TURN_TOLERANCE`.
"""

import math

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray

__all__ = ["TURN_TOLERANCE", "significant", "started_turns", "whole_turns"]

TURN_TOLERANCE = 1e-9
"""[-] turns that miss a whole number by less count as whole."""


def whole_turns(turns: float) -> int:
    """How many complete turns a ply makes; turns [-]."""
    return math.floor(turns + TURN_TOLERANCE)


def started_turns(turns: float) -> int:
    """How many layers a ply makes, a part turn counted as one; turns [-]."""
    return math.ceil(turns - TURN_TOLERANCE)


def significant(values: ArrayLike, digits: int) -> FloatArray:
    """Values rounded to so many significant digits, element by element.

    Parameters
    ----------
    values : (...) [any unit]; zero stays zero.
    digits : 1 or more.

    Returns
    -------
    (...) [unit of `values`].
    """
    numbers = np.asarray(values, dtype=np.float64)
    size = np.floor(np.log10(np.maximum(np.abs(numbers), 1e-300)))
    scale = 10.0 ** (size - digits + 1)
    return np.asarray(np.rint(numbers / scale) * scale)
