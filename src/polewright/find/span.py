"""The beam of the whole-pole search, as numbers that multiply 1/EI: geometry alone, before any wall is chosen.

Model: level pole, small deflections, straight tubes alike along their length, stiffness of the two walls added in an
overlap, joints as springs and free tilts at the middle of their overlap, no shear; held down at the butt and propped
at `prop` (or built in at the butt). The weight between the supports is left out (it would lift the tip a little), and
in an overlap the inner tube's buried end counts with its lever, however small, on either side.
"""

from typing import NamedTuple

import numpy as np

from polewright.arrays import FloatArray
from polewright.errors import DesignError
from polewright.find.brief import Brief, Build

__all__ = ["GRAVITY", "Spans", "section_length", "spans_of"]

GRAVITY = 9.80665


class Spans(NamedTuple):
    """Per section, tip first; region 0 its overlap with the section before, region 1 where it lies alone.

    by_moment, by_mass: droop per [kg m] and per [kg] of all that lies nearer the tip (moment about the butt end);
    by_own: per [kg/m] of its own; by_tip: from the tip mass; by_pull: flex; each (n, 2) over EI. Of the joint at its
    mouth: `lever` [m] of a tilt there and the same five (joint, n); butt, mouth (n,) [m] from the pole's butt.
    """

    by_moment: FloatArray
    by_mass: FloatArray
    by_own: FloatArray
    by_tip: FloatArray
    by_pull: FloatArray
    lever: FloatArray
    joint: FloatArray  # (n, 5) over the joint's stiffness; row i: joint between sections i - 1 and i
    butt: FloatArray
    mouth: FloatArray
    length: float


def section_length(brief: Brief, build: Build, sections: int) -> float:
    """[m] of each of so many equal sections that together reach as far as wished."""
    return (brief.reach + (sections - 1) * build.overlap) / sections


def _moments(at: FloatArray, prop: float, mouth: float, reach: float) -> tuple[FloatArray, ...]:
    """At stations (n,) [m]: arm of a unit tip force, and moment from a unit of (moment about the butt, mass ahead,
    own mass per length, tip mass), each over gravity where it is a weight; inside the prop they fall to zero.
    """
    there = np.maximum(at, prop)
    share = at / prop if prop > 0.0 else np.ones_like(at)
    share = np.where(at < prop, share, 1.0)
    own = np.maximum(mouth - there, 0.0) ** 2 / 2.0
    return share * (reach - there), share, -share * there, share * own, share * (reach - there)


def spans_of(brief: Brief, build: Build, sections: int) -> Spans:
    """The numbers for so many equal sections, all drawn out."""
    n, length = sections, section_length(brief, build, sections)
    if build.overlap * 2.0 >= length:
        raise DesignError("build.overlap", build.overlap, f"less than half a section, {length / 2.0}")
    if build.prop >= brief.reach:
        raise DesignError("build.prop", build.prop, f"less than the reach, {brief.reach}")
    butt = np.array([(n - 1 - i) * (length - build.overlap) for i in range(n)])
    mouth = butt + length
    table, joint, lever = np.zeros((5, n, 2)), np.zeros((n, 5)), np.zeros(n)
    for i in range(n):
        alone = (mouth[i + 1] if i + 1 < n else 0.0, butt[i - 1] if i else mouth[i])
        shared = (butt[i - 1], mouth[i]) if i else (0.0, 0.0)
        for region, (low, high) in enumerate((shared, alone)):
            for a, b in ((low, min(high, max(low, build.prop))), (min(high, max(low, build.prop)), high)):
                table[:, i, region] += _integrals(a, b, build.prop, mouth[i], brief)
        if i:
            middle = np.array([(butt[i - 1] + mouth[i]) / 2.0])
            arm, *moments = (float(v[0]) for v in _moments(middle, build.prop, mouth[i], brief.reach))
            lever[i] = arm
            joint[i] = [arm * m * GRAVITY for m in moments[:3]] + [arm * moments[3] * GRAVITY * brief.tip_mass, arm**2]
    return Spans(table[0], table[1], table[2], table[3], table[4], lever, joint, butt, mouth, length)


def _integrals(low: float, high: float, prop: float, mouth: float, brief: Brief) -> FloatArray:
    """(5,) integrals over one region of arm times moment; exact, for the products are of fourth degree at most."""
    if high <= low:
        return np.zeros(5)
    point, weight = np.polynomial.legendre.leggauss(4)
    at = low + (high - low) * (point + 1.0) / 2.0
    weight = weight * (high - low) / 2.0
    arm, *moments = _moments(at, prop, mouth, brief.reach)
    scale = (GRAVITY, GRAVITY, GRAVITY, GRAVITY * brief.tip_mass)
    return np.array([*(float(np.sum(weight * arm * m)) * g for m, g in zip(moments, scale, strict=True)),
                     float(np.sum(weight * arm * arm))])
