"""Tests that a pole passes or not: proof load, sight and tap, and what pulls a clamp through."""

from typing import Annotated, Literal, get_args

from pydantic import Field

from polewright.documents.document import Part
from polewright.documents.fields import Force, Load, Offset, PositiveLength, ReadingError, Seconds

__all__ = ["DEFECTS", "ClampPull", "Defect", "DefectKind", "ProofLoad", "Pull", "SightAndTap", "Surface"]

DefectKind = Literal[
    "wrinkle",
    "void",
    "delamination",
    "resin_rich",
    "resin_starved",
    "seam_ridge",
    "bridging",
    "skewed_ply",
    "missing_ply",
    "film_left_in",
    "bow",
    "oval",
    "tape_mark",
    "scored_bore",
    "under_cure",
    "clamp_groove",
    "crush",
    "splinter",
]
DEFECTS: tuple[DefectKind, ...] = get_args(DefectKind)
Surface = Literal["dry", "wet", "soapy"]


class Pull(Part):
    """What pulled along the pole when the joint slipped."""

    pull_N: Annotated[Force, Field(gt=0.0)]


class ClampPull(Part):
    """A joint clamped as for use and pulled along the pole until it slips, once or more."""

    kind: Literal["clamp pull"] = "clamp pull"
    joint: Annotated[int, Field(ge=1, le=11)]
    surface: Surface
    pull_u_N: Annotated[Force, Field(gt=0.0)] = 2.0
    pulls: Annotated[tuple[Pull, ...], Field(min_length=1)]


class ProofLoad(Part):
    """A whole pole level on the trestles, all drawn out: what hung at its tip and how long, how far the tip stayed down
    when it was taken off, and whether anything was heard to creak.
    """

    kind: Literal["proof load"] = "proof load"
    load_g: Annotated[Load, Field(gt=0.0)]
    time_s: Seconds
    set_mm: Offset
    set_u_mm: ReadingError = 0.5
    creak: bool


class Defect(Part):
    """What was seen, felt or heard: in which section (0: not of one section), where from its butt, and why it may stay;
    left out, it is open.
    """

    defect: DefectKind
    section: Annotated[int, Field(ge=0, le=12)] = 0
    at_mm: PositiveLength | None = None
    accepted: Annotated[str, Field(max_length=200)] = ""


class SightAndTap(Part):
    """Every section looked over and, if `tapped`, tapped along its length; with what was found."""

    kind: Literal["sight and tap"] = "sight and tap"
    tapped: bool
    defects: tuple[Defect, ...] = ()
