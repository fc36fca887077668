"""Wind on a pole: load by height on each section's own diameter, sway, and the reach that is still safe."""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError, NotConverged
from polewright.pole.beam import bent
from polewright.pole.hold import stops_of
from polewright.pole.layout import JointModel
from polewright.pole.margins import Limits, Place, checks_of
from polewright.pole.pole import Pole
from polewright.pole.state import Foot, Lifted, Over, State, WindLoad

__all__ = ["SafeReach", "drawn_to", "safe_reach", "side_state", "wind_load"]

CLOSE = 1e-3  # [m] of the safe reach


def wind_load(height: FloatArray, speed: FloatArray, *, drag: float, air_density: float = 1.225) -> WindLoad:
    """Pressure of the wind on a round bar across it.

    rho V2 Cd / 2

    Parameters
    ----------
    height, speed : (n,) [m] above the butt, [m/s].
    drag : Cd, about 1.2 for tubes of 20 to 60 mm in working winds.
    air_density : [kg/m3].

    Source
    ------
    Definition of the drag coefficient: S. F. Hoerner, Fluid-Dynamic Drag, 1965, ch. 3.
    """
    for name, value in (("drag", drag), ("air_density", air_density)):
        if not (np.isfinite(value) and value >= 0.0):
            raise DesignError(name, value, Message("want.zero_or_more"))
    speed = np.asarray(speed, dtype=np.float64)
    return WindLoad(np.asarray(height, dtype=np.float64), 0.5 * air_density * drag * speed * np.abs(speed))


def side_state(state: State, wind: WindLoad) -> State:
    """The state for the sway out of the pole's own plane: seen from above, no weight in that plane, wind across.

    The pole is taken as upright in that plane so that the wind meets it square on; heights of `wind` are then distances
    along the pole from its anchor. Sway and droop add as the sides of a right angle.
    """
    return replace(state, lean=float(np.pi / 2.0), gravity=0.0, tip_force=np.zeros(2), following=False, wind=wind)


def _beside(state: State) -> State:
    """The sway out of the plane by the state's own wind, its heights turned into places along the leaning pole."""
    assert state.wind is not None
    rise = float(np.sin(state.lean))
    if rise > 1e-6:
        return side_state(state, WindLoad(state.wind.height / rise, state.wind.pressure))
    level = float(np.interp(0.0, state.wind.height, state.wind.pressure))
    return side_state(state, WindLoad(np.zeros(1), np.array([level])))


@dataclass(frozen=True, slots=True)
class SafeReach:
    """The longest reach [m] that keeps every limit, thin end out first, and what stops it there.

    stopped_by: the first limit met, or None if the whole pole is safe. used: largest load over limit [-] at that reach,
    1 where a limit stops it.
    """

    reach: float
    stopped_by: Place | None
    used: float


def drawn_to(pole: Pole, reach: float, first: Literal["thin", "thick"] = "thin") -> FloatArray:
    """(n_joint,) [m] how far each section is drawn out for a reach [m] butt to tip, tip first.

    One section after the other, each fully before the next is begun, the thin end or the thick end first; a reach
    beyond what the pole gives is the pole's own.
    """
    closed, full = np.array(pole.closed_draw), np.array(pole.full_draw)
    room = np.maximum(full - closed, 0.0)
    left, drawn = max(reach - pole.closed_length, 0.0), closed.copy()
    for j in range(room.size) if first == "thin" else range(room.size - 1, -1, -1):
        step = min(float(room[j]), left)
        drawn[j] += step
        left -= step
    return drawn


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is to be kept, and how it is judged."""

    limits: Limits
    tip_limit: float
    load_factor: float
    joint_model: JointModel | None

    def worst(self, pole: Pole, state: State) -> tuple[float, Place]:
        """Largest load over limit and where; wind once in the plane of the pole, once square to it."""
        try:
            found = [self._used(pole, (state,))]
            if state.wind is not None:
                found.append(self._used(pole, (replace(state, wind=None), _beside(state))))
        except NotConverged:
            return float("inf"), Place("balance")
        return max(found, key=lambda each: each[0])

    def _used(self, pole: Pole, at_once: tuple[State, ...]) -> tuple[float, Place]:
        """For one state, or two square to each other whose loads add as the sides of a right angle."""
        lines = [bent(pole, s, joint_model=self.joint_model) for s in at_once]
        tips = float(np.hypot.reduce([abs(b.tip_droop) for b in lines])) / self.tip_limit
        found = [(tips, Place("tip"))]
        sides = zip(*(checks_of(b, self.limits, load_factor=self.load_factor) for b in lines), strict=True)
        for same in sides:
            load = float(np.hypot.reduce([m.load for m in same]))
            found.append((load / same[0].limit, same[0].place))
        return max(found, key=lambda each: each[0])


def _limits_of(pole: Pole, limits: Limits | FloatArray) -> Limits:
    """Limits as given, or of sections by moments (n_section,) [N m] alone."""
    if isinstance(limits, Limits):
        return limits
    moments = np.asarray(limits, dtype=np.float64)
    if moments.shape != (len(pole.tubes),) or not np.all(moments > 0.0):
        raise DesignError(
            "limits", moments.tolist(), Message("want.moments_above_zero_tip_first", count=len(pole.tubes))
        )
    return replace(Limits.none(len(pole.tubes)), strength=moments)


def safe_reach(
    pole: Pole,
    state: State,
    *,
    limits: Limits | FloatArray,
    tip_limit: float = float("inf"),
    load_factor: float = 1.0,
    joint_model: JointModel | None = None,
) -> SafeReach:
    """The longest reach, to a millimetre, at which no limit is passed.

    The state's wind blows once in the plane of the pole and once square to it, the worse counts; droop and sway, and
    their loads, add as the sides of a right angle. For another temperature give the pole with the stiffness, and the
    limits, it has there. The pole is drawn out thin end first, partly if need be.

    Parameters
    ----------
    limits : of sections and joints; or (n_section,) [N m] moments alone, tip first.
    tip_limit : [m] of the tip across the root axis.
    load_factor : how many times every load in the pole counts against the limits, 2 to 3 for a jerk.

    Raises
    ------
    DesignError : not even the pushed-in pole is safe; a pole that rests on a wall, an edge or the ground.

    Source
    ------
    Halving between the pushed-in and the drawn-out pole, each solved as `bent` does.
    """
    if not tip_limit > 0.0:
        raise DesignError("tip_limit", tip_limit, Message("want.above_zero"))
    if isinstance(state.support, Foot | Over) or (isinstance(state.support, Lifted) and state.support.tip != "free"):
        raise DesignError("support", type(state.support).__name__, Message("want.clamped_bench_hands_or_lifted_tip"))
    asked = _Asked(_limits_of(pole, limits), tip_limit, load_factor, joint_model)

    def worst(reach: float) -> tuple[float, Place]:
        return asked.worst(pole, replace(state, drawn=drawn_to(pole, reach)))

    high = pole.extended_length
    low = min(max(pole.closed_length, float(np.max(stops_of(state, high)))), high)
    used, name = worst(high)
    if used <= 1.0:
        return SafeReach(high, None, used)
    at_low = worst(low)
    if at_low[0] > 1.0:
        raise DesignError("limits", at_low[1], Message("want.higher_or_less_wind_load_not"))
    kept = at_low[0]
    while high - low > CLOSE:
        middle = 0.5 * (low + high)
        now, at = worst(middle)
        if now > 1.0:
            high, name = middle, at
        else:
            low, kept = middle, now
    return SafeReach(low, name, kept)
