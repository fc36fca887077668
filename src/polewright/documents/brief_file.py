"""A brief by itself, before there is a pole: what it must do, and all that the workshop may make it of."""

from typing import Annotated, Literal

from pydantic import Field

from polewright.documents.brief import Brief
from polewright.documents.design import JointData, MandrelData, Setting
from polewright.documents.document import Document, Part
from polewright.documents.fields import (
    Angle,
    Clearance,
    Force,
    Length,
    Mass,
    NonNegativeLength,
    PositiveLength,
    Price,
    Turns,
)
from polewright.documents.material import Material

__all__ = ["Aim", "BriefDocument", "Further", "InStock", "RolledPly", "Rolls", "Sliding"]

Aim = Literal["droop", "flex", "mass", "cost", "carry"]
Name = Annotated[str, Field(min_length=1, max_length=80)]
Count = Annotated[int, Field(ge=1, le=10)]
Hours = Annotated[float, Field(ge=0.0, le=100_000.0)]


class RolledPly(Part):
    """One thing that may be rolled on, once or again and again: a flag of `turns`, or a balanced pair at +- its angle.

    A part turn (turns = 0.5) counts as a ply of its own.
    """

    prepreg: Name
    angle_deg: Angle
    turns: Turns = 1.0
    pair: bool = False


class Rolls(Part):
    """What they roll, and what they will not do without; a rule that is left out is off.

    order "listed": plies lie in the order of the list, bore outward (a ply may stand in it twice, inside and outside);
    "any": every order is tried. ring_least_N_m is the wall's hoop bending stiffness a width; clamp_least_kPa the
    outside pressure that the ring must bear. moment_least_N_m: bending moment that every wall bears, the squeezes:
    force on each side between plates 20 mm wide, in a hand, between 10 mm pads; all by design strengths.
    """

    plies: Annotated[tuple[RolledPly, ...], Field(max_length=200)] = ()
    order: Literal["listed", "any"] = "listed"
    most_plies: Annotated[int, Field(ge=1, le=16)] = 8
    hoop_inside: bool = False
    hoop_outside: bool = False
    woven_skin: bool = False
    wall_least_mm: PositiveLength | None = None
    wall_most_mm: PositiveLength | None = None
    block_most_mm: PositiveLength | None = None
    neighbours_most_deg: Annotated[Angle, Field(gt=0.0)] | None = None
    ring_least_N_m: Annotated[float, Field(ge=0.0, le=1.0e5)] | None = None
    clamp_least_kPa: Annotated[float, Field(ge=0.0, le=1.0e6)] | None = None
    moment_least_N_m: Annotated[float, Field(ge=0.0, le=1.0e5)] | None = None
    plates_squeeze_least_N: Force | None = None
    hand_squeeze_least_N: Force | None = None
    pads_squeeze_least_N: Force | None = None


class Sliding(Part):
    """The clearance on diameter that a joint is given, and where on its mandrel each tube is rolled."""

    clearance_least_mm: Clearance = 0.3
    clearance_most_mm: Clearance = 0.5
    place_mm: NonNegativeLength = 0.0


class InStock(Part):
    """What is left of a prepreg: metres of its roll, and hours of its out-time."""

    prepreg: Name
    left_m: Annotated[float, Field(ge=0.0, le=100_000.0)] | None = None
    life_left_h: Hours | None = None


class Further(Part):
    """What might be bought or allowed: materials not stocked, mandrels not owned, a wider base, more money.

    base_mm left out: as much as the widest mandrel of the rack needs.
    """

    materials: tuple[Material, ...] = ()
    mandrels: tuple[MandrelData, ...] = ()
    base_mm: PositiveLength | None = None
    cost: Price = 10.0


class BriefDocument(Document):
    """A brief with the shelf, the rack and the ways of a workshop: what a search may make a pole of.

    sections: how many there may be; section_length_mm, where tubes are cut to one length, settles how many are needed.
    work_h: hours out of the freezer that making one pole takes; a prepreg with less life left is not used.
    """

    document: Literal["brief"] = "brief"
    name: Name
    maker: str = ""
    note: str = ""
    aim: Aim | None = None
    sections: Annotated[tuple[Count, ...], Field(min_length=1)] | None = None
    section_length_mm: Length | None = None
    tip_fitting_g: Mass = 0.0
    work_h: Hours = 8.0
    brief: Brief
    setting: Setting = Setting()
    sliding: Sliding = Sliding()
    joint: JointData = JointData(overlap_mm=200.0, proud_mm=35.0, clamp_g=45.0)
    rolls: Rolls = Rolls()
    materials: tuple[Material, ...] = ()
    mandrels: tuple[MandrelData, ...] = ()
    stock: tuple[InStock, ...] = ()
    further: Further = Further()
