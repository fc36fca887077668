"""Strength of a wall: reserve of every ply at both faces, first failure, and failure ply by ply to the last.

Stresses come shaped (*case, n_clock, n_layer, 2, 3 or 6) in ply axes, from the thin tier or from the exact cylinder.
"""

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from functools import cache
from importlib import import_module

import numpy as np
from numpy.typing import ArrayLike, NDArray

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import finite, one_of, share
from polewright.materials.ply import Elastic, Strength
from polewright.wall.batch import OneOrMany, cases, layer_constants, layer_strengths, settle, singles
from polewright.wall.criteria import CRITERIA, Criterion, Reserve, solid_stress
from polewright.wall.cylinder import ExactTube
from polewright.wall.stack import Wall
from polewright.wall.thin_stress import CLOCK, load_give, thin_cure_stress, thin_stress
from polewright.wall.through import TubeLoads, tube_stress

__all__ = ["FirstFailure", "LastFailure", "at_faces", "exact_stress", "first_failure", "last_failure", "ply_reserve"]


@dataclass(frozen=True, slots=True, eq=False)
class FirstFailure:
    """The weakest place of a wall: load multiplier [-] and where it is; every field (*case,).

    layer counts from the bore, 0 first; face 0 is the bore side, 1 the outer; clock indexes the places looked at.
    """

    factor: FloatArray
    layer: NDArray[np.intp]
    face: NDArray[np.intp]
    clock: NDArray[np.intp]
    mode: NDArray[np.intp]
    modes: tuple[str, ...]
    criterion: str

    def __post_init__(self) -> None:
        freeze(self, ("factor",))

    @property
    def broken(self) -> Message:
        """Mode, ply counted from the bore, and criterion, of the worst case."""
        worst = np.unravel_index(int(np.argmin(self.factor)), self.factor.shape)
        mode, ply = self.modes[int(self.mode[worst])], int(self.layer[worst]) + 1
        return Message("strength.broken", mode=mode, ply=ply, criterion=self.criterion)

    @property
    def message(self) -> Message:
        """At what multiple of the load [-] which ply breaks, of the worst case."""
        factor = float(np.min(self.factor))
        if factor <= 0.0:
            return Message("strength.first.cure", broken=self.broken)
        if np.isinf(factor):
            return Message("strength.first.never", criterion=self.criterion)
        return Message("strength.first.at", factor=factor, broken=self.broken)


@dataclass(frozen=True, slots=True, eq=False)
class LastFailure:
    """Failure ply by ply: the multiplier at every step, what broke, and the highest of them.

    factor: [-] highest load multiplier carried, a number for one wall, (*case,) for a batch; steps (*case, n_step) [-]:
    multiplier at each failure in turn, infinite past a case's last; broken: (layer, mode) at each step of one wall; of
    a batch one such row a case, cases in a row.
    """

    factor: OneOrMany
    steps: FloatArray
    broken: OneOrMany

    def __post_init__(self) -> None:
        settle(self, ("factor",))
        freeze(self, ("steps",))


def at_faces(strength: Strength) -> Strength:
    """Strengths (*case, n_layer) shaped to stand against stresses (*case, n_clock, n_layer, 2)."""
    return Strength(**{f.name: np.asarray(getattr(strength, f.name))[..., None, :, None] for f in fields(Strength)})


def _elastic_at_faces(wall: Wall) -> Elastic:
    wide = layer_constants(wall.elastic, wall.angle.shape)
    return Elastic(**{f.name: getattr(wide, f.name)[..., None, :, None] for f in fields(Elastic)})


def exact_stress(tube: ExactTube, load: TubeLoads, *, clock: ArrayLike = CLOCK) -> FloatArray:
    """Ply stresses of the exact tube shaped for this file, (*case, n_clock, n_layer, 2, 6) [Pa].

    Parameters
    ----------
    tube : solved at both faces of every layer, as `exact_tube` does unless told otherwise.
    load : fields that broadcast against (*case,); clock (n_clock,) [rad].

    Raises
    ------
    DesignError : the tube was read at other places than the two faces.
    """
    if tuple(tube.points) != (0.0, 1.0):
        raise DesignError("points", tube.points, Message("want.n_0_1_two_faces_every_layer"))
    places = np.atleast_1d(finite("clock", clock, want=Message("want.finite_angle"), most=1e12))
    return np.stack([tube_stress(tube, load, clock=float(place)).ply for place in places], axis=-4)


def ply_reserve(
    wall: Wall, load: FloatArray, strength: Strength, *, criterion: Criterion = "hashin", cure: ArrayLike = 0.0
) -> Reserve:
    """Load multiplier of every ply at both faces and every clock place, the cure stress kept constant.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).
    load : (*case, n_clock, n_layer, 2, 3 or 6) [Pa] in ply axes, of the thin tier or any other.
    strength : (n_layer,) or (*case, n_layer): `Stack.strength()` for lab means, `Stack.design_strength()` to design.
    cure : [Pa] broadcasts against `load`, constant; leave it out and it counts as none.

    Returns
    -------
    Reserve, (*case, n_clock, n_layer, 2). A layer without thickness never fails.
    """
    one_of("criterion", criterion, tuple(CRITERIA))
    load = solid_stress(load, "load")
    if load.ndim < len(_FACES) or load.shape[-3:-1] != (wall.angle.shape[-1], 2):
        raise DesignError(
            "load",
            Message("given.stresses", shape=str(load.shape)),
            Message("want.stresses_of_layers", count=wall.angle.shape[-1]),
        )
    still = solid_stress(cure, "cure") if _is_given(cure) else np.zeros(load.shape)
    try:
        load, cure = np.broadcast_arrays(load, still)
    except ValueError:
        want = Message("want.stresses_that_fit_those_load", shape=str(load.shape))
        raise DesignError("cure", Message("given.stresses", shape=str(still.shape)), want) from None
    limits = at_faces(layer_strengths(strength, wall.angle.shape))
    elastic = {"elastic": _elastic_at_faces(wall)} if CRITERIA[criterion].takes_elastic else {}
    found = _function(criterion)(load, limits, cure=cure, **elastic)
    there = wall.thickness[..., None, :, None] > 0.0
    return replace(
        found, factor=np.where(there, found.factor, np.inf), every=np.where(there[..., None], found.every, np.inf)
    )


@cache
def _function(criterion: Criterion) -> Callable[..., Reserve]:
    """The function behind the name of a criterion."""
    module, _, name = CRITERIA[criterion].function.rpartition(".")
    function: Callable[..., Reserve] = getattr(import_module(f"polewright.{module}"), name)
    return function


def _is_given(cure: ArrayLike) -> bool:
    """Whether there is cure stress: 0.0 alone says that there is none."""
    if np.ndim(cure):
        return True
    if np.any(finite("cure", cure, want=Message("want.stresses_ply_axes_or_0_none")) != 0.0):
        raise DesignError("cure", cure, Message("want.stresses_ply_axes_or_0_none"))
    return False


def first_failure(
    wall: Wall, load: FloatArray, strength: Strength, *, criterion: Criterion = "hashin", cure: ArrayLike = 0.0
) -> FirstFailure:
    """The weakest ply, face and clock place; stresses [Pa] and arguments as `ply_reserve`, fields (*case,)."""
    reserve = ply_reserve(wall, load, strength, criterion=criterion, cure=cure)
    places = reserve.factor.shape[-3:]
    flat = reserve.factor.reshape(*reserve.factor.shape[:-3], -1)
    worst = flat.argmin(axis=-1)
    clock, layer, face = np.unravel_index(worst, places)
    mode = np.take_along_axis(reserve.mode.reshape(flat.shape), worst[..., None], axis=-1)[..., 0]
    factor = np.take_along_axis(flat, worst[..., None], axis=-1)[..., 0]
    return FirstFailure(
        factor=factor,
        layer=np.asarray(layer),
        face=np.asarray(face),
        clock=np.asarray(clock),
        mode=mode,
        modes=reserve.modes,
        criterion=criterion,
    )


def last_failure(
    wall: Wall,
    load: TubeLoads,
    strength: Strength,
    *,
    rise: ArrayLike = 0.0,
    keep: float = 0.01,
    clock: ArrayLike = CLOCK,
) -> LastFailure:
    """Failure ply by ply: each broken layer's stiffness is cut and the load carried anew, until the wall gives way.

    By Hashin's modes. A matrix failure cuts E2, G12 and nu12 of that layer to `keep` of their value; a fibre failure
    cuts E1 as well. The layer is weakened all round the clock, though under bending only one side broke: safe. The
    cure stress follows from the weakened stiffness. The wall has given way once it gives ten times as much as when new;
    the last failure is the highest multiplier up to there.

    Parameters
    ----------
    wall : one wall or a batch, (*case,); a batch is answered wall by wall.
    load : broadcasts with the cases, as `rise` (*case,) [K] from the stress-free temperature; `keep` [-] above 0;
        clock (n_clock,) [rad].
    strength : (n_layer,) or (*case, n_layer) [Pa].

    Returns
    -------
    LastFailure, of all cases.

    Raises
    ------
    DesignError : strengths that are not one a layer, loads that are not one a wall, or `keep` out of bounds.

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, section 4.5 (strength of laminates, layer by layer).
    """
    want = Message("want.share_stiffness_from_millionth_at_most")
    if not 1e-6 <= float(share("keep", keep, want=want)) <= 1.0:
        raise DesignError("keep", keep, want)
    cold = finite("rise", rise, want=Message("want.finite_temperature_difference"), most=1e30)
    case = cases("load", wall.bore.shape, load.axial.shape, cold.shape)
    layers = (*case, wall.angle.shape[-1])
    limits, colds = layer_strengths(strength, layers), np.broadcast_to(cold, case)
    loads = {f.name: np.broadcast_to(getattr(load, f.name), case) for f in fields(TubeLoads)}
    rows = [
        _ply_by_ply(
            one,
            TubeLoads(**{name: v[i] for name, v in loads.items()}),
            Strength(**{f.name: getattr(limits, f.name)[i] for f in fields(Strength)}),
            rise=float(colds[i]),
            keep=keep,
            clock=clock,
        )
        for i, one in zip(np.ndindex(case), singles(wall, case), strict=True)
    ]
    most = max(len(steps) for steps, _ in rows)
    table = np.array([steps + [np.inf] * (most - len(steps)) for steps, _ in rows]).reshape(*case, most)
    highest = np.array([max(steps, default=np.inf) for steps, _ in rows]).reshape(case)
    broken = tuple(b for _, b in rows)
    return LastFailure(factor=highest, steps=table, broken=broken if case else broken[0])


def _ply_by_ply(
    wall: Wall, load: TubeLoads, strength: Strength, *, rise: float, keep: float, clock: ArrayLike
) -> tuple[list[float], tuple[tuple[int, str], ...]]:
    """Multipliers and what breaks, one failure after the other, of one wall."""
    live = replace(wall, elastic=layer_constants(wall.elastic, wall.angle.shape))
    closed = np.zeros((wall.angle.size, len(_HASHIN)), bool)  # modes that a layer has already lost
    steps: list[float] = []
    broken: list[tuple[int, str]] = []
    new = load_give(wall, load)
    while load_give(live, load) <= GIVEN_WAY * new:
        factor, layer, mode = _next_failure(live, load, strength, rise=rise, clock=clock, closed=closed)
        if np.isinf(factor):
            break
        steps.append(factor)
        broken.append((layer, _HASHIN[mode]))
        lost_fibre = mode in _FIBRE
        live = replace(
            live, elastic=_weakened(live.elastic, layer, fibre=lost_fibre, matrix=not closed[layer, 2], keep=keep)
        )
        closed[layer] |= True if lost_fibre else _MATRIX_ALONE
    return steps, tuple(broken)


GIVEN_WAY = 10.0
"""[-] how many times the new wall's give counts as having given way."""

_FACES = ("clock", "layer", "face", "component")
_HASHIN = ("fibre_tension", "fibre_compression", "matrix_tension", "matrix_compression")
_FIBRE = (0, 1)
_MATRIX_ALONE = np.array([False, False, True, True])


def _next_failure(
    wall: Wall, load: TubeLoads, strength: Strength, *, rise: float, clock: ArrayLike, closed: NDArray[np.bool_]
) -> tuple[float, int, int]:
    """Multiplier, layer and mode of the next failure among the modes still open."""
    cure = thin_cure_stress(wall, rise) if rise else 0.0
    reserve = ply_reserve(wall, thin_stress(wall, load, clock=clock), strength, criterion="hashin", cure=cure)
    of_layer = np.array(reserve.every.min(axis=(0, 2)))
    of_layer[closed] = np.inf
    layer, mode = np.unravel_index(int(np.argmin(of_layer)), of_layer.shape)
    return float(of_layer[layer, mode]), int(layer), int(mode)


def _weakened(elastic: Elastic, layer: int, *, fibre: bool, matrix: bool, keep: float) -> Elastic:
    """The same constants with one layer's matrix or fibre, or both, cut to `keep`."""
    names = (["E1"] if fibre else []) + (["E2", "E3", "G12", "G13", "G23", "nu12", "nu13"] if matrix else [])
    changed = {name: np.array(getattr(elastic, name)) for name in names}
    for array in changed.values():
        array[layer] *= keep
    return replace(elastic, **changed)
