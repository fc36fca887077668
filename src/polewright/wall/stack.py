"""The wall of one tube: plies from the bore outward, every turn at its own radius.

A `Stack` is what the workshop rolls (material, angle, turns); a `Wall` is what cures: one layer a turn, as arrays.
"""

from dataclasses import dataclass, field, fields, replace
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze, frozen_array
from polewright.codes import Message
from polewright.conventions.angles import AngleClass, angle_class
from polewright.conventions.rounding import whole_turns
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, finite, from_zero
from polewright.materials.ply import Elastic, Ply, Strength

__all__ = ["Stack", "StackPly", "Wall"]

MOST_LAYERS = 400
LONGEST = 1e30  # [m]
_T = TypeVar("_T", Elastic, Strength)


@dataclass(frozen=True, slots=True, eq=False)
class StackPly:
    """One flag rolled on: a ply at `angle` [rad] from the tube axis, for `turns` (a part turn is a fraction)."""

    ply: Ply
    angle: float
    turns: float = 1.0

    def __post_init__(self) -> None:
        if not isinstance(self.ply, Ply):
            raise DesignError("ply", f"{self.ply!r:.60}", Message("want.cured_ply"))
        above_zero("turns", self.turns, most=1e9)
        want = Message("want.from_90_90_degrees_from_tube")
        if np.any(np.abs(finite("angle", self.angle, want=want)) > np.pi / 2 + 1e-9):
            raise DesignError("angle", self.angle, want)

    @property
    def thickness(self) -> float:
        """[m] cured thickness of all turns together, a part turn smeared round the clock."""
        return self.ply.thickness * self.turns

    @property
    def angle_class(self) -> AngleClass:
        """Axial, bias or hoop by its angle; a weave by the angle of its warp."""
        return angle_class(self.angle)

    @property
    def goes_round(self) -> bool:
        """Whether its fibres hold the tube round: hoop, or a weave, which has fibres both ways."""
        return self.ply.is_woven or self.angle_class == "hoop"


@dataclass(frozen=True, slots=True, eq=False)
class Stack:
    """What is rolled, from the bore outward; the constants of its layers are gathered once, for every bore."""

    plies: tuple[StackPly, ...]
    _elastic: Elastic = field(init=False, repr=False)
    _angle: FloatArray = field(init=False, repr=False)
    _thickness: FloatArray = field(init=False, repr=False)

    def __post_init__(self) -> None:
        if not isinstance(self.plies, tuple | list) or not all(isinstance(w, StackPly) for w in self.plies):
            raise DesignError("stack", f"{self.plies!r:.60}", Message("want.plies_from_bore_outward"))
        object.__setattr__(self, "plies", tuple(self.plies))
        if not self.plies:
            raise DesignError("stack", Message("given.empty"), Message("want.at_least_one_ply"))
        if sum(int(np.ceil(w.turns)) for w in self.plies) > MOST_LAYERS:
            raise DesignError(
                "stack", Message("given.too_many_turns"), Message("want.at_most_turns_all", most_layers=MOST_LAYERS)
            )
        layers = self.layers
        object.__setattr__(self, "_elastic", _side_by_side(Elastic, [ply.elastic for ply, _, _ in layers]))
        object.__setattr__(self, "_angle", frozen_array([a for _, a, _ in layers]))
        object.__setattr__(self, "_thickness", frozen_array([t for _, _, t in layers]))

    @property
    def thickness(self) -> float:
        """[m] cured thickness of the wall."""
        return sum(w.thickness for w in self.plies)

    @property
    def layers(self) -> tuple[tuple[Ply, float, float], ...]:
        """One (ply, angle [rad], thickness [m]) a turn; a part turn is a thinner last layer."""
        out: list[tuple[Ply, float, float]] = []
        for stack_ply in self.plies:
            whole = whole_turns(stack_ply.turns)
            out += [(stack_ply.ply, stack_ply.angle, stack_ply.ply.thickness)] * whole
            rest = stack_ply.turns - whole
            if rest > 1e-9:
                out.append((stack_ply.ply, stack_ply.angle, stack_ply.ply.thickness * rest))
        return tuple(out)

    def wall(self, bore: ArrayLike) -> "Wall":
        """The cured wall on a bore [m] diameter; a batch of bores (n_case,) gives a batch of walls."""
        bores = finite("bore", bore, want=Message("want.diameter_above_zero"), most=LONGEST)
        shape = (*bores.shape, self._angle.size)
        return Wall(
            bore=bores,
            angle=np.broadcast_to(self._angle, shape),
            thickness=np.broadcast_to(self._thickness, shape),
            elastic=self._elastic,
        )

    def strength(self) -> Strength | None:
        """(n_layer,) lab-mean strengths, one a turn; None where any ply's is unknown."""
        return self._strengths("strength")

    def design_strength(self) -> Strength | None:
        """(n_layer,) design strengths, one a turn; None where any ply's is unknown."""
        return self._strengths("design")

    def _strengths(self, kind: str) -> Strength | None:
        found = [getattr(ply, kind) for ply, _, _ in self.layers]
        return None if any(s is None for s in found) else _side_by_side(Strength, found)


def _side_by_side(kind: type[_T], singles: list[_T]) -> _T:
    return kind(**{f.name: np.array([float(getattr(s, f.name)) for s in singles]) for f in fields(kind)})


def _refuse_degrees(angle: FloatArray) -> None:
    """Refuse whole and half numbers beyond half a turn: 90 is meant in degrees, as no ply lies at 90 rad."""
    angles = np.atleast_1d(angle)
    typed = (np.abs(angles) > np.pi) & (np.abs(2.0 * angles - np.rint(2.0 * angles)) < 1e-9)
    if np.any(typed):
        raise DesignError("angle", float(angles[typed][0]), Message("want.radians"))


@dataclass(frozen=True, slots=True, eq=False)
class Wall:
    """Cured wall of one tube, or of a batch: one layer a turn, listed from the bore outward.

    Cases lead layers: `angle` and `thickness` are (*case, n_layer), `bore` is (*case,), the fields of `elastic`
    broadcast against (*case, n_layer).
    """

    bore: FloatArray  # (*case,) [m] diameter
    angle: FloatArray  # (*case, n_layer) [rad] from the tube axis
    thickness: FloatArray  # (*case, n_layer) [m] cured
    elastic: Elastic

    def __post_init__(self) -> None:
        if not isinstance(self.elastic, Elastic):
            raise DesignError("elastic", f"{self.elastic!r:.60}", Message("want.constants_one_ply_or_every_layer"))
        above_zero("bore", self.bore, want=Message("want.diameter_above_zero"), most=LONGEST)
        finite("angle", self.angle, want=Message("want.finite_angle_at_least_one_ply"), most=1e12)
        from_zero("thickness", self.thickness, most=LONGEST)
        freeze(self, ("bore", "angle", "thickness"))
        _refuse_degrees(self.angle)
        if self.angle.ndim == 0:
            raise DesignError("wall", Message("given.one_angle"), Message("want.angles_row_at_least_one_ply"))
        if self.angle.shape != self.thickness.shape or self.angle.shape[:-1] != self.bore.shape:
            shapes = f"bore {self.bore.shape}, angle {self.angle.shape}, thickness {self.thickness.shape}"
            raise DesignError("wall", shapes, Message("want.one_angle_one_thickness_layer_one"))
        if np.any(self.thickness.sum(axis=-1) <= 0.0):
            raise DesignError("wall", Message("given.no_thickness"), Message("want.at_least_one_ply_some_thickness"))
        try:
            does_fit = np.broadcast_shapes(self.elastic.E1.shape, self.angle.shape) == self.angle.shape
        except ValueError:
            does_fit = False
        if not does_fit:
            raise DesignError(
                "wall",
                Message("given.constants", shape=str(self.elastic.E1.shape)),
                Message("want.constants_that_fit_layers", shape=str(self.angle.shape)),
            )

    @property
    def edges(self) -> FloatArray:
        """(*case, n_layer + 1) [m] radius of every layer's faces, bore first."""
        inner = self.bore[..., None] / 2.0
        return np.concatenate([inner, inner + np.cumsum(self.thickness, axis=-1)], axis=-1)

    @property
    def outside(self) -> FloatArray:
        """(*case,) [m] outside diameter."""
        return np.asarray(self.bore + 2.0 * self.total_thickness)

    @property
    def total_thickness(self) -> FloatArray:
        """(*case,) [m] wall."""
        return np.asarray(self.thickness.sum(axis=-1))

    @property
    def mass_per_length(self) -> FloatArray:
        """(*case,) [kg/m]: every layer's density times its ring area."""
        edges = self.edges
        return np.asarray((np.pi * (edges[..., 1:] ** 2 - edges[..., :-1] ** 2) * self.elastic.density).sum(axis=-1))

    def mirrored(self) -> "Wall":
        """The same wall with every ply angle reversed."""
        return replace(self, angle=-self.angle)
