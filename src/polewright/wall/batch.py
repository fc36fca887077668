"""One wall or a batch of them: figures that are plain numbers for one and arrays for many, and the walls one by one."""

from dataclasses import fields
from typing import Any, TypeAlias, TypeVar

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, frozen_array
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero
from polewright.materials.ply import Elastic, Strength
from polewright.wall.stack import Wall

__all__ = [
    "OneOrMany",
    "cases",
    "figure",
    "layer_constants",
    "layer_strengths",
    "positive",
    "settle",
    "singles",
    "truth",
]

# A plain number of one wall, an array (*case,) of a batch. A union would make every reader of one wall tell them apart.
OneOrMany: TypeAlias = Any

_T = TypeVar("_T", Elastic, Strength)


def figure(values: ArrayLike) -> OneOrMany:
    """A number for one wall, a frozen array (*case,) for a batch; [unit of `values`]."""
    array = np.asarray(values, dtype=np.float64)
    return float(array) if array.ndim == 0 else frozen_array(array)


def truth(values: ArrayLike) -> OneOrMany:
    """A bool for one wall, an array of them (*case,) for a batch; true for all but zero [any unit]."""
    array = np.asarray(values, dtype=np.bool_)
    return bool(array) if array.ndim == 0 else array


def settle(value: Any, names: tuple[str, ...]) -> None:
    """Make the named fields of a frozen dataclass numbers for one wall, frozen arrays for a batch."""
    for name in names:
        object.__setattr__(value, name, figure(getattr(value, name)))


def cases(field: str, *shapes: tuple[int, ...]) -> tuple[int, ...]:
    """Shape of all cases together: that of the walls, first, with those of what is asked of them.

    Raises
    ------
    DesignError : shapes that do not fit each other.
    """
    try:
        return np.broadcast_shapes(*shapes)
    except ValueError:
        raise DesignError(
            field, f"{shapes[1:]} for {shapes[0]} walls".replace("),)", ")"), Message("want.one_all_walls_or_one_wall")
        ) from None


def positive(name: str, value: ArrayLike) -> FloatArray:
    """The value as an array of any shape [unit of `value`], refused unless finite and above zero.

    Raises
    ------
    DesignError : a value that is not.
    """
    return above_zero(name, value, most=1e30)


def layer_constants(elastic: Elastic, shape: tuple[int, ...]) -> Elastic:
    """The same constants, one a layer of every case, (*case, n_layer)."""
    return _wide(elastic, shape)


def layer_strengths(strength: Strength, shape: tuple[int, ...]) -> Strength:
    """The same strengths [Pa], one a layer of every case, (*case, n_layer).

    Raises
    ------
    DesignError : strengths that are not one a layer.
    """
    if not isinstance(strength, Strength):
        raise DesignError("strength", f"{strength!r:.60}", Message("want.five_strengths_every_ply"))
    try:
        return _wide(strength, shape)
    except ValueError:
        raise DesignError("strength", strength.Xt.shape, Message("want.one_layer", shape=shape)) from None


def _wide(value: _T, shape: tuple[int, ...]) -> _T:
    return type(value)(**{f.name: np.broadcast_to(getattr(value, f.name), shape) for f in fields(value)})


def singles(wall: Wall, case: tuple[int, ...] | None = None) -> list[Wall]:
    """The walls of a batch, one by one, cases in a row; `case` is a shape to broadcast the batch to."""
    case = wall.bore.shape if case is None else case
    count = wall.angle.shape[-1]
    if not case:
        return [wall]
    names = [f.name for f in fields(Elastic)]
    shape = (*case, count)
    constants = {n: np.broadcast_to(getattr(wall.elastic, n), shape).reshape(-1, count) for n in names}
    angle, thickness = (np.broadcast_to(v, shape).reshape(-1, count) for v in (wall.angle, wall.thickness))
    return [
        Wall(
            bore=np.asarray(bore),
            angle=angle[i],
            thickness=thickness[i],
            elastic=Elastic(**{n: array[i] for n, array in constants.items()}),
        )
        for i, bore in enumerate(np.broadcast_to(wall.bore, case).ravel())
    ]
