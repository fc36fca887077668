"""The cut place: the flags of one section in rolling order, with their sizes and the files to cut them by."""

from dataclasses import dataclass

import numpy as np

from polewright.documents.section_figures import kits
from polewright.drawings.flag import flag_drawing
from polewright.sheet.cautions import Caution, cautions
from polewright.shop.kit import KitFlag
from polewright.units import System
from polewright.web.say import Said, say
from polewright.web.sight import Sight

__all__ = ["CutView", "FlagRow", "cut_view"]


@dataclass(frozen=True, slots=True)
class FlagRow:
    """One flag: its place in the rolling order, sizes, drawing."""

    number: int
    prepreg: str
    angle: str
    turns: str
    butt: Said
    tip: Said
    length: Said
    mass: Said
    pieces: int
    partner: int | None
    drawing: str
    hand_drawing: str


@dataclass(frozen=True, slots=True)
class CutView:
    """All that the cut place shows."""

    number: int
    sections: int
    mandrel: str
    flags: tuple[FlagRow, ...]
    films: int
    mass: Said
    trim: Said
    overlap: Said
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]


def cut_view(sight: Sight) -> CutView:
    """The kit of the section in sight."""
    kit = kits(sight.design, sight.now.work)[sight.section - 1]
    system, section = sight.system, sight.now.work.sections[sight.section - 1]
    flags = tuple(_row(flag, system) for flag in kit.flags)
    return CutView(
        sight.section,
        len(sight.design.sections),
        section.mandrel.name,
        flags,
        kit.films,
        say(kit.mass, "mass", system, 0, 1),
        say(kit.trim, "length", system, 0, 2),
        say(kit.flags[0].flag.overlap, "length", system, 0, 2),
        kit.notes,
        cautions("cut", families={made.ply.family for made in kit.flags}),
    )


def _row(made: KitFlag, system: System) -> FlagRow:
    flag = made.flag
    return FlagRow(
        made.number,
        made.ply.name,
        f"{np.degrees(flag.angle):.4g}°",
        f"{flag.turns:g}",
        say(flag.width_butt, "length", system, 1, 3),
        say(flag.width_tip, "length", system, 1, 3),
        say(flag.length, "length", system, 0, 2),
        say(made.mass, "mass", system, 1, 2),
        len(made.pieces),
        made.partner,
        flag_drawing(made, system=system),
        flag_drawing(made, system=system, phone=True),
    )
