"""The nest chain: how each section slides in the next, pushed in and drawn out."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from polewright.errors import DesignError
from polewright.pole.section import Section

__all__ = ["Fit", "fit", "nest", "place_toward_small_end"]


@dataclass(frozen=True, slots=True)
class Fit:
    """How one section (nearer the tip) sits in the next; clearances on diameter [m].

    closed: least clearance with the section pushed in; at_overlap: least clearance over the overlap when drawn out;
    drawn: outer bore at its mouth less inner outside at its butt, the tightest place at the very end of travel;
    ridge: height a seam adds on the inner's outside; least: the smallest of them all less the ridge.
    """

    closed: float
    at_overlap: float
    drawn: float
    ridge: float

    @property
    def least(self) -> float:
        """[m] what is left at the tightest place with a seam ridge in the way."""
        return min(self.closed, self.at_overlap, self.drawn) - self.ridge


def _clearance(inner: Section, outer: Section, *, draw: float) -> float:
    """Least clearance [m] where the two lie inside each other, with `draw` [m] of the inner standing out."""
    start = max(outer.length - (inner.length - draw), 0.0)         # inner butt, from the outer's butt
    first = np.linspace(start, outer.length, 5)
    station = first - (outer.length - (inner.length - draw))       # the same places from the inner's butt
    return float(np.min(outer.bores(first) - inner.outsides(np.clip(station, 0.0, inner.length))))


def fit(inner: Section, outer: Section, *, overlap: float, proud: float = 0.0, ridge: float = 0.0) -> Fit:
    """How `inner` slides in `outer`: overlap [m] when drawn out, proud [m] when closed, seam ridge [m].

    Raises
    ------
    DesignError : the inner section does not go into the outer one at all.
    """
    mouth = float(outer.bores(np.array([outer.length]))[0])
    butt = float(inner.outsides(np.array([0.0]))[0])
    result = Fit(closed=_clearance(inner, outer, draw=max(proud, inner.length - outer.length)),
                 at_overlap=_clearance(inner, outer, draw=inner.length - overlap), drawn=mouth - butt, ridge=ridge)
    if min(result.closed, result.at_overlap, result.drawn) <= 0.0:
        raise DesignError("outside", butt, f"less than {mouth} to slide in its neighbour's bore")
    return result


def nest(sections: Sequence[Section], *, overlap: Sequence[float], proud: Sequence[float],
         ridge: float = 0.0) -> tuple[Fit, ...]:
    """The chain of fits, tip first; overlap and proud [m] one a joint, seam ridge [m].

    Raises
    ------
    DesignError : naming the first section too fat for its neighbour.
    """
    fits = []
    for i in range(len(sections) - 1):
        try:
            fits.append(fit(sections[i], sections[i + 1], overlap=overlap[i], proud=proud[i], ridge=ridge))
        except DesignError as fault:
            raise DesignError(f"sections[{i}].{fault.field}", fault.value, fault.want) from fault
    return tuple(fits)


def place_toward_small_end(section: Section, wanted: float) -> float:
    """How far [m] a section can be rolled toward the small end of its mandrel, at most `wanted` [m]."""
    return max(min(wanted, section.place), 0.0)
