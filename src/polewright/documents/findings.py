"""Every check of a design: the brief's wishes, the fits, the workshop's rules; each with its reason and its remedy."""

from collections.abc import Iterator
from dataclasses import replace
from math import inf

import numpy as np

from polewright.documents.brief import DroopWish
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.pole_figures import JERK, bent_on_bench, headline_total, reach_name
from polewright.documents.report import Finding, Hint, JointFigures, PoleFigures, ReachFigures, SectionFigures
from polewright.documents.values import Workpiece
from polewright.errors import DesignError, PolewrightError
from polewright.pole.beam import bent
from polewright.pole.margins import Limits, margins
from polewright.pole.state import Lifted, State
from polewright.units import si, to
from polewright.wall.rules import SHIPPED, Finish, Rule, Ruling, rulings, with_changes

__all__ = ["findings", "own_rules", "section_rulings"]

FULL_HOSE_G_M = 55.0  # hose and water, typical of the trade
NEARLY_NONE = 1e-6  # [N m] where cure stress alone breaks the fibre
LOOSE = "loose-joint"
COSTLY_FIBRE = "put the costly fibre only where it saves droop: the sections next to the hands"


def findings(
    design: Design,
    work: Workpiece,
    *,
    sections: tuple[SectionFigures, ...],
    joints: tuple[JointFigures, ...],
    reaches: tuple[ReachFigures, ...],
    pole: PoleFigures,
) -> tuple[Finding, ...]:
    """All checks, the brief first."""
    found = [
        *_brief(design, work, pole, sections, reaches),
        *_fits(design, work, joints),
        *_windows(sections),
        *_release(sections),
        _lifted(design, work, sections),
        *_rules(design, work),
        *_loose(design, joints),
    ]
    return tuple(found)


def _limit(
    name: str, value: float, limit: float, unit: str, *, least: bool = False, reason: str, hints: tuple[str, ...] = ()
) -> Finding:
    """One wish with a number: at most `limit`, or at least."""
    holds = value >= limit if least else value <= limit
    by = abs(value - limit)
    digits = 1 if unit == "mm" else (3 if unit in ("kg m", "Hz") else 0)
    word = "least" if least else "most"
    state = "holds" if holds else ("short by" if least else "over by") + f" {by:.{digits}f} {unit}"
    says = f"{name} is {value:.{digits}f} {unit}; at {word} {limit:.{digits}f} {unit} wanted: {state}"
    given = () if holds else tuple(Hint(order=i + 1, what=h, gives="") for i, h in enumerate(hints))
    return Finding(
        kind="brief",
        name=name,
        verdict="holds" if holds else "look",
        value=value,
        limit=limit,
        unit=unit,
        says=says,
        reason=reason,
        hints=given,
    )


def _brief(
    design: Design,
    work: Workpiece,
    pole: PoleFigures,
    sections: tuple[SectionFigures, ...],
    reaches: tuple[ReachFigures, ...],
) -> Iterator[Finding]:
    brief = design.brief
    if brief.reach_at_least_mm is not None:
        yield _limit(
            "Extended length",
            pole.extended_mm,
            brief.reach_at_least_mm,
            "mm",
            least=True,
            reason="the work is that far away",
            hints=("less overlap, longer sections, or one more section",),
        )
    if brief.closed_at_most_mm is not None:
        yield _limit(
            "Closed length",
            pole.closed_mm,
            brief.closed_at_most_mm,
            "mm",
            reason="it must go in the van or the parcel",
            hints=("shorter sections and one more of them",),
        )
    if brief.mass_at_most_g is not None:
        yield _limit(
            "Mass",
            pole.mass_g,
            brief.mass_at_most_g,
            "g",
            reason="the arms carry it all day",
            hints=("stiffer fibre and fewer turns in the tip sections: mass out there counts twice",),
        )
    if brief.carry_at_most_kg_m is not None:
        yield _limit(
            "Carry moment",
            pole.carry_kg_m,
            brief.carry_at_most_kg_m,
            "kg m",
            reason="mass times its distance from the butt is what tires",
            hints=("lighten the tip sections",),
        )
    if brief.base_outside_at_most_mm is not None:
        yield _limit(
            "Base outside",
            pole.base_outside_mm,
            brief.base_outside_at_most_mm,
            "mm",
            reason="a hand and the clamps must go round it",
            hints=("smaller mandrels, at some droop",),
        )
    if brief.material_cost_at_most is not None:
        yield _limit(
            "Material",
            pole.material_cost,
            brief.material_cost_at_most,
            design.setting.currency,
            reason="the price leaves no more",
            hints=(COSTLY_FIBRE,),
        )
    if brief.twist_at_least_N_m2 is not None:
        weakest = min(sections, key=lambda s: s.twist_GJ_N_m2)
        yield _limit(
            f"Twist stiffness of section {weakest.number}",
            weakest.twist_GJ_N_m2,
            brief.twist_at_least_N_m2,
            "N m²",
            least=True,
            reason="a camera or a hook turns the pole",
            hints=("a balanced ±45° pair under the axial plies",),
        )
    if brief.swing_at_least_Hz is not None:
        yield _limit(
            "Swing",
            reaches[-1].swing_Hz,
            brief.swing_at_least_Hz,
            "Hz",
            least=True,
            reason="a slow pole swings on when the hand stops",
            hints=("lighter tip, stiffer base",),
        )
    for wish in brief.droop:
        yield _droop(design, work, wish)


def _droop(design: Design, work: Workpiece, wish: DroopWish) -> Finding:
    joints = len(work.pole.joints)
    out = wish.out or joints
    head = si("head_g", max(wish.tip_total_g - design.tip_fitting_g, 0.0))
    loaded = bent_on_bench(design, work.pole, out, head=head).tip_droop
    name = reach_name(out, joints)
    reason = "what the owner calls floppy is the droop and the flex at the length in use"
    if wish.at_most_mm is not None:
        return _limit(
            f"Droop, {name}, {wish.tip_total_g:g} g at the tip",
            to(loaded, "mm"),
            wish.at_most_mm,
            "mm",
            reason=reason,
            hints=(
                "stiffer fibre in the sections next to the hands",
                "wider mandrels: diameter beats fibre",
                "a longer overlap",
            ),
        )
    assert wish.wanted_mm_per_100g is not None
    step = si("step_g", 100.0)
    more = bent_on_bench(design, work.pole, out, head=head + step).tip_droop
    value, wanted = to(more - loaded, "mm"), wish.wanted_mm_per_100g
    off = (value / wanted - 1.0) * 100.0
    holds = abs(off) <= wish.within_pct
    way = "stiffer than" if off < 0 else "softer than"
    says = f"added droop, {name}, is {value:.2f} mm per 100 g; {wanted:.2f} wanted within {wish.within_pct:g} %: " + (
        "holds" if holds else f"{abs(off):.1f} % {way} wanted"
    )
    hint = "fewer or softer axial turns" if off < 0 else "more or stiffer axial turns"
    return Finding(
        kind="brief",
        name=f"Wanted flex, {name}",
        verdict="holds" if holds else "look",
        value=value,
        limit=wanted,
        unit="mm per 100 g",
        says=says,
        reason=reason,
        hints=() if holds else (Hint(order=1, what=hint, gives="closer to the wanted flex"),),
    )


def _fits(design: Design, work: Workpiece, joints: tuple[JointFigures, ...]) -> Iterator[Finding]:
    least = design.setting.clearance_least_mm
    for i, row in enumerate(joints):
        holds = row.clearance_least_mm >= least - 1e-9
        inner, outer = row.between
        tightest = min(row.clearance_closed_mm, row.clearance_at_overlap_mm, row.clearance_drawn_mm)
        ridge = (
            f"; {tightest:.3f} less a seam ridge of {row.seam_ridge_mm:.2f} leaves {row.clearance_least_mm:.3f}"
            if row.seam_ridge_mm
            else ""
        )
        says = (
            f"section {inner} in section {outer}: {row.clearance_closed_mm:.3f} mm pushed in, "
            f"{row.clearance_drawn_mm:.3f} mm at the end of travel{ridge}; at least {least:.2f} wanted"
        )
        yield Finding(
            kind="fit",
            name=f"Fit of section {inner} in {outer}",
            verdict="holds" if holds else "look",
            where=f"joints[{i}]",
            value=row.clearance_least_mm,
            limit=least,
            unit="mm",
            says=says,
            reason="wet grit needs room; a tight pair binds",
            hints=() if holds else _fit_hints(design, work, i),
        )


def _fit_hints(design: Design, work: Workpiece, i: int) -> tuple[Hint, ...]:
    """What to do about a tight pair, in the order worth trying."""
    inner = work.sections[i]
    hints = []
    move = min(inner.place, si("shift_mm", 500.0))
    if move > 0.0:
        ends = np.array([0.0, inner.length])
        gain = to(float(np.min(inner.bores(ends) - inner.moved(inner.place - move).bores(ends))), "mm")
        if gain > 0.0:
            hints.append(
                (f"roll section {i + 1} {to(move, 'm'):.1f} m toward the small end of its mandrel", f"+{gain:.2f} mm")
            )
    hints.append((f"pair it with the loosest section {i + 2} on the rack", "what that bore measures more"))
    skin, sand = inner.stack.wraps[-1], si("sanding_mm", design.setting.sanding_mm)
    if sand > 0.0:
        share = sand / skin.thickness
        ply = f"the {to(skin.thickness, 'mm'):.3f} mm outer ply"
        hints.append(
            (
                f"do not sand it down: {design.setting.sanding_mm:g} mm a side is {share:.0%} of {ply}",
                "a tube that crushes in its clamp",
            )
        )
    return tuple(Hint(order=n + 1, what=what, gives=gives) for n, (what, gives) in enumerate(hints))


def _windows(sections: tuple[SectionFigures, ...]) -> Iterator[Finding]:
    for s in sections:
        if s.window is None:
            continue
        w = s.window
        says = (
            f"section {s.number}: the band holds {w.hold_needed_N:.0f} N wet from {w.least_N:.0f} N of tension and "
            f"crushes nothing up to {w.most_N:.0f} N"
        )
        if not w.is_open:
            says = (
                f"section {s.number}: no window: {w.least_N:.0f} N of band tension needed to hold wet, at most "
                f"{w.most_N:.0f} N before the wall gives way; no setting helps"
            )
        hints = (
            ()
            if w.is_open
            else (
                Hint(
                    order=1,
                    what="a thin hoop ply at the bore and one at the skin",
                    gives="several times the crush stiffness",
                ),
                Hint(order=2, what="a wider clamp", gives="less pressure at the same hold"),
            )
        )
        yield Finding(
            kind="rule",
            name=f"Clamp window, section {s.number}",
            verdict="holds" if w.is_open else "look",
            where=f"sections[{s.number - 1}]",
            value=w.most_N,
            limit=w.least_N,
            unit="N",
            says=says,
            reason="a clamp that slips or crushes is the commonest return",
            hints=hints,
        )


def _release(sections: tuple[SectionFigures, ...]) -> Iterator[Finding]:
    for s in sections:
        if s.grips_mandrel:
            says = f"section {s.number} grips its mandrel by {-s.release_gap_mm:.3f} mm on cooling"
        else:
            says = f"section {s.number} lets go of its mandrel with {s.release_gap_mm:.3f} mm"
        hints = (
            Hint(order=1, what="hoop plies at bore and skin", gives="less hoop shrinkage"),
            Hint(order=2, what="an aluminium mandrel", gives="it shrinks more than steel"),
        )
        yield Finding(
            kind="rule",
            name=f"Mandrel release, section {s.number}",
            verdict="look" if s.grips_mandrel else "holds",
            where=f"sections[{s.number - 1}]",
            value=s.release_gap_mm,
            limit=0.0,
            unit="mm",
            says=says,
            reason="a tube that shrinks onto the bar does not come off",
            hints=hints if s.grips_mandrel else (),
        )


def _lifted(design: Design, work: Workpiece, sections: tuple[SectionFigures, ...]) -> Finding:
    """The moment that breaks a pole in the field: lifted flat off the ground, drawn out, hose full, with a jerk."""
    pole, head = work.pole, max(headline_total(design) - design.tip_fitting_g, 0.0)
    front = min(si("prop_mm", design.setting.prop_mm), 0.5 * pole.extended_length)
    state = State.out(
        pole, support=Lifted(rear=0.0, front=front), head_mass=si("head_g", head), hose=si("hose_g_m", FULL_HOSE_G_M)
    )
    bears = Limits.none(len(sections))
    known = [
        min((m for m in (s.bending.fibre_failure_N_m, s.bending.resin_failure_N_m) if m is not None), default=inf)
        for s in sections
    ]
    bears = replace(
        bears,
        strength=np.maximum(known, NEARLY_NONE),
        flattening=np.array([s.bending.flattening_N_m for s in sections]),
        wrinkling=np.array([s.bending.wrinkling_N_m for s in sections]),
    )
    worst = margins(bent(pole, state), bears, load_factor=JERK).weakest
    limit = worst.place.limit
    section, what = worst.place.number, limit if limit != "strength" else "fibre or resin"
    holds = worst.factor >= 1.0
    by = sections[section - 1].bending.strength_from
    says = (
        f"lifted flat off the ground with {headline_total(design):.0f} g at the tip and a full hose of "
        f"{FULL_HOSE_G_M:g} g/m: {worst.load / JERK:.0f} N m in section {section}, {worst.load:.0f} in a jerk; it "
        f"bears {worst.limit:.0f} ({what}, strengths: {by})"
    )
    hints = (
        Hint(order=1, what="thin hoop plies at bore and skin", gives="later flattening and wrinkling"),
        Hint(order=2, what="one more axial turn there", gives="less strain at the same moment"),
        Hint(order=3, what="tilt it up section by section", gives="a shorter arm when it is lifted"),
    )
    return Finding(
        kind="rule",
        name="Weakest place, lifted flat",
        verdict="holds" if holds else "look",
        where=f"sections[{section - 1}]",
        value=worst.load,
        limit=worst.limit,
        unit="N m",
        says=says,
        reason="poles snap when lifted full length off the ground, most often where something dented them "
        "before: a dent bears less than this figure",
        hints=() if holds else hints,
    )


def own_rules(design: Design) -> tuple[Rule, ...]:
    """The rules as this design keeps them: shipped ones with the workshop's changes, then those it added.

    Raises
    ------
    DocumentError : a change to a rule that is none, or a judge that is none.
    """
    changes: dict[str, dict[str, object]] = {"least-wall": {"limit": si("wall_least_mm", design.setting.wall_least_mm)}}
    for change in design.setting.rules:
        named = ("is_on", "limit", "reason", "remedy", "title", "judge", "ply")
        own = {k: getattr(change, k) for k in named if getattr(change, k) is not None}
        changes.setdefault(change.id, {}).update(own)
    try:
        return with_changes(changes, SHIPPED)
    except DesignError as fault:
        raise _told_in_place(design, fault) from fault


def _told_in_place(design: Design, fault: DesignError) -> PolewrightError:
    """A refusal of a rule with its place in the document."""
    for i, change in enumerate(design.setting.rules):
        opening = f"rules[{change.id}]"
        if fault.field.startswith(opening) or (fault.field, fault.value) == ("rules", change.id):
            field = f"setting.rules[{i}]" + (fault.field.removeprefix(opening) if "[" in fault.field else ".id")
            return DocumentError([Fault((field, repr(fault.value), fault.want))])
    return fault


def _rules(design: Design, work: Workpiece) -> Iterator[Finding]:
    """One finding a rule and verdict: sections that a rule says the same of stand together."""
    rules = own_rules(design)
    said: dict[tuple[str, bool], list[tuple[int, Ruling]]] = {}
    for i, section in enumerate(work.sections):
        for ruling in rulings(section.stack, finish=_finish(design, i), rules=rules):
            said.setdefault((ruling.rule.id, ruling.holds), []).append((i, ruling))
    for alike in said.values():
        yield _ruled(alike)


def _loose(design: Design, joints: tuple[JointFigures, ...]) -> Iterator[Finding]:
    """Every joint that is looser, drawn out, than a rule allows; those that are not stand together."""
    for rule in own_rules(design):
        if not (joints and rule.is_on and (rule.judge or rule.id) == LOOSE and rule.limit is not None):
            continue
        most = to(rule.limit, "mm")
        loose = [joint for joint in joints if joint.clearance_at_overlap_mm > most + 1e-9]
        close = [joint for joint in joints if joint not in loose]
        for joint in loose:
            yield _of_joint(rule, joint, "section {} in section {}".format(*joint.between), holds=False)
        if close:
            numbers = sorted({number for joint in close for number in joint.between})
            widest = max(close, key=lambda joint: joint.clearance_at_overlap_mm)
            yield _of_joint(rule, widest, "sections " + ", ".join(map(str, numbers)), holds=True)


def _of_joint(rule: Rule, joint: JointFigures, names: str, *, holds: bool) -> Finding:
    value, limit, unit = joint.clearance_at_overlap_mm, to(rule.limit or 0.0, "mm"), "mm"
    return Finding(
        kind="rule",
        name=rule.title,
        verdict="holds" if holds else "look",
        where=f"joints[{joint.between[0] - 1}]",
        value=value,
        limit=limit,
        unit=unit,
        says=f"{names}: {_within(rule.title)}: {value:.2f} mm clear drawn out, limit {limit:.3g}",
        reason=rule.reason,
        hints=() if holds else (Hint(order=1, what=rule.remedy, gives=""),),
    )


def _finish(design: Design, i: int, starts: tuple[float, ...] | None = None) -> Finish:
    clamp = design.joints[i - 1].clamp_material if i else "plastic"
    return Finish(
        sanding=si("sanding_mm", design.setting.sanding_mm), has_aluminium_clamp=clamp == "aluminium", starts=starts
    )


def section_rulings(design: Design, work: Workpiece, i: int, *, starts: tuple[float, ...]) -> tuple[str, ...]:
    """What every rule says of section i (from 0), one line each, where its flags start [rad] round the clock known."""
    said = rulings(work.sections[i].stack, finish=_finish(design, i, starts), rules=own_rules(design))
    lines = []
    for r in said:
        value, limit, unit = _rule_number(r.rule.unit, r.value, r.limit)
        figure = "" if value is None or limit is None else f": {value:.3g} {unit}, limit {limit:.3g}"
        why = "" if r.holds else f"; {r.rule.reason}; {r.rule.remedy}"
        lines.append(f"{'holds' if r.holds else 'look'}: {_within(r.rule.title)}{figure}{why}")
    return tuple(lines)


def _ruled(rulings: list[tuple[int, Ruling]]) -> Finding:
    """One rule over the sections of which it says the same; the figure is the worst of them."""
    first, ruling = max(rulings, key=lambda r: _badness(r[1]))
    rule, sections = ruling.rule, [i + 1 for i, _ in rulings]
    value, limit, unit = _rule_number(rule.unit, ruling.value, ruling.limit)
    figure = (
        f": {value:.3g} {unit}, limit {limit:.3g}"
        if value is not None and limit is not None
        else ("" if ruling.holds else ": not kept")
    )
    names = f"section {sections[0]}" if len(sections) == 1 else "sections " + ", ".join(map(str, sections))
    where = f"sections[{first}]" + ("" if ruling.layer is None else f".stack[{ruling.layer}]")
    return Finding(
        kind="rule",
        name=rule.title,
        verdict="holds" if ruling.holds else "look",
        where=where,
        value=value,
        limit=limit,
        unit=unit,
        says=f"{names}: {_within(rule.title)}{figure}",
        reason=rule.reason,
        hints=() if ruling.holds else (Hint(order=1, what=rule.remedy, gives=""),),
    )


def _within(title: str) -> str:
    """A rule's title inside a sentence; a prepreg named in it keeps its capitals."""
    return title[:1].lower() + title[1:]


def _badness(ruling: Ruling) -> float:
    if ruling.value is None or not ruling.limit:
        return 0.0
    share = ruling.value / ruling.limit
    return -share if (ruling.rule.judge or ruling.rule.id) in ("least-wall", "seams-apart") else share


def _rule_number(unit: str, value: float | None, limit: float | None) -> tuple[float | None, float | None, str]:
    """A rule's SI figure and limit in the workshop's unit."""
    shown = {"m": "mm", "rad": "°"}.get(unit)
    if shown is None or value is None:
        return value, limit, unit
    return to(value, shown), None if limit is None else to(limit, shown), shown
