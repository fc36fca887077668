"""What each ply of one section's wall earns, what a change of it does, and the slopes of every figure."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from polewright.conventions.rounding import started_turns
from polewright.units import si
from polewright.wall.sensitivity import FIGURES, PARAMETERS, changes, earnings, slopes, thin_figures
from polewright.wall.stack import Stack

__all__ = ["ChangeEffect", "PlyShare", "Slope", "change_effects", "figure_slopes", "ply_shares"]


@dataclass(frozen=True, slots=True)
class PlyShare:
    """What one ply (from 1 at the bore) earns: its share [-] of each figure; each share adds up to one. angle [rad]"""

    ply: int
    prepreg: str
    angle: float
    turns: float
    along: float
    around: float
    twist: float
    mass: float
    cost: float


@dataclass(frozen=True, slots=True)
class ChangeEffect:
    """One ply "removed", "rotated" or "thicker": share [-] by which each figure moves, wall [m], cost [currency/m]."""

    ply: int
    what: str
    axial: float
    bending: float
    twist: float
    ring: float
    flattening: float
    mass: float
    wall: float
    cost: float


@dataclass(frozen=True, slots=True)
class Slope:
    """Exact slope: share [-] of each figure for one percent of a parameter of one ply, of an angle for one degree."""

    ply: int
    parameter: str
    axial: float
    bending: float
    twist: float
    shear: float
    ring: float
    flattening: float
    mass: float


def ply_shares(stack: Stack, bore: float) -> tuple[PlyShare, ...]:
    """What each ply earns of stiffness along, around and in twist, of mass and of cost."""
    e = earnings(stack, bore)
    return tuple(
        PlyShare(
            ply=i + 1,
            prepreg=stack_ply.ply.name,
            angle=float(stack_ply.angle),
            turns=stack_ply.turns,
            along=float(e.along[i]),
            around=float(e.around[i]),
            twist=float(e.twist[i]),
            mass=float(e.mass[i]),
            cost=float(e.cost[i]),
        )
        for i, stack_ply in enumerate(stack.plies)
    )


def change_effects(stack: Stack, bore: float) -> tuple[ChangeEffect, ...]:
    """Every ply taken out, rotated by five degrees and made a tenth thicker, each by itself."""
    now = float(stack.thickness)
    return tuple(
        ChangeEffect(
            ply=c.ply + 1,
            what=c.what,
            **_shares(
                dict(zip(FIGURES, c.relative, strict=True)), ("axial", "bending", "twist", "ring", "flattening", "mass")
            ),
            wall=float(c.after[FIGURES.index("wall")]) - now,
            cost=float(c.cost),
        )
        for c in changes(stack, bore)
    )


def _shares(by: Mapping[str, float], names: tuple[str, ...]) -> dict[str, float]:
    return {name: float(by[name]) for name in names}


def figure_slopes(stack: Stack, bore: float) -> tuple[Slope, ...]:
    """Exact derivatives of the thin figures by every parameter of every ply."""
    wall = stack.wall(bore)
    table, now = slopes(wall), dict(zip(FIGURES, thin_figures(wall), strict=True))
    owner = np.repeat(np.arange(len(stack.plies)), [started_turns(w.turns) for w in stack.plies])
    e = wall.elastic
    sizes = {
        "thickness": wall.thickness,
        "angle": np.full(owner.size, si("step_deg", 1.0)),
        "E1": e.E1,
        "E2": e.E2,
        "G12": e.G12,
        "nu12": e.nu12,
        "density": e.density,
    }
    rows = []
    for i in range(len(stack.plies)):
        for name in PARAMETERS:
            step = np.broadcast_to(sizes[name], owner.shape) * (1.0 if name == "angle" else si("step_pct", 1.0))
            moved = {f: float((table.of(f, name) * step)[owner == i].sum()) / float(now[f]) for f in FIGURES}
            shown = _shares(moved, ("axial", "bending", "twist", "shear", "ring", "flattening", "mass"))
            rows.append(Slope(ply=i + 1, parameter=name, **shown))
    return tuple(rows)
