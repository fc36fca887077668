"""Uneven walls: part turns and seams, each with its clock position, and what they do to bending and straightness.

Stiffness round the clock has two lobes, a spine; the shifted centroid and the one-sided shrinking after the oven make
one lobe, a bow. One load cannot tell them apart; two can.
"""

from dataclasses import dataclass, fields
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.errors import DesignError
from polewright.materials.ply import Elastic
from polewright.wall.membrane import rotated_stiffness
from polewright.wall.stack import Stack, Wall

__all__ = ["Arc", "UnevenSection", "bow_tip_offset", "part_turns", "seam_variation", "uneven_section"]


@dataclass(frozen=True, slots=True, eq=False)
class Arc:
    """A strip of one ply that covers part of the clock: the rest of a part turn, or the overlap of a seam.

    elastic: single constants; thickness [m]; angle [rad] of the fibre; start and sweep [rad] on the clock; after: how
    many whole layers lie beneath it, 0 at the bore. The layers above ride over it, unless `middle` is given: then it is
    pressed into the wall with its middle at that radius [m], and the other layers stay where they are.
    """

    elastic: Elastic
    thickness: float
    angle: float
    start: float
    sweep: float
    after: int = 0
    middle: float | None = None

    def __post_init__(self) -> None:
        if not (np.isfinite(self.thickness) and self.thickness > 0.0):
            raise DesignError("arc.thickness", self.thickness, "a number above zero")
        if not (np.isfinite(self.sweep) and 0.0 <= self.sweep <= 2.0 * np.pi + 1e-12):
            raise DesignError("arc.sweep", self.sweep, "from none to one whole turn")
        if self.middle is not None and not (np.isfinite(self.middle) and self.middle > self.thickness / 2.0):
            raise DesignError("arc.middle", self.middle, "a radius above half the strip's thickness")
        if not (np.isfinite(self.start) and np.isfinite(self.angle)):
            raise DesignError("arc.start, arc.angle", "not a number", "finite angles")

    def covers(self, clock: float) -> bool:
        """Whether the strip lies at a place on the clock [rad]."""
        return (clock - self.start) % (2.0 * np.pi) < self.sweep


@dataclass(frozen=True, slots=True, eq=False)
class UnevenSection:
    """A cross-section that is not alike all round. Clock 0 is along x, 90 degrees along y.

    axial: EA [N]; centroid (2,) [m] of stiffness; bending (2, 2) [N m2] about the centroid, moment = bending x
    curvature, where curvature along x stretches clock 0; expansion (2,) [1/(m K)] curvature made by one kelvin of
    rise; mass [kg/m].
    """

    axial: float
    centroid: FloatArray
    bending: FloatArray
    expansion: FloatArray
    mass: float

    def __post_init__(self) -> None:
        freeze(self, ("centroid", "bending", "expansion"))

    @property
    def stiff(self) -> float:
        """[N m2] the larger principal bending stiffness."""
        return float(np.linalg.eigvalsh(self.bending)[1])

    @property
    def soft(self) -> float:
        """[N m2] the smaller principal bending stiffness."""
        return float(np.linalg.eigvalsh(self.bending)[0])

    @property
    def spine(self) -> float:
        """[rad] clock position, from 0 up to 180 degrees, of the plane in which the tube is stiffest."""
        vector = np.linalg.eigh(self.bending)[1][:, 1]
        return float(np.arctan2(vector[1], vector[0]) % np.pi)

    @property
    def peak_to_peak(self) -> float:
        """[-] difference of the principal stiffnesses over their mean."""
        return 2.0 * (self.stiff - self.soft) / (self.stiff + self.soft)

    def stiffness_at(self, clock: ArrayLike) -> FloatArray:
        """(n_clock,) [N m2] stiffness for bending in the plane through a clock place [rad], free to sidle: n.EI.n."""
        clock = np.asarray(clock, dtype=np.float64)
        n = np.stack([np.cos(clock), np.sin(clock)], axis=-1)
        return np.asarray(np.einsum("...i,ij,...j->...", n, self.bending, n))

    def bow(self, *, rise: float, length: float) -> tuple[float, float]:
        """Built-in bow [m] over `length` [m] and the clock [rad] of its hollow's back, after `rise` [K] from the oven.

        b = curvature L^2/8; the bulging side is the one the curvature stretches.
        """
        curvature = self.expansion * rise
        size = float(np.hypot(*curvature)) * length**2 / 8.0
        return size, float(np.arctan2(curvature[1], curvature[0]) % (2.0 * np.pi))


def seam_variation(sweep: ArrayLike, *, plies: ArrayLike) -> FloatArray:
    """Peak-to-peak stiffness variation [-] of one thin axial strip over `sweep` [rad] on `plies` whole axial plies.

    sin(sweep)/(pi n): the strip's own mass and the shift of the centroid left out; the limit of `uneven_section` for
    many plies.

    Source
    ------
    Second moments of a thin arc: integral of cos^2 - sin^2 over the strip is sin(sweep), over a whole turn of n plies
    the mean stiffness is pi n.
    """
    return np.asarray(np.sin(np.asarray(sweep, float)) / (np.pi * np.asarray(plies, float)))


def bow_tip_offset(bow: ArrayLike, *, length: ArrayLike, arm: ArrayLike) -> FloatArray:
    """How far a bow [m] over a section of `length` [m] throws the tip off, `arm` [m] ahead: (4 b/L) arm [m].

    Source
    ------
    End slope of a parabola of rise b over L.
    """
    return np.asarray(4.0 * np.asarray(bow, float) / np.asarray(length, float) * np.asarray(arm, float))


def part_turns(stack: Stack, bore: float, *, starts: ArrayLike, overlap: float = 0.0) -> tuple[Wall, tuple[Arc, ...]]:
    """Whole turns as a wall and the rest as arcs: each wrap's part turn, or the overlap of a wrap of whole turns.

    Parameters
    ----------
    stack : what is rolled; at least one whole turn in all.
    bore : [m].
    starts : (n_wrap,) [rad] clock position where each wrap starts (and so where its last, part turn starts).
    overlap : [m] by which every flag runs past its start.

    Returns
    -------
    The wall of whole turns, and the arcs.
    """
    starts = np.broadcast_to(np.asarray(starts, dtype=np.float64), (len(stack.wraps),))
    whole = [(wrap, int(np.floor(wrap.turns + 1e-9))) for wrap in stack.wraps]
    if not any(count for _, count in whole):
        raise DesignError("stack", "no whole turn", "at least one ply all round")
    kept = Stack(tuple(type(wrap)(wrap.ply, wrap.angle, float(count)) for wrap, count in whole if count))
    wall = kept.wall(bore)
    arcs, below = [], 0
    for (wrap, count), start in zip(whole, starts, strict=True):
        below += count
        sweep = 2.0 * np.pi * max(wrap.turns - count, 0.0) + overlap / float(wall.edges[below])
        if sweep > 1e-9:
            arcs.append(Arc(elastic=wrap.ply.elastic, thickness=wrap.ply.thickness, angle=wrap.angle,
                            start=float(start), sweep=min(float(sweep), 2.0 * np.pi), after=below))
    return wall, tuple(arcs)


def uneven_section(wall: Wall, arcs: tuple[Arc, ...]) -> UnevenSection:
    """Stiffness, centroid, mass and thermal curvature of a wall with part turns and seams, integrated round the clock.

    Each sector between arc edges has its own stack, every layer at its own radius, hoop and shear resultant free; then
    EI = I - S S/EA about the centroid of stiffness. The thermal curvature is EI^-1 of the moment of the restrained
    axial force about the centroid.

    Parameters
    ----------
    wall : one wall, the layers that go all round.
    arcs : strips on it; none gives the even wall's EA and EI.

    Returns
    -------
    UnevenSection.

    Source
    ------
    Composite section by parallel axes; S. P. Timoshenko, Analysis of bi-metal thermostats, J. Optical Society of
    America 11, 1925, for the curvature of parts that expand unlike.
    """
    if wall.angle.ndim != 1:
        raise DesignError("wall", "a batch", "one wall at a time")
    for arc in arcs:
        if not 0 <= arc.after <= wall.angle.size:
            raise DesignError("arc.after", arc.after, f"from 0 to {wall.angle.size} layers beneath")
    sectors = [_sector(wall, arcs, a, b) for a, b in _cuts(arcs)]
    axial, thermal = sum(s.axial for s in sectors), sum(s.thermal for s in sectors)
    first, turned = (np.sum([getattr(s, name) for s in sectors], axis=0) for name in ("first", "turned"))
    bending = np.sum([s.second for s in sectors], axis=0) - np.outer(first, first) / axial
    expansion = np.linalg.solve(bending, turned - first * thermal / axial)
    return UnevenSection(axial=axial, centroid=first / axial, bending=bending, expansion=expansion,
                         mass=sum(s.mass for s in sectors))


def _cuts(arcs: tuple[Arc, ...]) -> list[tuple[float, float]]:
    """Sectors of the clock between all arc edges."""
    edges = {0.0} | {edge % (2.0 * np.pi) for arc in arcs for edge in (arc.start, arc.start + arc.sweep)}
    ends = np.append(np.sort(list(edges)), 2.0 * np.pi)
    return [(float(a), float(b)) for a, b in pairwise(ends) if b > a]


@dataclass(frozen=True, slots=True)
class _Strip:
    """One layer at one place on the clock, with its own faces [m], fibre angle [rad] and single constants."""

    inner: float
    outer: float
    angle: float
    elastic: Elastic

    @property
    def stiffness(self) -> FloatArray:
        """(3, 3) [Pa]."""
        return rotated_stiffness(self.elastic, np.asarray(self.angle))

    @property
    def force(self) -> FloatArray:
        """(3,) [Pa/K] stress of the strip held still, per kelvin, pull on cooling counted by the caller."""
        c, s = np.cos(self.angle), np.sin(self.angle)
        a1, a2 = float(self.elastic.alpha1), float(self.elastic.alpha2)
        free = np.array([a1 * c * c + a2 * s * s, a1 * s * s + a2 * c * c, 2.0 * c * s * (a1 - a2)])
        return np.asarray(self.stiffness @ free)


@dataclass(frozen=True, slots=True, eq=False)
class _Sector:
    """Sums over one sector of the clock: EA, first and second moments, thermal force and moment per kelvin, mass."""

    axial: float
    first: FloatArray
    second: FloatArray
    thermal: float
    turned: FloatArray
    mass: float


def _sector(wall: Wall, arcs: tuple[Arc, ...], start: float, end: float) -> _Sector:
    strips = _strips(wall, [arc for arc in arcs if arc.covers((start + end) / 2.0)])
    edges = np.array([(strip.inner, strip.outer) for strip in strips])
    weight = [(edges[:, 1]**k - edges[:, 0]**k) / k for k in (2, 3, 4)]
    layers, force = np.stack([strip.stiffness for strip in strips]), np.stack([strip.force for strip in strips])
    give = [np.linalg.inv(np.einsum("n,nij->ij", w, layers)) for w in weight]
    stiff = [1.0 / float(g[0, 0]) for g in give]
    push = [k * float(g[0] @ (w @ force)) for k, g, w in zip(stiff, give, weight, strict=False)]
    density = np.array([float(strip.elastic.density) for strip in strips])
    turn, square = _moments(start, end)
    return _Sector(axial=stiff[0] * (end - start), first=stiff[1] * turn, second=stiff[2] * square,
                   thermal=push[0] * (end - start), turned=push[1] * turn,
                   mass=float(weight[0] @ density) * (end - start))


def _moments(start: float, end: float) -> tuple[FloatArray, FloatArray]:
    """Integrals over a sector of (cos, sin) and of their products."""
    turn = np.array([np.sin(end) - np.sin(start), np.cos(start) - np.cos(end)])
    lean = (np.sin(2.0 * end) - np.sin(2.0 * start)) / 2.0
    tilt = (np.cos(2.0 * start) - np.cos(2.0 * end)) / 2.0
    even = end - start
    return turn, np.array([[even + lean, tilt], [tilt, even - lean]]) / 2.0


def _strips(wall: Wall, arcs: list[Arc]) -> list[_Strip]:
    """Layers at one place on the clock, whole ones and arcs, those above an arc riding over it."""
    strips, radius = [], float(wall.bore) / 2.0
    whole = [(float(a), float(t), one) for a, t, one in zip(wall.angle, wall.thickness, _constants(wall), strict=True)]
    for place in range(len(whole) + 1):
        here = [(arc.angle, arc.thickness, arc.elastic) for arc in arcs if arc.after == place and arc.middle is None]
        for angle, thickness, elastic in here + whole[place:place + 1]:
            strips.append(_Strip(radius, radius + thickness, angle, elastic))
            radius += thickness
    return strips + [_Strip(arc.middle - arc.thickness / 2.0, arc.middle + arc.thickness / 2.0, arc.angle, arc.elastic)
                     for arc in arcs if arc.middle is not None]


def _constants(wall: Wall) -> list[Elastic]:
    """Single constants, one a layer."""
    wide = {f.name: np.broadcast_to(getattr(wall.elastic, f.name), wall.angle.shape) for f in fields(Elastic)}
    return [Elastic(**{name: array[i] for name, array in wide.items()}) for i in range(wall.angle.size)]
