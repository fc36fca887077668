"""Everything of one section's wall, one tap deeper than `check`: tiers beside each other, round, strength, cure, seams.

What is computed on demand stands here: the layered ring, squeezes, limits with their knock-downs, reserves by every
criterion, stresses through the wall, what each ply earns, slopes, and why.
"""

import math
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.conventions.rounding import started_turns
from polewright.documents.design import Design
from polewright.documents.findings import section_rulings
from polewright.documents.section_figures import cut_rules, rolls_told, stack_text
from polewright.documents.values import Workpiece, workpiece
from polewright.documents.wall_shown import (
    ChangeFigures,
    LimitFigures,
    PlyFigures,
    PlyStress,
    ReserveFigures,
    SlopeFigures,
    SqueezeFigures,
    ThroughPoint,
    Tiers,
    WallFigures,
)
from polewright.documents.wall_why import why_wall
from polewright.errors import DesignError
from polewright.materials.ply import Strength
from polewright.pole.section import Section
from polewright.shop.kit import rolled_flags, section_kit
from polewright.shop.seam_clock import section_clock
from polewright.units import si, to
from polewright.wall.clamp import Band
from polewright.wall.cooldown import cool_down, mandrel_fit
from polewright.wall.cylinder import exact_tube
from polewright.wall.failure import FirstFailure, ply_reserve
from polewright.wall.limits import Limit, WallLimits
from polewright.wall.report import Hold, RingReport, StrengthReport, WallReport, WallUse, strength_report, wall_report
from polewright.wall.seam import UnevenSection, part_turns, uneven_section
from polewright.wall.sensitivity import FIGURES, PARAMETERS, changes, earnings, slopes, thin_figures
from polewright.wall.stack import Stack
from polewright.wall.through import TubeLoads, tube_stress

__all__ = ["wall_figures"]

MOMENT = 100.0  # [N m] at which reserves and stresses are given
POINTS = (0.0, 0.25, 0.5, 0.75, 1.0)  # of every layer, in the plot through the wall


def wall_figures(design: Design, section: int, work: Workpiece | None = None) -> WallFigures:
    """Every figure of one section's wall, at its butt; `section` counts from 1 at the tip.

    Raises
    ------
    DocumentError : the design cannot be built. DesignError : no such section, or a wall too thin for the layered ring.
    """
    if not 1 <= section <= len(design.sections):
        raise DesignError("wall", section, f"a section from 1 to {len(design.sections)}, the tip first")
    work = work or workpiece(design)
    part = work.sections[section - 1]
    bore = float(part.bores(np.array([0.0]))[0])
    lab, safe = part.stack.strength(), part.stack.design_strength()
    r = wall_report(part.stack, bore, _use(design, section, part), strength=safe or lab)
    uneven, starts = _seams(design, part, bore)
    bar = part.mandrel.diameter_at(part.mandrel.station[0] + part.place + np.array([part.length]))
    on_bar, grown = exact_tube(part.stack.wall(float(bar[0]))), part.mandrel.expansion
    fit = mandrel_fit(on_bar, rise=part.rise, mandrel_expansion=grown)
    cool = cool_down(on_bar, rise=part.rise, mandrel_expansion=grown)
    bow, _ = uneven.bow(rise=part.rise, length=part.length)
    ring = r.ring
    return WallFigures(
        name=design.name,
        section=section,
        stack=stack_text(design.sections[section - 1]),
        bore_mm=to(bore, "mm"),
        outside_mm=to(float(r.wall.outside), "mm"),
        wall_mm=to(float(r.wall.total_thickness), "mm"),
        mass_per_length_g_m=to(float(r.wall.mass_per_length), "g/m"),
        strengths="design values" if safe is not None else "lab means" if lab is not None else "unknown",
        tiers=_tiers(r),
        shear_coefficient=r.beam.shear_coefficient,
        band_least_N=float(ring.window.least),
        band_most_N=float(ring.window.most),
        band_most_exact_N=float(ring.window_exact.most),
        band_words=ring.window_exact.words,
        squeezes=_squeezes(ring, r.use.hold),
        collar_MPa=None if ring.collar is None else to(ring.collar.pressure, "MPa"),
        collar_collapse_MPa=to(ring.collapse_exact, "MPa"),
        limits=(*_limits("bending", r.bending), *_limits("push", r.push)),
        fails_first_bending=str(r.bending.first),
        fails_first_push=str(r.push.first),
        reference_moment_N_m=MOMENT,
        **_strength(r, part.stack),
        reserves=_reserves(r, part, lab=lab, safe=safe),
        through=_through(r, part),
        cold_bore_mm=to(float(cool.bore), "mm"),
        cold_outside_mm=to(float(cool.outside), "mm"),
        length_change_mm=to(float(cool.stretch) * part.length, "mm"),
        twist_after_cure_deg=to(float(cool.twist) * part.length, "°"),
        release_gap_mm=to(float(fit.gap), "mm"),
        grip_MPa=to(float(fit.pressure), "MPa"),
        pull_off_at_most_kN=to(float(fit.pull_off(friction=r.use.friction, length=part.length)), "kN"),
        release_words=fit.words,
        seam_starts_deg=tuple(to(s, "°") for s in starts),
        seam_peak_to_peak_pct=to(uneven.peak_to_peak, "%"),
        seam_spine_deg=to(uneven.spine, "°"),
        seam_bow_mm=to(bow, "mm"),
        earns=_earns(part.stack, bore),
        changes=_changes(part.stack, bore),
        slopes=_slopes(part.stack, bore),
        rules=section_rulings(design, work, section - 1, starts=starts),
        why=why_wall(),
    )


def _use(design: Design, section: int, part: Section) -> WallUse:
    setting, joint = design.setting, design.joints[section - 2] if section > 1 else None
    width = 15.0 if joint is None else joint.clamp_width_mm
    need = setting.clamp_hold_N if design.brief.clamp_hold_N is None else design.brief.clamp_hold_N
    return WallUse(
        length=part.length,
        rise=part.rise,
        mandrel_expansion=part.mandrel.expansion,
        moment=MOMENT,
        hold=Hold(
            band=Band(width=si("width_mm", width), friction=setting.friction_wet), need=max(si("need_N", need), 1.0)
        ),
    )


def _tiers(r: WallReport) -> tuple[Tiers, ...]:
    b, ring = r.beam, r.ring
    rows: list[tuple[str, str, ArrayLike, ArrayLike]] = [
        ("EA, free to twist", "kN", b.thin.axial, b.exact.axial),
        ("EA, twist held", "kN", b.thin_held.axial, b.exact_held.axial),
        ("EI", "N m2", b.thin.bending, b.exact.bending),
        ("GJ, free to stretch", "N m2", b.thin.twist, b.exact.twist),
        ("GJ, stretch held", "N m2", b.thin_held.twist, b.exact_held.twist),
        ("shear stiffness", "kN", b.thin.shear, b.exact.shear),
        ("ring, 20 mm between plates", "N/mm", ring.plates_thin, ring.plates_exact),
        ("collapse pressure on the outside", "MPa", ring.collapse_thin, ring.collapse_exact),
    ]
    out = [
        Tiers(name=name, unit=unit, thin=to(_one(thin), unit), exact=to(_one(exact), unit))
        for name, unit, thin, exact in rows
    ]
    return (
        *out,
        _coupling("twist from stretch", "1/m", b.thin.coupling, b.exact.coupling),
        _coupling("shear angle from bending", "1/(N m)", b.thin_bend_shear, b.exact_bend_shear),
    )


def _coupling(name: str, unit: str, thin: ArrayLike, exact: ArrayLike) -> Tiers:
    """A coupling, without the last digits of a balanced wall's zero."""
    return Tiers(name=name, unit=unit, thin=round(_one(thin), 12), exact=round(_one(exact), 12))


def _one(value: ArrayLike) -> float:
    return float(np.asarray(value))


def _squeezes(ring: RingReport, hold: Hold) -> tuple[SqueezeFigures, ...]:
    rows = [
        (f"ring of {to(hold.ring, 'mm'):.0f} mm between plates", ring.plates),
        (f"hand round {to(hold.fist, 'mm'):.0f} mm", ring.fist),
        (f"pads {to(hold.pad, 'mm'):.0f} mm square", ring.point),
    ]
    return tuple(
        SqueezeFigures(
            how=how,
            force_N=s.force,
            closure_mm=to(s.closure, "mm"),
            stiffness_N_mm=to(s.stiffness, "N/mm"),
            breaks=s.failure.what,
            is_large=s.is_large,
        )
        for how, s in rows
        if s is not None and math.isfinite(s.force)
    )


def _limits(under: Literal["bending", "push"], found: WallLimits) -> tuple[LimitFigures, ...]:
    unit = "N m" if under == "bending" else "kN"
    return tuple(
        _limit(under, unit, limit, is_first=limit.name == found.first)
        for limit in found.limits
        if math.isfinite(float(limit.load))
    )


def _limit(under: Literal["bending", "push"], unit: str, limit: Limit, *, is_first: bool) -> LimitFigures:
    perfect, load = (to(float(v), unit) for v in (limit.perfect, limit.load))
    return LimitFigures(
        under=under,
        name=limit.name,
        unit=unit,
        perfect=perfect,
        knock_down=float(limit.knock_down),
        load=load,
        range=limit.range,
        is_in_range=bool(limit.is_in_range),
        is_first=is_first,
    )


def _strength(r: WallReport, stack: Stack) -> dict[str, Any]:
    s = r.strength
    if s is None:
        return {
            "first_ply_N_m": None,
            "first_ply_words": "no strengths are known",
            "last_ply_N_m": None,
            "last_ply_steps": (),
            "stresses": (),
        }
    first = min(s.with_cure.values(), key=lambda f: float(f.factor))
    steps = tuple(
        (f"{MOMENT * float(at):.0f} N m" if at > 0.0 else "in the cure") + f": {mode} in ply {layer + 1}"
        for at, (layer, mode) in zip(s.last.steps, s.last.broken, strict=True)
    )
    return {
        "first_ply_N_m": _known(s.first_moment),
        "first_ply_words": _first_words(first),
        "last_ply_N_m": _known(MOMENT * s.last.factor),
        "last_ply_steps": steps,
        "stresses": _stresses(r, s, stack),
    }


def _first_words(first: FirstFailure) -> str:
    if float(first.factor) > 0.0:
        return first.words
    return (
        f"what cooling leaves may alone crack a ply by these strengths: {first.what}; a crack in the resin is not "
        "the end of the wall"
    )


def _known(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _stresses(r: WallReport, s: StrengthReport, stack: Stack) -> tuple[PlyStress, ...]:
    limits = stack.design_strength() or stack.strength()
    assert limits is not None
    reserve = ply_reserve(r.wall, s.load, limits, cure=s.cure)
    worst = reserve.factor.min(axis=0)
    rows = []
    for k, (ply, angle, _) in enumerate(stack.layers):
        for f in range(2):
            cure, load = (_MPa(a[0, k, f, [0, 1, 5]]) for a in (s.cure, s.load))
            place = int(reserve.factor[:, k, f].argmin())
            rows.append(
                PlyStress(
                    layer=k + 1,
                    face="outer" if f else "bore side",
                    prepreg=ply.name,
                    angle_deg=to(angle, "°"),
                    cure_along_fibre_MPa=cure[0],
                    cure_across_MPa=cure[1],
                    cure_shear_MPa=cure[2],
                    bending_along_fibre_MPa=load[0],
                    bending_across_MPa=load[1],
                    bending_shear_MPa=load[2],
                    reserve=_known(float(worst[k, f])),
                    mode=reserve.named((place, k, f)),
                )
            )
    return tuple(rows)


def _MPa(stress: FloatArray) -> list[float]:
    return [round(to(float(v), "MPa"), 9) for v in stress]


def _reserves(
    r: WallReport, part: Section, *, lab: Strength | None, safe: Strength | None
) -> tuple[ReserveFigures, ...]:
    rows = []
    both: tuple[tuple[Literal["design values", "lab means"], Strength | None], ...] = (
        ("design values", safe),
        ("lab means", lab),
    )
    for name, strength in both:
        if strength is None:
            continue
        known = (
            r.strength
            if strength is (safe or lab) and r.strength is not None
            else strength_report(exact_tube(r.wall), strength, moment=MOMENT, rise=part.rise)
        )
        for criterion, inside in known.with_cure.items():
            outside = known.without_cure[criterion]
            rows.append(
                ReserveFigures(
                    strengths=name,
                    criterion=criterion,
                    cure_in=_known(float(inside.factor)),
                    cure_in_breaks=inside.what,
                    cure_out=_known(float(outside.factor)),
                    cure_out_breaks=outside.what,
                )
            )
    return tuple(rows)


def _through(r: WallReport, part: Section) -> tuple[ThroughPoint, ...]:
    tube = exact_tube(r.wall, points=POINTS)
    load = tube_stress(tube, TubeLoads(moment=MOMENT)).tube
    cure = tube_stress(tube, TubeLoads(rise=part.rise)).tube
    edges, rows = r.wall.edges, []
    for k in range(r.wall.angle.size):
        for p, at in enumerate(POINTS):
            a, b = _MPa(load[k, p, :3]), _MPa(cure[k, p, :3])
            radius = float(edges[k] + at * (edges[k + 1] - edges[k]))
            rows.append(
                ThroughPoint(
                    radius_mm=to(radius, "mm"),
                    layer=k + 1,
                    bending_along_MPa=a[0],
                    bending_around_MPa=a[1],
                    bending_through_MPa=a[2],
                    cure_along_MPa=b[0],
                    cure_around_MPa=b[1],
                    cure_through_MPa=b[2],
                )
            )
    return tuple(rows)


def _seams(design: Design, part: Section, bore: float) -> tuple[UnevenSection, tuple[float, ...]]:
    """The section with its seams as the shop spreads them round the clock, and where each flag starts [rad]."""
    rules = cut_rules(design)
    butt, mouth = (float(b) for b in part.bores(np.array([0.0, part.length])))
    with rolls_told(design):
        flags = rolled_flags(part.stack, butt, mouth, part.length, rules)
        starts = section_clock(section_kit(part.stack, butt, mouth, part.length, rules=rules)).start
    rolled = Stack(tuple(wrap for wrap, _ in flags))
    if not any(wrap.turns >= 1.0 - 1e-9 for wrap in rolled.wraps):
        return uneven_section(part.stack.wall(bore), ()), tuple(float(s) for s in starts)
    wall, arcs = part_turns(rolled, bore, starts=starts, overlap=rules.overlap)
    return uneven_section(wall, arcs), tuple(float(s) for s in starts)


def _earns(stack: Stack, bore: float) -> tuple[PlyFigures, ...]:
    e = earnings(stack, bore)
    return tuple(
        PlyFigures(
            wrap=i + 1,
            prepreg=wrap.ply.name,
            angle_deg=to(wrap.angle, "°"),
            turns=wrap.turns,
            along_pct=to(float(e.along[i]), "%"),
            around_pct=to(float(e.around[i]), "%"),
            twist_pct=to(float(e.twist[i]), "%"),
            mass_pct=to(float(e.mass[i]), "%"),
            cost_pct=to(float(e.cost[i]), "%"),
        )
        for i, wrap in enumerate(stack.wraps)
    )


def _changes(stack: Stack, bore: float) -> tuple[ChangeFigures, ...]:
    words = {"taken out": "taken out", "turned": "turned 5°", "thicker": "10 % thicker"}
    now = float(stack.thickness)
    out = []
    for c in changes(stack, bore):
        by = {name: to(float(v), "%") for name, v in zip(FIGURES, c.relative, strict=True)}
        after = float(c.after[FIGURES.index("wall")])
        out.append(
            ChangeFigures(
                wrap=c.wrap + 1,
                what=words[c.what],
                axial_pct=by["axial"],
                bending_pct=by["bending"],
                twist_pct=by["twist"],
                ring_pct=by["ring"],
                flattening_pct=by["flattening"],
                mass_pct=by["mass"],
                wall_mm=to(after - now, "mm"),
                cost_per_m=c.cost,
            )
        )
    return tuple(out)


def _slopes(stack: Stack, bore: float) -> tuple[SlopeFigures, ...]:
    wall = stack.wall(bore)
    table, now = slopes(wall), dict(zip(FIGURES, thin_figures(wall), strict=True))
    owner = np.repeat(np.arange(len(stack.wraps)), [started_turns(w.turns) for w in stack.wraps])
    e = wall.elastic
    sizes = {
        "thickness": wall.thickness,
        "angle": np.full(owner.size, si("step_deg", 1.0)),
        "E1": e.E1,
        "E2": e.E2,
        "G12": e.G12,
        "nu12": e.nu12,
        "density": e.density,
    }
    rows = []
    for i in range(len(stack.wraps)):
        for name in PARAMETERS:
            step = np.broadcast_to(sizes[name], owner.shape) * (1.0 if name == "angle" else si("step_pct", 1.0))
            moved = {f: to(float((table.of(f, name) * step)[owner == i].sum()) / now[f], "%") for f in FIGURES}
            rows.append(
                SlopeFigures(
                    wrap=i + 1,
                    parameter=name,
                    step="1°" if name == "angle" else "1 %",
                    axial_pct=moved["axial"],
                    bending_pct=moved["bending"],
                    twist_pct=moved["twist"],
                    shear_pct=moved["shear"],
                    ring_pct=moved["ring"],
                    flattening_pct=moved["flattening"],
                    mass_pct=moved["mass"],
                )
            )
    return tuple(rows)
