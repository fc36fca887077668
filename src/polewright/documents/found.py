"""What a search found, as a person reads it: poles as whole designs, the proof, the offers, the wishes in the way."""

from dataclasses import dataclass
from typing import Literal

from polewright.documents.brief_file import BriefDocument
from polewright.documents.check import check
from polewright.documents.design import Design, SectionData, WrapData
from polewright.documents.document import Document, Part
from polewright.documents.options_of import Asked
from polewright.documents.report import CheckReport, Finding
from polewright.documents.section_figures import kits, stack_text
from polewright.documents.values import workpiece
from polewright.search import FoundPole
from polewright.shop.cost import material_use
from polewright.units import si, to

__all__ = [
    "Count",
    "FindReport",
    "FoundFigures",
    "Money",
    "OfferFigures",
    "Read",
    "Way",
    "design_of",
    "figures_of",
    "read_of",
    "section_of",
    "short_of",
]


class FoundFigures(Part):
    """One pole that was found; droop, flex, mass and cost as every design is checked, true rotations and all.

    droop_search_mm is the figure of the simpler model that the bound speaks of; gap_pct by how much anything could be
    better than this pole in that model; misses: wishes and fits that the check finds not met.
    """

    name: str
    droop_mm: float
    droop_search_mm: float
    flex_mm_per_100g: float
    mass_g: float
    material_cost: float
    carry_kg_m: float
    base_outside_mm: float
    closed_mm: float
    swing_Hz: float
    gap_pct: float | None
    sections: int
    mandrels: tuple[str, ...]
    stacks: tuple[str, ...]
    misses: tuple[str, ...]


class Count(Part):
    """One count of candidates that adds up: in_all = evaluated + excluded + left."""

    what: str
    in_all: int
    evaluated: int
    excluded: dict[str, int]
    left: int


class Money(Part):
    """What money does in one section of a plain pole of the trade: the swap that saves the most droop for it."""

    section: int
    stack: str
    droop_saved_mm: float
    cost: float
    mm_per_cost: float


class OfferFigures(Part):
    """What one more wish would buy; `says` puts it in words."""

    what: str
    droop_saved_mm: float
    cost_saved: float
    says: str
    stiffer: FoundFigures | None
    cheaper: FoundFigures | None


class Way(Part):
    """One wish that is in the way, eased while all others are kept: the nearest pole there is, or none."""

    wish: str
    limit: float
    needs: float | None
    unit: str
    says: str
    pole: FoundFigures | None


class FindReport(Document):
    """The answer to a brief: best pole, trade, proof, what more would buy; or why there is no such pole."""

    document: Literal["find-report"] = "find-report"
    name: str
    currency: str
    aim: Literal["droop", "flex", "mass", "cost", "carry"]
    best: FoundFigures | None
    is_complete: bool
    bound_model: str
    counts: tuple[Count, ...]
    estimate: str
    notes: tuple[str, ...]
    front: tuple[FoundFigures, ...] = ()
    money: tuple[Money, ...] = ()
    offers: tuple[OfferFigures, ...] = ()
    conflict: tuple[str, ...] = ()
    is_hopeless: bool = False
    ways: tuple[Way, ...] = ()
    design: Design | None = None
    stopped_at: str = ""


def design_of(asked: Asked, pole: FoundPole, *, name: str = "") -> Design:
    """A pole of the search as a whole design; equal flags that follow each other are one flag of more turns."""
    document = asked.document
    mandrels = {m.id: m for m in (*document.mandrels, *document.further.mandrels)}
    used = [pole.shop.bars[b].name for b in pole.bars]
    sections = tuple(section_of(asked, pole, i) for i in range(len(used)))
    rolled = {w.prepreg for s in sections for w in s.stack}
    materials = tuple(
        m for m in (*document.materials, *document.further.materials) if m.id in rolled or m in document.materials
    )
    # a brief that leaves the number of sections open may wish for more drawn out than the best pole has: that is all
    wishes = tuple(w.model_copy(update={"out": 0}) if w.out >= len(used) else w for w in document.brief.droop)
    return Design(
        name=name or document.name,
        maker=document.maker,
        note=f"found for the brief {document.name}",
        brief=document.brief.model_copy(update={"droop": wishes}),
        setting=document.setting,
        tip_fitting_g=document.tip_fitting_g,
        materials=materials,
        mandrels=(*document.mandrels, *(mandrels[u] for u in used if mandrels[u] not in document.mandrels)),
        sections=sections,
        joints=(document.joint,) * (len(used) - 1),
    )


def section_of(asked: Asked, pole: FoundPole, at: int) -> SectionData:
    """One section of a found pole, number `at` from 0 at the tip."""
    flags: list[tuple[str, float, float]] = []
    for k in pole.recipes[at]:
        rolled = _rolled(asked, pole, k)
        flags.append((rolled[0], rolled[1], rolled[2]))
        if rolled[3]:
            flags.append((rolled[0], -rolled[1], rolled[2]))
    wraps: list[tuple[str, float, float]] = []
    for name, angle, turns in flags:
        if wraps and wraps[-1][:2] == (name, angle):
            wraps[-1] = (name, angle, wraps[-1][2] + turns)
        else:
            wraps.append((name, angle, turns))
    return SectionData(
        length_mm=to(pole.length, "mm"),
        mandrel=pole.shop.bars[pole.bars[at]].name,
        place_mm=asked.document.sliding.place_mm,
        stack=tuple(WrapData(prepreg=n, angle_deg=a, turns=t) for n, a, t in wraps),
    )


def _rolled(asked: Asked, pole: FoundPole, k: int) -> tuple[str, float, float, bool]:
    """Prepreg, angle [deg], turns and pair of an option of the pole's own shop, which may hold a further material."""
    option = pole.shop.walls.plies[k]
    for rolled, known in zip(asked.rolled, asked.shop.walls.plies, strict=True):
        if known is option:
            return rolled.prepreg, rolled.angle_deg, rolled.turns, rolled.pair
    return option.ply.name, to(option.angle, "°"), 1.0, option.is_pair


@dataclass(frozen=True, slots=True)
class Read:
    """What the whole check reads of a pole, as the search counts it, SI: None where the brief has no such wish.

    droops, flexes, swing : of its wishes at other loads and reaches, and of its swing.
    """

    droop: float
    flex: float
    mass: float
    cost: float
    carry: float
    droops: tuple[float, ...]
    flexes: tuple[float, ...]
    swing: float


def read_of(asked: Asked, report: CheckReport) -> Read:
    """The check's figures of every wish that the search knows."""
    wishes = [f.value for f in report.findings if f.kind == "brief" and f.name.startswith(("Droop,", "Wanted flex,"))]
    droops = [0.0 if v is None else si("droop_mm", v) for v in wishes]
    flexes = [0.0 if v is None else si("flex_mm_per_100g", v) for v in wishes]
    p, last = report.pole, report.reaches[-1]
    return Read(
        si("droop_mm", p.droop_mm) if asked.droop_at is None else droops[asked.droop_at],
        si("flex_mm_per_100g", last.added_droop_mm_per_100g) if asked.flex_at is None else flexes[asked.flex_at],
        si("mass_g", p.mass_g),
        p.material_cost,
        p.carry_kg_m,
        tuple(droops[i] for i in asked.droops_at),
        tuple(flexes[i] for i in asked.flexes_at),
        last.swing_Hz,
    )


def figures_of(
    asked: Asked, pole: FoundPole, *, gap: float | None = None, name: str = "", design: Design | None = None
) -> FoundFigures:
    """The figures of a found pole as the whole check gives them."""
    design = design or design_of(asked, pole, name=name)
    report = check(design)
    p, read = report.pole, read_of(asked, report)
    return FoundFigures(
        name=design.name,
        droop_mm=to(read.droop, "mm"),
        droop_search_mm=to(pole.droop, "mm"),
        flex_mm_per_100g=to(read.flex, "mm/100 g"),
        mass_g=p.mass_g,
        material_cost=p.material_cost,
        carry_kg_m=p.carry_kg_m,
        base_outside_mm=p.base_outside_mm,
        closed_mm=p.closed_mm,
        swing_Hz=read.swing,
        gap_pct=None if gap is None else to(gap, "%"),
        sections=len(design.sections),
        mandrels=tuple(s.mandrel for s in design.sections),
        stacks=tuple(stack_text(s) for s in design.sections),
        misses=tuple(f.says for f in report.findings if f.verdict == "look" and _is_asked(design, f)),
    )


def _is_asked(design: Design, finding: Finding) -> bool:
    """Whether the brief asks for what a finding speaks of: its wishes, fits, and a clamp's hold if it asks for one."""
    clamped = design.brief.clamp_hold_N is not None and finding.name.startswith("Clamp window")
    return finding.kind in ("brief", "fit") or clamped


def short_of(document: BriefDocument, design: Design) -> tuple[str, ...]:
    """Words on prepregs of which the roll holds less than this pole needs."""
    left = {s.prepreg: s.left_m for s in document.stock if s.left_m is not None}
    if not left:
        return ()
    widths = {m.id: si("roll_width_mm", m.roll_width_mm) for m in design.materials}
    uses = material_use(kits(design, workpiece(design)), utilisation=design.setting.utilisation)
    metres = {u.material: u.rolled_off / widths[u.material] for u in uses if u.material in left}
    return tuple(
        f"{need:.1f} m of {name} are needed, {left[name]:g} m are left on the roll"
        for name, need in metres.items()
        if need > left[name]
    )
