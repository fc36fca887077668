"""What a pole weighs in the hands: mass, balance point and carry moment of any state of extension."""

from dataclasses import dataclass

import numpy as np

from polewright.pole.layout import sections_at
from polewright.pole.pole import Pole
from polewright.pole.state import State

__all__ = ["Balance", "balance_of"]


@dataclass(frozen=True, slots=True)
class Balance:
    """mass [kg] of pole, head and hose; point [m] of balance from the butt; carry [kg m], mass times that distance."""

    mass: float
    point: float
    carry: float


def balance_of(pole: Pole, state: State) -> Balance:
    """Mass and balance of a straight pole as drawn out, nested tubes over their whole length.

    Source
    ------
    First moment of mass about the butt; a tube's own by the trapezoid rule over its stations.
    """
    butts, mouths = sections_at(np.array([t.length for t in pole.tubes]), state.drawn)
    mass, carry = 0.0, 0.0
    for tube, butt in zip(pole.tubes, butts, strict=True):
        mass += tube.mass
        carry += butt * tube.mass + _own_moment(tube.station, tube.mass_per_length)
    for joint, mouth in zip(pole.joints, mouths[1:], strict=True):
        mass += joint.mass
        carry += joint.mass * mouth
    at_tip, end = pole.tip_mass + state.head_mass + state.hanging, float(mouths[0])
    reach = max(float(np.max(mouths)), end)
    mass += at_tip + state.hose * reach
    carry += at_tip * end + state.hose * reach**2 / 2.0
    return Balance(mass=mass, point=carry / mass if mass > 0.0 else 0.0, carry=carry)


def _own_moment(station: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
                line: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    """[kg m] integral of x mu(x) with mu straight between stations, exact."""
    a, b, m, n = station[:-1], station[1:], line[:-1], line[1:]
    return float(np.sum((b - a) * (a * (2.0 * m + n) + b * (m + 2.0 * n)) / 6.0))
