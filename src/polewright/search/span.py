"""The beam of the whole-pole search, as numbers that multiply 1/EI: geometry alone, before any wall is chosen.

Model: level pole, small deflections, straight tubes alike along their length, stiffness of the two walls added in an
overlap, joints as springs and free tilts at their pivot within the overlap, no shear; held down at the butt and propped
at `prop` (or built in at the butt). The weight between the supports is left out (it would lift the tip a little), and
in an overlap the inner tube's buried end counts with its lever, however small, on either side.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.lib.recfunctions import unstructured_to_structured
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError
from polewright.search.brief import Brief, Build
from polewright.search.pole_arrays import FURTHER_ROW, JOINT

__all__ = ["Further", "Spans", "drawn_of", "none_further", "one_further", "packed", "section_length", "spans_of"]


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
    joint: NDArray[Any]  # (n,) of JOINT; row i: joint between sections i - 1 and i
    butt: FloatArray
    mouth: FloatArray
    length: float
    more: NDArray[Any]  # (n, n_further) of FURTHER_ROW, packed from `Further`


class Further(NamedTuple):
    """Figures besides droop, flex, mass and cost that limits are set on; rows, one a figure.

    Of each section and region, over EI: table (row, 4, n, 2) times moment ahead, mass ahead, own [kg/m] and 1;
    joint (row, n, 4) the same over the joint's stiffness; lever (row, n) of a tilt at its mouth; light (row, n)
    less so much over its own [kg/m]; heavy (row, n) times its own [kg/m]; shift (row, n) a constant. Where the
    section before lies nested in it and in those round it, nested (row, 2, 4, n) times moment and mass ahead, own
    [kg/m] of the section before, and 1: over their EI and `stiffer` (row, n) [N m2] of those round it, first
    without and then with the EI of the section before that one.
    """

    table: FloatArray
    joint: FloatArray
    lever: FloatArray
    nested: FloatArray
    stiffer: FloatArray
    light: FloatArray
    heavy: FloatArray
    shift: FloatArray


def none_further(sections: int) -> Further:
    """No further figure."""
    n = sections
    return Further(
        np.zeros((0, 4, n, 2)),
        np.zeros((0, n, 4)),
        np.zeros((0, n)),
        np.zeros((0, 2, 4, n)),
        np.zeros((0, n)),
        np.zeros((0, n)),
        np.zeros((0, n)),
        np.zeros((0, n)),
    )


def one_further(sections: int) -> Further:
    """One further figure, all zeros."""
    return Further(*(np.zeros((1, *v.shape[1:])) for v in none_further(sections)))


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
        raise DesignError("build.overlap", build.overlap, Message("want.less_than_half_section", limit=length / 2.0))
    if build.prop >= brief.reach:
        raise DesignError("build.prop", build.prop, Message("want.less_than_reach", reach=brief.reach))
    butt = np.array([(n - 1 - i) * (length - build.overlap) for i in range(n)])
    mouth = butt + length
    table, joint, lever = np.zeros((5, n, 2)), np.zeros(n, JOINT), np.zeros(n)
    for i in range(n):
        alone = (mouth[i + 1] if i + 1 < n else 0.0, butt[i - 1] if i else mouth[i])
        shared = (butt[i - 1], mouth[i]) if i else (0.0, 0.0)
        for region, (low, high) in enumerate((shared, alone)):
            for a, b in ((low, min(high, max(low, build.prop))), (min(high, max(low, build.prop)), high)):
                table[:, i, region] += _integrals(a, b, build.prop, mouth[i], brief.reach, brief.tip_mass)
        if i:
            pivot = np.array([mouth[i] - build.pivot * build.overlap])
            arm, *moments = (float(v[0]) for v in _moments(pivot, build.prop, mouth[i], brief.reach))
            lever[i] = arm
            load = (*(arm * m * GRAVITY for m in moments[:3]), arm * moments[3] * GRAVITY * brief.tip_mass)
            joint[i] = load, arm**2
    return Spans(
        table[0], table[1], table[2], table[3], table[4], lever, joint, butt, mouth, length, packed(none_further(n))
    )


def _integrals(low: float, high: float, prop: float, mouth: float, reach: float, tip: float) -> FloatArray:
    """(5,) integrals over one region of arm times moment; exact, for the products are of fourth degree at most."""
    if high <= low:
        return np.zeros(5)
    point, weight = np.polynomial.legendre.leggauss(4)
    at = low + (high - low) * (point + 1.0) / 2.0
    weight = weight * (high - low) / 2.0
    arm, *moments = _moments(at, prop, mouth, reach)
    scale = (GRAVITY, GRAVITY, GRAVITY, GRAVITY * tip)
    return np.array(
        [
            *(float(np.sum(weight * arm * m)) * g for m, g in zip(moments, scale, strict=True)),
            float(np.sum(weight * arm * arm)),
        ]
    )


def packed(further: Further) -> NDArray[Any]:
    """(n, n_further) of FURTHER_ROW for the loops."""
    own = np.roll(further.lever, -1, axis=1)
    own[:, -1:] = 0.0
    table = further.table.transpose(0, 2, 3, 1)
    parts = (  # in the order of FURTHER_ROW
        table[:, :, 0],
        table[:, :, 1],
        further.joint,
        own[..., None],
        further.stiffer[..., None],
        further.light[..., None],
        further.heavy[..., None],
        further.shift[..., None],
        *further.nested.transpose(1, 0, 3, 2),
    )
    numbers = np.ascontiguousarray(np.concatenate(parts, axis=2).transpose(1, 0, 2))
    return np.asarray(unstructured_to_structured(numbers, FURTHER_ROW))


def drawn_of(spans: Spans, build: Build, *, out: int, tip_mass: float, stiffest: FloatArray) -> tuple[Further, Further]:
    """Droop and flex (one row each) with the `out` thinnest sections drawn out and the others pushed in.

    tip_mass [kg] in all at the tip; stiffest (n,) EI [N m2]: what each section that lies pushed in is taken to have,
    but for the innermost two. The weight of those round the innermost is left out.

    Raises
    ------
    DesignError : the prop stands beyond the mouth of the pushed-in ones.
    """
    n = spans.butt.size
    back = float(spans.butt[out]) - (n - 1 - out) * build.proud
    butt, mouth, reach = spans.butt - back, spans.mouth - back, float(spans.mouth[0]) - back
    if build.prop >= mouth[out] - build.overlap:
        raise DesignError("build.prop", build.prop, Message("want.less_than", limit=mouth[out] - build.overlap))
    droop, flex = one_further(n), one_further(n)
    for k in range(out + 1):
        alone = (mouth[k + 1] if k < out else 0.0, butt[k - 1] if k else mouth[k])
        shared = (butt[k - 1], mouth[k]) if k else (0.0, 0.0)
        for region, (low, high) in enumerate((shared, alone)):
            middle = min(high, max(low, build.prop))
            whole = _integrals(low, middle, build.prop, mouth[k], reach, tip_mass)
            whole = whole + _integrals(middle, high, build.prop, mouth[k], reach, tip_mass)
            droop.table[0, :, k, region], flex.table[0, 3, k, region] = whole[:4], whole[4]
        if k:
            at = np.array([mouth[k] - build.pivot * build.overlap])
            arm, *moments = (float(v[0]) for v in _moments(at, build.prop, mouth[k], reach))
            droop.lever[0, k] = arm
            droop.joint[0, k] = [arm * m * GRAVITY for m in moments[:3]] + [arm * moments[3] * GRAVITY * tip_mass]
            flex.joint[0, k, 3] = arm**2
    for j in range(out, n - 1):
        buried = spans.length - build.proud
        at = np.array([(n - 2 - j) * build.proud + spans.length - build.pivot * buried])
        arm, *moments = (float(v[0]) for v in _moments(at, build.prop, mouth[out], reach))
        droop.lever[0, j + 1] = arm * (build.overlap / buried if build.play is None else 1.0)
        droop.joint[0, out] += [arm * m * GRAVITY for m in moments[:3]] + [arm * moments[3] * GRAVITY * tip_mass]
        flex.joint[0, out, 3] += arm**2
    droop.table[0, 1] -= back * droop.table[0, 0]
    droop.joint[0, :, 1] -= back * droop.joint[0, :, 0]
    if out < n - 1:
        for further in (droop, flex):
            further.stiffer[0, out + 1] = float(np.sum(stiffest[out + 2 :]))
            _nest(further, spans, build, out)
    return droop, flex


def _nest(further: Further, spans: Spans, build: Build, k: int) -> None:
    """Hand what section k bends over to the section round it, whose EI counts there too.

    Of moment M and mass m ahead of section k and its own kg/m o, t0 M + t1 m + t2 o + t3 is
    t0 (M' - c x) + t1 (m' - c) + (t2 - L (t0 z + t1)) o + t3 with M', m' ahead of the next one, c the clamp at its
    mouth x, L the length of a section and z the middle of section k: M' = M + o L z + c x and m' = m + o L + c. What
    stands by o is an arm times the weight of the part of section k on the butt's side: not below zero.
    """
    clamp, mouth, length = build.clamp, float(spans.mouth[k + 1]), spans.length
    table = further.table[0, :, k].T  # (2, 4), overlap first
    moment, mass, own, always = table.T
    middle = float(spans.butt[k]) + length / 2.0
    moved = np.column_stack(
        [moment, mass, own - length * (moment * middle + mass), always - clamp * (moment * mouth + mass)]
    )
    further.nested[0, 0, :, k + 1], further.nested[0, 1, :, k + 1] = moved[1], moved[0]
    further.table[0, :, k] = 0.0
