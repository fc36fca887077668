"""The test of a whole pole that anyone can repeat: hang masses at the tip, roll it over, hang them again."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.bench.line import fit, line, refuse_stuck
from polewright.bench.record import TipTest
from polewright.bench.uncertainty import Estimate, Share, combined
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError

__all__ = ["TipFlex", "flex_of", "tip_flex"]


@dataclass(frozen=True, slots=True, eq=False)
class TipFlex:
    """What a tip-load test says.

    flex [m/N]: added droop per load, free of own weight and bow and, where a load settles the joints, of play;
    droop (n_load,) [m] mean of both rolls; bow [m] at the tip, half the change when rolled over, None after one
    roll; settled [m]: how far the unloaded droop lies above the line through the loaded ones (joints taking up
    play, or the droop bending away from a line), None without an unloaded reading.
    """

    flex: Estimate
    droop: FloatArray
    bow: Estimate | None
    settled: Estimate | None
    budget: tuple[Share, ...]
    notes: tuple[Message, ...]

    def __post_init__(self) -> None:
        freeze(self, ("droop",))


def _loaded(masses: FloatArray) -> FloatArray:
    """The loads the slope is taken from: those above zero if there are two of them, else all."""
    return np.asarray(masses > 0.0 if np.unique(masses[masses > 0.0]).size >= 2 else np.ones(masses.size, dtype=bool))


def flex_of(masses: ArrayLike, droop: ArrayLike) -> float:
    """Added droop per load [m/N] of predicted droops (n_load,) [m] under hung masses (n_load,) [kg].

    The same straight line through the same loads as the test uses, so that a droop that bends away from a line
    (large deflection) is compared like with like.

    Raises
    ------
    DesignError : equal loads.
    """
    mass, sag = np.asarray(masses, dtype=np.float64), np.asarray(droop, dtype=np.float64)
    if mass.shape != sag.shape or mass.ndim != 1:
        raise DesignError(
            "droop",
            Message("given.shaped", shape=str(sag.shape)),
            Message("want.one_of_each_mass", shape=str(mass.shape)),
        )
    used = _loaded(mass)
    return line(mass[used], sag[used, np.newaxis], floor=0.0).slope.value / GRAVITY


def _bow(test: TipTest) -> Estimate | None:
    if test.readings.shape[0] == 1:
        return None
    half = (test.readings[0] - test.readings[1]) / 2.0
    found = fit(np.ones((half.size, 1)), half, floor=test.gauges.reading / np.sqrt(2.0))
    return found.estimate(0)


def _settled(test: TipTest, droop: FloatArray, used: FloatArray, floor: float) -> Estimate | None:
    bare = test.masses == 0.0
    if not np.any(bare) or np.all(used):
        return None
    zero = line(test.masses[used], droop[used, np.newaxis], floor=floor).zero
    alone = float(np.mean(droop[bare]))
    return Estimate(zero.value - alone, float(np.hypot(zero.standard, floor / np.sqrt(np.sum(bare)))), zero.freedom)


def _bends_away(masses: FloatArray, readings: FloatArray, floor: float) -> bool:
    """Whether the droop leaves the straight line by more than the readings scatter."""
    if np.unique(masses).size < 3:
        return False
    x = np.tile(masses / np.max(masses), readings.shape[0])
    roll = np.repeat(np.eye(readings.shape[0]), masses.size, axis=0)
    found = fit(np.column_stack([roll, x, x * x]), readings.ravel(), floor=floor).estimate(readings.shape[0] + 1)
    return bool(abs(found.value) > found.expanded)


def _notes(test: TipTest, used: FloatArray, settled: Estimate | None, bow: Estimate | None) -> tuple[Message, ...]:
    notes = []
    if np.any(test.masses[used] == 0.0):
        notes.append(Message("bench.note.play"))
    if _bends_away(test.masses[used], test.readings[:, used], test.gauges.reading):
        notes.append(Message("bench.note.curved"))
    if bow is None:
        notes.append(Message("bench.note.one_roll"))
    if settled is not None and abs(settled.value) > settled.expanded:
        notes.append(Message("bench.note.settled"))
    return tuple(notes)


def tip_flex(test: TipTest) -> TipFlex:
    """Added droop per load of a whole pole, with its uncertainty, bow and what settled.

    The slope is fitted through the loaded readings of both rolls, each roll with its own zero.

    Parameters
    ----------
    test : what was read.

    Raises
    ------
    DesignError : equal loads, or droops that do not grow with the load.

    Source
    ------
    Least squares by `fit`; JCGM 100:2008 (GUM) for the uncertainty.
    """
    used = _loaded(test.masses)
    masses, readings = test.masses[used], test.readings[:, used]
    if np.unique(masses).size < 2:
        raise DesignError("masses", Message("given.all_same"), Message("want.two_masses_at_tip"))
    refuse_stuck(readings.T)
    x = np.tile(masses, readings.shape[0])
    roll = np.repeat(np.eye(readings.shape[0]), masses.size, axis=0)
    slope = fit(np.column_stack([x, roll]), readings.ravel(), floor=test.gauges.reading).estimate(0)
    if slope.value <= 0.0:
        raise DesignError("readings", Message("given.flex", give=slope.value / GRAVITY), Message("want.droops_grow"))

    def model(v: Mapping[str, complex]) -> complex:
        return v["readings"] * v["tape"] / (v["scale"] * v["gravity"])

    result = combined(
        model,
        {
            "readings": slope,
            "tape": Estimate(1.0, test.gauges.reading_share),
            "scale": Estimate(1.0, test.gauges.load_share),
            "gravity": Estimate(GRAVITY, test.gauges.gravity),
        },
    )
    droop = np.mean(test.readings, axis=0)
    floor = test.gauges.reading / np.sqrt(test.readings.shape[0])
    bow, settled = _bow(test), _settled(test, droop, used, floor)
    return TipFlex(
        flex=result.estimate,
        droop=droop,
        bow=bow,
        settled=settled,
        budget=result.budget,
        notes=_notes(test, used, settled, bow),
    )
