"""A brief document into the values of the search, and a pole design into a brief document with its own options."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from math import ceil, inf, nextafter, pi

import numpy as np

from polewright.conventions.angles import is_hoop
from polewright.documents.brief import DroopWish
from polewright.documents.brief_file import BriefDocument, RolledPly, Rolls, Sliding
from polewright.documents.design import Design, JointData, MandrelData, SectionData
from polewright.documents.files import DocumentError, Fault
from polewright.documents.material import Material
from polewright.documents.section_figures import section_figures
from polewright.documents.shelf import ply_record
from polewright.documents.values import Workpiece, workpiece
from polewright.errors import DesignError
from polewright.materials.library import library
from polewright.materials.ply import Ply
from polewright.pole.section import Mandrel, Section
from polewright.search import Bar, Bears, Brief, Build, FurtherDroop, FurtherFlex, Option, Options, Rules, Shop
from polewright.units import format_length, si, to
from polewright.wall.clamp import Band
from polewright.wall.report import Hold
from polewright.wall.stack import Stack

__all__ = ["Asked", "asked_of", "bar_of", "brief_of", "option_of"]

_LIGHTEST = 1e-9  # [kg] a tip that carries nothing: the pole still swings


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """What goes into the search, and the prepregs that stay outside it, `left_out`, in words.

    droop_at, flex_at : which of the brief's droop wishes the search's own droop and flex stand for, if any; droops_at,
    flexes_at : which ones its further droops and flexes stand for.
    """

    document: BriefDocument
    brief: Brief
    shop: Shop
    rolled: tuple[RolledPly, ...]
    left_out: tuple[str, ...]
    droop_at: int | None = None
    flex_at: int | None = None
    droops_at: tuple[int, ...] = ()
    flexes_at: tuple[int, ...] = ()


def asked_of(document: BriefDocument) -> Asked:
    """The values of the search.

    Raises
    ------
    DocumentError : no material, mandrel or ply to roll; a name that is not on the shelf; rules that contradict.
    """
    _refuse_empty(document)
    gone = _gone(document)
    rolled = tuple(r for r in document.rolls.plies if r.prepreg not in gone)
    if not rolled:
        raise DocumentError(
            [Fault(("rolls.plies", "", "every prepreg is out of life or length: " + "; ".join(gone.values())))]
        )
    plies = {m.id: ply_record(m, field=f"materials[{i}]").ply for i, m in enumerate(document.materials)}
    with _placed("rolls"):
        walls = Options(
            tuple(option_of(r, plies[r.prepreg]) for r in rolled),
            document.rolls.most_plies,
            0.03,
            order=document.rolls.order,
            rules=_rules(document),
            utilisation=document.setting.utilisation,
            bears=_bears(document),
        )
    sections = _sections(document)
    length = document.section_length_mm or _equal_length(document, max(sections))
    bars = tuple(bar_of(m, document, walls, length, f"mandrels[{i}]") for i, m in enumerate(document.mandrels))
    wishes = _sorted_wishes(document, sections)
    with _placed("brief"):
        brief = _brief(document, sections, wishes)
    with _placed("joint"):
        shop = Shop(walls, bars, _build(document, length))
    if shop.build.prop >= brief.reach:
        raise DocumentError(
            [
                Fault(
                    (
                        "setting.prop_mm",
                        f"{document.setting.prop_mm:g}",
                        f"below {format_length(brief.reach, 'mm')}, the reach that is searched for",
                    )
                )
            ]
        )
    return Asked(
        document, brief, shop, rolled, tuple(gone.values()), wishes.droop, wishes.flex, wishes.droops, wishes.flexes
    )


@contextmanager
def _placed(room: str) -> Iterator[None]:
    """A refusal of the search, told with its place in the document."""
    try:
        yield
    except DesignError as fault:
        value = fault.given
        raise DocumentError([Fault((f"{room}: {fault.field}", value, fault.want))]) from fault


def _refuse_empty(document: BriefDocument) -> None:
    faults = []
    if not document.materials:
        faults.append(Fault(("materials", "", "none: name the prepregs on the shelf, each with its price")))
    if not document.mandrels:
        faults.append(Fault(("mandrels", "", "none: name the mandrels of the rack, each as measured")))
    if not document.rolls.plies:
        faults.append(Fault(("rolls.plies", "", "none: say which prepreg is rolled at which angle, bore outward")))
    shelf = [m.id for m in document.materials]
    for room, listed in (("materials", shelf), ("mandrels", [m.id for m in document.mandrels])):
        faults += [
            Fault((f"{room}[{i}].id", repr(name), "an id of its own; this one stands twice"))
            for i, name in enumerate(listed)
            if name in listed[:i]
        ]
    names = [(f"rolls.plies[{i}].prepreg", r.prepreg) for i, r in enumerate(document.rolls.plies)]
    names += [(f"stock[{i}].prepreg", s.prepreg) for i, s in enumerate(document.stock)]
    if shelf:
        faults += [
            Fault((field, repr(name), "one of " + ", ".join(shelf))) for field, name in names if name not in shelf
        ]
    if document.brief.reach_at_least_mm is None:
        faults.append(Fault(("brief.reach_at_least_mm", "", "is missing; a search needs the reach, butt to tip")))
    if faults:
        raise DocumentError(faults)


def _gone(document: BriefDocument) -> dict[str, str]:
    """Prepregs that cannot be used, with the reason."""
    said = {}
    for stock in document.stock:
        if stock.left_m == 0.0:
            said[stock.prepreg] = f"{stock.prepreg} is used up"
        elif stock.life_left_h is not None and stock.life_left_h < document.work_h:
            said[stock.prepreg] = (
                f"{stock.prepreg} has {stock.life_left_h:g} h of life left, a pole takes {document.work_h:g} h"
            )
    return said


def option_of(rolled: RolledPly, ply: Ply) -> Option:
    """One thing to roll on; a part turn, or several turns at once, is a ply as much thinner or thicker."""
    if rolled.turns != 1.0:
        ply = replace(
            ply,
            thickness=ply.thickness * rolled.turns,
            price=ply.price * rolled.turns,
            area_mass=ply.area_mass * rolled.turns,
        )
    return Option(ply, si("angle_deg", rolled.angle_deg), is_pair=rolled.pair)


def _most(field: str, value: float | None) -> float:
    return inf if value is None else si(field, value)


def _least(field: str, value: float | None) -> float:
    return 0.0 if value is None else si(field, value)


def _rules(document: BriefDocument) -> Rules:
    r, twist = document.rolls, document.brief.twist_at_least_N_m2
    return Rules(
        hoop_inside=r.hoop_inside,
        hoop_outside=r.hoop_outside,
        woven_skin=r.woven_skin,
        least_wall=_least("wall_least_mm", r.wall_least_mm),
        most_wall=_most("wall_most_mm", r.wall_most_mm),
        block=_most("block_most_mm", r.block_most_mm),
        neighbours=_most("neighbours_most_deg", r.neighbours_most_deg),
        least_ring=r.ring_least_N_m or 0.0,
        least_collapse=_least("clamp_least_kPa", r.clamp_least_kPa),
        least_twist=_least("twist_at_least_N_m2", twist),
    )


def _sections(document: BriefDocument) -> tuple[int, ...]:
    """How many sections there may be: as said, or as tubes of one length need."""
    reach, length = document.brief.reach_at_least_mm, document.section_length_mm
    assert reach is not None
    overlap = document.joint.overlap_mm
    if length is None:
        return document.sections or (2, 3, 4, 5, 6)
    if length <= overlap:
        raise DocumentError([Fault(("section_length_mm", f"{length:g}", f"above the overlap, {overlap:g}"))])
    fewest = max(ceil((reach - overlap) / (length - overlap) - 1e-9), 1)
    allowed = [n for n in document.sections or range(1, 11) if n >= fewest]
    if not allowed:
        raise DocumentError(
            [
                Fault(
                    (
                        "sections",
                        f"at most {max(document.sections or (10,))}",
                        f"{fewest} tubes of {length:g} mm are needed to reach {reach:g} mm",
                    )
                )
            ]
        )
    return (min(allowed),)


def _equal_length(document: BriefDocument, sections: int) -> float:
    reach = document.brief.reach_at_least_mm
    assert reach is not None
    return (reach + (sections - 1) * document.joint.overlap_mm) / sections


def _taper(mandrel: MandrelData) -> float:
    """Rise of diameter along the mandrel, a length a length."""
    first, last = mandrel.profile[0], mandrel.profile[-1]
    return (last.diameter_mm - first.diameter_mm) / (last.at_mm - first.at_mm)


def bar_of(mandrel: MandrelData, document: BriefDocument, walls: Options, length_mm: float, field: str) -> Bar:
    """The bore that a usual wall of these options has half-way along the tube, after cure."""
    with _placed(field):
        expansion = (
            library().mandrel_material(mandrel.material).alpha
            if mandrel.cte_1e6_K is None
            else si("cte_1e6_K", mandrel.cte_1e6_K)
        )
        bar = Mandrel(
            mandrel.id,
            np.array([si("at_mm", p.at_mm) for p in mandrel.profile]),
            np.array([si("diameter_mm", p.diameter_mm) for p in mandrel.profile]),
            expansion,
        )
        place, length = si("place_mm", document.sliding.place_mm), si("length_mm", length_mm)
        if place + length > bar.length + 1e-9:
            want = f"long enough for a tube of {length_mm:.0f} mm from place_mm {document.sliding.place_mm:g}"
            raise DocumentError([Fault((field, f"measured over {to(bar.length, 'mm'):.0f} mm", want))])
        rise = si("room_C", document.setting.room_C) - si("stress_free_C", document.setting.stress_free_C)
        section = Section(_usual(walls), length, bar, place, rise)
        return Bar(mandrel.id, float(section.bores(np.array([length / 2.0]))[0]))


def _usual(walls: Options) -> Stack:
    """A wall as these options are usually rolled: each hoop once, the first axial ply for the rest."""
    along = [k for k, o in enumerate(walls.plies) if not o.is_hoop] or [0]
    around = [k for k, o in enumerate(walls.plies) if o.is_hoop]
    inner, outer = around[:1], around[-1:] if len(around) > 1 else []
    return walls.stack((*inner, *[along[0]] * max(walls.most - len(inner) - len(outer) - 1, 1), *outer))


def _build(document: BriefDocument, length_mm: float) -> Build:
    joint, slide = document.joint, document.sliding
    # on a common taper the butt of one tube meets the mouth of the next, so far from the middle of both
    meets = sum(_taper(m) for m in document.mandrels) / len(document.mandrels) * max(length_mm - joint.overlap_mm, 0.0)
    return Build(
        overlap=si("overlap_mm", joint.overlap_mm),
        proud=si("proud_mm", joint.proud_mm),
        flag_extra=si("trim_mm", document.setting.trim_mm),
        clamp=si("clamp_g", joint.clamp_g),
        fitting=si("tip_fitting_g", document.tip_fitting_g),
        joint_stiffness=si("stiffness_kN_m_rad", joint.stiffness_kN_m_rad),
        centring=joint.centring,
        pivot=joint.pivot,
        play=joint.play,
        clearance_least=si("clearance_mm", slide.clearance_least_mm + meets),
        clearance_most=si("clearance_mm", slide.clearance_most_mm + meets),
        prop=si("prop_mm", document.setting.prop_mm),
    )


@dataclass(frozen=True, slots=True)
class _Wishes:
    """Places among the brief's droop wishes: the first droop and flex with all drawn out, and all others."""

    droop: int | None
    flex: int | None
    droops: tuple[int, ...]
    flexes: tuple[int, ...]


def _sorted_wishes(document: BriefDocument, sections: tuple[int, ...]) -> _Wishes:
    asked = document.brief.droop
    limits = [i for i, w in enumerate(asked) if w.at_most_mm is not None]
    wanted = [i for i, w in enumerate(asked) if w.wanted_mm_per_100g is not None]
    whole = [i for i, w in enumerate(asked) if w.out == 0 or w.out >= max(sections) - 1]
    droop, flex = (next((i for i in some if i in whole), None) for some in (limits, wanted))
    return _Wishes(droop, flex, tuple(i for i in limits if i != droop), tuple(i for i in wanted if i != flex))


def _brief(document: BriefDocument, sections: tuple[int, ...], places: _Wishes) -> Brief:
    wishes, reach = document.brief, document.brief.reach_at_least_mm
    assert reach is not None
    if document.section_length_mm is not None:
        n = sections[0]
        reach = n * document.section_length_mm - (n - 1) * document.joint.overlap_mm
    droop = None if places.droop is None else wishes.droop[places.droop]
    flex = None if places.flex is None else wishes.droop[places.flex]
    headline = droop or flex
    total = (
        document.tip_fitting_g + document.setting.test_load_g
        if headline is None
        else max(headline.tip_total_g, document.tip_fitting_g)
    )
    wanted = None if flex is None else si("flex_mm_per_100g", flex.wanted_mm_per_100g or 0.0)
    return Brief(
        reach=si("reach_mm", reach),
        sections=sections,
        tip_mass=si("tip_total_g", total),
        aim=document.aim or ("droop" if flex is None else "mass"),
        droop_at_most=inf if droop is None else _most("at_most_mm", droop.at_most_mm),
        flex_wanted=wanted,
        flex_within=0.01 if flex is None else min(si("within_pct", flex.within_pct), 0.01),
        mass_at_most=_most("mass_at_most_g", wishes.mass_at_most_g),
        carry_at_most=wishes.carry_at_most_kg_m or inf,
        cost_at_most=_bill(wishes.material_cost_at_most),
        closed_at_most=_most("closed_at_most_mm", wishes.closed_at_most_mm),
        base_at_most=_most("base_mm", wishes.base_outside_at_most_mm),
        droops=tuple(
            FurtherDroop(_tip(document, w), si("at_most_mm", w.at_most_mm or 0.0), w.out)
            for w in (wishes.droop[i] for i in places.droops)
        ),
        flexes=tuple(
            FurtherFlex(
                _tip(document, w),
                si("flex_mm_per_100g", w.wanted_mm_per_100g or 0.0),
                si("within_pct", w.within_pct),
                w.out,
            )
            for w in (wishes.droop[i] for i in places.flexes)
        ),
        swing_at_least=wishes.swing_at_least_Hz or 0.0,
        swing_mass=max(si("swing_g", document.tip_fitting_g + document.setting.swing_load_g), _LIGHTEST),
    )


def _tip(document: BriefDocument, wish: DroopWish) -> float:
    """[kg] in all at the tip, no less than its fitting."""
    return si("tip_total_g", max(wish.tip_total_g, document.tip_fitting_g))


def _bears(document: BriefDocument) -> Bears | None:
    """What every wall must bear; None where nothing is asked. A clamp sits on the mouth of all but the tip section."""
    rolls, need = document.rolls, document.brief.clamp_hold_N
    band, hold = 0.0, Hold()
    if need is not None:
        friction = document.setting.friction_wet
        band = si("clamp_hold_N", need) / (2.0 * pi * friction)
        hold = Hold(
            band=Band(si("clamp_width_mm", document.joint.clamp_width_mm), friction), need=si("clamp_hold_N", need)
        )
    loads = [
        rolls.moment_least_N_m or 0.0,
        *(
            _least("squeeze_N", f)
            for f in (rolls.plates_squeeze_least_N, rolls.hand_squeeze_least_N, rolls.pads_squeeze_least_N)
        ),
        band,
    ]
    if not any(loads):
        return None
    moment, plates, fist, pad, _ = loads
    return Bears(moment, plates, fist, pad, band, hold, spares_tip=True)


def _bill(cost: float | None) -> float:
    return inf if cost is None else max(cost, nextafter(0.0, 1.0))


def brief_of(design: Design) -> BriefDocument:
    """The brief of a pole, with its own shelf, rack, plies and ways as the options.

    Plies are listed in the order of its walls; prepregs that no wall uses join them along the tube. The clearance
    window spans its own joints. The clamps' hold is asked for where its own walls leave every clamp a tension: the best
    pole must not be one that its clamps crush.
    """
    work = workpiece(design)
    joint = design.joints[0] if design.joints else JointData(overlap_mm=200.0)
    gaps = [to(f.at_overlap, "mm") for f in work.fits] or [0.4]
    lengths = [s.length_mm for s in design.sections]
    n = len(lengths)
    length = (to(work.pole.extended_length, "mm") + (n - 1) * joint.overlap_mm) / n
    floor = design.setting.clearance_least_mm + design.setting.seam_ridge_mm
    slide = Sliding(
        clearance_least_mm=max(min(gaps) - 0.05, min(floor, *gaps), 0.0),
        clearance_most_mm=max(gaps) + 0.05,
        place_mm=min(s.place_mm for s in design.sections),
    )
    return BriefDocument(
        name=design.name,
        maker=design.maker,
        note=f"the options of {design.name}",
        sections=(n,),
        section_length_mm=length,
        tip_fitting_g=design.tip_fitting_g,
        setting=design.setting,
        sliding=slide,
        brief=design.brief.model_copy(
            update={"reach_at_least_mm": to(work.pole.extended_length, "mm"), "clamp_hold_N": _hold_of(design, work)}
        ),
        joint=joint,
        rolls=_rolls_of(design.sections, design.materials),
        materials=design.materials,
        mandrels=design.mandrels,
    )


def _hold_of(design: Design, work: Workpiece) -> float | None:
    """[N] what every clamp must hold: as its brief says, else as its full check has it if its own clamps all can."""
    if design.brief.clamp_hold_N is not None or not design.joints:
        return design.brief.clamp_hold_N
    can = all(s.window.is_open for s in section_figures(design, work) if s.window is not None)
    return design.setting.clamp_hold_N if can else None


def _rolls_of(sections: Sequence[SectionData], materials: Sequence[Material]) -> Rolls:
    listed: list[tuple[str, float]] = []
    for section in sections:
        at = 0
        for wrap in section.stack:
            key = (wrap.prepreg, wrap.angle_deg)
            if key in listed[at:]:
                at = listed.index(key, at) + 1
            else:
                listed.insert(at, key)
                at += 1
    used = {name for name, _ in listed}
    spare = [(m.id, 0.0) for m in materials if m.id not in used]
    last_axial = max((i for i, (_, angle) in enumerate(listed) if not is_hoop(si("angle_deg", angle))), default=0)
    listed[last_axial:last_axial] = spare
    turns = [sum(ceil(w.turns) for w in s.stack) for s in sections]
    around = [
        [bool(is_hoop(si("angle_deg", w.angle_deg))) or _is_woven(materials, w.prepreg) for w in s.stack]
        for s in sections
    ]
    return Rolls(
        plies=tuple(RolledPly(prepreg=name, angle_deg=angle) for name, angle in listed),
        most_plies=min(max(turns) + 2, 16),
        hoop_inside=all(a[0] for a in around),
        hoop_outside=all(a[-1] for a in around),
        woven_skin=all(_is_woven(materials, s.stack[-1].prepreg) for s in sections),
    )


def _is_woven(materials: Sequence[Material], name: str) -> bool:
    return next(ply_record(m).ply.is_woven for m in materials if m.id == name)
