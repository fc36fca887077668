"""Frozen arrays: the one way a value keeps numbers that nobody can change behind its back."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

__all__ = ["FloatArray", "freeze", "frozen_array", "seal"]


def frozen_array(values: ArrayLike) -> FloatArray:
    """An own, read-only float64 copy of `values`, any shape."""
    array = np.array(values, dtype=np.float64)
    array.flags.writeable = False
    return array


def freeze(value: Any, names: Sequence[str]) -> None:
    """Replace the named fields of a frozen dataclass by read-only float64 copies."""
    for name in names:
        object.__setattr__(value, name, frozen_array(getattr(value, name)))


def seal(value: Any, names: Sequence[str]) -> None:
    """Make the named arrays of a value read-only where they stand: arrays that nobody else holds need no copy."""
    for name in names:
        getattr(value, name).flags.writeable = False
