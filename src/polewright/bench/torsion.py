"""Twist stiffness of one tube: clamped at one end, turned by a load on an arm, read by a dial on a lever."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from polewright.bench.line import line, refuse_stuck
from polewright.bench.record import TorsionTest
from polewright.bench.uncertainty import Estimate, Share, combined
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError

__all__ = ["Torsion", "torsional_stiffness"]

LARGE_TWIST = 0.1  # [rad] beyond which a dial on a lever reads a twist noticeably short


@dataclass(frozen=True, slots=True)
class Torsion:
    """twist: GJ [N m2]; angle [rad] by which the largest load turned the lever; budget: what each input adds."""

    twist: Estimate
    angle: float
    budget: tuple[Share, ...]
    notes: tuple[Message, ...]


def torsional_stiffness(test: TorsionTest) -> Torsion:
    """GJ [N m2] = g a L b / (dy/dm): torque g m a, twist y/b over the length L.

    Small twists: arm and lever are taken as level.

    Raises
    ------
    DesignError : equal loads, or readings that do not grow with the load.

    Source
    ------
    Saint-Venant torsion of a uniform bar, GJ = T L/theta, S. P. Timoshenko, Strength of Materials, part 1, 3rd ed.,
    1955; uncertainty by `combined`.
    """
    refuse_stuck(test.readings)
    slope = line(test.masses, test.readings, floor=test.gauges.reading).slope
    if slope.value <= 0.0:
        raise DesignError("readings", Message("given.flex", give=slope.value / GRAVITY), Message("want.readings_grow"))

    def model(x: Mapping[str, complex]) -> complex:
        torque = x["gravity"] * x["scale"] * x["arm"]
        return torque * x["length"] * x["lever"] / (x["readings"] * x["dial"])

    found = combined(
        model,
        {
            "readings": slope,
            "dial": Estimate(1.0, test.gauges.reading_share),
            "scale": Estimate(1.0, test.gauges.load_share),
            "gravity": Estimate(GRAVITY, test.gauges.gravity),
            "arm": Estimate(test.arm, test.gauges.span),
            "lever": Estimate(test.lever, test.gauges.span),
            "length": Estimate(test.length, test.gauges.span),
        },
    )
    angle = slope.value * float(np.ptp(test.masses)) / test.lever
    notes = (Message("bench.note.large_twist", angle=angle, most=LARGE_TWIST),) if angle > LARGE_TWIST else ()
    return Torsion(found.estimate, angle, found.budget, notes)
