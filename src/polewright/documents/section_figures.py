"""The figures of each section and joint, and of the materials they are made of."""

from dataclasses import replace

import numpy as np

from polewright.documents.design import Design, SectionData
from polewright.documents.report import (
    BandFigures,
    FigureOrigin,
    JointFigures,
    MaterialFigures,
    SectionFigures,
)
from polewright.documents.values import Workpiece
from polewright.materials.prepreg import PlyRecord
from polewright.pole.section import Section
from polewright.shop.cost import material_cost
from polewright.shop.kit import CutRules, Kit, rolled_flags, section_kit
from polewright.units import si, to
from polewright.wall.clamp import Band, clamp_window
from polewright.wall.expansion import free_expansion
from polewright.wall.membrane import tube_stiffness
from polewright.wall.ring import ring_stiffness

__all__ = ["cut_rules", "joint_figures", "kits", "material_figures", "section_figures", "stack_text"]

SHOWN = ("E1", "E2", "G12", "nu12", "nu23", "alpha1", "alpha2", "density", "thickness", "area_mass", "Vf",
         "resin_share", "Xt", "Xc", "Yt", "Yc", "S", "price")
RING_WIDTH = 0.020   # [m] of the ring that the bench squeezes


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
    return CutRules(overlap=si("seam_overlap_mm", design.setting.seam_overlap_mm),
                    trim=si("trim_mm", design.setting.trim_mm), roll_widths=widths)


def kits(design: Design, work: Workpiece) -> tuple[Kit, ...]:
    """The kit of every section, tip first."""
    rules = cut_rules(design)
    made = []
    for i, section in enumerate(work.sections):
        ends = section.bores(np.array([0.0, section.length]))
        made.append(section_kit(section.stack, float(ends[0]), float(ends[1]), section.length, rules=rules,
                                section=f"S{i + 1}"))
    return tuple(made)


def section_figures(design: Design, work: Workpiece) -> tuple[SectionFigures, ...]:
    """Every section's figures, tip first; ends are the butt and the mouth."""
    rules = cut_rules(design)
    return tuple(_section(design, work, i, rules) for i in range(len(work.sections)))


def _section(design: Design, work: Workpiece, i: int, rules: CutRules) -> SectionFigures:
    section, tube = work.sections[i], work.pole.tubes[i]
    ends = np.array([0.0, section.length])
    wall = section.walls(ends)
    stiff = tube_stiffness(wall)
    window = _window(design, section, i)
    gap = section.bores(ends) - section.mandrel.diameter_at(section.mandrel.station[0] + section.place
                                                            + section.length - ends)
    priced = replace(rules, overlap=0.0)   # seam overlaps are part of what the utilisation leaves over
    flags = rolled_flags(section.stack, float(tube.bore[0]), float(tube.bore[-1]), section.length, priced)
    cost = sum(material_cost(flag.area, wrap.ply.price, utilisation=design.setting.utilisation) for wrap, flag in flags)
    return SectionFigures(
        number=i + 1, stack=stack_text(design.sections[i]), mandrel=section.mandrel.name,
        bore_butt_mm=to(float(tube.bore[0]), "mm"), bore_mouth_mm=to(float(tube.bore[-1]), "mm"),
        outside_butt_mm=to(float(tube.outside[0]), "mm"), outside_mouth_mm=to(float(tube.outside[-1]), "mm"),
        length_mm=to(section.length, "mm"), wall_mm=to(section.stack.thickness, "mm"),
        axial_EA_kN=to(float(stiff.axial[0]), "kN"), bending_EI_N_m2=float(tube.bending[0]),
        bending_EI_mouth_N_m2=float(tube.bending[-1]), twist_GJ_N_m2=float(stiff.twist[0]),
        shear_stiffness_kN=to(float(stiff.shear[0]), "kN"),
        ring_20mm_N_mm=to(float(ring_stiffness(wall).between_plates[0]) * RING_WIDTH, "N/mm"),
        mass_per_length_g_m=to(float(tube.mass_per_length[0]), "g/m"), mass_g=to(tube.mass, "g"),
        hoop_expansion_1e6_K=to(float(free_expansion(wall).around[0]), "µ/K"),
        release_gap_mm=to(float(np.min(gap)), "mm"), grips_mandrel=bool(np.min(gap) < 0.0), window=window,
        material_cost=cost)


def _window(design: Design, section: Section, i: int) -> BandFigures | None:
    """The clamp that sits on this section's mouth; the tip section carries none."""
    if i == 0:
        return None
    joint, setting = design.joints[i - 1], design.setting
    need = si("clamp_hold_N", setting.clamp_hold_N if design.brief.clamp_hold_N is None else design.brief.clamp_hold_N)
    wall = section.walls(np.array([section.length]))
    band = Band(width=si("clamp_width_mm", joint.clamp_width_mm), friction=setting.friction_wet)
    window = clamp_window(wall, band, need=need)
    least, most = float(window.least[0]), float(window.most[0])
    return BandFigures(least_N=least, most_N=most, is_open=most >= least, hold_needed_N=need,
                       width_mm=joint.clamp_width_mm, collapse_MPa=to(float(window.pressure[0]), "MPa"))


def joint_figures(design: Design, work: Workpiece) -> tuple[JointFigures, ...]:
    """Every joint's clearances, play and stiffness, tip first."""
    rows = []
    for i, (data, between, joint) in enumerate(zip(design.joints, work.fits, work.pole.joints, strict=True)):
        rows.append(JointFigures(
            between=(i + 1, i + 2), overlap_mm=data.overlap_mm, clearance_closed_mm=to(between.closed, "mm"),
            clearance_at_overlap_mm=to(between.at_overlap, "mm"), clearance_drawn_mm=to(between.drawn, "mm"),
            clearance_least_mm=to(between.least, "mm"), seam_ridge_mm=to(between.ridge, "mm"),
            play_mrad=to(joint.free_tilt(joint.overlap), "mrad"), stiffness_kN_m_rad=data.stiffness_kN_m_rad,
            stiffness_from=data.stiffness_from))
    return tuple(rows)


def material_figures(design: Design, work: Workpiece) -> tuple[MaterialFigures, ...]:
    """Every material with the origin of its figures."""
    return tuple(_material(m.description, m.lot, work.records[m.id]) for m in design.materials)


def _material(description: str, lot: str, record: PlyRecord) -> MaterialFigures:
    ply = record.ply
    figures = []
    for name in SHOWN:
        if name in record.origins:
            origin = record.origins[name]
            figures.append(FigureOrigin(figure=name, value=origin.value, unit=origin.unit, kind=origin.kind,
                                        is_default=origin.is_default, source=origin.source,
                                        confidence=origin.confidence, formula=origin.formula))
    given = sum(1 for f in figures if f.kind in ("measured", "certificate"))
    resting = "default" if all(f.is_default for f in figures) else ("measured" if given >= 4 else "mixed")
    known = record.origins
    return MaterialFigures(
        id=ply.name, description=description, lot=lot, family=ply.family, is_woven=ply.is_woven,
        is_conductive=ply.is_conductive, thickness_mm=to(ply.thickness, "mm"),
        fibre_volume_pct=to(known["Vf"].value, "%") if "Vf" in known else None,
        resin_content_pct=to(known["resin_share"].value, "%") if "resin_share" in known else None,
        total_g_m2=to(ply.area_mass, "g/m2"), price_per_m2=ply.price, resting_on=resting, figures=tuple(figures))
