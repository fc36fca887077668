"""Where plies break under a collar: every reserve round the clock, and the pressures at which it comes to one."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from polewright.arrays import FloatArray
from polewright.materials.ply import Strength
from polewright.wall.criteria import Criterion
from polewright.wall.failure import ply_reserve
from polewright.wall.stack import Wall

__all__ = ["CollarLoad", "CollarReserve"]

_LOOKED = np.linspace(0.0, np.pi, 37)  # [rad] round half the clock, where plies are looked at
_CLOSER = (0.03, 0.0005)  # either side of where a multiplier should be one
_NEAR = 1.5  # times the least multiplier: such places are looked at where one of them comes first
_SHORT_OF = 0.999  # of the collapse, where a wall that is about to fold is looked at


@dataclass(frozen=True, slots=True)
class CollarLoad:
    """Mean pressure [Pa] at which a ply first breaks in one way, inf if the wall folds before; and where.

    layer counts from the bore, 0 first, -1 for none; face 0 is the bore side, 1 the outer; clock [rad] from the lugs or
    the pad; mode by the criterion. A pressure of zero: the cure alone breaks it.
    """

    pressure: float
    layer: int = -1
    face: int = -1
    clock: float = 0.0
    mode: str = ""


class CollarReserve:
    """The reserve of every ply in a state, and where it comes down to one."""

    def __init__(
        self,
        wall: Wall,
        strength: Strength,
        bending: Callable[[FloatArray], FloatArray],
        stress: FloatArray,
        thrust: FloatArray,
        *,
        criterion: Criterion,
        cure: ArrayLike,
    ) -> None:
        """Of a wall under a collar.

        bending : of mean pressures (n,) [Pa] the (n, n_wave) [Pa] pressure of each wave, 0 first, that would bend the
            ring as far without thrust.
        stress : (n_wave, n_layer, 2, 6) [-] of one pascal in each wave, in ply axes.
        thrust : (n_wave,) [-] hoop thrust beside the even one, over pressure and radius.
        """
        self._wall, self._strength, self._bending = wall, strength, bending
        self._criterion, self._cure = criterion, cure
        turn = np.multiply.outer(_LOOKED, np.arange(stress.shape[0]))
        wave = np.repeat(np.cos(turn)[..., None], 6, axis=-1)
        wave[..., 3:5] = np.sin(turn)[..., None]
        self._wave = np.moveaxis(wave[:, :, None, None, :] * stress, 1, 0)  # (n_wave, n_place, n_layer, 2, 6)
        self._rubbed = (np.cos(turn) @ thrust)[:, None, None, None] * stress[0]

    def first(self, pressure: FloatArray, bending: FloatArray, beyond: float) -> tuple[CollarLoad, CollarLoad]:
        """Where anything but a fibre breaks first, and where a fibre does, from rising pressures (n,) [Pa].

        A criterion that tells them not apart gives both the same. bending (n, n_wave) [Pa] at the pressures; nothing
        is looked at from `beyond` [Pa] on.
        """
        every, modes = self._of(pressure, bending)
        kinds = tuple(_kept(modes, fibre=fibre) for fibre in (False, True))
        if not all(np.any(_least(every, kept) <= 1.0) for kept in kinds):
            pressure = np.append(pressure, _SHORT_OF * beyond)
            every = np.concatenate([every, self._at(pressure[-1:])])
        found = tuple(_Stretch.of(pressure, every, kept) for kept in kinds)
        open_ones = [one for one in found if one is not None and one.load > 0.0]
        for share in _CLOSER if open_ones else ():
            places = np.unique(np.concatenate([one.places for one in open_ones]))
            pairs = [np.clip(one.load * np.array([1.0 - share, 1.0 + share]), *one.bounds) for one in open_ones]
            beside = self._at(np.concatenate(pairs), places).reshape(len(pairs), 2, places.size, *every.shape[2:])
            for one, pair, near in zip(open_ones, pairs, beside, strict=True):
                one.load = float(np.clip(_crossing(pair, _least(near, one.kept)), *one.bounds))
                one.near, one.looked = near[-1], places
        crack, fibre = (CollarLoad(np.inf) if one is None else one.told(modes) for one in found)
        return crack, fibre

    def _of(
        self, pressure: FloatArray, bending: FloatArray, places: slice | NDArray[np.intp] = slice(None)
    ) -> tuple[FloatArray, tuple[str, ...]]:
        """Multipliers (n, n_place, n_layer, 2, n_mode) at pressures (n,), and the names of the modes."""
        wave, rubbed = self._wave[:, places], self._rubbed[places]
        stress = bending @ wave.reshape(wave.shape[0], -1) + pressure[:, None] * rubbed.ravel()
        found = ply_reserve(
            self._wall,
            stress.reshape(pressure.size, *rubbed.shape),
            self._strength,
            criterion=self._criterion,
            cure=self._cure,
        )
        return found.every, found.modes

    def _at(self, pressure: FloatArray, places: slice | NDArray[np.intp] = slice(None)) -> FloatArray:
        """(n, n_place, n_layer, 2, n_mode) multipliers at pressures (n,) [Pa]."""
        return self._of(pressure, self._bending(pressure), places)[0]


@dataclass(slots=True)
class _Stretch:
    """Pressures between which the modes `kept` first break a ply, and what is known of where.

    load [Pa] the crossing as far as it is known; places : of the clock, worth looking at; near (n_looked, n_layer, 2,
    n_mode) multipliers beside the crossing, at the places `looked`.
    """

    kept: NDArray[np.intp]
    bounds: tuple[float, float]
    load: float
    places: NDArray[np.intp]
    near: FloatArray
    looked: NDArray[np.intp]

    @classmethod
    def of(cls, pressure: FloatArray, every: FloatArray, kept: NDArray[np.intp]) -> "_Stretch | None":
        """The stretch among rising pressures (n,) [Pa]; None where nothing breaks up to the last."""
        least = _least(every, kept)
        if not np.any(least <= 1.0):
            return None
        at = int(np.argmax(least <= 1.0))
        ends = slice(max(at - 1, 0), at + 1)
        return cls(
            kept,
            (float(pressure[at - 1]) if at else 0.0, float(pressure[at])),
            _crossing(pressure[ends], least[ends]),
            _weak_places(every[ends], kept),
            every[at],
            np.arange(_LOOKED.size),
        )

    def told(self, modes: tuple[str, ...]) -> CollarLoad:
        """The load and the weakest place beside it."""
        shape = (*self.near.shape[:-1], self.kept.size)
        place, layer, face, mode = (int(i) for i in np.unravel_index(int(np.argmin(self.near[..., self.kept])), shape))
        return CollarLoad(self.load, layer, face, float(_LOOKED[self.looked[place]]), modes[self.kept[mode]])


def _weak_places(every: FloatArray, kept: NDArray[np.intp]) -> NDArray[np.intp]:
    """Places of the clock that are near the weakest at either end of a stretch of pressures."""
    of_place = every[..., kept].min(axis=(2, 3, 4))
    return np.flatnonzero((of_place <= _NEAR * of_place.min(axis=-1, keepdims=True)).any(axis=0))


def _least(every: FloatArray, kept: NDArray[np.intp]) -> FloatArray:
    """(n,) the least multiplier of the modes `kept`."""
    return np.asarray(every[..., kept].reshape(every.shape[0], -1).min(axis=-1))


def _crossing(pressure: FloatArray, least: FloatArray) -> float:
    """[Pa] at which the multiplier comes down to one, as powers of the pressure go; by one point straight to zero."""
    if least[-1] <= 0.0:
        return 0.0
    if least.size == 1 or not least[0] > least[-1] or np.isinf(least[0]):
        return float(pressure[-1] * least[-1])
    first, last = np.log(least)
    return float(pressure[0] * (pressure[-1] / pressure[0]) ** (first / (first - last)))


def _kept(modes: tuple[str, ...], *, fibre: bool) -> NDArray[np.intp]:
    """Which modes break fibre, or which do not; all of them if none is told apart."""
    own = [i for i, mode in enumerate(modes) if mode.startswith("fibre_") == fibre]
    return np.array(own or range(len(modes)), dtype=np.intp)
