"""What is read of a whole pole without a dial: swings counted against a watch, and the droop of its own weight."""

from collections.abc import Mapping

import numpy as np

from polewright.arrays import FloatArray
from polewright.bench.line import fit
from polewright.bench.uncertainty import Combined, Estimate, combined
from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["counted_frequency", "own_droop"]


def counted_frequency(swings: FloatArray, seconds: FloatArray, *, seconds_standard: float) -> Combined:
    """Frequency [Hz] = 1/T, the period T by least squares of seconds = T swings.

    Parameters
    ----------
    swings : (n_count,) [-] full swings, to and fro; seconds : (n_count,) [s] that they took.
    seconds_standard : [s] standard uncertainty of starting and stopping the watch.

    Raises
    ------
    DesignError : a count or a time that is not above zero.

    Source
    ------
    Least squares by `fit`; JCGM 100:2008 (GUM) for the uncertainty.
    """
    if swings.size == 0 or np.any(swings <= 0.0) or np.any(seconds <= 0.0):
        raise DesignError("counts", Message("given.not_row_numbers"), Message("want.swings_and_seconds"))
    period = fit(swings[:, np.newaxis], seconds, floor=seconds_standard).estimate(0)

    def model(x: Mapping[str, complex]) -> complex:
        return 1.0 / x["readings"]

    return combined(model, {"readings": period})


def own_droop(rolls: FloatArray, droops: FloatArray, *, standard: float, tape_share: float) -> Combined:
    """Droop [m] with nothing hung, free of bow: the mean of two rolls half a turn apart.

    Parameters
    ----------
    rolls : (n,) +1 or -1, which way up the pole lay; all alike if it was not rolled: the bow then stays in.
    droops : (n,) [m] below the line through the supports.
    standard : [m] standard uncertainty of one reading; tape_share [-] of all of them together.

    Raises
    ------
    DesignError : no reading.

    Source
    ------
    droop = d + bow for one roll and d - bow for the other, as a bow turns with the pole and its weight does not; least
    squares by `fit`.
    """
    if droops.size == 0:
        raise DesignError("droops", Message("given.none"), Message("want.at_least_one_finite_reading"))
    columns = np.column_stack([np.ones(droops.size), rolls] if np.ptp(rolls) > 0.0 else [np.ones(droops.size)])
    droop = fit(columns, droops, floor=standard).estimate(0)

    def model(x: Mapping[str, complex]) -> complex:
        return x["readings"] * x["tape"]

    return combined(model, {"readings": droop, "tape": Estimate(1.0, tape_share)})
