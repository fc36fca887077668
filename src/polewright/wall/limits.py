"""What ends a wall under bending or push: fibre failure, flattening, wrinkling, each with its knock-down and range."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.materials.ply import Strength
from polewright.wall.criteria import Criterion
from polewright.wall.failure import ply_reserve
from polewright.wall.flattening import oval_moment_limit
from polewright.wall.oval_wrinkle import oval_wrinkle
from polewright.wall.stack import Wall
from polewright.wall.thin_stress import thin_stress
from polewright.wall.through import TubeLoads
from polewright.wall.wrinkling import LEAST_SLENDER, MOST_SLENDER, bending_knock_down, push_knock_down, push_wrinkle

__all__ = ["Limit", "WallLimits", "bending_limits", "push_limits"]

_FIBRE = "fibre_"  # how the modes of the fibre are called


@dataclass(frozen=True, slots=True, eq=False)
class Limit:
    """One way a wall ends: `perfect` load of theory and `load` after the knock-down, (*case,) [N] or [N m].

    knock_down: load over perfect. Under bending the published share is put on an even push at the oval's top, which
    leaves out what holds the ripple in its place. name: "fibre_failure", "flattening" or "wrinkling"; range: what the
    figure holds for; is_in_range (*case,): whether this wall lies in it.
    """

    name: str
    perfect: FloatArray
    knock_down: FloatArray
    load: FloatArray
    range: Message
    is_in_range: NDArray[np.bool_]

    def __post_init__(self) -> None:
        freeze(self, ("perfect", "knock_down", "load"))


@dataclass(frozen=True, slots=True, eq=False)
class WallLimits:
    """Every way a wall ends under one kind of load."""

    limits: tuple[Limit, ...]

    @property
    def least(self) -> FloatArray:
        """(*case,) [N] or [N m] the lowest load, knock-down in."""
        return np.asarray(np.min([limit.load for limit in self.limits], axis=0))

    @property
    def first(self) -> tuple[str, ...] | str:
        """Name of the limit that comes first; for a batch one name a case, cases in a row."""
        which = np.argmin([limit.load for limit in self.limits], axis=0)
        names = tuple(self.limits[int(i)].name for i in np.ravel(which))
        return names[0] if np.ndim(which) == 0 else names

    def named(self, name: str) -> Limit:
        """The limit of that name."""
        return next(limit for limit in self.limits if limit.name == name)


def _limit(name: str, perfect: FloatArray, factor: ArrayLike, holds: Message, *, inside: ArrayLike = True) -> Limit:
    perfect = np.asarray(perfect, dtype=np.float64)
    factor = np.broadcast_to(np.asarray(factor, dtype=np.float64), perfect.shape)
    return Limit(
        name=name,
        perfect=perfect,
        knock_down=factor,
        load=perfect * factor,
        range=holds,
        is_in_range=np.broadcast_to(np.asarray(inside, dtype=np.bool_), perfect.shape),
    )


def _fibre(wall: Wall, load: TubeLoads, strength: Strength, cure: ArrayLike, criterion: Criterion) -> FloatArray:
    """(*case,) multiplier of the first fibre mode; of the whole criterion where it tells no fibre from resin."""
    stress = thin_stress(wall, load, clock=(0.0, np.pi))
    reserve = ply_reserve(wall, stress, strength, criterion=criterion, cure=cure)
    fibre = [i for i, mode in enumerate(reserve.modes) if mode.startswith(_FIBRE)]
    every = reserve.every[..., fibre] if fibre else reserve.every
    return np.asarray(every.min(axis=(-4, -3, -2, -1)))


def _fibre_limit(wall: Wall, load: TubeLoads, strength: Strength, cure: ArrayLike, criterion: Criterion) -> Limit:
    held = Message("limit.range.fibre_failure", criterion=criterion)
    return _limit("fibre_failure", _fibre(wall, load, strength, cure, criterion), 1.0, held)


def bending_limits(
    wall: Wall, strength: Strength | None, *, cure: ArrayLike = 0.0, criterion: Criterion = "hashin"
) -> WallLimits:
    """Moments that end a long tube: fibre failure, flattening and wrinkling, each with its knock-down and range.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).
    strength : (n_layer,) [Pa], lab means or design values; None leaves fibre failure out, as nothing is known of it.
    cure : [Pa] constant ply stresses, shaped as `thin_stress` gives; none when left out.
    criterion : by which the fibre fails; one that tells no fibre from resin gives its first failure of either.

    Returns
    -------
    WallLimits [N m]: "fibre_failure", "flattening", "wrinkling".

    Source
    ------
    `failure.ply_reserve`, `flattening.oval_moment_limit`, `oval_wrinkle.oval_wrinkle` and their sources.
    """
    share = bending_knock_down(wall)
    ripple = oval_wrinkle(wall, share.factor)
    found = [] if strength is None else [_fibre_limit(wall, TubeLoads(moment=1.0), strength, cure, criterion)]
    found.append(_limit("flattening", oval_moment_limit(wall), 1.0, Message("limit.range.flattening")))
    holds = Message("limit.range.oval_wrinkling", least=LEAST_SLENDER, most=MOST_SLENDER)
    factor = ripple.moment / ripple.perfect
    return WallLimits(tuple(found) + (_wrinkling(ripple.perfect, factor, holds, share.is_in_range),))


def push_limits(
    wall: Wall, strength: Strength | None, *, cure: ArrayLike = 0.0, criterion: Criterion = "hashin"
) -> WallLimits:
    """Pushes (*case,) [N] that end a wall: fibre failure and wrinkling; the tube as a column is the pole's affair.

    Arguments and sources as `bending_limits`; names "fibre_failure" and "wrinkling".
    """
    share = push_knock_down(wall)
    found = [] if strength is None else [_fibre_limit(wall, TubeLoads(axial=-1.0), strength, cure, criterion)]
    push = push_wrinkle(wall).load
    return WallLimits(tuple(found) + (_wrinkling(push, share.factor, share.range, share.is_in_range),))


def _wrinkling(perfect: FloatArray, factor: FloatArray, holds: Message, inside: ArrayLike) -> Limit:
    return _limit("wrinkling", perfect, factor, holds, inside=inside)
