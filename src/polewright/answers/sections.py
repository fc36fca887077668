"""One section of a design: sizes, stiffness by both tiers, what it bears, release from the mandrel, clamp window."""

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal

import numpy as np

from polewright.answers.cutting import cut_rules, roll_fault_in_place
from polewright.answers.known_walls import known_limits, known_tube, known_window
from polewright.arrays import FloatArray
from polewright.conventions.collars import CollarKind
from polewright.documents.design import Design, JointData, MandrelData, SectionData, Setting
from polewright.documents.material import Material
from polewright.documents.values import Workpiece
from polewright.materials.ply import Strength
from polewright.pole.pole import Tube
from polewright.pole.section import Section
from polewright.shop.cost import material_cost
from polewright.shop.kit import CutRules, rolled_flags
from polewright.units import si
from polewright.wall.clamp import Band
from polewright.wall.collar import CollarLoad, WallEnd
from polewright.wall.cooldown import mandrel_fit
from polewright.wall.criteria import Criterion
from polewright.wall.expansion import free_expansion
from polewright.wall.failure import first_failure
from polewright.wall.membrane import tube_stiffness
from polewright.wall.ring import ring_stiffness
from polewright.wall.thin_stress import thin_stress
from polewright.wall.through import TubeLoads

__all__ = [
    "RING_WIDTH",
    "BandWindow",
    "BendingLimits",
    "CollarPlace",
    "Ply",
    "SectionAnswer",
    "band_of",
    "band_window",
    "hold_needed",
    "mandrel_bore",
    "plies_of",
    "section_answers",
]

NEVER = 1e9  # [N m] beyond any pole
RING_WIDTH = 0.020  # [m] of the ring that the bench squeezes


@dataclass(frozen=True, slots=True)
class Ply:
    """One ply of a stack: prepreg, angle [rad] from the axis, turns."""

    prepreg: str
    angle: float
    turns: float


@dataclass(frozen=True, slots=True)
class CollarPlace:
    """Where a collar first breaks a ply: mode by the criterion, ply from the bore (1 first), clock [rad] from the lugs
    or the pad, the bore side of the ply or its outer.
    """

    mode: str
    ply: int
    clock: float
    side: Literal["bore", "outside"]


@dataclass(frozen=True, slots=True)
class BandWindow:
    """A clamp's band: tension [N] at least to hold when wet, at most before the wall ends, and what it does before.

    crack : first crack of the resin, zero where the cure cracks it already; fibre : first broken fibre; collapse : the
    wall folds; None where that is not known or does not come before the wall ends. ends : which of them is `most`.
    hold_needed [N] along the pole; width [m] and kind of the collar; crack_at, fibre_at: which ply and where.
    """

    least: float
    most: float
    crack: float | None
    fibre: float | None
    collapse: float | None
    ends: WallEnd
    hold_needed: float
    width: float
    kind: CollarKind
    crack_at: CollarPlace | None = None
    fibre_at: CollarPlace | None = None

    @property
    def is_open(self) -> bool:
        """Whether some tension holds and does not end the wall."""
        return self.most >= self.least

    @property
    def cracks_first(self) -> bool:
        """Whether the resin cracks at a tension at which the wall still stands."""
        return self.crack is not None and self.crack < self.most


def band_window(section: Section, band: Band, need: float, criterion: Criterion) -> BandWindow:
    """The window of a band on a section's mouth that must hold `need` [N]; design strengths where they are known."""
    wall = section.stack.wall(float(section.bores(np.array([section.length]))[0]))
    strength = section.stack.design_strength() or section.stack.strength()
    found = known_window(wall, strength, band, need=need, rise=section.rise, criterion=criterion)
    crack, fibre, collapse = (_told(value) for value in (found.crack, found.fibre, found.collapse))
    return BandWindow(
        least=float(found.least),
        most=float(found.most),
        crack=crack,
        fibre=fibre,
        collapse=collapse,
        ends=found.ends,
        hold_needed=need,
        width=band.width,
        kind=band.kind,
        crack_at=_place(found.loads.crack),
        fibre_at=_place(found.loads.fibre),
    )


def _place(load: CollarLoad | None) -> CollarPlace | None:
    if load is None or load.layer < 0:
        return None
    return CollarPlace(load.mode, load.layer + 1, load.clock, "outside" if load.face else "bore")


_BandKey = tuple[float, float, CollarKind]  # width [m], friction [-], kind


def _band_key(joint: JointData, setting: Setting) -> _BandKey:
    return si("clamp_width_mm", joint.clamp_width_mm), setting.friction_wet, joint.clamp_kind


def band_of(joint: JointData, setting: Setting) -> Band:
    """The clamp of a joint, with the friction of the setting."""
    return Band(*_band_key(joint, setting))


def hold_needed(design: Design) -> float:
    """[N] that every clamp must hold when wet: as the brief says, else the setting."""
    hold = design.brief.clamp_hold_N
    return si("clamp_hold_N", design.setting.clamp_hold_N if hold is None else hold)


def _told(value: FloatArray) -> float | None:
    return float(value) if np.isfinite(value) else None


@dataclass(frozen=True, slots=True)
class BendingLimits:
    """Moments [N m] that end a wall, knock-downs in; fibre failure is None without strengths.

    Resin failure is given, cure stress out, where no fibre is axial: resin carries such a wall. `first` is the code of
    the least.
    """

    fibre_failure: float | None
    resin_failure: float | None
    flattening: float
    wrinkling: float
    first: str
    strength_from: Literal["design_values", "lab_means", "unknown"]

    @property
    def least(self) -> float:
        """[N m] at which the wall ends."""
        load: float = getattr(self, self.first)
        return load


@dataclass(frozen=True, slots=True)
class SectionAnswer:
    """One section, numbered from the tip; butt and mouth are given apart where the tube tapers. SI throughout.

    Stiffness is that of the thin-wall tier, which the pole is bent with; `exact_...` is the layered cylinder's beside
    it. ring [N/m] is that of a ring 20 mm wide between plates. The release gap [m] is exact; the bore that the nest is
    made of is the thin estimate, `bore_exact_butt` beside it. Expansions [1/K] are around, of the wall and of its bore.
    """

    number: int
    stack: tuple[Ply, ...]
    mandrel: str
    bore_butt: float
    bore_mouth: float
    outside_butt: float
    outside_mouth: float
    length: float
    wall: float
    axial_EA: float
    bending_EI: float
    bending_EI_mouth: float
    twist_GJ: float
    shear_stiffness: float
    ring: float
    mass_per_length: float
    mass: float
    exact_EA: float
    exact_EI: float
    exact_GJ: float
    exact_shear: float
    bending: BendingLimits
    hoop_expansion: float
    bore_expansion: float
    bore_exact_butt: float
    release_gap: float
    release_gap_thin: float
    window: BandWindow | None
    material_cost: float

    @property
    def grips_mandrel(self) -> bool:
        """Whether the tube shrinks onto its mandrel."""
        return self.release_gap < 0.0


def plies_of(data: SectionData, section: Section) -> tuple[Ply, ...]:
    """The stack of a section as the design says it, bore first; angles as the core has them already."""
    rolled = section.stack.plies
    return tuple(Ply(of.prepreg, ply.angle, ply.turns) for of, ply in zip(data.stack, rolled, strict=True))


@dataclass(frozen=True, slots=True)
class _Key:
    """All that a section's figures follow from, its clamp apart; two are one if the documents say the same."""

    place: int
    data: SectionData
    materials: tuple[Material, ...]
    mandrel: MandrelData
    setting: Setting
    section: Section = field(compare=False)
    tube: Tube = field(compare=False)
    rules: CutRules = field(compare=False)


def mandrel_bore(work: Workpiece, section: int) -> float:
    """Bore [m] at the butt of a section, counted from 1 at the tip, by its mandrel, whatever was measured."""
    return float(replace(work.sections[section - 1], bore=None).bores(np.array([0.0]))[0])


def section_answers(design: Design, work: Workpiece) -> tuple[SectionAnswer, ...]:
    """Every section, tip first. A section is computed once, a clamp too.

    Raises
    ------
    DocumentError : a roll is too narrow for its flags. DesignError : a wall that cannot be solved.
    """
    rules, mandrels = cut_rules(design), {m.id: m for m in design.mandrels}
    need = hold_needed(design)
    keys = [
        _Key(
            place=i,
            data=data,
            materials=design.materials,
            mandrel=mandrels[data.mandrel],
            setting=design.setting,
            section=work.sections[i],
            tube=work.pole.tubes[i],
            rules=rules,
        )
        for i, data in enumerate(design.sections)
    ]
    with roll_fault_in_place(design):
        return (
            _section(keys[0]),
            *(
                _clamped(key, _band_key(joint, design.setting), need)
                for key, joint in zip(keys[1:], design.joints, strict=True)
            ),
        )


@lru_cache(maxsize=96)
def _clamped(key: _Key, band: _BandKey, need: float) -> SectionAnswer:
    """The same with a clamp on its mouth that must hold `need` [N]; the tip section carries none."""
    return replace(_section(key), window=band_window(key.section, Band(*band), need, key.setting.criterion))


@lru_cache(maxsize=96)
def _section(key: _Key) -> SectionAnswer:
    section, tube = key.section, key.tube
    ends = np.array([0.0, section.length])
    wall = section.walls(ends)
    stiff, exact = tube_stiffness(wall), known_tube(section.stack.wall(float(tube.bore[0])))
    beam = exact.stiffness()
    bar = section.mandrel.diameter_at(section.mandrel.station[0] + section.place + section.length - ends)
    cold = section.bores(ends) if section.bore is not None else bar + _release(section, bar)
    return SectionAnswer(
        number=key.place + 1,
        stack=plies_of(key.data, section),
        mandrel=section.mandrel.name,
        bore_butt=float(tube.bore[0]),
        bore_mouth=float(tube.bore[-1]),
        outside_butt=float(tube.outside[0]),
        outside_mouth=float(tube.outside[-1]),
        length=section.length,
        wall=section.stack.thickness,
        axial_EA=float(stiff.axial[0]),
        bending_EI=float(tube.bending[0]),
        bending_EI_mouth=float(tube.bending[-1]),
        twist_GJ=float(stiff.twist[0]),
        shear_stiffness=float(stiff.shear[0]),
        ring=float(ring_stiffness(wall).between_plates[0]) * RING_WIDTH,
        mass_per_length=float(tube.mass_per_length[0]),
        mass=tube.mass,
        exact_EA=float(beam.axial),
        exact_EI=float(beam.bending),
        exact_GJ=float(beam.twist),
        exact_shear=float(beam.shear),
        bending=_bending(section, float(tube.bore[0]), key.setting.criterion),
        hoop_expansion=float(free_expansion(wall).around[0]),
        bore_expansion=float(exact.bore_expansion),
        bore_exact_butt=float(cold[0]),
        release_gap=float(np.min(cold - bar)),
        release_gap_thin=float(np.min(section.bores(ends) - bar)),
        window=None,
        material_cost=_cost(key),
    )


def _cost(key: _Key) -> float:
    """Price of the prepreg, offcuts counted by the share of the roll that is used."""
    priced = replace(key.rules, overlap=0.0)  # seam overlaps are part of what the utilisation leaves over
    section, tube = key.section, key.tube
    flags = rolled_flags(section.stack, float(tube.bore[0]), float(tube.bore[-1]), section.length, priced)
    share = key.setting.utilisation
    return sum(material_cost(flag.area, stack_ply.ply.price, utilisation=share) for stack_ply, flag in flags)


def _release(section: Section, bar: FloatArray) -> FloatArray:
    """(n,) [m] gap on the cold mandrel, of diameter `bar` (n,) [m], by the layered cylinder."""
    sizes, place = np.unique(bar, return_inverse=True)  # a straight bar is solved once
    tube = known_tube(section.stack.wall(sizes))
    return mandrel_fit(tube, rise=section.rise, mandrel_expansion=section.mandrel.expansion).gap[place]


def _bending(section: Section, bore: float, criterion: Criterion) -> BendingLimits:
    """Moments that end the wall at the butt, with design strengths where they are known."""
    design = section.stack.design_strength()
    lab = section.stack.strength() if design is None else None
    found = known_limits(section.stack.wall(bore), design or lab, rise=section.rise, criterion=criterion)
    loads: dict[str, float] = {limit.name: float(limit.load) for limit in found.limits if limit.load < NEVER}
    if (resin := _resin(section, bore, design or lab, criterion)) is not None:
        loads["resin_failure"] = resin
    return BendingLimits(
        fibre_failure=loads.get("fibre_failure"),
        resin_failure=loads.get("resin_failure"),
        flattening=loads["flattening"],
        wrinkling=loads["wrinkling"],
        first=min(loads, key=lambda name: loads[name]),
        strength_from="design_values" if design is not None else "lab_means" if lab is not None else "unknown",
    )


def _resin(section: Section, bore: float, strength: Strength | None, criterion: Criterion) -> float | None:
    """[N m] at which the first ply of a wall without fibre along it breaks, cure stress out; else None."""
    if strength is None or any(w.ply.is_woven or w.angle_class == "axial" for w in section.stack.plies):
        return None
    wall = section.stack.wall(bore)
    stress = thin_stress(wall, TubeLoads(moment=1.0), clock=(0.0, np.pi))
    found = first_failure(wall, stress, strength, criterion=criterion)
    return float(found.factor) if np.isfinite(found.factor) else None
