"""A checked design as it is published: the unit in every name, texts of a reader."""

from functools import cache
from typing import Literal, cast

from polewright.answers.check import Check, check_design
from polewright.answers.findings import Finding as FindingAnswer
from polewright.answers.materials import MaterialAnswer
from polewright.answers.reaches import ReachAnswer
from polewright.answers.sections import BendingLimits, SectionAnswer
from polewright.conventions.collars import CollarKind
from polewright.documents.design import Design
from polewright.documents.document import Document, Part
from polewright.units import from_, to
from polewright.wall.collar import WallEnd
from polewright.words.check import large_note, reach_name, share_name, stack_text
from polewright.words.findings import finding_text
from polewright.words.forms import value_text
from polewright.words.reader import Reader, default_reader
from polewright.words.report_fields import published, published_number
from polewright.words.reports.plain import plain_text

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
    "check_report",
    "evaluate",
]


class FigureOrigin(Part):
    """One figure of a material and where it comes from."""

    figure: str
    value: float
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
    thickness_mm: float
    fibre_volume_pct: float | None = None
    resin_content_pct: float | None = None
    total_g_m2: float
    price_per_m2: float
    resting_on: Literal["default", "measured", "mixed"]
    figures: tuple[FigureOrigin, ...]


class BandFigures(Part):
    """The window of a clamp's band: at least to hold when wet, at most before the wall ends, by what `ends` says.

    crack: first crack of the resin, 0 where the cure cracks it; fibre: first broken fibre; collapse: the wall folds;
    None where that is unknown or does not come before the wall ends. kind: how the clamp presses.
    """

    least_N: float
    most_N: float
    is_open: bool
    hold_needed_N: float
    width_mm: float
    kind: CollarKind
    ends: WallEnd
    crack_N: float | None
    fibre_N: float | None
    collapse_N: float | None


class BendingFigures(Part):
    """Moments that end a wall, knock-downs in; the least comes first. Fibre failure is unknown without strengths.

    Resin failure is given, cure stress out, where no fibre runs nearer the axis than 44 degrees: resin carries it.
    """

    fibre_failure_N_m: float | None
    resin_failure_N_m: float | None
    flattening_N_m: float
    wrinkling_N_m: float
    least_N_m: float
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
    bore_butt_mm: float
    bore_mouth_mm: float
    outside_butt_mm: float
    outside_mouth_mm: float
    length_mm: float
    wall_mm: float
    axial_EA_kN: float
    bending_EI_N_m2: float
    bending_EI_mouth_N_m2: float
    twist_GJ_N_m2: float
    shear_stiffness_kN: float
    ring_20mm_N_mm: float
    mass_per_length_g_m: float
    mass_g: float
    exact_EA_kN: float
    exact_EI_N_m2: float
    exact_GJ_N_m2: float
    exact_shear_kN: float
    bending: BendingFigures
    hoop_expansion_1e6_K: float
    bore_expansion_1e6_K: float
    bore_exact_butt_mm: float
    release_gap_mm: float
    release_gap_thin_mm: float
    grips_mandrel: bool
    window: BandFigures | None
    material_cost: float


class JointFigures(Part):
    """The joint between a section and the next; clearances on diameter."""

    between: tuple[int, int]
    overlap_mm: float
    clearance_closed_mm: float
    clearance_at_overlap_mm: float
    clearance_drawn_mm: float
    clearance_least_mm: float
    seam_ridge_mm: float
    play_mrad: float
    stiffness_kN_m_rad: float
    stiffness_from: Literal["default", "measured"]
    pivot_pct: float


class DroopShare(Part):
    """What one section or joint gives of a droop; shares add up to the whole."""

    part: str
    own_weight_mm: float
    added_pct: float


class ReachFigures(Part):
    """The pole with some sections drawn out, on two trestles: held down at the butt, propped, drooping freely."""

    out: int
    name: str
    length_mm: float
    droop_own_mm: float
    droop_own_small_mm: float
    droop_loaded_mm: float
    droop_loaded_small_mm: float
    load_g: float
    added_droop_mm_per_100g: float
    added_droop_small_mm_per_100g: float
    large_note: str
    balance_mm: float
    carry_kg_m: float
    swing_Hz: float
    swing_mass_g: float
    play_mm: float
    shares: tuple[DroopShare, ...]


class PoleFigures(Part):
    """The pole as a whole."""

    extended_mm: float
    closed_mm: float
    mass_g: float
    tubes_g: float
    balance_mm: float
    carry_kg_m: float
    base_outside_mm: float
    material_cost: float
    currency: str
    droop_mm: float
    droop_small_mm: float
    droop_tip_total_g: float
    squeeze_margin: float | None
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
    value: float | None = None
    limit: float | None = None
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


_UNITS = {  # quantity -> unit of the table, as published
    "length": ("mm", "mm"),
    "mass": ("g", "g"),
    "carry": ("kg m", "kg m"),
    "bending": ("N m2", "N m²"),
    "frequency": ("Hz", "Hz"),
    "force": ("N", "N"),
    "moment": ("N m", "N m"),
    "flex": ("mm/100 g", "mm per 100 g"),
    "angle": ("°", "°"),
}


def check_report(check: Check, reader: Reader) -> CheckReport:
    """A checked design as it is published, its texts for a reader; figures are metric for every reader."""
    reader = Reader(reader.language)
    return CheckReport(
        name=check.name,
        maker=check.maker,
        design_hash=check.design_hash,
        assumptions=tuple(plain_text(reader.text(each)) for each in check.assumptions),
        materials=tuple(_material(m, reader) for m in check.materials),
        sections=tuple(_section(s) for s in check.sections),
        joints=tuple(published(JointFigures, j) for j in check.joints),
        reaches=tuple(_reach(r, reader) for r in check.reaches),
        pole=published(PoleFigures, check.pole, droop_tip_total_g=to(check.pole.droop_load, "g")),
        findings=tuple(_finding(f, reader) for f in check.findings),
        cautions=tuple(plain_text(reader.text(each)) for each in check.cautions),
    )


def evaluate(design: Design) -> CheckReport:
    """Every figure and every finding of a design, as published, in the language of this installation.

    Raises
    ------
    DocumentError : the design cannot be built. NotConverged : a bent pole could not be found.
    """
    return check_report(check_design(design), default_reader())


def _material(material: MaterialAnswer, reader: Reader) -> MaterialFigures:
    return published(
        MaterialFigures,
        material,
        total_g_m2=to(material.area_mass, "g/m2"),
        price_per_m2=material.price,
        figures=tuple(
            published(FigureOrigin, each, source=reader.text(each.source), formula=reader.text(each.formula))
            for each in material.figures
        ),
    )


def _section(section: SectionAnswer) -> SectionFigures:
    return published(
        SectionFigures,
        section,
        stack=stack_text(section.stack),
        ring_20mm_N_mm=to(section.ring, "N/mm"),
        bending=_bending(section.bending),
    )


def _bending(limits: BendingLimits) -> BendingFigures:
    strength = cast(Literal["design values", "lab means", "unknown"], limits.strength_from.replace("_", " "))
    return published(BendingFigures, limits, first=limits.first.replace("_", " "), strength_from=strength)


def _reach(reach: ReachAnswer, reader: Reader) -> ReachFigures:
    shares = tuple(
        published(DroopShare, share, part=plain_text(share_name(share, reader, is_short=True)))
        for share in reach.shares
    )
    return published(
        ReachFigures,
        reach,
        name=plain_text(reach_name(reach, reader)),
        large_note=plain_text(large_note(reach, reader)),
        shares=shares,
    )


def _finding(finding: FindingAnswer, reader: Reader) -> Finding:
    text, (value, limit, unit) = finding_text(finding, reader, is_short=True), _figures(finding, reader)
    return Finding(
        kind=finding.kind,
        name=plain_text(text.name),
        verdict=finding.verdict,
        where=finding.where,
        value=value,
        limit=limit,
        unit=unit,
        says=plain_text(text.says),
        reason=plain_text(text.reason),
        hints=tuple(
            Hint(order=n, what=plain_text(hint.what), gives=plain_text(hint.gives))
            for n, hint in enumerate(text.hints, 1)
        ),
    )


def _figures(finding: FindingAnswer, reader: Reader) -> tuple[float | None, float | None, str]:
    """Value and limit of a finding in the unit that is published, and that unit."""
    if finding.quantity not in _UNITS:
        unit = finding.details.get("currency" if finding.quantity == "money" else "unit", "")
        return finding.value, finding.limit, plain_text(value_text(unit, "", reader))
    unit, printed = _UNITS[finding.quantity]
    factor = _factor(unit)
    value, limit = (None if each is None else published_number(each, factor) for each in (finding.value, finding.limit))
    return value, limit, printed


@cache
def _factor(unit: str) -> float:
    return from_(1.0, unit)
