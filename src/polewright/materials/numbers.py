"""Numbers at the door: whatever is given becomes an array of finite floats, or is refused in words."""

from collections.abc import Iterable
from typing import Any

import numpy as np

from polewright.arrays import FloatArray, frozen_array
from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["HUGE", "above_zero", "finite", "fit_each_other", "from_zero", "keep_numbers", "one_of", "share"]

Want = Message | str
_FINITE, _ABOVE_ZERO = Message("want.finite_number"), Message("want.number_above_zero")
_FROM_ZERO, _SHARE = Message("want.zero_or_more"), Message("want.share_from_0_to_1")
HUGE = 1e60  # beyond it, and below its inverse, fourth powers leave the range of a float


def finite(field: str, value: Any, *, want: Want = _FINITE, most: float = HUGE) -> FloatArray:
    """The value (...) as an array of floats (...), none beyond `most` in size; both in one unit [any].

    Raises
    ------
    DesignError : not a number, not finite, empty, or of a size that no tube or ply has.
    """
    array = _array(field, value, want)
    size = np.abs(array)
    if not size.max() <= most:  # false of what is no number, too
        if not np.all(np.isfinite(array)):
            raise DesignError(field, Message("given.not_number"), want)
        raise DesignError(
            field, float(array.flat[np.argmax(size)]), Message("want.that_tube_or_ply_can_have", want=want)
        )
    return array


def above_zero(field: str, value: Any, *, want: Want = _ABOVE_ZERO, most: float = HUGE) -> FloatArray:
    """As `finite`, (...) [any unit], and above zero by no less than 1/most.

    Raises
    ------
    DesignError : as `finite`, or zero or below.
    """
    array = _array(field, value, want)
    least = array.min()
    if not (least >= 1.0 / most and array.max() <= most):
        finite(field, array, want=want, most=most)
        raise DesignError(
            field, float(least), want if least <= 0.0 else Message("want.that_tube_or_ply_can_have", want=want)
        )
    return array


def from_zero(field: str, value: Any, *, want: Want = _FROM_ZERO, most: float = HUGE) -> FloatArray:
    """As `finite`, (...) [any unit], and not below zero.

    Raises
    ------
    DesignError : as `finite`, or below zero.
    """
    array = _array(field, value, want)
    if not (array.min() >= 0.0 and array.max() <= most):
        finite(field, array, want=want, most=most)
        raise DesignError(field, float(array.min()), want)
    return array


def _array(field: str, value: Any, want: Want) -> FloatArray:
    """The value as an array of floats that holds at least one."""
    try:
        array = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError, OverflowError):
        raise DesignError(field, f"{value!r:.60}", Message("want.or_numbers_rows_one_length", want=want)) from None
    if array.size == 0:
        raise DesignError(field, Message("given.empty"), want)
    return array


def share(field: str, value: Any, *, want: Want = _SHARE) -> FloatArray:
    """As `finite`, (...) [-], from 0 to 1.

    Raises
    ------
    DesignError : as `finite`, or outside.
    """
    array = finite(field, value, want=want)
    outside = (array < 0.0) | (array > 1.0)
    if np.any(outside):
        raise DesignError(field, float(array[outside].flat[0]), want)
    return array


def fit_each_other(**given: FloatArray | tuple[int, ...]) -> None:
    """Refuse arrays, or shapes of them, that do not broadcast.

    Raises
    ------
    DesignError : naming the arrays and their shapes.
    """
    shapes = {name: one if isinstance(one, tuple) else one.shape for name, one in given.items()}
    try:
        np.broadcast_shapes(*shapes.values())
    except ValueError:
        several = {name: shape for name, shape in shapes.items() if shape}
        raise DesignError(
            ", ".join(several),
            ", ".join(f"{shape}" for shape in several.values()),
            Message("want.shapes_that_fit_each_other"),
        ) from None


def keep_numbers(value: Any, names: Iterable[str], *, field: str = "", most: float = HUGE) -> None:
    """Replace named fields of a frozen dataclass by own, read-only arrays of finite floats; units [any] stay.

    Raises
    ------
    DesignError : as `finite`.
    """
    for name in names:
        array = finite(f"{field}{name}", getattr(value, name), most=most)
        object.__setattr__(value, name, frozen_array(array))


def one_of(field: str, value: object, choices: Iterable[str]) -> None:
    """Refuse a word that is none of the choices.

    Raises
    ------
    DesignError : naming the choices.
    """
    known = tuple(choices)
    if not isinstance(value, str) or value not in known:
        raise DesignError(field, repr(value), Message("want.one", choices=tuple(known)))
