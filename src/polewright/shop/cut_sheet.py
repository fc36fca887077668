"""Pieces laid side by side on the roll, fibre along it, ready to be written for a cutter.

x runs along the roll and with the fibre, y across it. Pieces are placed by longest-first filling; a better placing may
be put in by whoever has one.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.shop.kit import CutRules, Kit, KitFlag, Piece

__all__ = ["Band", "Cut", "CutSheet", "cut_sheet", "layer_name", "on_the_roll"]

BETWEEN_BANDS = 0.060  # [m] between the rolls of two materials on one drawing


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """One piece placed: all coordinates [m] on the sheet.

    outline (n, 2) closed; fibre (2, 2) ends of the line that shows the fibre; first_edge (k, 2) the part of the edge
    that goes on the mandrel first, empty where another piece of the flag has it; words: what is written on the piece.
    """

    label: str
    layer: str
    material: str
    outline: FloatArray
    fibre: FloatArray
    first_edge: FloatArray
    words: tuple[Message | str, ...]

    def __post_init__(self) -> None:
        freeze(self, ("outline", "fibre", "first_edge"))

    @property
    def size(self) -> tuple[float, float]:
        """[m] along and across the roll."""
        along, wide = np.ptp(self.outline, axis=0)
        return float(along), float(wide)

    def moved(self, x: float, y: float) -> "Cut":
        """The same piece further along by x [m] and across by y [m]."""
        step = np.array([x, y])
        return Cut(
            self.label,
            self.layer,
            self.material,
            self.outline + step,
            self.fibre + step,
            self.first_edge + step,
            self.words,
        )


@dataclass(frozen=True, slots=True)
class Band:
    """One roll on the sheet: its lower edge at y [m], its usable width [m] and the length [m] that is used."""

    material: str
    y: float
    width: float
    length: float


@dataclass(frozen=True, slots=True, eq=False)
class CutSheet:
    """All pieces of a cut, placed; bands are the rolls they lie on."""

    title: str
    cuts: tuple[Cut, ...]
    bands: tuple[Band, ...]

    @property
    def extent(self) -> tuple[float, float]:
        """[m] along and across, from the origin over all rolls."""
        return (max((b.length for b in self.bands), default=0.0), max((b.y + b.width for b in self.bands), default=0.0))


def cut_sheet(
    kits: Sequence[Kit],
    *,
    rules: CutRules | None = None,
    material: str | None = None,
    gap: float = 0.002,
    title: str = "",
) -> CutSheet:
    """Every piece of some kits placed on its roll, or those of one material alone.

    Each material has its own band as wide as its roll. Pieces fill columns across the roll, longest first, with a
    knife allowance `gap` [m] between them.

    Raises
    ------
    DesignError : two kits bear the same name, or there is nothing of that material.
    """
    rules = rules or CutRules()
    names = [kit.section for kit in kits]
    if len(set(names)) < len(names):
        raise DesignError("section", ", ".join(names), Message("want.own_name_of_kit"))
    flags = [(kit.section, flag) for kit in kits for flag in kit.flags if material in (None, flag.ply.name)]
    if not flags:
        raise DesignError("material", material, Message("want.material_of_kits"))
    layers = _layers(flags)
    bands: list[Band] = []
    cuts: list[Cut] = []
    y = 0.0
    for name in dict.fromkeys(flag.ply.name for _, flag in flags):
        own = [
            cut
            for (_, flag), layer in zip(flags, layers, strict=True)
            if flag.ply.name == name
            for cut in on_the_roll(flag, layer)
        ]
        placed, length = _filled(own, rules.width_for(name), gap)
        cuts += [cut.moved(0.0, y) for cut in placed]
        bands.append(Band(name, y, rules.width_for(name), length))
        y += rules.width_for(name) + BETWEEN_BANDS
    return CutSheet(title or " ".join(names), tuple(cuts), tuple(bands))


def on_the_roll(flag: KitFlag, layer: str) -> list[Cut]:
    """The pieces of one flag turned so that the fibre lies along x, each with its lower left corner at the origin."""
    return [_turned(flag, piece, layer) for piece in flag.pieces]


def layer_name(section: str, flag: KitFlag) -> str:
    """Drawing layer of one ply, in letters that every release of DXF takes, as S3_02_SM150_P0."""
    degrees = round(float(np.degrees(flag.flag.angle)), 1)
    angle = f"{'M' if degrees < 0 else 'P'}{abs(degrees):g}".replace(".", "D")
    material = re.sub(r"[^A-Z0-9-]+", "_", flag.ply.name.upper())[:12]
    return f"{re.sub(r'[^A-Z0-9-]+', '_', section.upper())[:8]}_{flag.number:02d}_{material}_{angle}"[:31]


def _layers(flags: Sequence[tuple[str, KitFlag]]) -> list[str]:
    out: list[str] = []
    for section, flag in flags:
        wanted = name = layer_name(section, flag)
        again = 1
        while name in out:
            again += 1
            name = f"{wanted[:28]}_{again}"
        out.append(name)
    return out


def _turned(flag: KitFlag, piece: Piece, layer: str) -> Cut:
    angle = flag.flag.angle
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])  # row vectors times R(-angle)
    outline = piece.outline @ turn
    first = piece.outline[np.abs(piece.outline[:, 1]) < 1e-9] @ turn
    corner = outline.min(axis=0)
    outline = outline - corner
    return Cut(
        piece.label,
        layer,
        flag.ply.name,
        outline,
        _fibre_line(outline),
        first - corner if len(first) > 1 else np.zeros((0, 2)),
        _words(flag, piece),
    )


def _fibre_line(outline: FloatArray) -> FloatArray:
    """A line along x through the middle of a convex piece, a third of its length there."""
    middle = _centre(outline)
    crossings = []
    for a, b in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if (a[1] - middle[1]) * (b[1] - middle[1]) <= 0.0 and a[1] != b[1]:
            crossings.append(float(a[0] + (b[0] - a[0]) * (middle[1] - a[1]) / (b[1] - a[1])))
    half = (max(crossings) - min(crossings)) / 6.0
    return np.array([[middle[0] - half, middle[1]], [middle[0] + half, middle[1]]])


def _centre(outline: FloatArray) -> FloatArray:
    """(2,) centroid of a closed outline, by the shoelace formula."""
    after = np.roll(outline, -1, axis=0)
    cross = outline[:, 0] * after[:, 1] - after[:, 0] * outline[:, 1]
    centre: FloatArray = ((outline + after) * cross[:, None]).sum(axis=0) / (3.0 * cross.sum())
    return centre


def _words(flag: KitFlag, piece: Piece) -> tuple[Message | str, ...]:
    angle = flag.flag.angle
    sign = "+" if 0.0 < angle < np.pi / 2.0 - 1e-9 else ""
    ply = Message("cut.piece", material=flag.ply.name, sign=sign, angle=angle, turns=flag.flag.turns)
    return (piece.label, ply)


def _filled(cuts: list[Cut], width: float, gap: float) -> tuple[list[Cut], float]:
    """Columns across the roll, filled with the longest pieces first; the pieces placed and the length used [m]."""
    order = sorted(range(len(cuts)), key=lambda i: (-round(cuts[i].size[0], 6), -round(cuts[i].size[1], 6), i))
    columns: list[tuple[list[int], float]] = []
    for i in order:
        high = cuts[i].size[1]
        for c, (own, used) in enumerate(columns):
            if used + gap + high <= width + 1e-9:
                own.append(i)
                columns[c] = (own, used + gap + high)
                break
        else:
            columns.append(([i], high))
    placed: dict[int, Cut] = {}
    x = 0.0
    for own, _ in columns:
        y = 0.0
        for i in own:
            placed[i] = cuts[i].moved(x, y)
            y += cuts[i].size[1] + gap
        x += max(cuts[i].size[0] for i in own) + gap
    return [placed[i] for i in range(len(cuts))], max(0.0, x - gap)
