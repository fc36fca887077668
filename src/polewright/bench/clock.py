"""Bow and spine of one tube, told apart by turning it under two loads or more.

A bow adds one lobe round the clock to every reading, loaded or not; a spine adds two lobes to what the load adds.
"""

from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray
from polewright.bench.bend import NO_SEAT, short_span_notes, stiffness_from_slope
from polewright.bench.line import Fit, fit, refuse_stuck
from polewright.bench.record import ClockTest
from polewright.bench.uncertainty import Combined, Estimate, Share
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError

__all__ = ["Clock", "Lobe", "clock_fit", "mark_down"]

DOUBT = 0.05  # [-] a lobe is seen when chance alone would make one as large in fewer cases than this


@dataclass(frozen=True, slots=True)
class Lobe:
    """A lobe round the clock: its size, where it points [rad], and whether more than chance made it."""

    size: Estimate
    direction: float
    is_seen: bool


@dataclass(frozen=True, slots=True)
class Clock:
    """What turning a tube says.

    bending: EI [N m2], the mean round the clock; stiff, soft: EI [N m2] along and across the spine;
    spine: size s [-] in EI (1 + s cos 2(clock - direction)), direction in [0, pi); bow: size [m] at mid-span,
    direction in [0, 2 pi) of the mark that sags; ovality: two lobes [m] that need no load (out-of-round, own weight
    on a spine); wander: one lobe [m/kg] that grows with the load (a moving trestle or dial), direction in [0, 2 pi);
    apparent: EI [N m2] as if there were neither shear nor seats; budget: what each input adds to `bending`.
    """

    bending: Estimate
    stiff: Estimate
    soft: Estimate
    spine: Lobe
    bow: Lobe
    ovality: Lobe
    wander: Lobe
    apparent: float
    budget: tuple[Share, ...]
    notes: tuple[Message, ...]


def _columns(clock: FloatArray, masses: FloatArray) -> FloatArray:
    """(n_clock n_load, 10): steady, one lobe, two lobes, each without and with the load."""
    around = np.stack([np.ones_like(clock), np.cos(clock), np.sin(clock), np.cos(2.0 * clock), np.sin(2.0 * clock)], 1)
    load = np.stack([np.ones_like(masses), masses], 1)
    return np.asarray(np.einsum("ci,lj->clji", around, load).reshape(clock.size * masses.size, 10))


def _lobe(found: Fit, first: int, *, lobes: int, sign: float = 1.0) -> Lobe:
    from scipy.special import chdtrc, fdtrc  # 14 MB and a tenth of a second: only who asks pays

    pair = sign * found.coefficient[first : first + 2]
    spread = found.covariance[first : first + 2, first : first + 2]
    size = float(np.hypot(*pair))
    along = pair / size if size > 0.0 else np.array([1.0, 0.0])
    standard = float(np.sqrt(along @ spread @ along))
    direction = float(np.arctan2(pair[1], pair[0])) / lobes % (2.0 * np.pi / lobes)
    squared = float(pair @ np.linalg.solve(spread, pair)) if standard > 0.0 else (np.inf if size > 0.0 else 0.0)
    chance = chdtrc(2.0, squared) if np.isinf(found.freedom) else fdtrc(2.0, found.freedom, squared / 2.0)
    return Lobe(Estimate(size, standard, found.freedom), direction, bool(chance < DOUBT))


def _refuse_too_few(test: ClockTest) -> None:
    if np.unique(test.masses).size < 2:
        raise DesignError("masses", Message("given.all_same"), Message("want.two_loads_round_clock"))
    places = np.unique(np.round(np.exp(1j * test.clock), 9))
    if places.size < 5:
        raise DesignError(
            "clock", Message("given.different_positions", size=places.size), Message("want.five_clock_positions")
        )


def mark_down(spine: Lobe, bow: Lobe) -> float:
    """The clock mark [rad], in [0, 2 pi), to face down in a pole that droops: the stiff direction of the spine lies in
    the plane of bending, either way round; of the two ends the one that lets the bow rise.

    Source
    ------
    EI (1 + s cos 2(p - ps)) is largest at p = ps and ps + pi; the sag of the bow, cos(p - pb), is less at the one
    of them that is further from pb.
    """
    ends = (spine.direction, spine.direction + np.pi)
    return float(min(ends, key=lambda end: np.cos(end - bow.direction)) % (2.0 * np.pi))


def _notes(spine: Lobe, bow: Lobe, wander: Lobe) -> tuple[Message, ...]:
    notes = []
    if spine.is_seen:
        notes.append(Message("bench.note.spine", share=2.0 * spine.size.value, stiff=spine.direction))
    if bow.is_seen:
        notes.append(Message("bench.note.bow", size=bow.size.value, mark=bow.direction))
    if spine.is_seen and bow.is_seen:
        notes.append(Message("bench.note.mark_down", mark=mark_down(spine, bow)))
    if not spine.is_seen:
        notes.append(Message("bench.note.no_spine", share=2.0 * spine.size.expanded))
    if wander.is_seen:
        notes.append(Message("bench.note.wander"))
    return tuple(notes)


def clock_fit(test: ClockTest, *, shear: Estimate | None = None, seat: Estimate = NO_SEAT) -> Clock:
    """Bow, spine and stiffness by least squares over all clock positions and loads.

    y = z0 + bow cos(p - pb) + two lobes + F c0 (1 - s cos 2(p - ps)) + F one lobe; the give of a beam of two
    principal stiffnesses, in the plane of the load, is exactly cos^2/EI1 + sin^2/EI2.

    Parameters
    ----------
    test : what was read; at least two loads and five clock positions.
    shear, seat : as in `bending_stiffness`; the same round the clock.

    Raises
    ------
    DesignError : one load only, too few positions, or readings that do not grow with the load.

    Source
    ------
    Unsymmetric bending about principal axes, S. P. Timoshenko, Strength of Materials, part 1, 3rd ed., 1955;
    least squares by `fit`; a lobe is tested as a pair of coefficients by Snedecor's F.
    """
    _refuse_too_few(test)
    refuse_stuck(test.readings.T)
    found = fit(_columns(test.clock, test.masses), test.readings.ravel(), floor=test.gauges.reading)
    mean = found.estimate(5)
    give = _lobe(found, 8, lobes=2, sign=-1.0)

    def bending(slope: Estimate) -> Combined:
        return stiffness_from_slope(slope, test.gauges, span=test.span, shear=shear, seat=seat)

    steady = test.span / 4.0 / shear.value * GRAVITY if shear is not None else 0.0
    bent = mean.value - steady - seat.value * GRAVITY
    middle = bending(mean)
    if give.size.value >= 0.9 * bent:
        raise DesignError("readings", give.size.value / bent, Message("want.even_round_clock"))
    ends = [
        Estimate(mean.value + sign * give.size.value, float(np.hypot(mean.standard, give.size.standard)), found.freedom)
        for sign in (-1.0, 1.0)
    ]
    spine = Lobe(give.size.scaled(1.0 / bent), give.direction, give.is_seen)
    bow, wander = _lobe(found, 1, lobes=1), _lobe(found, 6, lobes=1)
    share = steady / mean.value
    return Clock(
        bending=middle.estimate,
        stiff=bending(ends[0]).estimate,
        soft=bending(ends[1]).estimate,
        spine=spine,
        bow=bow,
        ovality=_lobe(found, 3, lobes=2),
        wander=wander,
        apparent=test.span**3 / 48.0 / (mean.value / GRAVITY),
        budget=middle.budget,
        notes=(*_notes(spine, bow, wander), *short_span_notes(test.span, test.outside, share, shear is not None)),
    )
