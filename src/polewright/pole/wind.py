"""Wind on a pole: load by height on each section's own diameter, sway, and the reach that is still safe."""

from dataclasses import dataclass, replace

import numpy as np

from polewright.arrays import FloatArray
from polewright.errors import DesignError
from polewright.pole.beam import Bent, bent
from polewright.pole.layout import JointModel
from polewright.pole.pole import Pole
from polewright.pole.state import State, WindLoad

__all__ = ["SafeReach", "safe_reach", "side_state", "wind_load"]


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
            raise DesignError(name, value, "zero or more")
    speed = np.asarray(speed, dtype=np.float64)
    return WindLoad(np.asarray(height, dtype=np.float64), 0.5 * air_density * drag * speed * np.abs(speed))


def side_state(state: State, wind: WindLoad) -> State:
    """The state for the sway out of the pole's own plane: seen from above, no weight in that plane, wind across.

    The pole is taken as upright in that plane so that the wind meets it square on; heights of `wind` are then distances
    along the pole from its anchor. Sway and droop add as the sides of a right angle.
    """
    return replace(state, lean=float(np.pi / 2.0), gravity=0.0, tip_force=np.zeros(2), following=False, wind=wind)


@dataclass(frozen=True, slots=True)
class SafeReach:
    """The longest reach [m] that keeps every limit, thin end out first, and what stops it there.

    limit: name of the first limit met, or "" if the whole pole is safe; margin there is 1.
    """

    reach: float
    limit: str


def _drawn_to(pole: Pole, reach: float) -> FloatArray:
    """(n_joint,) [m] thin end first up to a reach [m] butt to tip."""
    low, high = np.array(pole.closed_draw), np.array(pole.full_draw)
    rest = reach - pole.tubes[-1].length - low.sum()
    out = low.copy()
    for j in range(out.size):
        more = min(max(rest, 0.0), high[j] - low[j])
        out[j] += more
        rest -= more
    return out


def _worst(b: Bent, moment: FloatArray, tip_sway: float) -> tuple[float, str]:
    """Largest use of a limit (1 at the limit) and its name."""
    used, name = abs(b.tip_droop) / tip_sway, "tip"
    inside = np.maximum(np.abs(b.moment[:-1, 1]), np.abs(b.moment[1:, 0]))
    for i in range(moment.size):
        mine = b.mesh.owner == i
        share = float(np.max(inside[mine], initial=0.0)) / moment[i]
        if share > used:
            used, name = share, f"section {i + 1}"
    return used, name


def safe_reach(pole: Pole, state: State, *, moment_limit: FloatArray, tip_limit: float = float("inf"),
               joint_model: JointModel = "glued", closeness: float = 1e-3) -> SafeReach:
    """The longest reach at which no section passes its limiting moment and the tip does not pass `tip_limit`.

    Wind is in the state; for another temperature give the pole with the stiffness, and the limits, it has there. The
    pole is drawn out thin end first, partly if need be.

    Parameters
    ----------
    moment_limit : (n_section,) [N m] at the temperature in question, tip first.
    tip_limit : [m] across the root axis.
    closeness : [m] of the answer.

    Raises
    ------
    DesignError : not even the pushed-in pole is safe.
    """
    limits = np.asarray(moment_limit, dtype=np.float64)
    if limits.shape != (len(pole.tubes),) or not np.all(limits > 0.0):
        raise DesignError("moment_limit", limits.tolist(), f"{len(pole.tubes)} moments above zero, tip first")
    if not tip_limit > 0.0:
        raise DesignError("tip_limit", tip_limit, "above zero")

    def worst(reach: float) -> tuple[float, str]:
        at = replace(state, drawn=_drawn_to(pole, reach))
        return _worst(bent(pole, at, joint_model=joint_model), limits, tip_limit)

    low, high = pole.closed_length, pole.extended_length
    used, name = worst(high)
    if used <= 1.0:
        return SafeReach(high, "")
    if worst(low)[0] > 1.0:
        raise DesignError("moment_limit", name, "higher, or less wind and load: not even the pushed-in pole is safe")
    while high - low > closeness:
        middle = 0.5 * (low + high)
        used, at = worst(middle)
        low, high, name = (low, middle, at) if used > 1.0 else (middle, high, name)
    return SafeReach(low, name)
