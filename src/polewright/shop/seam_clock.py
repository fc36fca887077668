"""Start positions round the clock, so that seams and part turns leave the wall as even as it can be.

Every flag lays one layer more over the arc from its first edge to its last: the part turn and the overlap. Their first
harmonic round the clock bows the tube, their second gives it a stiff and a soft direction.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError, refuse_unless_finite
from polewright.shop.kit import Kit
from polewright.wall.membrane import rotated_stiffness

__all__ = ["SeamClock", "extra_harmonics", "seam_clock", "section_clock", "spread_starts"]

ComplexArray = NDArray[np.complex128]
PlaceArray = NDArray[np.intp]

HOURS = 24  # start positions tried round the clock, 15 degrees apart
MOST_EXHAUSTIVE = 4  # flags up to which every set of positions is tried
RIDGE = 0.03  # weight of the third to sixth harmonic, which grow where seams lie on each other
HARMONICS = 6


@dataclass(frozen=True, slots=True, eq=False)
class SeamClock:
    """Where each flag starts and ends round the clock, in rolling order.

    start, end (n_flag,) [rad] from the mark, in the direction of rolling; arc (n_flag,) [rad] with one layer more;
    thickness_harmonics (2,) first and second, amplitude over mean wall [-]; stiffness_harmonics (2,) the same of the
    axial stiffness round the clock. The second of the latter is the peak-to-peak share by which EI swings.
    """

    start: FloatArray
    end: FloatArray
    arc: FloatArray
    thickness_harmonics: FloatArray
    stiffness_harmonics: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("start", "end", "arc", "thickness_harmonics", "stiffness_harmonics"))


def extra_harmonics(start: ArrayLike, arc: ArrayLike, weight: ArrayLike) -> FloatArray:
    """First and second harmonic round the clock of extra layers: their amplitude, (2,) in the unit of `weight`.

    The first bows the tube, the second makes a stiff and a soft direction.

    Parameters
    ----------
    start, arc : (n_flag,) [rad] where each extra layer begins, and how far it reaches.
    weight : (n_flag,) thickness [m] or stiffness [N/m] of each extra layer.

    Source
    ------
    Fourier coefficients of a step of height w over an arc b: 2 w sin(m b/2)/(pi m) at its middle. The second harmonic
    of the stiffness over its mean is the peak-to-peak variation of EI, sin(b)/(pi n) for one part turn on n turns.
    """
    refuse_unless_finite(start=start, arc=arc, weight=weight)
    terms = _terms(np.asarray(start, float), np.asarray(arc, float), np.asarray(weight, float), 2)
    return np.asarray(np.abs(terms.sum(axis=-1)))


def spread_starts(arc: ArrayLike, weights: ArrayLike) -> FloatArray:
    """Start positions (n_flag,) [rad] that make the harmonics of the extra layers least; always the same answer.

    The sum of squares of the first two harmonics, and three hundredths of the next four so that seams do not lie on
    each other, added up over the rows of `weights`, is least over all positions 15 degrees apart: by trying every set
    for up to four flags, beyond that by moving one flag at a time from several regular spreads until none gains. The
    first flag starts at the mark.

    Parameters
    ----------
    arc : (n_flag,) [rad] of the extra layer of each flag.
    weights : (n_kind, n_flag) [-] of each extra layer, say of thickness and of stiffness, relative to the wall.
    """
    arc, weights = np.asarray(arc, float), np.atleast_2d(np.asarray(weights, float))
    if arc.ndim != 1 or weights.shape[1] != arc.size or not (np.all(np.isfinite(arc)) and np.all(np.isfinite(weights))):
        raise DesignError(
            "arc",
            Message("given.weights", shape=str(arc.shape), shape2=str(weights.shape)),
            Message("want.arc_and_weight_of_each_flag"),
        )
    hours = np.arange(HOURS) * 2.0 * np.pi / HOURS
    # (n_flag, hour, kind * harmonic): what each flag adds at each position
    share = np.sqrt([1.0, 1.0, RIDGE, RIDGE, RIDGE, RIDGE])[:, None, None]
    table = np.stack([share * _terms(hours[:, None], arc, w, HARMONICS) for w in weights])
    table = np.moveaxis(table, (3, 2), (0, 1)).reshape(arc.size, HOURS, -1)
    found = _by_trying(table) if arc.size <= MOST_EXHAUSTIVE else _by_moving(table)
    return np.asarray(hours[found] % (2.0 * np.pi))


def seam_clock(arc: ArrayLike, turns: ArrayLike, thickness: ArrayLike, stiffness: ArrayLike) -> SeamClock:
    """Start and end positions of the flags of one tube from plain values.

    Parameters
    ----------
    arc : (n_flag,) [rad] over which each flag lays one layer more.
    turns : (n_flag,) [-] of each flag.
    thickness : (n_flag,) [m] of one turn.
    stiffness : (n_flag,) [N/m] axial stiffness of one turn, modulus times thickness.
    """
    refuse_unless_finite(arc=arc, turns=turns, thickness=thickness, stiffness=stiffness)
    arc, turns = np.asarray(arc, float), np.asarray(turns, float)
    for name, figures in (("turns", turns), ("thickness", thickness), ("stiffness", stiffness)):
        if np.shape(figures) != arc.shape:
            raise DesignError(
                name, Message("given.so_many", count=np.size(figures)), Message("want.one_of_each_flag", count=arc.size)
            )
    weights = np.stack(
        [np.asarray(w, float) / float(np.sum(np.asarray(w, float) * turns)) for w in (thickness, stiffness)]
    )
    start = spread_starts(arc, weights)
    return SeamClock(
        start=start,
        end=(start + arc) % (2.0 * np.pi),
        arc=arc,
        thickness_harmonics=extra_harmonics(start, arc, weights[0]),
        stiffness_harmonics=extra_harmonics(start, arc, weights[1]),
    )


def section_clock(kit: Kit) -> SeamClock:
    """Start and end positions for every flag of a kit, in rolling order, at mid-length of the tube."""
    flags = [f.flag for f in kit.flags]
    outside = np.array([(f.wound_butt + f.wound_tip) / 2.0 for f in flags])
    turns = np.array([f.turns for f in flags])
    overlap = np.array([f.overlap for f in flags])
    part = turns - np.floor(turns + 1e-9)
    arc = 2.0 * np.pi * np.clip(part, 0.0, 1.0) + 2.0 * overlap / outside
    stiffness = [
        float(rotated_stiffness(f.ply.elastic, np.array(f.flag.angle))[0, 0]) * f.ply.thickness for f in kit.flags
    ]
    return seam_clock(arc, turns, [f.ply.thickness for f in kit.flags], stiffness)


def _terms(start: FloatArray, arc: FloatArray, weight: FloatArray, count: int) -> ComplexArray:
    """(count, ..., n_flag) complex harmonics of each extra layer, from the first."""
    middle = start + arc / 2.0
    return np.stack(
        [2.0 / (np.pi * m) * weight * np.sin(m * arc / 2.0) * np.exp(-1j * m * middle) for m in range(1, count + 1)]
    )


def _by_trying(table: ComplexArray) -> PlaceArray:
    total = table[0, :1]
    for flag in table[1:]:
        total = (total[:, None] + flag[None]).reshape(-1, total.shape[-1])
    best = int(np.argmin(_unevenness(total)))
    places = np.unravel_index(best, (1, *[HOURS] * (len(table) - 1)))
    return np.array(places, dtype=np.intp)


def _by_moving(table: ComplexArray) -> PlaceArray:
    count, best, least = len(table), np.zeros(len(table), dtype=np.intp), np.inf
    for stride in [*range(HOURS), *(HOURS * k / count for k in range(1, min(count, HOURS)))]:
        places = np.round(np.arange(count) * stride).astype(np.intp) % HOURS
        total = table[np.arange(count), places].sum(axis=0)
        moved = True
        while moved:
            moved = False
            for i in range(1, count):
                rest = total - table[i, places[i]]
                costs = _unevenness(rest + table[i])
                place = int(np.argmin(costs))
                if costs[place] < costs[places[i]] * (1.0 - 1e-9) - 1e-30:
                    places[i], total, moved = place, rest + table[i, place], True
        cost = float(_unevenness(total))
        if cost < least * (1.0 - 1e-9):
            best, least = places.copy(), cost
    return best


def _unevenness(total: ComplexArray) -> FloatArray:
    """Sum of squared harmonics, rounded so that equal sets tie and the first wins on every machine."""
    cost: FloatArray = np.round((np.abs(total) ** 2).sum(axis=-1), 15)
    return cost
