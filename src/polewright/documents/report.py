"""Everything `check` says of a design, with the unit in every name; the same values feed screen, table and JSON."""

from typing import Annotated, Literal

from pydantic import Field

from polewright.documents.document import Document, Part

__all__ = [
    "BandFigures",
    "BendingFigures",
    "CheckReport",
    "DroopShare",
    "FigureOrigin",
    "Finding",
    "Hint",
    "JointFigures",
    "MaterialFigures",
    "PoleFigures",
    "ReachFigures",
    "SectionFigures",
]

Number = Annotated[float, Field(allow_inf_nan=False)]


class FigureOrigin(Part):
    """One figure of a material and where it comes from."""

    figure: str
    value: Number
    unit: str
    kind: Literal["default", "certificate", "measured", "derived"]
    is_default: bool
    source: str
    confidence: str = ""
    formula: str = ""


class MaterialFigures(Part):
    """A prepreg as cured."""

    id: str
    description: str
    lot: str = ""
    family: str
    is_woven: bool
    is_conductive: bool
    thickness_mm: Number
    fibre_volume_pct: Number | None = None
    resin_content_pct: Number | None = None
    total_g_m2: Number
    price_per_m2: Number
    resting_on: Literal["default", "measured", "mixed"]
    figures: tuple[FigureOrigin, ...]


class BandFigures(Part):
    """The window of a clamp's band: at least to hold when wet, at most before the wall collapses."""

    least_N: Number
    most_N: Number
    is_open: bool
    hold_needed_N: Number
    width_mm: Number
    collapse_MPa: Number


class BendingFigures(Part):
    """Moments that end a wall, knock-downs in; the least comes first. Fibre failure is unknown without strengths.

    Resin failure is given, cure stress out, where no fibre runs nearer the axis than 44 degrees: resin carries it.
    """

    fibre_failure_N_m: Number | None
    resin_failure_N_m: Number | None
    flattening_N_m: Number
    wrinkling_N_m: Number
    least_N_m: Number
    first: str
    strength_from: Literal["design values", "lab means", "unknown"]


class SectionFigures(Part):
    """One section, numbered from the tip; ends are given where the tube tapers.

    Stiffness is that of the thin-wall tier, which the pole is bent with; `exact_...` is the layered cylinder's beside
    it. The release gap is exact; the bore that the nest is made of is the thin estimate, `bore_exact_...` beside it.
    """

    number: int
    stack: str
    mandrel: str
    bore_butt_mm: Number
    bore_mouth_mm: Number
    outside_butt_mm: Number
    outside_mouth_mm: Number
    length_mm: Number
    wall_mm: Number
    axial_EA_kN: Number
    bending_EI_N_m2: Number
    bending_EI_mouth_N_m2: Number
    twist_GJ_N_m2: Number
    shear_stiffness_kN: Number
    ring_20mm_N_mm: Number
    mass_per_length_g_m: Number
    mass_g: Number
    exact_EA_kN: Number
    exact_EI_N_m2: Number
    exact_GJ_N_m2: Number
    exact_shear_kN: Number
    bending: BendingFigures
    hoop_expansion_1e6_K: Number
    bore_expansion_1e6_K: Number
    bore_exact_butt_mm: Number
    release_gap_mm: Number
    release_gap_thin_mm: Number
    grips_mandrel: bool
    window: BandFigures | None
    material_cost: Number


class JointFigures(Part):
    """The joint between a section and the next; clearances on diameter."""

    between: tuple[int, int]
    overlap_mm: Number
    clearance_closed_mm: Number
    clearance_at_overlap_mm: Number
    clearance_drawn_mm: Number
    clearance_least_mm: Number
    seam_ridge_mm: Number
    play_mrad: Number
    stiffness_kN_m_rad: Number
    stiffness_from: Literal["default", "measured"]
    pivot_pct: Number


class DroopShare(Part):
    """What one section or joint gives of a droop; shares add up to the whole."""

    part: str
    own_weight_mm: Number
    added_pct: Number


class ReachFigures(Part):
    """The pole with some sections drawn out, on two trestles: held down at the butt, propped, drooping freely."""

    out: int
    name: str
    length_mm: Number
    droop_own_mm: Number
    droop_own_small_mm: Number
    droop_loaded_mm: Number
    droop_loaded_small_mm: Number
    load_g: Number
    added_droop_mm_per_100g: Number
    added_droop_small_mm_per_100g: Number
    large_note: str
    balance_mm: Number
    carry_kg_m: Number
    swing_Hz: Number
    swing_mass_g: Number
    play_mm: Number
    shares: tuple[DroopShare, ...]


class PoleFigures(Part):
    """The pole as a whole."""

    extended_mm: Number
    closed_mm: Number
    mass_g: Number
    tubes_g: Number
    balance_mm: Number
    carry_kg_m: Number
    base_outside_mm: Number
    material_cost: Number
    currency: str
    droop_mm: Number
    droop_small_mm: Number
    droop_tip_total_g: Number
    squeeze_margin: Number | None
    conducts: bool


class Hint(Part):
    """One thing that could be changed, in the order worth trying, and what it would give."""

    order: int
    what: str
    gives: str


class Finding(Part):
    """One check: of the brief or of the workshop's rules; a number with its limit, a reason, what to change."""

    kind: Literal["brief", "rule", "fit", "caution"]
    name: str
    verdict: Literal["holds", "look"]
    where: str = ""
    value: Number | None = None
    limit: Number | None = None
    unit: str = ""
    says: str
    reason: str
    hints: tuple[Hint, ...] = ()


class CheckReport(Document):
    """All figures of a design."""

    document: Literal["check-report"] = "check-report"
    name: str
    maker: str
    design_hash: str
    assumptions: tuple[str, ...]
    materials: tuple[MaterialFigures, ...]
    sections: tuple[SectionFigures, ...]
    joints: tuple[JointFigures, ...]
    reaches: tuple[ReachFigures, ...]
    pole: PoleFigures
    findings: tuple[Finding, ...]
    cautions: tuple[str, ...]
