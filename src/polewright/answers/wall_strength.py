"""When the plies of one section's wall break: reserves, stresses at every face and through the wall, ply by ply."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.materials.ply import Strength
from polewright.pole.section import Section
from polewright.wall.cylinder import exact_tube
from polewright.wall.failure import FirstFailure, ply_reserve
from polewright.wall.report import StrengthReport, WallReport, strength_report
from polewright.wall.stack import Stack
from polewright.wall.through import TubeLoads, tube_stress

__all__ = [
    "MOMENT",
    "BreakStep",
    "FaceStress",
    "FirstPly",
    "PlyReserve",
    "StrengthKind",
    "ThroughStress",
    "WallStrength",
    "ply_reserves",
    "through_stresses",
    "wall_strength",
]

MOMENT = 100.0  # [N m] at which reserves and stresses are given
POINTS = (0.0, 0.25, 0.5, 0.75, 1.0)  # of every layer, in the plot through the wall
PLANE = (0, 1, 5)  # stresses along the fibre, across it and in shear, of six
StrengthKind = Literal["design", "lab"]
Three = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class FirstPly:
    """The first broken ply: moment [N m] (None if none breaks), whether cooling alone breaks it, and which it is."""

    moment: float | None
    in_cure: bool
    failure: Message
    broken: Message


@dataclass(frozen=True, slots=True)
class BreakStep:
    """One ply that breaks as the moment [N m] grows, zero if in the cure; ply counts from 1 at the bore."""

    moment: float
    mode: str
    ply: int


@dataclass(frozen=True, slots=True)
class PlyReserve:
    """Times the moment of reference [-] at first failure by one criterion, cure stress in and out.

    None where nothing breaks at any multiple.
    """

    strengths: StrengthKind
    criterion: str
    cure_in: float | None
    broken_in: Message
    cure_out: float | None
    broken_out: Message


@dataclass(frozen=True, slots=True)
class FaceStress:
    """Stress [Pa] of one layer (from 1 at the bore) at one face in ply axes: along the fibre, across, in shear.

    cure : left by cooling; bending : of the moment of reference on the pulled side; angle [rad]; reserve [-].
    """

    layer: int
    face: Literal["bore", "outer"]
    prepreg: str
    angle: float
    cure: Three
    bending: Three
    reserve: float | None
    mode: str


@dataclass(frozen=True, slots=True)
class ThroughStress:
    """Stress [Pa] at one radius [m] in tube axes, pulled side: along, around, through; moment alone, cooling alone."""

    radius: float
    layer: int
    bending: Three
    cure: Three


@dataclass(frozen=True, slots=True)
class WallStrength:
    """What breaks first and last, and the stress of every layer; last [N m] is the highest moment carried."""

    first: FirstPly
    last: float | None
    steps: tuple[BreakStep, ...]
    stresses: tuple[FaceStress, ...]


def wall_strength(r: WallReport, stack: Stack) -> WallStrength | None:
    """The strength of one wall under the moment of reference; None where the strength of a ply is unknown."""
    s = r.strength
    if s is None:
        return None
    weakest = min(s.with_cure.values(), key=lambda f: float(f.factor))
    steps = tuple(
        BreakStep(MOMENT * float(at), str(mode), int(layer) + 1)
        for at, (layer, mode) in zip(s.last.steps, s.last.broken, strict=True)
    )
    return WallStrength(_first(s, weakest), _known(MOMENT * s.last.factor), steps, _stresses(r, s, stack))


def _first(s: StrengthReport, weakest: FirstFailure) -> FirstPly:
    return FirstPly(_known(s.first_moment), float(weakest.factor) <= 0.0, weakest.message, weakest.broken)


def _known(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def _stresses(r: WallReport, s: StrengthReport, stack: Stack) -> tuple[FaceStress, ...]:
    limits = stack.design_strength() or stack.strength()
    assert limits is not None
    reserve = ply_reserve(r.wall, s.load, limits, cure=s.cure)
    worst = reserve.factor.min(axis=0)
    rows = []
    for k, (ply, angle, _) in enumerate(stack.layers):
        for f in range(2):
            place = int(reserve.factor[:, k, f].argmin())
            rows.append(
                FaceStress(
                    layer=k + 1,
                    face="outer" if f else "bore",
                    prepreg=ply.name,
                    angle=float(angle),
                    cure=_three(s.cure[0, k, f, PLANE]),
                    bending=_three(s.load[0, k, f, PLANE]),
                    reserve=_known(float(worst[k, f])),
                    mode=reserve.named((place, k, f)),
                )
            )
    return tuple(rows)


def _three(stress: FloatArray) -> Three:
    along, across, shear = (float(v) for v in stress)
    return along, across, shear


def ply_reserves(
    r: WallReport, part: Section, *, lab: Strength | None, safe: Strength | None
) -> tuple[PlyReserve, ...]:
    """Reserves by every criterion, with design values and with lab means as far as they are known."""
    rows = []
    both: tuple[tuple[StrengthKind, Strength | None], ...] = (("design", safe), ("lab", lab))
    for kind, strength in both:
        if strength is None:
            continue
        known = (
            r.strength
            if strength is (safe or lab) and r.strength is not None
            else strength_report(exact_tube(r.wall), strength, moment=MOMENT, rise=part.rise)
        )
        for criterion, inside in known.with_cure.items():
            outside = known.without_cure[criterion]
            ends = _known(float(inside.factor)), _known(float(outside.factor))
            rows.append(PlyReserve(kind, criterion, ends[0], inside.broken, ends[1], outside.broken))
    return tuple(rows)


def through_stresses(r: WallReport, part: Section) -> tuple[ThroughStress, ...]:
    """Stresses at five places of every layer, bore first, as a plot through the wall wants them."""
    tube = exact_tube(r.wall, points=POINTS)
    load = tube_stress(tube, TubeLoads(moment=MOMENT)).tube
    cure = tube_stress(tube, TubeLoads(rise=part.rise)).tube
    edges = r.wall.edges
    return tuple(
        ThroughStress(
            radius=float(edges[k] + at * (edges[k + 1] - edges[k])),
            layer=k + 1,
            bending=_three(load[k, p, :3]),
            cure=_three(cure[k, p, :3]),
        )
        for k in range(int(np.size(r.wall.angle)))
        for p, at in enumerate(POINTS)
    )
