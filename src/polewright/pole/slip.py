"""A slip: a section that runs out and stops dead, a head that drops or is caught: load beside that at rest."""

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["caught_factor", "drop_factor", "stop_force"]


def _checked(**values: float) -> None:
    for name, value in values.items():
        if not (np.isfinite(value) and value >= 0.0):
            raise DesignError(name, value, Message("want.zero_or_more"))


def drop_factor(height: float, droop: float) -> float:
    """Load factor when the load that droops the tip by `droop` [m] at rest falls on it from a `height` [m].

    1 + sqrt(1 + 2 h / d): 2 for a load let go at once, from no height. By energy: nothing lost, pole light beside the
    load, springing straight.

    Source
    ------
    S. P. Timoshenko, Strength of Materials, part I, 2nd ed., 1940, ch. on energy of strain, impact.
    """
    _checked(height=height)
    if not (np.isfinite(droop) and droop > 0.0):
        raise DesignError("droop", droop, Message("want.above_zero"))
    return float(1.0 + np.sqrt(1.0 + 2.0 * height / droop))


def caught_factor(speed: float, frequency: float, droop: float) -> float:
    """Load factor when a pole that moves across itself with `speed` [m/s] at the tip is stopped at its root.

    1 + v / (2 pi f d): the swing's greatest way over the droop [m] at rest, plus the droop itself. Modal: all in the
    lowest swing, frequency [Hz].

    Source
    ------
    Free vibration from a given speed: amplitude v/omega, S. P. Timoshenko, Vibration Problems in Engineering, 2nd ed.,
    1937, ch. I.
    """
    _checked(speed=speed)
    for name, value in (("frequency", frequency), ("droop", droop)):
        if not (np.isfinite(value) and value > 0.0):
            raise DesignError(name, value, Message("want.above_zero"))
    return float(1.0 + speed / (2.0 * np.pi * frequency * droop))


def stop_force(speed: float, mass: float, stiffness: float) -> float:
    """[N] greatest force along the pole when a sliding mass [kg] at `speed` [m/s] runs into its stop.

    v sqrt(k m), by energy; k [N/m] of stop and tubes along the pole.

    Source
    ------
    m v2 / 2 = F2 / (2 k).
    """
    _checked(speed=speed, mass=mass, stiffness=stiffness)
    return float(speed * np.sqrt(stiffness * mass))
