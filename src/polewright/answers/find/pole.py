"""A pole of the search as a whole design, and its figures by the whole check."""

from dataclasses import dataclass

from polewright.answers.check import Check, check_design
from polewright.answers.cutting import kits
from polewright.answers.findings import Finding
from polewright.answers.options import SearchValues
from polewright.answers.sections import Ply
from polewright.answers.wishes import WISHES
from polewright.codes import Message
from polewright.documents.brief_file import BriefDocument
from polewright.documents.design import Design, PlyData, SectionData
from polewright.documents.values import workpiece
from polewright.errors import PolewrightError
from polewright.search import FoundPole
from polewright.shop.cost import material_use
from polewright.units import si, to

__all__ = [
    "CheckedFigures",
    "FoundDesign",
    "checked_figures",
    "design_of",
    "found_design",
    "found_or_none",
    "plies_of",
    "section_of",
    "shortages",
]


@dataclass(frozen=True, slots=True)
class FoundDesign:
    """One pole that was found; droop, flex, mass and cost as every design is checked, true rotations and all. SI.

    droop_search : of the simpler model that the bound speaks of. gap [-] : by how much anything could be better than
    this pole in that model. misses : wishes and fits that the check finds not met.
    """

    design: Design
    droop: float
    droop_search: float
    flex: float
    mass: float
    material_cost: float
    carry: float
    base_outside: float
    closed: float
    swing: float
    gap: float | None
    misses: tuple[Finding, ...]

    @property
    def name(self) -> str:
        """Of the design."""
        return self.design.name

    @property
    def mandrels(self) -> tuple[str, ...]:
        """Of every section, from the tip."""
        return tuple(s.mandrel for s in self.design.sections)

    @property
    def stacks(self) -> tuple[tuple[Ply, ...], ...]:
        """The plies of every section, from the tip, bore outward."""
        return tuple(plies_of(s) for s in self.design.sections)


def plies_of(section: SectionData) -> tuple[Ply, ...]:
    """The plies of a section of a document, bore outward."""
    return tuple(Ply(w.prepreg, si("angle_deg", w.angle_deg), w.turns) for w in section.stack)


def design_of(values: SearchValues, pole: FoundPole, *, name: str = "") -> Design:
    """A pole of the search as a whole design; equal flags that follow each other are one flag of more turns."""
    document = values.document
    mandrels = {m.id: m for m in (*document.mandrels, *document.further.mandrels)}
    used = [pole.shop.bars[b].name for b in pole.bars]
    sections = tuple(section_of(values, pole, i) for i in range(len(used)))
    rolled = {w.prepreg for s in sections for w in s.stack}
    materials = tuple(
        m for m in (*document.materials, *document.further.materials) if m.id in rolled or m in document.materials
    )
    # a brief that leaves the number of sections open may wish for more drawn out than the best pole has: that is all
    wishes = tuple(w.model_copy(update={"out": 0}) if w.out >= len(used) else w for w in document.brief.droop)
    return Design(
        name=name or document.name,
        maker=document.maker,
        note=document.note,
        brief=document.brief.model_copy(update={"droop": wishes}),
        setting=document.setting,
        tip_fitting_g=document.tip_fitting_g,
        materials=materials,
        mandrels=(*document.mandrels, *(mandrels[u] for u in used if mandrels[u] not in document.mandrels)),
        sections=sections,
        joints=(document.joint,) * (len(used) - 1),
    )


def section_of(values: SearchValues, pole: FoundPole, at: int) -> SectionData:
    """One section of a found pole, number `at` from 0 at the tip."""
    flags: list[tuple[str, float, float]] = []
    for k in pole.recipes[at]:
        rolled = _rolled(values, pole, k)
        flags.append((rolled[0], rolled[1], rolled[2]))
        if rolled[3]:
            flags.append((rolled[0], -rolled[1], rolled[2]))
    plies: list[tuple[str, float, float]] = []
    for name, angle, turns in flags:
        if plies and plies[-1][:2] == (name, angle):
            plies[-1] = (name, angle, plies[-1][2] + turns)
        else:
            plies.append((name, angle, turns))
    return SectionData(
        length_mm=to(pole.length, "mm"),
        mandrel=pole.shop.bars[pole.bars[at]].name,
        place_mm=values.document.sliding.place_mm,
        stack=tuple(PlyData(prepreg=n, angle_deg=a, turns=t) for n, a, t in plies),
    )


def _rolled(values: SearchValues, pole: FoundPole, k: int) -> tuple[str, float, float, bool]:
    """Prepreg, angle [deg], turns and pair of an option of the pole's own shop, which may hold a further material."""
    option = pole.shop.walls.plies[k]
    for rolled, known in zip(values.rolled, values.shop.walls.plies, strict=True):
        if known is option:
            return rolled.prepreg, rolled.angle_deg, rolled.turns, rolled.pair
    return option.ply.name, to(option.angle, "°"), 1.0, option.is_pair


@dataclass(frozen=True, slots=True)
class CheckedFigures:
    """What the whole check reads of a pole, as the search counts it, SI.

    droops, flexes, swing : of its wishes at other loads and reaches, and of its swing; figures : of the wishes that the
    search knows by the table of wishes alone, in its order.
    """

    droop: float
    flex: float
    mass: float
    cost: float
    carry: float
    droops: tuple[float, ...]
    flexes: tuple[float, ...]
    swing: float
    figures: tuple[float, ...]


def checked_figures(values: SearchValues, check: Check) -> CheckedFigures:
    """The check's figures of every wish that the search knows."""
    wishes = {f.subjects.wish: f.value or 0.0 for f in check.findings if f.code in ("wish.droop", "wish.flex")}
    beside = {f.code: f.value or 0.0 for f in check.findings}
    pole, last = check.pole, check.reaches[-1]
    return CheckedFigures(
        droop=pole.droop if values.droop_at is None else wishes[values.droop_at],
        flex=last.added_droop if values.flex_at is None else wishes[values.flex_at],
        mass=pole.mass,
        cost=pole.material_cost,
        carry=pole.carry,
        droops=tuple(wishes[i] for i in values.droops_at),
        flexes=tuple(wishes[i] for i in values.flexes_at),
        swing=last.swing,
        figures=tuple(beside[w.code] for w in WISHES if w.search is not None and w.limit(values.document.brief)),
    )


def found_design(
    values: SearchValues, pole: FoundPole, *, gap: float | None = None, design: Design | None = None
) -> FoundDesign:
    """A found pole with the figures that the whole check gives it.

    Raises
    ------
    PolewrightError : the check refuses it.
    """
    design = design or design_of(values, pole)
    check = check_design(design)
    figures = checked_figures(values, check)
    return FoundDesign(
        design=design,
        droop=figures.droop,
        droop_search=pole.droop,
        flex=figures.flex,
        mass=check.pole.mass,
        material_cost=check.pole.material_cost,
        carry=check.pole.carry,
        base_outside=check.pole.base_outside,
        closed=check.pole.closed,
        swing=figures.swing,
        gap=gap,
        misses=tuple(f for f in check.findings if not f.holds and _is_asked(design, f)),
    )


def found_or_none(values: SearchValues, pole: FoundPole | None) -> FoundDesign | None:
    """The same; None where there is no pole, or the check refuses it."""
    if pole is None:
        return None
    try:
        return found_design(values, pole)
    except PolewrightError:
        return None


def _is_asked(design: Design, finding: Finding) -> bool:
    """Whether the brief asks for what a finding speaks of: its wishes, fits, and a clamp's hold if it asks for one."""
    is_clamp = design.brief.clamp_hold_N is not None and finding.code == "clamp_window"
    return finding.kind in ("brief", "fit") or is_clamp


def shortages(document: BriefDocument, design: Design) -> tuple[Message, ...]:
    """Prepregs of which the roll holds less than this pole needs."""
    left = {s.prepreg: si("left_m", s.left_m) for s in document.stock if s.left_m is not None}
    if not left:
        return ()
    widths = {m.id: si("roll_width_mm", m.roll_width_mm) for m in design.materials}
    uses = material_use(kits(design, workpiece(design)), utilisation=design.setting.utilisation)
    needs = {u.material: u.rolled_off / widths[u.material] for u in uses if u.material in left}
    return tuple(
        Message("find.note.short", prepreg=name, needs=need, left=left[name])
        for name, need in needs.items()
        if need > left[name]
    )
