"""Stiffness of a ring cut off a tube and squeezed between flat plates."""

from collections.abc import Mapping

from polewright.bench.line import line, refuse_stuck
from polewright.bench.record import RingTest
from polewright.bench.uncertainty import Combined, Estimate, combined
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError

__all__ = ["ring_of_offcut"]


def ring_of_offcut(test: RingTest) -> Combined:
    """[N/m per m of width] k = g / (w dy/dm): line load over closure.

    Raises
    ------
    DesignError : equal loads, or a ring that does not close under the load.

    Source
    ------
    Definition of the stiffness of a ring between plates, as `wall.ring.RingStiffness.between_plates`; uncertainty by
    `combined`.
    """
    refuse_stuck(test.readings)
    slope = line(test.masses, test.readings, floor=test.gauges.reading).slope
    if slope.value <= 0.0:
        raise DesignError("readings", Message("given.flex", give=slope.value / GRAVITY), Message("want.readings_grow"))

    def model(x: Mapping[str, complex]) -> complex:
        return x["gravity"] * x["scale"] / (x["readings"] * x["dial"] * x["width"])

    return combined(
        model,
        {
            "readings": slope,
            "dial": Estimate(1.0, test.gauges.reading_share),
            "scale": Estimate(1.0, test.gauges.load_share),
            "gravity": Estimate(GRAVITY, test.gauges.gravity),
            "width": Estimate(test.width, test.gauges.span),
        },
    )
