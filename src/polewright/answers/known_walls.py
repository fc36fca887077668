"""Walls already solved, remembered by what they are: an edit of one section costs only that section anew."""

from dataclasses import dataclass, field, fields
from functools import lru_cache

import numpy as np

from polewright.conventions.collars import CollarKind
from polewright.materials.ply import Elastic, Strength
from polewright.wall.clamp import Band, ClampWindow, clamp_window
from polewright.wall.criteria import Criterion
from polewright.wall.cylinder import ExactTube, exact_tube
from polewright.wall.failure import exact_stress
from polewright.wall.limits import WallLimits, bending_limits
from polewright.wall.stack import Wall
from polewright.wall.through import TubeLoads

__all__ = ["known_limits", "known_tube", "known_window"]

MOST = 192
"""Walls remembered: those of a dozen poles, or of fifty edits of one; each takes some 20 kB."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """A wall, its strength, its cool-down [K] and the criterion; two are one if every number is."""

    content: bytes
    wall: Wall = field(compare=False)
    strength: Strength | None = field(default=None, compare=False)
    rise: float = 0.0
    criterion: Criterion = "hashin"


def _content(wall: Wall, strength: Strength | None = None) -> bytes:
    shape = wall.angle.shape
    parts = [wall.bore, wall.angle, wall.thickness]
    for f in fields(Elastic):
        values = getattr(wall.elastic, f.name)
        parts.append(values if values.shape == shape else np.broadcast_to(values, shape))
    if strength is not None:
        parts += [getattr(strength, f.name) for f in fields(Strength)]
    return str(shape).encode() + b"".join(np.ascontiguousarray(p).tobytes() for p in parts)


def known_tube(wall: Wall) -> ExactTube:
    """The exact tube of a wall or a batch, read at both faces of every layer.

    Raises
    ------
    DesignError : as `exact_tube`.
    """
    return _tube(_Asked(_content(wall), wall))


def known_limits(wall: Wall, strength: Strength | None, *, rise: float, criterion: Criterion = "hashin") -> WallLimits:
    """Moments [N m] that end one wall, cure stress of a cool-down by `rise` [K] in.

    Parameters
    ----------
    strength : (n_layer,) [Pa]; None leaves fibre failure out.
    criterion : by which the fibre fails.

    Raises
    ------
    DesignError : as `bending_limits`.
    """
    return _limits(_Asked(_content(wall, strength), wall, strength, rise, criterion))


def known_window(
    wall: Wall, strength: Strength | None, band: Band, *, need: float, rise: float, criterion: Criterion = "hashin"
) -> ClampWindow:
    """Window of a clamp [N] on one wall that must hold `need` [N], cure stress of a cool-down by `rise` [K] in.

    Parameters
    ----------
    strength : (n_layer,) [Pa]; None takes half of the even collapse.

    Raises
    ------
    DesignError : as `clamp_window`.
    """
    asked = _Asked(_content(wall, strength), wall, strength, rise, criterion)
    return _window(asked, (band.width, band.friction, band.kind), need)


@lru_cache(maxsize=MOST)
def _window(asked: _Asked, band: tuple[float, float, CollarKind], need: float) -> ClampWindow:
    cure = exact_stress(known_tube(asked.wall), TubeLoads(rise=asked.rise), clock=(0.0,))
    return clamp_window(
        asked.wall, Band(*band), need=need, strength=asked.strength, cure=cure, criterion=asked.criterion
    )


@lru_cache(maxsize=MOST)
def _tube(asked: _Asked) -> ExactTube:
    return exact_tube(asked.wall)


@lru_cache(maxsize=MOST)
def _limits(asked: _Asked) -> WallLimits:
    cure = exact_stress(known_tube(asked.wall), TubeLoads(rise=asked.rise), clock=(0.0,))
    return bending_limits(asked.wall, asked.strength, cure=cure, criterion=asked.criterion)
