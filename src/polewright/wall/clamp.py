"""The clamp window: tight enough to hold when wet, loose enough not to crush the wall."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, from_zero
from polewright.wall.batch import cases
from polewright.wall.ring import collapse_pressure
from polewright.wall.stack import Wall

__all__ = ["Band", "ClampWindow", "band_hold", "band_pressure", "band_twist_hold", "clamp_window"]

UNEVEN = 0.5
"""[-] share of the collapse pressure that may be used: real clamps press unevenly round the clock."""


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """A clamp band round the outside of a tube: width [m], friction [-] in the worst wet, uneven [-] share allowed."""

    width: float
    friction: float
    uneven: float = UNEVEN

    def __post_init__(self) -> None:
        for name in ("width", "friction", "uneven"):
            above_zero(f"clamp.{name}", getattr(self, name), most=1e30)
        if np.any(np.asarray(self.uneven) > 1.0):
            raise DesignError("clamp.uneven", self.uneven, Message("want.at_most_1_clamp_that_presses"))


@dataclass(frozen=True, slots=True, eq=False)
class ClampWindow:
    """Band tension [N] that holds and does not crush, (*case,); `is_open` says whether there is any.

    least: holds `need`; most: crushes nothing; pressure: collapse pressure used [Pa]; hold: most hold to be had
    without crushing [N]; twist: the twist moment held at `most` [N m].
    """

    least: FloatArray
    most: FloatArray
    pressure: FloatArray
    hold: FloatArray
    twist: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("least", "most", "pressure", "hold", "twist"))

    @property
    def is_open(self) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """(*case,) whether some tension both holds and does not crush."""
        return np.asarray(self.least <= self.most)

    @property
    def message(self) -> Message:
        """Whether the clamp has a window, and what would give it one; of a batch, its worst case."""
        return Message("clamp.window" if bool(np.all(self.is_open)) else "clamp.no_window")


def band_hold(tension: ArrayLike, *, friction: ArrayLike) -> FloatArray:
    """Axial hold of a band [N], F = 2 pi mu T, whatever the diameter; tension [N] and friction [-] broadcast.

    Source
    ------
    Statics of a flexible band: normal force T dphi on each arc dphi, summed to 2 pi T.
    """
    rub, pull = from_zero("friction", friction), from_zero("tension", tension)
    return np.asarray(2.0 * np.pi * rub * pull)


def band_twist_hold(tension: ArrayLike, *, friction: ArrayLike, radius: ArrayLike) -> FloatArray:
    """Twist moment a band holds [N m], M = 2 pi mu T r, radius [m] to the outside of the tube; arguments broadcast.

    Source
    ------
    Statics of a flexible band, as `band_hold`.
    """
    return np.asarray(band_hold(tension, friction=friction) * above_zero("radius", radius, most=1e30))


def band_pressure(tension: ArrayLike, *, radius: ArrayLike, width: ArrayLike) -> FloatArray:
    """Mean pressure of a band [Pa], p = T/(r w); tension [N], outside radius [m], band width [m]; arguments
    broadcast.

    Source
    ------
    Statics of a flexible band, as `band_hold`.
    """
    area = above_zero("radius", radius, most=1e30) * above_zero("width", width, most=1e30)
    return np.asarray(from_zero("tension", tension) / area)


def clamp_window(wall: Wall, band: Band, *, need: ArrayLike, collapse: ArrayLike | None = None) -> ClampWindow:
    """Least and most band tension for an axial hold of `need` [N], with the wall's collapse pressure.

    T_least = F/(2 pi mu), T_most = u p_cr r w with r outside and u the share of the collapse pressure that may be
    used. `collapse` (*case,) [Pa] takes the place of the thin ring's 3 D/R^3, for instance from the thick ring.

    Source
    ------
    Statics of a band as in `band_hold`; collapse pressure as in `ring.collapse_pressure`.
    """
    need = above_zero("need", need, want=Message("want.hold_newtons_above_zero"), most=1e30)
    pressure = collapse_pressure(wall) if collapse is None else above_zero("collapse", collapse)
    cases("need, collapse", wall.bore.shape, need.shape, pressure.shape)
    radius = np.asarray(wall.outside / 2.0)
    most = band.uneven * pressure * radius * band.width
    least = np.broadcast_to(need / (2.0 * np.pi * band.friction), np.broadcast_shapes(need.shape, most.shape))
    hold = band_hold(most, friction=band.friction)
    return ClampWindow(least=least, most=most, pressure=pressure, hold=hold, twist=hold * radius)
