"""The pole that is scattered: its nominal build, what is asked of each copy, and which input is which column."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.overlaps import JointModel
from polewright.errors import DesignError
from polewright.materials.frozen_map import FrozenMap
from polewright.pole.pole import Joint
from polewright.pole.state import Bench, Support
from polewright.scatter.spread import FIGURES, LEVELS, Level, Spread, Spreads
from polewright.wall.stack import Stack

__all__ = ["Block", "Build", "Content", "CopyFigure", "Nest", "Problem", "Reach", "Rolled"]


@dataclass(frozen=True, slots=True)
class Content:
    """What a material's ply is made of, so that more resin can swell it.

    resin_share [-] by mass; resin_density [kg/m3]; resin_modulus [Pa]; power [-]: stiffness across the fibre goes with
    the fibre volume share to this power, as the micromechanics of the material says about its nominal content.
    """

    resin_share: float
    resin_density: float = 1220.0
    resin_modulus: float = 3.2e9
    power: float = 1.0

    def __post_init__(self) -> None:
        if not 0.0 < self.resin_share < 1.0:
            raise DesignError("resin_share", self.resin_share, Message("want.between_0_1_by_mass"))
        for name in ("resin_density", "resin_modulus"):
            if not (np.isfinite(getattr(self, name)) and getattr(self, name) > 0.0):
                raise DesignError(name, getattr(self, name), Message("want.above_zero"))
        if not np.isfinite(self.power):
            raise DesignError("power", self.power, Message("want.finite_number"))


@dataclass(frozen=True, slots=True, eq=False)
class Rolled:
    """One section as rolled: stack, length [m], nominal bore (n_station,) [m] evenly from butt to mouth, coat [m].

    A straight tube gives two stations, both alike.
    """

    stack: Stack
    length: float
    bore: FloatArray
    coat: float = 0.0

    def __post_init__(self) -> None:
        freeze(self, ("bore",))
        if self.bore.ndim != 1 or self.bore.size < 2 or not np.all(np.isfinite(self.bore) & (self.bore > 0.0)):
            raise DesignError("bore", self.bore.tolist(), Message("want.two_stations_at_least_butt_first"))
        if not (np.isfinite(self.length) and self.length > 0.0):
            raise DesignError("length", self.length, Message("want.above_zero"))
        if not (np.isfinite(self.coat) and self.coat >= 0.0):
            raise DesignError("coat", self.coat, Message("want.zero_or_more"))


@dataclass(frozen=True, slots=True)
class Nest:
    """How a section sits in the next: the joint with its nominal overlap, and nominal clearances on diameter [m].

    closed: least when pushed in; drawn: at the end of travel; the joint's own clearance is that over the overlap;
    ridge: height that a seam takes of it.
    """

    joint: Joint
    closed: float
    drawn: float
    ridge: float = 0.0

    @property
    def least(self) -> float:
        """[m] the tightest place, seam ridge off."""
        return min(self.closed, self.drawn, self.joint.clearance) - self.ridge


@dataclass(frozen=True, slots=True, eq=False)
class Build:
    """The nominal pole: sections and nests from the tip, tip fitting [kg], contents by the name of the ply."""

    sections: tuple[Rolled, ...]
    nests: tuple[Nest, ...] = ()
    tip_mass: float = 0.0
    overlaps: JointModel = "glued"
    contents: Mapping[str, Content] = field(default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "contents", FrozenMap(dict(self.contents)))
        if not self.sections or len(self.nests) != len(self.sections) - 1:
            raise DesignError(
                "nests", len(self.nests), Message("want.one_between_each_two_sections", limit=len(self.sections) - 1)
            )
        if len({s.bore.size for s in self.sections}) > 1:
            raise DesignError(
                "bore", Message("given.unlike_stations"), Message("want.same_number_stations_every_section")
            )

    @property
    def plies(self) -> tuple[tuple[int, str], ...]:
        """Every flag of the pole, tip section first, bore outward: (section, material)."""
        return tuple((i, w.ply.name) for i, s in enumerate(self.sections) for w in s.stack.plies)


@dataclass(frozen=True, slots=True)
class Reach:
    """One way every copy is held: `drawn` (n_joint,) [-] is 0 for a section pushed in, 1 fully out.

    head, load [kg] at the tip besides the fitting: droop is that with the head, added droop per mass [m/kg] that of
    the load on top (none if zero); lean [rad]; support clamped, bench or hands.
    """

    name: str
    drawn: tuple[float, ...]
    head: float = 0.0
    load: float = 0.0
    lean: float = 0.0
    support: Support = field(default_factory=Bench)

    def __post_init__(self) -> None:
        if any(not 0.0 <= share <= 1.0 for share in self.drawn):
            raise DesignError("drawn", self.drawn, Message("want.between_0_pushed_1_fully_out"))
        for name in ("head", "load"):
            if not (np.isfinite(getattr(self, name)) and getattr(self, name) >= 0.0):
                raise DesignError(name, getattr(self, name), Message("want.zero_or_more"))


Among = Literal["lots", "tubes", "joints", "plies"]
FigureKindCode = Literal["mass", "carry", "length", "closed", "base_outside", "clearance", "droop", "added_droop"]


@dataclass(frozen=True, slots=True)
class CopyFigure:
    """One figure of every copy: its kind, and the joint (from 1 at the tip) or the name of the reach it is of."""

    kind: FigureKindCode
    joint: int = 0
    reach: str = ""

    @property
    def name(self) -> str:
        """The name by which the figure is asked for, such as "clearance.1"."""
        of = str(self.joint) if self.joint else self.reach
        return f"{self.kind}.{of}" if of else self.kind


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """One spread at work: the places it acts on, and the columns of the points that drive it, level by level."""

    spread: Spread
    material: str
    places: NDArray[np.int64]
    columns: Mapping[Level, NDArray[np.int64]]


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """A nominal pole, the spreads of its inputs, and how each copy is held."""

    build: Build
    spreads: Spreads
    reaches: tuple[Reach, ...]
    blocks: tuple[Block, ...] = field(init=False, repr=False)
    inputs: int = field(init=False)

    def __post_init__(self) -> None:
        for reach in self.reaches:
            if len(reach.drawn) != len(self.build.nests):
                raise DesignError(
                    f"reach {reach.name}.drawn", len(reach.drawn), Message("want.shares", count=len(self.build.nests))
                )
        if len({r.name for r in self.reaches}) < len(self.reaches):
            raise DesignError("reaches", Message("given.same_name"), Message("want.each_its_own_name"))
        blocks, inputs = _laid_out(self.build, self.spreads)
        object.__setattr__(self, "blocks", blocks)
        object.__setattr__(self, "inputs", inputs)

    @property
    def figures(self) -> tuple[CopyFigure, ...]:
        """The figures of every copy, in the order of their columns."""
        whole: tuple[FigureKindCode, ...] = ("mass", "carry", "length", "closed", "base_outside")
        found = [CopyFigure(kind) for kind in whole]
        found += [CopyFigure("clearance", joint=j) for j in range(1, len(self.build.nests) + 1)]
        for reach in self.reaches:
            found.append(CopyFigure("droop", reach=reach.name))
            if reach.load > 0.0:
                found.append(CopyFigure("added_droop", reach=reach.name))
        return tuple(found)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the figures, in the order of their columns."""
        return tuple(figure.name for figure in self.figures)

    @property
    def groups(self) -> Mapping[str, NDArray[np.int64]]:
        """Columns (n_column,) by what they are, such as "E1.lots", without the empty ones."""
        return {f"{figure}.{among}": columns for figure, among, columns in self.grouped_inputs}

    @property
    def grouped_inputs(self) -> tuple[tuple[str, Among, NDArray[np.int64]], ...]:
        """Input, what its copies differ between ("lots", "tubes", "joints" or "plies"), its columns (n_column,)."""
        found: list[tuple[str, Among, NDArray[np.int64]]] = []
        for level in LEVELS:
            for figure in FIGURES:
                columns = {
                    int(c)
                    for b in self.blocks
                    if b.spread.figure == figure and level in b.columns
                    for c in b.columns[level]
                }
                if columns:
                    among: Among = "joints" if FIGURES[figure].place == "joint" and level == "tube" else _AMONG[level]
                    found.append((figure, among, np.array(sorted(columns))))
        return tuple(found)

    @property
    def lot_columns(self) -> NDArray[np.int64]:
        """The columns (n_column,) that all poles of one order share, rising."""
        found = {int(c) for b in self.blocks if "lot" in b.columns for c in b.columns["lot"]}
        return np.array(sorted(found), dtype=np.int64)


_AMONG: Mapping[Level, Among] = {"lot": "lots", "tube": "tubes", "ply": "plies"}


def _places(build: Build, spreads: Spreads) -> Iterator[tuple[Spread, str, list[int], list[int], list[int]]]:
    """Each spread, its material, the places it acts on, and the lot and tube each of these belongs to."""
    plies = build.plies
    for figure, kind in FIGURES.items():
        if kind.of_material:
            for material in sorted({name for _, name in plies}):
                spread = spreads.of_figure(figure, material)
                if spread is not None and not (figure == "resin" and material not in build.contents):
                    own = [i for i, (_, name) in enumerate(plies) if name == material]
                    yield spread, material, own, [0] * len(own), [plies[i][0] for i in own]
            continue
        spread = spreads.of_figure(figure)
        if spread is not None:
            tubes = {
                "ply": [s for s, _ in plies],
                "section": list(range(len(build.sections))),
                "joint": list(range(len(build.nests))),
            }[kind.place]
            yield spread, "", list(range(len(tubes))), [0] * len(tubes), tubes


def _laid_out(build: Build, spreads: Spreads) -> tuple[tuple[Block, ...], int]:
    """Columns, lots first: a quasi-random design is best in its first ones, and lots matter most."""
    given = [g for g in _places(build, spreads) if g[2]]
    columns: list[dict[Level, NDArray[np.int64]]] = [{} for _ in given]
    next_free = 0
    for level in LEVELS:
        for (spread, _, places, lots, tubes), own in zip(given, columns, strict=True):
            if getattr(spread, level) > 0.0:
                owners = {"lot": lots, "tube": tubes, "ply": list(range(len(places)))}[level]
                numbered = {owner: next_free + n for n, owner in enumerate(dict.fromkeys(owners))}
                own[level] = np.array([numbered[owner] for owner in owners])
                next_free += len(numbered)
    blocks = tuple(
        Block(g[0], g[1], np.array(g[2]), FrozenMap(own)) for g, own in zip(given, columns, strict=True) if own
    )
    return blocks, next_free
