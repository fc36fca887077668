"""The pole design: brief, materials, mandrels, sections and joints, complete in one file."""

from itertools import pairwise
from typing import Annotated, Literal, TypeVar

from pydantic import Field, field_validator, model_validator

from polewright.codes import Message
from polewright.conventions.collars import CollarKind
from polewright.conventions.criteria import NamingCriterion
from polewright.conventions.overlaps import JointModel
from polewright.documents.brief import Brief
from polewright.documents.document import Document, Part, unless
from polewright.documents.fields import (
    Angle,
    Clearance,
    Coat,
    Expansion,
    Hold,
    JointStiffness,
    Length,
    MandrelDiameter,
    Mass,
    NonNegativeLength,
    Pivot,
    Play,
    Ratio,
    Sanding,
    Temperature,
    TestLoad,
    Turns,
    Utilisation,
    WallThickness,
)
from polewright.documents.material import Material
from polewright.units.fields import si

__all__ = [
    "Design",
    "JointData",
    "MandrelData",
    "MandrelPlace",
    "OwnSpread",
    "PlyData",
    "RuleChange",
    "SectionData",
    "Setting",
]

Name = Annotated[str, Field(min_length=1, max_length=80)]


_Listed = TypeVar("_Listed", Material, "MandrelData")


class MandrelPlace(Part):
    """A diameter as measured cold, at a distance from the mandrel's small end."""

    at_mm: NonNegativeLength
    diameter_mm: MandrelDiameter


class MandrelData(Part):
    """A mandrel on the rack; `material` names a shipped mandrel material, or give cte_1e6_K."""

    id: Name
    material: str = "aluminium_6000"
    cte_1e6_K: Expansion | None = None
    profile: Annotated[tuple[MandrelPlace, ...], Field(min_length=2)]

    @model_validator(mode="after")
    def _profile_rises(self) -> "MandrelData":
        for i, (a, b) in enumerate(pairwise(self.profile), 1):
            if b.at_mm <= a.at_mm:
                raise ValueError(Message("want.rising_profile", place=i + 1, before=si("at_mm", a.at_mm)))
        return self


class PlyData(Part):
    """One flag as rolled: prepreg, angle from the pole's axis, turns."""

    prepreg: Name
    angle_deg: Angle
    turns: Turns = 1.0
    note: str = ""


class SectionData(Part):
    """One section, numbered from the tip; plies from the bore outward."""

    length_mm: Length
    mandrel: Name
    place_mm: NonNegativeLength = 0.0
    bore_mm: MandrelDiameter | None = None
    coat_mm: Coat = 0.0
    stack: Annotated[tuple[PlyData, ...], Field(min_length=1)]


class JointData(Part):
    """The joint where one section slides in the next; `stiffness_from` says where its stiffness comes from.

    `stiffness_overlap_mm` is the overlap at which that stiffness was measured; where the overlap is another, it counts
    by the square of their ratio. Left out, the stiffness is that at the overlap as it is.
    `pivot_pct` is where it turns, in per cent of the overlap in from the outer mouth; left out, 50: both ends of the
    overlap give alike. At 0 the clamp holds the tube at the mouth and the butt end alone gives. `play_mrad` is its free
    tilt to one side where that was measured, at any draw; left out, the clearance over the overlap gives it.
    `clamp_kind` is how the clamp presses: a strap whose ends are drawn together, two lined shells, or one lined pad.
    """

    overlap_mm: Length
    proud_mm: NonNegativeLength = 0.0
    stiffness_kN_m_rad: JointStiffness = 9.0
    stiffness_from: Literal["default", "measured"] = "default"
    stiffness_overlap_mm: Length | None = None
    centring: Literal["mouth", "none"] = "mouth"
    pivot_pct: Pivot | None = None
    play_mrad: Play | None = None
    clamp_g: Mass = 0.0
    clamp_width_mm: Length = 15.0
    clamp_material: Literal["plastic", "aluminium", "other"] = "plastic"
    clamp_kind: Annotated[CollarKind, unless("split_band")] = "split_band"

    @staticmethod
    def fields_of_measured(stiffness_kN_m_rad: float | str, overlap_mm: float | str) -> dict[str, float | str]:
        """What a stiffness measured at an overlap is written as."""
        return {
            "stiffness_kN_m_rad": stiffness_kN_m_rad,
            "stiffness_from": "measured",
            "stiffness_overlap_mm": overlap_mm,
        }

    @property
    def pivot(self) -> float:
        """Where it turns, as a share of the overlap in from the outer mouth."""
        return 0.5 if self.pivot_pct is None else si("pivot_pct", self.pivot_pct)

    @property
    def play(self) -> float | None:
        """[rad] its measured free tilt, None where the clearance gives it."""
        return None if self.play_mrad is None else si("play_mrad", self.play_mrad)


class RuleChange(Part):
    """A workshop's own word on one rule: off, another limit in the rule's own SI unit, other words.

    With `judge`, the id of a shipped rule, it adds a rule under a new id that judges alike, for one prepreg if named.
    """

    id: Name
    is_on: bool = True
    limit: Annotated[float, Field(ge=0.0, le=1000.0)] | None = None
    reason: str | None = None
    remedy: str | None = None
    title: str | None = None
    judge: Name | None = None
    ply: Name | None = None


class OwnSpread(Part):
    """The workshop's own single measurements of one input, whose scatter replaces the table's.

    Relative inputs (E1, across, areal_mass, resin, joint, clamp) may be in any unit, for their share counts; lengths
    are in mm and angles in degrees. `between` says what the measured pieces differ by.
    """

    figure: Literal[
        "E1", "across", "areal_mass", "resin", "angle", "mandrel", "finish", "length", "overlap", "joint", "clamp"
    ]
    between: Literal["lot", "tube", "ply"] = "tube"
    material: str = ""
    values: Annotated[tuple[Annotated[float, Field(ge=-1.0e9, le=1.0e9)], ...], Field(min_length=4, max_length=1000)]
    note: str = ""


class Setting(Part):
    """How the workshop cures, tests and judges this pole.

    criterion: by which limits say that a ply fails; overlaps: tubes in one another bend as one (glued), or touch at the
    two ends of their overlap alone (touching), as a sliding fit does.
    """

    stress_free_C: Temperature = 120.0
    room_C: Temperature = 20.0
    prop_mm: Length = 1000.0
    test_load_g: TestLoad = 500.0
    swing_load_g: Mass = 600.0
    seam_overlap_mm: NonNegativeLength = 6.0
    seam_ridge_mm: Coat = 0.0
    clearance_least_mm: Clearance = 0.15
    trim_mm: NonNegativeLength = 70.0
    utilisation: Utilisation = 0.86
    clamp_hold_N: Hold = 150.0
    friction_wet: Ratio = 0.12
    sanding_mm: Sanding = 0.03
    wall_least_mm: WallThickness = 0.6
    criterion: Annotated[NamingCriterion, unless("hashin")] = "hashin"
    overlaps: Annotated[JointModel, unless("glued")] = "glued"
    rules: tuple[RuleChange, ...] = ()
    spreads: tuple[OwnSpread, ...] = ()
    currency: Annotated[str, Field(max_length=3)] = "€"

    @model_validator(mode="after")
    def _cools_down(self) -> "Setting":
        if self.stress_free_C <= self.room_C:
            raise ValueError(Message("want.stress_free_above_room", room=si("room_C", self.room_C)))
        return self


class Design(Document):
    """A whole pole, complete in one file; sections and joints are listed from the tip."""

    document: Literal["pole-design"] = "pole-design"
    name: Name
    maker: str = ""
    note: str = ""
    brief: Brief = Brief()
    setting: Setting = Setting()
    tip_fitting_g: Mass = 0.0
    materials: Annotated[tuple[Material, ...], Field(min_length=1)]
    mandrels: Annotated[tuple[MandrelData, ...], Field(min_length=1)]
    sections: Annotated[tuple[SectionData, ...], Field(min_length=1, max_length=12)]
    joints: tuple[JointData, ...] = ()

    @field_validator("materials", "mandrels")
    @classmethod
    def _ids_differ(cls, listed: tuple[_Listed, ...]) -> tuple[_Listed, ...]:
        seen: set[str] = set()
        for item in listed:
            if item.id in seen:
                raise ValueError(Message("want.id_of_its_own", name=item.id))
            seen.add(item.id)
        return listed

    @model_validator(mode="after")
    def _joints_between_sections(self) -> "Design":
        if len(self.joints) != len(self.sections) - 1:
            raise ValueError(
                Message("want.joint_between_sections", joints=len(self.joints), sections=len(self.sections))
            )
        return self
