"""The cut place: the flags of one section in rolling order, with their sizes and the files to cut them by."""

from dataclasses import dataclass

from polewright.drawings.flag import flag_drawing
from polewright.sheet.cautions import CautionText, caution_texts, cautions
from polewright.web.page_state import PageState
from polewright.web.place_kind import PlaceKind
from polewright.web.release import give_reason, release_view
from polewright.words import Reader
from polewright.workshop import KitFlag
from polewright.workshop.papers import kit_of_section

__all__ = ["PLACE", "CutView", "FlagRow", "cut_view"]


@dataclass(frozen=True, slots=True)
class FlagRow:
    """One flag: its place in the rolling order, sizes, drawing."""

    number: int
    what: str
    sizes: str
    partner: str
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
    mass: str
    trim: str
    overlap: str
    notes: tuple[str, ...]
    cautions: tuple[CautionText, ...]


def cut_view(state: PageState) -> CutView:
    """The kit of the section in state."""
    kit = kit_of_section(state.design, state.now.work, state.section)
    reader, section = state.reader, state.now.work.sections[state.section - 1]
    found = cautions("cut", families={made.ply.family for made in kit.flags})
    return CutView(
        number=state.section,
        sections=len(state.design.sections),
        mandrel=section.mandrel.name,
        flags=tuple(_row(flag, reader) for flag in kit.flags),
        films=kit.films,
        mass=reader.quantity(kit.mass, "mass", 0, 1),
        trim=reader.quantity(kit.trim, "length", 0, 2),
        overlap=reader.quantity(kit.flags[0].flag.overlap, "length", 0, 2),
        notes=tuple(reader.text(note) for note in kit.notes),
        cautions=caution_texts(found, reader),
    )


def _row(made: KitFlag, reader: Reader) -> FlagRow:
    flag = made.flag
    return FlagRow(
        number=made.number,
        what=reader.say("place.cut.flag_of", material=made.ply.name, angle=flag.angle, count=flag.turns),
        sizes=reader.say(
            "place.cut.sizes",
            length=flag.length,
            butt=flag.width_butt,
            tip=flag.width_tip,
            mass=made.mass,
            pieces=len(made.pieces),
        ),
        partner="" if made.partner is None else reader.say("place.cut.partner", flag=made.partner),
        drawing=flag_drawing(made, reader),
        hand_drawing=flag_drawing(made, reader, phone=True),
    )


PLACE = PlaceKind(
    "make",
    1,
    lambda request: {"view": cut_view(request.state), "release": release_view(request)},
    actions={"": give_reason},
)
