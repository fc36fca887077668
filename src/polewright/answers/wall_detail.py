"""Everything of one section's wall: both theories, round, strength, cure, seams, what each ply earns and changes."""

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from polewright.answers.cutting import cut_rules, roll_fault_in_place
from polewright.answers.rules import section_rulings
from polewright.answers.sections import BandWindow, Ply, band_of, band_window, hold_needed, plies_of
from polewright.answers.wall_changes import ChangeEffect, PlyShare, Slope, change_effects, figure_slopes, ply_shares
from polewright.answers.wall_strength import (
    MOMENT,
    PlyReserve,
    StrengthKind,
    ThroughStress,
    WallStrength,
    ply_reserves,
    through_stresses,
    wall_strength,
)
from polewright.codes import Message
from polewright.conventions.collars import COLLARS
from polewright.documents.design import Design, JointData
from polewright.documents.values import Workpiece, workpiece
from polewright.errors import DesignError
from polewright.pole.section import Section
from polewright.shop.kit import rolled_flags, section_kit
from polewright.shop.seam_clock import section_clock
from polewright.wall.clamp import Band
from polewright.wall.cooldown import cool_down, mandrel_fit
from polewright.wall.cylinder import exact_tube
from polewright.wall.limits import WallLimits
from polewright.wall.report import Hold, RingReport, WallReport, WallUse, wall_report
from polewright.wall.rules import Ruling
from polewright.wall.seam import UnevenSection, part_turns, uneven_section
from polewright.wall.stack import Stack

__all__ = [
    "CoolAnswer",
    "LimitAnswer",
    "Load",
    "RoundAnswer",
    "SeamAnswer",
    "SqueezeAnswer",
    "Tier",
    "WallAnswer",
    "wall_answer",
]

Load = Literal["bending", "push"]
QUIET = 12  # decimals of a coupling: what lies beyond is left of a balanced wall's zero


@dataclass(frozen=True, slots=True)
class Tier:
    """One figure by thin-wall theory and by the exact layered tube, SI; key of the table of tiers in `words`."""

    key: str
    thin: float
    exact: float


@dataclass(frozen=True, slots=True)
class LimitAnswer:
    """One way a wall ends under a moment [N m] or a push [N]; `load` has the knock-down in."""

    under: Load
    name: str
    perfect: float
    knock_down: float
    load: float
    range: Message
    is_in_range: bool
    is_first: bool


@dataclass(frozen=True, slots=True)
class SqueezeAnswer:
    """Pressed from two sides over `size` [m] until the first ply breaks: force [N], closure [m], stiffness [N/m].

    kind: "plates", "hand" or "pads"; is_large: closed by more than a tenth of the bore, a guide only.
    """

    kind: str
    size: float
    force: float
    closure: float
    stiffness: float
    broken: Message
    is_large: bool


@dataclass(frozen=True, slots=True)
class RoundAnswer:
    """The clamp as the section's mouth wears it, a plain band on a tip section; every make of collar of that width
    beside it; squeezes.
    """

    clamp: BandWindow
    collars: tuple[BandWindow, ...]
    squeezes: tuple[SqueezeAnswer, ...]


@dataclass(frozen=True, slots=True)
class CoolAnswer:
    """After the oven: bore, outside, change of length, gap [m], twist [rad], pressure [Pa], pull-off at most [N]."""

    bore: float
    outside: float
    length_change: float
    twist: float
    gap: float
    pressure: float
    pull_off: float
    fit: Message


@dataclass(frozen=True, slots=True)
class SeamAnswer:
    """Where flags start [rad], stiffness round the clock peak to peak [-], its stiff way [rad], bow [m]."""

    starts: tuple[float, ...]
    peak_to_peak: float
    spine: float
    bow: float


@dataclass(frozen=True, slots=True)
class WallAnswer:
    """All figures of one section's wall at its butt: lengths [m], mass_per_length [kg/m], reference_moment [N m].

    strengths: "design", "lab" or "unknown"; strength is None where they are unknown; rules: what each rule says.
    """

    name: str
    section: int
    stack: tuple[Ply, ...]
    bore: float
    outside: float
    wall: float
    mass_per_length: float
    strengths: StrengthKind | Literal["unknown"]
    tiers: tuple[Tier, ...]
    shear_coefficient: float
    round: RoundAnswer
    limits: tuple[LimitAnswer, ...]
    first: tuple[tuple[Load, str], ...]
    strength: WallStrength | None
    reserves: tuple[PlyReserve, ...]
    through: tuple[ThroughStress, ...]
    cool: CoolAnswer
    seams: SeamAnswer
    earns: tuple[PlyShare, ...]
    changes: tuple[ChangeEffect, ...]
    slopes: tuple[Slope, ...]
    rules: tuple[Ruling, ...]
    reference_moment: float = MOMENT


def wall_answer(design: Design, section: int, work: Workpiece | None = None) -> WallAnswer:
    """Every figure of one section's wall, at its butt; `section` counts from 1 at the tip.

    Raises
    ------
    DocumentError : the design cannot be built. DesignError : no such section, or a wall too thin for the layered ring.
    """
    if not 1 <= section <= len(design.sections):
        raise DesignError("wall", section, Message("want.section_from_tip", most=len(design.sections)))
    work = work or workpiece(design)
    part = work.sections[section - 1]
    bore = float(part.bores(np.array([0.0]))[0])
    lab, safe = part.stack.strength(), part.stack.design_strength()
    r = wall_report(part.stack, bore, _use(design, section, part), strength=safe or lab)
    uneven, starts = _seams(design, part, bore)
    bow, _ = uneven.bow(rise=part.rise, length=part.length)
    return WallAnswer(
        name=design.name,
        section=section,
        stack=plies_of(design.sections[section - 1], work.sections[section - 1]),
        bore=bore,
        outside=float(r.wall.outside),
        wall=float(r.wall.total_thickness),
        mass_per_length=float(r.wall.mass_per_length),
        strengths="design" if safe is not None else "lab" if lab is not None else "unknown",
        tiers=_tiers(r),
        shear_coefficient=float(r.beam.shear_coefficient),
        round=_round(r.ring, r.use.hold, _clamps(design, section, part)),
        limits=(*_limits("bending", r.bending), *_limits("push", r.push)),
        first=(("bending", str(r.bending.first)), ("push", str(r.push.first))),
        strength=wall_strength(r, part.stack),
        reserves=ply_reserves(r, part, lab=lab, safe=safe),
        through=through_stresses(r, part),
        cool=_cool(part, r.use.friction),
        seams=SeamAnswer(starts, uneven.peak_to_peak, uneven.spine, bow),
        earns=ply_shares(part.stack, bore),
        changes=change_effects(part.stack, bore),
        slopes=figure_slopes(part.stack, bore),
        rules=section_rulings(design, work, section - 1, starts=starts),
    )


def _use(design: Design, section: int, part: Section) -> WallUse:
    setting = design.setting
    return WallUse(
        length=part.length,
        rise=part.rise,
        mandrel_expansion=part.mandrel.expansion,
        moment=MOMENT,
        hold=Hold(band=_band(design, section), need=hold_needed(design)),
        criterion=setting.criterion,
    )


def _band(design: Design, section: int) -> Band:
    """The clamp on a section's mouth; on the tip, which carries none, one as joints have it."""
    return band_of(design.joints[section - 2] if section > 1 else JointData(overlap_mm=1.0), design.setting)


def _clamps(design: Design, section: int, part: Section) -> tuple[BandWindow, ...]:
    """The window of the section's own clamp, then that of every make of collar."""
    own, need, criterion = _band(design, section), hold_needed(design), design.setting.criterion
    bands = (own, *(replace(own, kind=kind) for kind in COLLARS))
    return tuple(band_window(part, band, need, criterion) for band in bands)


def _tiers(r: WallReport) -> tuple[Tier, ...]:
    b, ring = r.beam, r.ring
    rows: tuple[tuple[str, ArrayLike, ArrayLike], ...] = (
        ("axial_free", b.thin.axial, b.exact.axial),
        ("axial_held", b.thin_held.axial, b.exact_held.axial),
        ("bending", b.thin.bending, b.exact.bending),
        ("twist_free", b.thin.twist, b.exact.twist),
        ("twist_held", b.thin_held.twist, b.exact_held.twist),
        ("shear", b.thin.shear, b.exact.shear),
        ("ring", ring.plates_thin, ring.plates_exact),
        ("collapse", ring.collapse_thin, ring.collapse_exact),
    )
    return (
        *(Tier(key, _one(thin), _one(exact)) for key, thin, exact in rows),
        _coupling("stretch_twist", b.thin.coupling, b.exact.coupling),
        _coupling("bend_shear", b.thin_bend_shear, b.exact_bend_shear),
    )


def _coupling(key: str, thin: ArrayLike, exact: ArrayLike) -> Tier:
    """A coupling, without the last digits of a balanced wall's zero."""
    return Tier(key, round(_one(thin), QUIET), round(_one(exact), QUIET))


def _one(value: ArrayLike) -> float:
    return float(np.asarray(value))


def _round(ring: RingReport, hold: Hold, clamps: tuple[BandWindow, ...]) -> RoundAnswer:
    rows = (("plates", hold.ring, ring.plates), ("hand", hold.fist, ring.fist), ("pads", hold.pad, ring.point))
    return RoundAnswer(
        clamp=clamps[0],
        collars=clamps[1:],
        squeezes=tuple(
            SqueezeAnswer(
                kind=kind,
                size=size,
                force=float(s.force),
                closure=float(s.closure),
                stiffness=float(s.stiffness),
                broken=s.failure.broken,
                is_large=bool(s.is_large),
            )
            for kind, size, s in rows
            if s is not None and math.isfinite(s.force)
        ),
    )


def _limits(under: Load, found: WallLimits) -> tuple[LimitAnswer, ...]:
    return tuple(
        LimitAnswer(
            under=under,
            name=limit.name,
            perfect=float(limit.perfect),
            knock_down=float(limit.knock_down),
            load=float(limit.load),
            range=limit.range,
            is_in_range=bool(limit.is_in_range),
            is_first=limit.name == found.first,
        )
        for limit in found.limits
        if math.isfinite(float(limit.load))
    )


def _cool(part: Section, friction: float) -> CoolAnswer:
    """The section after the oven, its wall on the bar at the section's own place."""
    bar = part.mandrel.diameter_at(part.mandrel.station[0] + part.place + np.array([part.length]))
    on_bar, grown = exact_tube(part.stack.wall(float(bar[0]))), part.mandrel.expansion
    fit = mandrel_fit(on_bar, rise=part.rise, mandrel_expansion=grown)
    cool = cool_down(on_bar, rise=part.rise, mandrel_expansion=grown)
    return CoolAnswer(
        bore=float(cool.bore),
        outside=float(cool.outside),
        length_change=float(cool.stretch) * part.length,
        twist=float(cool.twist) * part.length,
        gap=float(fit.gap),
        pressure=float(fit.pressure),
        pull_off=float(fit.pull_off(friction=friction, length=part.length)),
        fit=fit.message,
    )


def _seams(design: Design, part: Section, bore: float) -> tuple[UnevenSection, tuple[float, ...]]:
    """The section with its seams as the shop spreads them round the clock, and where each flag starts [rad]."""
    rules = cut_rules(design)
    butt, mouth = (float(b) for b in part.bores(np.array([0.0, part.length])))
    with roll_fault_in_place(design):
        flags = rolled_flags(part.stack, butt, mouth, part.length, rules)
        starts = section_clock(section_kit(part.stack, butt, mouth, part.length, rules=rules)).start
    rolled = Stack(tuple(ply for ply, _ in flags))
    clock = tuple(float(s) for s in starts)
    if not any(ply.turns >= 1.0 - 1e-9 for ply in rolled.plies):
        return uneven_section(part.stack.wall(bore), ()), clock
    wall, arcs = part_turns(rolled, bore, starts=starts, overlap=rules.overlap)
    return uneven_section(wall, arcs), clock
