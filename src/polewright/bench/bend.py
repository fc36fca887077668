"""Bending stiffness of one tube from readings under several loads, with shear, seats and uncertainty.

Own weight, bow and the dial's zero do not change with the load, so they cancel in the difference between two loads.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from polewright.bench.line import line, refuse_stuck
from polewright.bench.record import Arrangement, BendTest, Gauges
from polewright.bench.uncertainty import Combined, Estimate, Share, combined, exactly
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError

__all__ = ["NO_SEAT", "Stiffness", "bending_stiffness", "short_span_notes", "softness_parts", "stiffness_from_slope"]

NO_SEAT = exactly(0.0)
LEAST_SPAN = 45.0  # [-] outside diameters; workshop rule that keeps shear small
LARGE_SHEAR = 0.05  # [-] share of the droop above which the shear correction is pointed out
CROOKED = 0.02  # [-] scatter about the line over the whole travel


@dataclass(frozen=True, slots=True)
class Stiffness:
    """What a bend test says.

    bending: EI [N m2] with shear and seats taken off; apparent: EI [N m2] as if there were neither;
    shear_share, seat_share [-] of the measured give; slope [m/N] of droop against load; zero [m] reading at no load;
    budget: what each input adds to the uncertainty of `bending`, largest first.
    """

    bending: Estimate
    apparent: float
    shear_share: float
    seat_share: float
    slope: Estimate
    zero: Estimate
    budget: tuple[Share, ...]
    notes: tuple[Message, ...]


def softness_parts(arrangement: Arrangement, span: complex, inset: complex) -> tuple[complex, complex]:
    """(g, h) in the give per unit load g/EI + h/(kappa G A): g [m3], h [m]; span and inset [m].

    middle: S^3/48, S/4. Two loads F/2 at a from each trestle, read at mid-span: a (3 S^2 - 4 a^2)/48, a/2; read
    against the loads: a (S - 2 a)^2/16, 0, for nothing shears between them. Tip of a clamped tube: S^3/3, S.

    Source
    ------
    S. P. Timoshenko, Strength of Materials, part 1, 3rd ed., 1955, deflection of beams, shear by a constant shear
    stiffness; the two-load case by superposition of Maxwell-Betti pairs.
    """
    if arrangement == "middle":
        return span**3 / 48.0, span / 4.0
    if arrangement == "tip":
        return span**3 / 3.0, span
    if arrangement == "two loads":
        return inset * (3.0 * span**2 - 4.0 * inset**2) / 48.0, inset / 2.0
    return inset * (span - 2.0 * inset) ** 2 / 16.0, 0.0


def _inputs(
    slope: Estimate, gauges: Gauges, span: float, inset: float, shear: Estimate | None, seat: Estimate
) -> dict[str, Estimate]:
    inputs = {
        "readings": slope,
        "dial": Estimate(1.0, gauges.reading_share),
        "scale": Estimate(1.0, gauges.load_share),
        "gravity": Estimate(GRAVITY, gauges.gravity),
        "span": Estimate(span, gauges.span),
        "seats": seat,
    }
    if inset > 0.0:
        inputs["inset"] = Estimate(inset, gauges.span)
    if shear is not None:
        inputs["shear_stiffness"] = shear
    return inputs


def stiffness_from_slope(
    slope: Estimate,
    gauges: Gauges,
    *,
    span: float,
    arrangement: Arrangement = "middle",
    inset: float = 0.0,
    shear: Estimate | None = None,
    seat: Estimate = NO_SEAT,
) -> Combined:
    """EI [N m2] = g / (c - seat - h/(kappa G A)), c the give per load; with S the span and a load at mid-span

        EI = EI' / (1 - 12 EI' / (kappa G A S^2)),  EI' = S^3 / (48 c).

    Parameters
    ----------
    slope : [m/kg] of the readings against the hung mass.
    span, inset : [m]; see `softness_parts`.
    shear : kappa G A [N]; None leaves shear out (the test then reads low).
    seat : [m/N] give of the trestles themselves under the load.

    Raises
    ------
    DesignError : the readings do not grow with the load, or seats and shear together give more than was measured.

    Source
    ------
    See `softness_parts`; uncertainty by `combined`.
    """
    if slope.value <= 0.0:
        raise DesignError(
            "readings", Message("given.flex", give=slope.value / GRAVITY), Message("want.readings_grow_downward")
        )
    if shear is not None and shear.value <= 0.0:
        raise DesignError("shear", shear.value, Message("want.shear_above_zero"))
    if seat.value < 0.0:
        raise DesignError("seat", seat.value, Message("want.trestle_give"))

    def model(x: Mapping[str, complex]) -> complex:
        bend, slide = softness_parts(arrangement, x["span"], x.get("inset", 0.0))
        give = x["readings"] * x["dial"] / (x["scale"] * x["gravity"])
        soft = x["seats"] + (slide / x["shear_stiffness"] if shear is not None else 0.0)
        if give.real <= soft.real:
            raise DesignError(
                "readings",
                Message("given.flex", give=float(give.real)),
                Message("want.more_than_seats_and_shear", give=float(soft.real)),
            )
        return bend / (give - soft)

    return combined(model, _inputs(slope, gauges, span, inset, shear, seat))


def short_span_notes(span: float, outside: float, shear_share: float, has_shear: bool) -> tuple[Message, ...]:
    """What to say of a span [m] over a tube of a given outside diameter [m] (zero: not measured)."""
    notes = []
    if outside > 0.0 and span < LEAST_SPAN * outside:
        notes.append(Message("bench.note.short_span", diameters=span / outside, least=LEAST_SPAN))
    if shear_share > LARGE_SHEAR:
        notes.append(Message("bench.note.shear", share=shear_share))
    if not has_shear:
        notes.append(Message("bench.note.no_shear"))
    return tuple(notes)


def _line_notes(test: BendTest, slope: Estimate, scatter: float) -> tuple[Message, ...]:
    notes = []
    travel = abs(slope.value) * float(np.ptp(test.masses))
    if test.readings.size > 2 and scatter > CROOKED * travel:
        notes.append(Message("bench.note.crooked", share=scatter / travel))
    if slope.standard > 0.25 * slope.value:
        notes.append(Message("bench.note.small_travel"))
    if test.readings.size == 2:
        notes.append(Message("bench.note.no_repeat"))
    return tuple(notes)


def bending_stiffness(test: BendTest, *, shear: Estimate | None = None, seat: Estimate = NO_SEAT) -> Stiffness:
    """Stiffness of a tube from a bend test of two loads or more, with its uncertainty.

    Parameters
    ----------
    test : what was read.
    shear : kappa G A [N] of the tube, predicted or measured; None leaves it out and says so.
    seat : [m/N] give of the trestles.

    Raises
    ------
    DesignError : equal loads; readings that do not grow with the load; seats and shear beyond what was measured.

    Source
    ------
    `stiffness_from_slope`.
    """
    refuse_stuck(test.readings)
    found = line(test.masses, test.readings, floor=test.gauges.reading, own_zeros=test.turned)
    result = stiffness_from_slope(
        found.slope, test.gauges, span=test.span, arrangement=test.arrangement, inset=test.inset, shear=shear, seat=seat
    )
    bend, slide = (float(np.real(part)) for part in softness_parts(test.arrangement, test.span, test.inset))
    give = found.slope.scaled(1.0 / GRAVITY)
    shear_share = 0.0 if shear is None else slide / shear.value / give.value
    notes = (
        *short_span_notes(test.span, test.outside, shear_share, shear is not None or slide == 0.0),
        *_line_notes(test, found.slope, found.scatter),
    )
    return Stiffness(
        bending=result.estimate,
        apparent=bend / give.value,
        shear_share=shear_share,
        seat_share=seat.value / give.value,
        slope=give,
        zero=found.zero,
        budget=result.budget,
        notes=notes,
    )
