"""The figures of each section and joint, and of the materials they are made of."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray
from polewright.documents.design import Design, MandrelData, SectionData, Setting
from polewright.documents.files import DocumentError, Fault
from polewright.documents.known_walls import known_limits, known_tube
from polewright.documents.material import Material
from polewright.documents.report import (
    BandFigures,
    BendingFigures,
    FigureOrigin,
    JointFigures,
    MaterialFigures,
    SectionFigures,
)
from polewright.documents.values import Workpiece
from polewright.errors import DesignError
from polewright.materials.ply import Strength
from polewright.materials.prepreg import PlyRecord
from polewright.pole.pole import Tube
from polewright.pole.section import Section
from polewright.shop.cost import material_cost
from polewright.shop.kit import CutRules, Kit, rolled_flags, section_kit
from polewright.units import si, to
from polewright.wall.clamp import Band, clamp_window
from polewright.wall.cooldown import mandrel_fit
from polewright.wall.expansion import free_expansion
from polewright.wall.failure import first_failure
from polewright.wall.membrane import tube_stiffness
from polewright.wall.ring import ring_stiffness
from polewright.wall.thin_stress import thin_stress
from polewright.wall.through import TubeLoads

__all__ = ["cut_rules", "joint_figures", "kits", "material_figures", "rolls_told", "section_figures", "stack_text"]

SHOWN = (
    "E1",
    "E2",
    "G12",
    "nu12",
    "nu23",
    "alpha1",
    "alpha2",
    "density",
    "thickness",
    "area_mass",
    "Vf",
    "resin_share",
    "Xt",
    "Xc",
    "Yt",
    "Yc",
    "S",
    "price",
)
NEVER = 1e9  # [N m] beyond any pole
RING_WIDTH = 0.020  # [m] of the ring that the bench squeezes


def stack_text(section: SectionData) -> str:
    """A stack in the workshop's shorthand, bore first: "90 TH55 / 0 SM150 x5 / 90 TH55"."""
    parts = []
    for wrap in section.stack:
        times = "" if wrap.turns == 1.0 else f" x{wrap.turns:g}"
        parts.append(f"{wrap.angle_deg:g} {wrap.prepreg}{times}")
    return " / ".join(parts)


def cut_rules(design: Design) -> CutRules:
    """How this design's flags are cut."""
    widths = {m.id: si("roll_width_mm", m.roll_width_mm) for m in design.materials}
    return CutRules(
        overlap=si("seam_overlap_mm", design.setting.seam_overlap_mm),
        trim=si("trim_mm", design.setting.trim_mm),
        roll_widths=widths,
    )


def kits(design: Design, work: Workpiece) -> tuple[Kit, ...]:
    """The kit of every section, tip first."""
    rules = cut_rules(design)
    made = []
    for i, section in enumerate(work.sections):
        ends = section.bores(np.array([0.0, section.length]))
        with rolls_told(design):
            made.append(
                section_kit(
                    section.stack, float(ends[0]), float(ends[1]), section.length, rules=rules, section=f"S{i + 1}"
                )
            )
    return tuple(made)


@contextmanager
def rolls_told(design: Design) -> Iterator[None]:
    """A roll that is too narrow for its flags, told with its place in the document."""
    try:
        yield
    except DesignError as fault:
        for i, material in enumerate(design.materials):
            if fault.field == f"{material.id}.roll_width":
                field = f"materials[{i}].roll_width_mm"
                raise DocumentError([Fault((field, f"{material.roll_width_mm:g}", fault.want))]) from fault
        raise


@dataclass(frozen=True, slots=True)
class _Asked:
    """All that a section's figures follow from, its clamp apart; two are one if the documents say the same."""

    place: int
    data: SectionData
    materials: tuple[Material, ...]
    mandrel: MandrelData
    setting: Setting
    section: Section = field(compare=False)
    tube: Tube = field(compare=False)
    rules: CutRules = field(compare=False)


def section_figures(design: Design, work: Workpiece) -> tuple[SectionFigures, ...]:
    """Every section's figures, tip first; ends are the butt and the mouth. A section is computed once, a clamp too."""
    rules, mandrels = cut_rules(design), {m.id: m for m in design.mandrels}
    hold = design.brief.clamp_hold_N
    need = si("clamp_hold_N", design.setting.clamp_hold_N if hold is None else hold)
    asked = [
        _Asked(
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
    with rolls_told(design):
        return (
            _section(asked[0]),
            *(_clamped(one, joint.clamp_width_mm, need) for one, joint in zip(asked[1:], design.joints, strict=True)),
        )


@lru_cache(maxsize=256)
def _clamped(asked: _Asked, width_mm: float, need: float) -> SectionFigures:
    """The same with the clamp on the section's mouth, that must hold `need` [N]; the tip section carries none."""
    window = _window(asked.section, width_mm, asked.setting.friction_wet, need)
    return _section(asked).model_copy(update={"window": window})


@lru_cache(maxsize=256)
def _section(asked: _Asked) -> SectionFigures:
    section, tube = asked.section, asked.tube
    ends = np.array([0.0, section.length])
    wall = section.walls(ends)
    stiff, exact = tube_stiffness(wall), known_tube(section.stack.wall(float(tube.bore[0])))
    beam = exact.stiffness()
    bar = section.mandrel.diameter_at(section.mandrel.station[0] + section.place + section.length - ends)
    cold = section.bores(ends) if section.bore is not None else bar + _release(section, bar)
    thin, gap = section.bores(ends) - bar, cold - bar
    priced = replace(asked.rules, overlap=0.0)  # seam overlaps are part of what the utilisation leaves over
    flags = rolled_flags(section.stack, float(tube.bore[0]), float(tube.bore[-1]), section.length, priced)
    share = asked.setting.utilisation
    cost = sum(material_cost(flag.area, wrap.ply.price, utilisation=share) for wrap, flag in flags)
    return SectionFigures(
        number=asked.place + 1,
        stack=stack_text(asked.data),
        mandrel=section.mandrel.name,
        bore_butt_mm=to(float(tube.bore[0]), "mm"),
        bore_mouth_mm=to(float(tube.bore[-1]), "mm"),
        outside_butt_mm=to(float(tube.outside[0]), "mm"),
        outside_mouth_mm=to(float(tube.outside[-1]), "mm"),
        length_mm=to(section.length, "mm"),
        wall_mm=to(section.stack.thickness, "mm"),
        axial_EA_kN=to(float(stiff.axial[0]), "kN"),
        bending_EI_N_m2=float(tube.bending[0]),
        bending_EI_mouth_N_m2=float(tube.bending[-1]),
        twist_GJ_N_m2=float(stiff.twist[0]),
        shear_stiffness_kN=to(float(stiff.shear[0]), "kN"),
        ring_20mm_N_mm=to(float(ring_stiffness(wall).between_plates[0]) * RING_WIDTH, "N/mm"),
        mass_per_length_g_m=to(float(tube.mass_per_length[0]), "g/m"),
        mass_g=to(tube.mass, "g"),
        exact_EA_kN=to(float(beam.axial), "kN"),
        exact_EI_N_m2=float(beam.bending),
        exact_GJ_N_m2=float(beam.twist),
        exact_shear_kN=to(float(beam.shear), "kN"),
        bending=_bending(section, float(tube.bore[0])),
        hoop_expansion_1e6_K=to(float(free_expansion(wall).around[0]), "µ/K"),
        bore_expansion_1e6_K=to(float(exact.bore_expansion), "µ/K"),
        bore_exact_butt_mm=to(float(cold[0]), "mm"),
        release_gap_mm=to(float(np.min(gap)), "mm"),
        release_gap_thin_mm=to(float(np.min(thin)), "mm"),
        grips_mandrel=bool(np.min(gap) < 0.0),
        window=None,
        material_cost=cost,
    )


def _release(section: Section, bar: FloatArray) -> FloatArray:
    """(n,) [m] gap on the cold mandrel, of diameter `bar` (n,) [m], by the layered cylinder."""
    sizes, place = np.unique(bar, return_inverse=True)  # a straight bar is solved once
    tube = known_tube(section.stack.wall(sizes))
    return mandrel_fit(tube, rise=section.rise, mandrel_expansion=section.mandrel.expansion).gap[place]


def _bending(section: Section, bore: float) -> BendingFigures:
    """Moments that end the wall at the butt, with design strengths where they are known."""
    design = section.stack.design_strength()
    lab = section.stack.strength() if design is None else None
    found = known_limits(section.stack.wall(bore), design or lab, rise=section.rise)
    loads = {limit.name: float(limit.load) for limit in found.limits if limit.load < NEVER}
    if (resin := _resin(section, bore, design or lab)) is not None:
        loads["resin failure"] = resin
    known: Literal["design values", "lab means", "unknown"] = (
        "design values" if design is not None else "lab means" if lab is not None else "unknown"
    )
    first = min(loads, key=lambda name: loads[name])
    return BendingFigures(
        fibre_failure_N_m=loads.get("fibre_failure"),
        resin_failure_N_m=loads.get("resin failure"),
        flattening_N_m=loads["flattening"],
        wrinkling_N_m=loads["wrinkling"],
        least_N_m=loads[first],
        first=first,
        strength_from=known,
    )


def _resin(section: Section, bore: float, strength: Strength | None) -> float | None:
    """[N m] at which the first ply of a wall without fibre along it breaks, cure stress out; else None."""
    if strength is None or any(w.ply.is_woven or w.angle_class == "axial" for w in section.stack.wraps):
        return None
    wall = section.stack.wall(bore)
    found = first_failure(wall, thin_stress(wall, TubeLoads(moment=1.0), clock=(0.0, np.pi)), strength)
    return float(found.factor) if np.isfinite(found.factor) else None


def _window(section: Section, width_mm: float, friction: float, need: float) -> BandFigures:
    """The band on a section's mouth that must hold `need` [N]."""
    wall = section.walls(np.array([section.length]))
    window = clamp_window(wall, Band(width=si("clamp_width_mm", width_mm), friction=friction), need=need)
    least, most = float(window.least[0]), float(window.most[0])
    return BandFigures(
        least_N=least,
        most_N=most,
        is_open=most >= least,
        hold_needed_N=need,
        width_mm=width_mm,
        collapse_MPa=to(float(window.pressure[0]), "MPa"),
    )


def joint_figures(design: Design, work: Workpiece) -> tuple[JointFigures, ...]:
    """Every joint's clearances, play and stiffness, tip first."""
    rows = []
    for i, (data, between, joint) in enumerate(zip(design.joints, work.fits, work.pole.joints, strict=True)):
        rows.append(
            JointFigures(
                between=(i + 1, i + 2),
                overlap_mm=data.overlap_mm,
                clearance_closed_mm=to(between.closed, "mm"),
                clearance_at_overlap_mm=to(between.at_overlap, "mm"),
                clearance_drawn_mm=to(between.drawn, "mm"),
                clearance_least_mm=to(between.least, "mm"),
                seam_ridge_mm=to(between.ridge, "mm"),
                play_mrad=to(joint.free_tilt(joint.overlap), "mrad"),
                stiffness_kN_m_rad=data.stiffness_kN_m_rad,
                stiffness_from=data.stiffness_from,
                pivot_pct=to(joint.pivot, "%"),
            )
        )
    return tuple(rows)


def material_figures(design: Design, work: Workpiece) -> tuple[MaterialFigures, ...]:
    """Every material with the origin of its figures."""
    return tuple(_material(m.description, m.lot, work.records[m.id]) for m in design.materials)


@lru_cache(maxsize=256)
def _material(description: str, lot: str, record: PlyRecord) -> MaterialFigures:
    ply = record.ply
    figures = []
    for name in SHOWN:
        if name in record.origins:
            origin = record.origins[name]
            figures.append(
                FigureOrigin(
                    figure=name,
                    value=origin.value,
                    unit=origin.unit,
                    kind=origin.kind,
                    is_default=origin.is_default,
                    source=origin.source,
                    confidence=origin.confidence,
                    formula=origin.formula,
                )
            )
    given = sum(1 for f in figures if f.kind in ("measured", "certificate"))
    resting = "default" if all(f.is_default for f in figures) else ("measured" if given >= 4 else "mixed")
    known = record.origins
    return MaterialFigures(
        id=ply.name,
        description=description,
        lot=lot,
        family=ply.family,
        is_woven=ply.is_woven,
        is_conductive=ply.is_conductive,
        thickness_mm=to(ply.thickness, "mm"),
        fibre_volume_pct=to(known["Vf"].value, "%") if "Vf" in known else None,
        resin_content_pct=to(known["resin_share"].value, "%") if "resin_share" in known else None,
        total_g_m2=to(ply.area_mass, "g/m2"),
        price_per_m2=ply.price,
        resting_on=resting,
        figures=tuple(figures),
    )
