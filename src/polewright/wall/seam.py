"""Uneven walls: part turns and seams, each with its clock position, and what they do to bending and straightness.

Stiffness round the clock has two lobes, a spine; the shifted centroid and the one-sided shrinking after the oven make
one lobe, a bow. One load cannot tell them apart; two can.
"""

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.rounding import whole_turns
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, finite, from_zero
from polewright.materials.ply import Elastic
from polewright.wall.batch import OneOrMany, cases, figure, settle
from polewright.wall.membrane import rotated_stiffness
from polewright.wall.stack import Stack, Wall

__all__ = ["Arc", "UnevenSection", "bow_tip_offset", "part_turns", "seam_variation", "uneven_section"]


@dataclass(frozen=True, slots=True, eq=False)
class Arc:
    """A strip of one ply that covers part of the clock: the rest of a part turn, or the overlap of a seam.

    elastic: single constants; thickness [m]; angle [rad] of the fibre; start and sweep [rad] on the clock: each a
    number, or one a case, (*case,). after: how many whole layers lie beneath it, 0 at the bore. The layers above ride
    over it, unless `middle` is given: then it is pressed into the wall with its middle at that radius [m], and the
    other layers stay where they are.
    """

    elastic: Elastic
    thickness: OneOrMany
    angle: OneOrMany
    start: OneOrMany
    sweep: OneOrMany
    after: int = 0
    middle: OneOrMany = None

    def __post_init__(self) -> None:
        above_zero("arc.thickness", self.thickness, most=1e30)
        if np.any(
            from_zero("arc.sweep", self.sweep, want=Message("want.from_none_one_whole_turn")) > 2.0 * np.pi + 1e-12
        ):
            raise DesignError("arc.sweep", self.sweep, Message("want.from_none_one_whole_turn"))
        for name in ("start", "angle"):
            finite(f"arc.{name}", getattr(self, name), want=Message("want.finite_angle"), most=1e12)
        settle(self, ("thickness", "angle", "start", "sweep"))
        if self.middle is not None:
            want = Message("want.radius_above_half_strip_s_thickness")
            above_zero("arc.middle", self.middle, want=want, most=1e30)
            settle(self, ("middle",))
            if not np.all(self.middle > self.thickness / 2.0):
                raise DesignError("arc.middle", self.middle, want)

    def covers(self, clock: ArrayLike) -> NDArray[np.bool_]:
        """Whether the strip lies at a place on the clock [rad], any shape that broadcasts with the strip's."""
        return np.asarray((np.asarray(clock, dtype=np.float64) - self.start) % (2.0 * np.pi) < self.sweep)


@dataclass(frozen=True, slots=True, eq=False)
class UnevenSection:
    """A cross-section, or a batch, that is not alike all round. Clock 0 is along x, 90 degrees along y.

    axial: EA [N]; centroid (*case, 2) [m] of stiffness; bending (*case, 2, 2) [N m2] about the centroid, moment =
    bending x curvature, where curvature along x stretches clock 0; expansion (*case, 2) [1/(m K)] curvature made by one
    kelvin of rise; mass [kg/m]. What is one figure a section is a number for one wall, (*case,) for a batch.
    """

    axial: OneOrMany
    centroid: FloatArray
    bending: FloatArray
    expansion: FloatArray
    mass: OneOrMany

    def __post_init__(self) -> None:
        settle(self, ("axial", "mass"))
        freeze(self, ("centroid", "bending", "expansion"))

    @property
    def stiff(self) -> OneOrMany:
        """(*case,) [N m2] the larger principal bending stiffness."""
        return figure(np.linalg.eigvalsh(self.bending)[..., 1])

    @property
    def soft(self) -> OneOrMany:
        """(*case,) [N m2] the smaller principal bending stiffness."""
        return figure(np.linalg.eigvalsh(self.bending)[..., 0])

    @property
    def spine(self) -> OneOrMany:
        """(*case,) [rad] clock position, from 0 up to 180 degrees, of the plane in which the tube is stiffest."""
        vector = np.linalg.eigh(self.bending)[1][..., 1]
        return figure(np.arctan2(vector[..., 1], vector[..., 0]) % np.pi)

    @property
    def peak_to_peak(self) -> OneOrMany:
        """(*case,) [-] difference of the principal stiffnesses over their mean."""
        return figure(2.0 * (self.stiff - self.soft) / (self.stiff + self.soft))

    def stiffness_at(self, clock: ArrayLike) -> FloatArray:
        """(*case, n_clock) [N m2] stiffness for bending in the plane through a clock place [rad], free to sidle."""
        clock = finite("clock", clock, want=Message("want.finite_angle"), most=1e12)
        n = np.stack([np.cos(clock), np.sin(clock)], axis=-1).reshape(-1, 2)
        flat = np.einsum("mi,...ij,mj->...m", n, self.bending, n)
        return np.asarray(flat.reshape((*self.bending.shape[:-2], *clock.shape)))

    def bow(self, *, rise: ArrayLike, length: ArrayLike) -> tuple[OneOrMany, OneOrMany]:
        """Built-in bow [m] over `length` [m] and the clock [rad] of its hollow's back, after `rise` [K] from the oven.

        The rise of a shallow arc of the section's curvature over its chord; the bulging side is the one the curvature
        stretches. Each (*case,).
        """
        heat, long = finite("rise", rise, most=1e30), from_zero("length", length, most=1e30)
        cases("rise, length", np.shape(self.axial), heat.shape, long.shape)
        curvature = self.expansion * heat[..., None]
        size = np.hypot(curvature[..., 0], curvature[..., 1]) * long**2 / 8.0
        return figure(size), figure(np.arctan2(curvature[..., 1], curvature[..., 0]) % (2.0 * np.pi))


def seam_variation(sweep: ArrayLike, *, plies: ArrayLike) -> FloatArray:
    """Peak-to-peak stiffness variation [-] of one thin axial strip over `sweep` [rad] on `plies` whole axial plies.

    sin(sweep)/(pi n): the strip's own mass and the shift of the centroid left out; the limit of `uneven_section` for
    many plies. Arguments broadcast.

    Source
    ------
    Second moments of a thin arc: integral of cos^2 - sin^2 over the strip is sin(sweep), over a whole turn of n plies
    the mean stiffness is pi n.
    """
    swept = finite("sweep", sweep, want=Message("want.finite_angle"), most=1e12)
    return np.asarray(np.sin(swept) / (np.pi * above_zero("plies", plies, most=1e30)))


def bow_tip_offset(bow: ArrayLike, *, length: ArrayLike, arm: ArrayLike) -> FloatArray:
    """How far a bow [m] over a section of `length` [m] throws the tip off, `arm` [m] ahead: (4 b/L) arm [m].

    Arguments broadcast.

    Source
    ------
    End slope of a parabola of rise b over L.
    """
    rise, reach = finite("bow", bow, most=1e30), from_zero("arm", arm, most=1e30)
    return np.asarray(4.0 * rise / above_zero("length", length, most=1e30) * reach)


def part_turns(
    stack: Stack, bore: ArrayLike, *, starts: ArrayLike, overlap: float = 0.0
) -> tuple[Wall, tuple[Arc, ...]]:
    """Whole turns as a wall and the rest as arcs: each ply's part turn, or the overlap of a ply of whole turns.

    Parameters
    ----------
    stack : what is rolled; at least one whole turn in all.
    bore : [m]; a batch (n_case,) gives a batch of walls and of arcs.
    starts : (n_ply,) [rad] clock position where each ply starts (and so where its last, part turn starts).
    overlap : [m] by which every flag runs past its start.

    Returns
    -------
    The wall of whole turns, and the arcs.

    Raises
    ------
    DesignError : no whole turn, starts that are not one per ply, or an overlap that is negative.
    """
    begin = finite("starts", starts, want=Message("want.one_clock_position_per_ply"), most=1e12)
    from_zero("overlap", overlap, want=Message("want.length_zero_or_more"), most=1e30)
    if begin.ndim > 1 or begin.size not in (1, len(stack.plies)):
        raise DesignError(
            "starts", begin.shape, Message("want.one_clock_position_per_ply_in_all", count=len(stack.plies))
        )
    begin = np.broadcast_to(begin, (len(stack.plies),))
    whole = [(stack_ply, whole_turns(stack_ply.turns)) for stack_ply in stack.plies]
    if not any(count for _, count in whole):
        raise DesignError("stack", Message("given.no_whole_turn"), Message("want.at_least_one_ply_all_round"))
    kept = Stack(
        tuple(type(stack_ply)(stack_ply.ply, stack_ply.angle, float(count)) for stack_ply, count in whole if count)
    )
    wall = kept.wall(bore)
    arcs, below = [], 0
    for (stack_ply, count), start in zip(whole, begin, strict=True):
        below += count
        sweep = 2.0 * np.pi * max(stack_ply.turns - count, 0.0) + overlap / wall.edges[..., below]
        if np.any(sweep > 1e-9):
            arcs.append(
                Arc(
                    elastic=stack_ply.ply.elastic,
                    thickness=stack_ply.ply.thickness,
                    angle=stack_ply.angle,
                    start=float(start),
                    sweep=np.minimum(sweep, 2.0 * np.pi),
                    after=below,
                )
            )
    return wall, tuple(arcs)


def uneven_section(wall: Wall, arcs: tuple[Arc, ...]) -> UnevenSection:
    """Stiffness, centroid, mass and thermal curvature of a wall with part turns and seams, integrated round the clock.

    Each sector between arc edges has its own stack, every layer at its own radius, hoop and shear resultant free; then
    EI = I - S S/EA about the centroid of stiffness. The thermal curvature is EI^-1 of the moment of the restrained
    axial force about the centroid.

    Parameters
    ----------
    wall : one wall or a batch, (*case,): the layers that go all round.
    arcs : strips on it, the same in every case but for their figures; none gives the even wall's EA and EI.

    Returns
    -------
    UnevenSection, of all cases.

    Raises
    ------
    DesignError : a strip above more layers than there are, of more than one material, or of other cases than the wall.

    Source
    ------
    Composite section by parallel axes; S. P. Timoshenko, Analysis of bi-metal thermostats, J. Optical Society of
    America 11, 1925, for the curvature of parts that expand unlike.
    """
    _refuse_stray(wall, arcs)
    start, end = _cuts(wall, arcs)
    s = _sectors(wall, arcs, start, end)
    axial, thermal = s.axial.sum(axis=-1), s.thermal.sum(axis=-1)
    first, turned = s.first.sum(axis=-2), s.turned.sum(axis=-2)
    bending = s.second.sum(axis=-3) - first[..., :, None] * first[..., None, :] / axial[..., None, None]
    push = turned - first * (thermal / axial)[..., None]
    return UnevenSection(
        axial=axial,
        centroid=first / axial[..., None],
        bending=bending,
        expansion=np.linalg.solve(bending, push[..., None])[..., 0],
        mass=s.mass.sum(axis=-1),
    )


def _refuse_stray(wall: Wall, arcs: tuple[Arc, ...]) -> None:
    for arc in arcs:
        if arc.after not in range(wall.angle.shape[-1] + 1):
            raise DesignError("arc.after", arc.after, Message("want.from_0_layers_beneath", count=wall.angle.shape[-1]))
        if not isinstance(arc.elastic, Elastic) or arc.elastic.E1.ndim:
            raise DesignError("arc.elastic", f"{arc.elastic!r:.60}", Message("want.single_constants_one_ply_strip"))
        for name in ("thickness", "angle", "start", "sweep", "middle"):
            shape = np.shape(getattr(arc, name))
            if shape not in ((), wall.bore.shape):
                raise DesignError(
                    f"arc.{name}",
                    Message("given.figures", shape=shape),
                    Message("want.one_number_or_one_wall", shape=str(wall.bore.shape)),
                )


def _cuts(wall: Wall, arcs: tuple[Arc, ...]) -> tuple[FloatArray, FloatArray]:
    """(*case, n_sector) [rad] where the sectors of the clock between all arc edges start and end; some may be empty."""
    case = wall.bore.shape
    edges = [np.zeros(case)] + [
        np.broadcast_to(edge % (2.0 * np.pi), case) for arc in arcs for edge in (arc.start, arc.start + arc.sweep)
    ]
    ends = np.sort(np.stack([*edges, np.full(case, 2.0 * np.pi)], axis=-1), axis=-1)
    return ends[..., :-1], ends[..., 1:]


@dataclass(frozen=True, slots=True, eq=False)
class _Sectors:
    """Sums over each sector of the clock (*case, n_sector): EA, first (2,) and second (2, 2) moments, thermal force and
    moment (2,) per kelvin, mass.
    """

    axial: FloatArray
    first: FloatArray
    second: FloatArray
    thermal: FloatArray
    turned: FloatArray
    mass: FloatArray


def _sectors(wall: Wall, arcs: tuple[Arc, ...], start: FloatArray, end: FloatArray) -> _Sectors:
    strips = _strips(wall, arcs, (start + end) / 2.0)
    weight = [(strips.outer**k - strips.inner**k) / k for k in (2, 3, 4)]
    give = [np.linalg.inv(np.einsum("...sn,...nij->...sij", w, strips.layers)) for w in weight]
    stiff = [1.0 / g[..., 0, 0] for g in give]
    force = np.einsum("...nij,...nj->...ni", strips.layers, strips.free)
    push = [
        k * np.einsum("...si,...sn,...ni->...s", g[..., 0, :], w, force)
        for k, g, w in zip(stiff, give, weight, strict=True)
    ]
    turn, square = _moments(start, end)
    return _Sectors(
        axial=stiff[0] * (end - start),
        first=stiff[1][..., None] * turn,
        second=stiff[2][..., None, None] * square,
        thermal=push[0] * (end - start),
        turned=push[1][..., None] * turn,
        mass=np.einsum("...sn,...n->...s", weight[0], strips.density) * (end - start),
    )


def _moments(start: FloatArray, end: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Integrals over each sector of (cos, sin), (..., 2), and of their products, (..., 2, 2)."""
    turn = np.stack([np.sin(end) - np.sin(start), np.cos(start) - np.cos(end)], axis=-1)
    lean = (np.sin(2.0 * end) - np.sin(2.0 * start)) / 2.0
    tilt = (np.cos(2.0 * start) - np.cos(2.0 * end)) / 2.0
    even = end - start
    return turn, np.stack([even + lean, tilt, tilt, even - lean], axis=-1).reshape(*even.shape, 2, 2) / 2.0


@dataclass(frozen=True, slots=True, eq=False)
class _Strips:
    """All layers and strips of every sector: faces (*case, n_sector, n) [m]; stiffness (*case, n, 3, 3) [Pa], free
    expansion (*case, n, 3) [1/K] and density (*case, n) [kg/m3]. A strip has no thickness where it does not lie.
    """

    inner: FloatArray
    outer: FloatArray
    layers: FloatArray
    free: FloatArray
    density: FloatArray


def _strips(wall: Wall, arcs: tuple[Arc, ...], clock: FloatArray) -> _Strips:
    """Layers with the strips they ride over in their places, then the strips pressed in; clock (*case, n_sector)."""
    count, case = wall.angle.shape[-1], wall.bore.shape
    riding, pressed = ([arc for arc in arcs if (arc.middle is None) is lies_on] for lies_on in (True, False))
    order = np.argsort(np.array([*range(count), *(arc.after - 0.5 for arc in riding)]), kind="stable")

    def gathered(layer: FloatArray, name: str, strips: list[Any]) -> FloatArray:
        rows = [_wide(getattr(strip, name), case) for strip in strips]
        whole = np.concatenate([np.broadcast_to(layer, (*case, count)), *rows], axis=-1)
        return np.concatenate([whole[..., order], whole[..., order.size :]], axis=-1)

    every = [*riding, *pressed]
    names = [f.name for f in fields(Elastic)]
    elastic = Elastic(**{n: gathered(getattr(wall.elastic, n), n, [arc.elastic for arc in every]) for n in names})
    angle = gathered(wall.angle, "angle", every)
    there = np.stack([np.ones(clock.shape)] * count + [_lies(arc, clock, case) for arc in every], axis=-1)
    thick = np.concatenate([wall.thickness, *(_wide(arc.thickness, case) for arc in every)], axis=-1)
    thick = thick[..., None, :] * there
    inner = np.broadcast_to(wall.bore[..., None, None] / 2.0, (*clock.shape, 1))
    faces = np.cumsum(np.concatenate([inner, thick[..., order]], axis=-1), axis=-1)
    middle = [np.broadcast_to(_wide(arc.middle, case), clock.shape)[..., None] for arc in pressed]
    half = thick[..., order.size :] / 2.0
    at = np.concatenate(middle, axis=-1) if pressed else half
    return _Strips(
        inner=np.concatenate([faces[..., :-1], at - half], axis=-1),
        outer=np.concatenate([faces[..., 1:], at + half], axis=-1),
        layers=rotated_stiffness(elastic, angle),
        free=_free(elastic, angle),
        density=elastic.density,
    )


def _wide(value: ArrayLike, case: tuple[int, ...]) -> FloatArray:
    """One figure a case, with an axis more for layers or sectors, (*case, 1)."""
    return np.broadcast_to(np.asarray(value, dtype=np.float64), case)[..., None]


def _lies(arc: Arc, clock: FloatArray, case: tuple[int, ...]) -> FloatArray:
    """1 where the strip lies, else 0, (*case, n_sector)."""
    wide = replace(arc, start=_wide(arc.start, case), sweep=_wide(arc.sweep, case))
    return np.asarray(wide.covers(clock), dtype=np.float64)


def _free(elastic: Elastic, angle: FloatArray) -> FloatArray:
    """Free expansion in tube axes, along, around, shear, (..., 3) [1/K]."""
    c, s = np.cos(angle), np.sin(angle)
    a1, a2 = elastic.alpha1, elastic.alpha2
    return np.stack([a1 * c * c + a2 * s * s, a1 * s * s + a2 * c * c, 2.0 * c * s * (a1 - a2)], axis=-1)
