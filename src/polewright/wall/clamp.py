"""The clamp window: tight enough to hold when wet, loose enough not to end the wall."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.collars import COLLARS, CollarKind
from polewright.materials.numbers import above_zero, from_zero, one_of
from polewright.materials.ply import Strength
from polewright.wall.batch import OneOrMany, cases, layer_strengths, singles
from polewright.wall.collar import CollarLoads, WallEnd, collar_loads, collar_of
from polewright.wall.criteria import Criterion
from polewright.wall.stack import Wall

__all__ = ["Band", "ClampWindow", "band_hold", "band_pressure", "band_twist_hold", "clamp_window"]


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """A clamp round the outside of a tube: width [m], friction [-] in the worst wet, kind of collar."""

    width: float
    friction: float
    kind: CollarKind = "split_band"

    def __post_init__(self) -> None:
        for name in ("width", "friction"):
            above_zero(f"clamp.{name}", getattr(self, name), most=1e30)
        one_of("clamp.kind", self.kind, COLLARS)


@dataclass(frozen=True, slots=True, eq=False)
class ClampWindow:
    """Band tension [N] that holds and does not end the wall, (*case,); `is_open` says whether there is any.

    Tension is mean pressure times outside radius and width, whatever the collar. least : holds `need`; crack : first
    crack of the resin, zero where the cure cracks it; fibre : first broken fibre; collapse : the wall folds; nan where
    no strength is known, inf where the wall ends before. most : what ends the wall, see `CollarLoads.ends`; hold [N]
    and twist [N m] : held at `most`. loads : the `CollarLoads` of one wall; of a batch all of them, in a row.
    """

    least: FloatArray
    crack: FloatArray
    fibre: FloatArray
    collapse: FloatArray
    most: FloatArray
    hold: FloatArray
    twist: FloatArray
    loads: OneOrMany

    def __post_init__(self) -> None:
        freeze(self, ("least", "crack", "fibre", "collapse", "most", "hold", "twist"))

    @property
    def is_open(self) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """(*case,) whether some tension both holds and does not end the wall."""
        return np.asarray(self.least <= self.most)

    @property
    def ends(self) -> WallEnd:
        """What ends the wall; of a batch, that of the case with the least `most`."""
        loads: tuple[CollarLoads, ...] = self.loads if isinstance(self.loads, tuple) else (self.loads,)
        return loads[int(np.argmin(self.most))].ends

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


def clamp_window(
    wall: Wall,
    band: Band,
    *,
    need: ArrayLike,
    strength: Strength | None = None,
    cure: ArrayLike = 0.0,
    criterion: Criterion = "hashin",
) -> ClampWindow:
    """Least and most band tension for an axial hold of `need` [N], and where resin cracks, fibre breaks, it folds.

    T_least = F/(2 pi mu); the others are p r w, r outside, of the collar's mean pressures p.

    Parameters
    ----------
    wall : one wall or a batch, (*case,); a batch is answered wall by wall.
    need : (*case,) [N].
    strength : (n_layer,) or (*case, n_layer) [Pa]; without it half of the even collapse is the most.
    cure : [Pa] constant ply stresses (*case, 1, n_layer, 2, 3 or 6), as `thin_stress.thin_cure_stress` gives.

    Raises
    ------
    DesignError : a need, a strength or a wall that cannot be.

    Source
    ------
    Statics of a band as in `band_hold`; `collar.collar_loads`.
    """
    need = above_zero("need", need, want=Message("want.hold_newtons_above_zero"), most=1e30)
    case = cases("need", wall.bore.shape, need.shape)
    collar, layers = collar_of(band.kind), (*wall.bore.shape, wall.angle.shape[-1])
    limits = None if strength is None else _rows(layer_strengths(strength, layers))
    still = np.asarray(cure)
    stays = (
        [still] * wall.bore.size
        if still.ndim < _CURE
        else list(np.broadcast_to(still, (*wall.bore.shape, *still.shape[-_CURE:])).reshape(-1, *still.shape[-_CURE:]))
    )
    loads = tuple(
        collar_loads(one, None if limits is None else limits[i], collar, criterion=criterion, cure=stays[i])
        for i, one in enumerate(singles(wall))
    )
    radius = np.asarray(wall.outside / 2.0)
    crack, fibre, collapse, most = (
        np.array([_pressure(one, name) for one in loads]).reshape(wall.bore.shape) * radius * band.width
        for name in ("crack", "fibre", "collapse", "most")
    )
    least = np.broadcast_to(need / (2.0 * np.pi * band.friction), case)
    hold = band_hold(most, friction=band.friction)
    return ClampWindow(least, crack, fibre, collapse, most, hold, hold * radius, loads if case else loads[0])


_CURE = 4  # axes of a cure stress: clock, layer, face, component


def _rows(strength: Strength) -> list[Strength]:
    """One strength a case, from (*case, n_layer)."""
    wide = {f.name: getattr(strength, f.name) for f in fields(Strength)}
    flat = {name: value.reshape(-1, value.shape[-1]) for name, value in wide.items()}
    return [
        Strength(**{name: value[i] for name, value in flat.items()}) for i in range(next(iter(flat.values())).shape[0])
    ]


def _pressure(loads: CollarLoads, name: str) -> float:
    """[Pa] of one of the loads; nan where it is not known."""
    load = getattr(loads, name)
    if load is None:
        return np.nan
    return float(getattr(load, "pressure", load))
