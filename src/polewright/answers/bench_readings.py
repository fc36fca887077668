"""Readings of a test as arrays in SI, and which loads were read at which clock position."""

from dataclasses import dataclass

import numpy as np

from polewright.answers.bench_answer import refuse
from polewright.arrays import FloatArray
from polewright.bench.compare import Comparison, compare
from polewright.bench.uncertainty import Estimate
from polewright.codes import Message
from polewright.documents.test_record import Reading
from polewright.units import si

__all__ = ["Positions", "beside", "columns", "load_share", "positions"]

MATTERS = 0.02  # [-] a difference beyond what the prediction itself may be off that a workshop would act on


@dataclass(frozen=True, slots=True, eq=False)
class Positions:
    """Loads that were read alike at every clock position.

    masses: (n_load,) [kg]; clock: (n_row,) [rad] of the mark that faces down, a position once for each repeat;
    readings: (n_row, n_load) [m]; count: how many different positions there are.
    """

    masses: FloatArray
    clock: FloatArray
    readings: FloatArray
    count: int


def positions(readings: tuple[Reading, ...], field: str = "readings") -> Positions:
    """The readings by clock position; repeats of a load stand in further rows, or as their mean if some have fewer.

    Raises
    ------
    DocumentError : a load was read at one position and not at another; a bow would be taken for bending.
    """
    loads, clocks = sorted({r.load_g for r in readings}), sorted({r.clock_deg for r in readings})
    read: dict[tuple[float, float], list[float]] = {}
    for r in readings:
        read.setdefault((r.clock_deg, r.load_g), []).append(si("reading_mm", r.reading_mm))
    for clock in clocks:
        for load in loads:
            if (clock, load) not in read:
                missing = Message("given.no_reading", load=si("load_g", load), clock=si("clock_deg", clock))
                raise refuse(field, missing, Message("want.same_loads_at_each_clock"))
    repeats = {len(same) for same in read.values()}
    if len(repeats) > 1:
        read = {key: [float(np.mean(same))] for key, same in read.items()}
    rows = [
        (clock, [read[clock, load][nth] for load in loads])
        for clock in clocks
        for nth in range(len(read[clock, loads[0]]))
    ]
    return Positions(
        masses=np.array([si("load_g", load) for load in loads]),
        clock=np.array([si("clock_deg", clock) for clock, _ in rows]),
        readings=np.array([row for _, row in rows]),
        count=len(clocks),
    )


def columns(readings: tuple[Reading, ...], field: str = "readings") -> tuple[FloatArray, FloatArray, bool]:
    """Masses (n_load,) [kg], readings (n_load, n) [m], and whether each column has a zero of its own.

    At one clock position every reading is a row of its own; at more, the columns are the positions.
    """
    if len({r.clock_deg for r in readings}) == 1:
        masses = np.array([si("load_g", r.load_g) for r in readings])
        return masses, np.array([[si("reading_mm", r.reading_mm)] for r in readings]), False
    read = positions(readings, field)
    return read.masses, read.readings.T, True


def load_share(load_u_g: float, readings: tuple[Reading, ...]) -> float:
    """[-] standard uncertainty of all loads together: that of one load over the largest difference of loads."""
    loads = [r.load_g for r in readings]
    apart = max(loads) - min(loads)
    return load_u_g / apart if apart > 0.0 else 0.0  # loads that are all alike are refused by what evaluates them


def beside(measured: Estimate, value: float, relative: float, *, is_bend: bool) -> Comparison:
    """The comparison with a prediction of a relative standard uncertainty; what matters is beyond that."""
    predicted = Estimate(value, relative * value)
    return compare(measured, predicted, tolerance=MATTERS + predicted.relative, is_bend=is_bend)
