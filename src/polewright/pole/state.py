"""How a pole is held: which sections are drawn out, the lean, what it rests on, what hangs from it.

Frame: x level, z up, the pole's axis at `lean` above level; "along" follows the axis towards the tip, "across" is a
quarter turn anticlockwise from it (up, for a level pole).
"""

from dataclasses import dataclass, field
from math import isfinite
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError
from polewright.pole.pole import Pole

__all__ = ["Bench", "Clamped", "Foot", "Hands", "Lifted", "Over", "Slide", "State", "Support", "WindLoad"]

Slide = Literal["free", "up", "down", "stuck"]


def _station(name: str, value: float, floor: float = 0.0) -> None:
    if not (np.isfinite(value) and value >= floor):
        raise DesignError(f"support.{name}", value, Message("want.finite_number_or_more", floor=floor))


@dataclass(frozen=True, slots=True)
class Clamped:
    """Built in at a station [m] from the butt; whatever lies behind it overhangs freely."""

    station: float = 0.0

    def __post_init__(self) -> None:
        _station("station", self.station)


@dataclass(frozen=True, slots=True)
class Bench:
    """Two trestles: held down at `hold` [m] from the butt, propped `distance` [m] further; their line is the datum."""

    distance: float = 1.0
    hold: float = 0.0

    def __post_init__(self) -> None:
        _station("hold", self.hold)
        _station("distance", self.distance)
        if self.distance == 0.0:
            raise DesignError("support.distance", self.distance, Message("want.above_zero"))


@dataclass(frozen=True, slots=True)
class Hands:
    """Two hands that grip but do not turn the pole, at `rear` and `front` [m] from the butt.

    The rear hand takes what acts along the pole; the pole turns between the hands.
    """

    rear: float = 0.0
    front: float = 1.0

    def __post_init__(self) -> None:
        _station("rear", self.rear)
        _station("front", self.front)
        if self.front <= self.rear:
            raise DesignError(
                "support.front", self.front, Message("want.further_from_butt_than_rear_hand", rear=self.rear)
            )


@dataclass(frozen=True, slots=True)
class Foot:
    """Butt standing on the ground, head against a flat wall or pane.

    wall [rad] is the way the wall runs, pi/2 for an upright one; it stands where the tip of the unbent pole touches it.
    `slide`: "free" (no friction: set down gently), "up" or "down" (the head is being moved along the wall that way,
    the wall drags it back with `friction` times the push), or "stuck": the head stays where the tip of the unbent pole
    would be along the wall, pushed on it with `push` [N], the foot moved nearer or further to do so; how hard the wall
    drags is found, and more than `friction` times the push is refused. Hands that push the head: a tip force there.
    """

    friction: float = 0.4
    slide: Slide = "free"
    wall: float = np.pi / 2.0
    push: float = 0.0

    def __post_init__(self) -> None:
        _station("friction", self.friction)
        _station("push", self.push)
        if self.slide not in ("free", "up", "down", "stuck"):
            raise DesignError("support.slide", self.slide, Message("want.free_up_down_or_stuck"))
        if not np.isfinite(self.wall):
            raise DesignError("support.wall", self.wall, Message("want.finite_angle"))
        if self.push > 0.0 and self.slide != "stuck":
            raise DesignError("support.push", self.push, Message("want.zero_unless_head_stuck_else_push"))


@dataclass(frozen=True, slots=True)
class Lifted:
    """Lifted flat off the ground by two hands at `rear` and `front` [m]; `tip` still "grounded", or "free"."""

    rear: float = 0.0
    front: float = 1.0
    tip: Literal["free", "grounded"] = "free"

    def __post_init__(self) -> None:
        Hands(self.rear, self.front)
        if self.tip not in ("free", "grounded"):
            raise DesignError("support.tip", self.tip, Message("want.free_or_grounded"))


@dataclass(frozen=True, slots=True)
class Over:
    """Foot held on the ground, the pole leaning across an edge that touches it at a station [m] from the butt."""

    station: float

    def __post_init__(self) -> None:
        _station("station", self.station)
        if self.station == 0.0:
            raise DesignError("support.station", self.station, Message("want.above_zero_foot_at_zero"))


Support = Clamped | Bench | Hands | Foot | Lifted | Over


@dataclass(frozen=True, slots=True, eq=False)
class WindLoad:
    """Pressure of the wind on a bar across it by height above the butt: height (n,) [m], pressure (n,) [Pa] = q Cd.

    It blows level towards +x if positive. The force on a metre of pole is pressure x outside diameter x the square of
    the sine between wind and pole, square to the pole. Level between and beyond the heights given.
    """

    height: FloatArray
    pressure: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("height", "pressure"))
        if self.height.ndim != 1 or self.height.size < 1 or self.height.shape != self.pressure.shape:
            raise DesignError(
                "wind",
                Message("given.values_2", shape=str(self.height.shape), shape2=str(self.pressure.shape)),
                Message("want.one_pressure_height"),
            )
        if not (np.all(np.isfinite(self.height)) and np.all(np.isfinite(self.pressure))):
            raise DesignError("wind", Message("given.not_finite"), Message("want.finite_heights_pressures"))
        if np.any(np.diff(self.height) <= 0.0):
            raise DesignError("wind.height", Message("given.out_order"), Message("want.rising"))


@dataclass(frozen=True, slots=True, eq=False)
class State:
    """One way of holding a pole.

    drawn (n_joint,) [m] how far each section stands out of the next one's mouth, tip first; lean [rad] of the root axis
    above level, -pi/2 straight down, +pi/2 straight up; gravity [m/s2] downward; head_mass [kg] at the tip besides the
    pole's own tip fitting; tip_force (2,) [N] along and across, of the root axis or, if `following`, of the tip itself;
    hose [kg/m] spread over the whole pole; hanging [kg] of hose and water that hangs from the head; wind.
    """

    drawn: FloatArray
    lean: float = 0.0
    support: Support = field(default_factory=Bench)
    gravity: float = GRAVITY
    head_mass: float = 0.0
    tip_force: FloatArray = field(default_factory=lambda: np.zeros(2))
    following: bool = False
    hose: float = 0.0
    hanging: float = 0.0
    wind: WindLoad | None = None

    def __post_init__(self) -> None:
        freeze(self, ("drawn", "tip_force"))
        if not (isfinite(self.lean) and abs(self.lean) <= np.pi / 2 + 1e-12):
            raise DesignError("lean", self.lean, Message("want.between_pi_2_straight_down_pi"))
        if self.drawn.ndim != 1 or not np.isfinite(self.drawn).all():
            raise DesignError("drawn", self.drawn.tolist(), Message("want.one_finite_length_joint"))
        if self.tip_force.shape != (2,) or not np.isfinite(self.tip_force).all():
            raise DesignError("tip_force", self.tip_force.tolist(), Message("want.two_finite_forces_along_across"))
        if not isfinite(self.gravity):
            raise DesignError("gravity", self.gravity, Message("want.finite_number"))
        for name in ("head_mass", "hose", "hanging"):
            value = getattr(self, name)
            if not (isfinite(value) and value >= 0.0):
                raise DesignError(name, value, Message("want.zero_or_more"))
        if self.following and isinstance(self.support, Foot):
            raise DesignError("following", self.following, Message("want.tip_force_fixed_space_while_head"))

    @classmethod
    def out(cls, pole: Pole, sections: int | None = None, **others: object) -> "State":
        """Thin end first: the first `sections` sections fully drawn out (all, if None), the rest pushed in."""
        n = len(pole.joints) if sections is None else sections
        if not 0 <= n <= len(pole.joints):
            raise DesignError("sections", n, Message("want.between_0", count=len(pole.joints)))
        drawn = np.where(np.arange(len(pole.joints)) < n, np.array(pole.full_draw), np.array(pole.closed_draw))
        return cls(drawn=drawn, **others)  # type: ignore[arg-type]
