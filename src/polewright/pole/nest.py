"""The nest chain: how each section slides in the next, pushed in and drawn out."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.pole.section import Section

__all__ = ["Fit", "fit", "nest"]


@dataclass(frozen=True, slots=True)
class Fit:
    """How one section (nearer the tip) sits in the next; clearances on diameter [m].

    closed: least clearance with the section pushed in; at_overlap: least clearance over the overlap when drawn out;
    drawn: outer bore at its mouth less inner outside at its butt, the tightest place at the very end of travel;
    ridge: height a seam adds on the inner's outside; least: the smallest of them all less the ridge;
    inner, outer: the inner's outside and the outer's bore that come closest.
    """

    closed: float
    at_overlap: float
    drawn: float
    ridge: float
    inner: float
    outer: float

    @property
    def goes_in(self) -> bool:
        """Whether the section slides in at all, seams left out."""
        return min(self.closed, self.at_overlap, self.drawn) > 0.0

    @property
    def least(self) -> float:
        """[m] what is left at the tightest place with a seam ridge in the way."""
        return min(self.closed, self.at_overlap, self.drawn) - self.ridge


def _clearance(inner: Section, outer: Section, *, draw: float) -> tuple[float, float, float]:
    """Least clearance [m], and the two diameters there, with `draw` [m] of the inner standing out."""
    start = max(outer.length - (inner.length - draw), 0.0)  # inner butt, from the outer's butt
    places = np.linspace(start, outer.length, 5)
    station = np.clip(places - (outer.length - (inner.length - draw)), 0.0, inner.length)
    bores, outsides = outer.bores(places), inner.outsides(station)
    at = int(np.argmin(bores - outsides))
    return float(bores[at] - outsides[at]), float(outsides[at]), float(bores[at])


def fit(inner: Section, outer: Section, *, overlap: float, proud: float = 0.0, ridge: float = 0.0) -> Fit:
    """How `inner` slides in `outer`: overlap [m] when drawn out, proud [m] when closed, seam ridge [m].

    A negative clearance says that it does not go in.
    """
    mouth = float(outer.bores(np.array([outer.length]))[0])
    butt = float(inner.outsides(np.array([0.0]))[0])
    closed = _clearance(inner, outer, draw=max(proud, inner.length - outer.length))
    drawn_out = _clearance(inner, outer, draw=inner.length - overlap)
    _, thick, wide = min(closed, drawn_out, (mouth - butt, butt, mouth))
    return Fit(closed=closed[0], at_overlap=drawn_out[0], drawn=mouth - butt, ridge=ridge, inner=thick, outer=wide)


def nest(
    sections: Sequence[Section], *, overlap: Sequence[float], proud: Sequence[float], ridge: float = 0.0
) -> tuple[Fit, ...]:
    """The chain of fits, tip first; overlap and proud [m] one a joint, seam ridge [m].

    Raises
    ------
    DesignError : naming the first section too fat for its neighbour.
    """
    fits = []
    for i in range(len(sections) - 1):
        between = fit(sections[i], sections[i + 1], overlap=overlap[i], proud=proud[i], ridge=ridge)
        if not between.goes_in:
            raise DesignError(
                f"sections[{i}].outside",
                between.inner,
                Message("want.less_than_slide_its_neighbour_s", outer=between.outer),
            )
        fits.append(between)
    return tuple(fits)
