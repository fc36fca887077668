"""The pole place: every reach, where the droop comes from, how the sections fit, and their fields."""

from dataclasses import dataclass, replace

import numpy as np

from polewright.documents.report import Finding, ReachFigures
from polewright.units import si
from polewright.web.places.brief import Field, field_of
from polewright.web.say import Said, say, spoken, told
from polewright.web.sight import Sight
from polewright.web.why import Why, why_reaches

__all__ = ["FitRow", "PoleView", "ReachRow", "ShareRow", "TubeRow", "pole_view"]


@dataclass(frozen=True, slots=True)
class ReachRow:
    """One reach: figures as said, large deflection with small beside it where they part."""

    out: int
    name: str
    drawn: bool
    length: Said
    own: Said
    own_small: str
    loaded: Said
    loaded_small: str
    flex: Said
    balance: Said
    carry: Said
    swing: str
    play: Said
    note: str


@dataclass(frozen=True, slots=True)
class ShareRow:
    """What one section or joint gives: of the droop by own weight, of the flex; shares [0 to 1]."""

    part: str
    own: Said
    own_share: float
    flex: str
    flex_share: float


@dataclass(frozen=True, slots=True)
class TubeRow:
    """One section as a tube, with its fields."""

    number: int
    fields: tuple[Field, ...]
    outside: Said
    bore: Said
    mass: Said
    bore_from: str


@dataclass(frozen=True, slots=True)
class FitRow:
    """One joint: clearances, and its fields."""

    place: int
    name: str
    fields: tuple[Field, ...]
    closed: Said
    drawn: Said
    play: str
    measured: bool
    finding: Finding | None
    loose: Finding | None


@dataclass(frozen=True, slots=True)
class PoleView:
    """All that the pole place shows."""

    reaches: tuple[ReachRow, ...]
    load: str
    swing_load: str
    shares: tuple[ShareRow, ...]
    drawn_name: str
    note: str
    tubes: tuple[TubeRow, ...]
    fits: tuple[FitRow, ...]
    shape: str
    columns: dict[str, str]
    why: Why


def pole_view(sight: Sight) -> PoleView:
    """The pole as a whole."""
    report, system = sight.report, sight.system
    reaches = tuple(_reach(sight, r) for r in report.reaches)
    drawn = next((r for r in report.reaches if r.out == sight.out), report.reaches[-1])
    load = say(si("x_g", drawn.load_g), "mass", system, 0, 1)
    swing = say(si("x_g", drawn.swing_mass_g), "mass", system, 0, 1)
    units = {
        "length": reaches[0].length.unit,
        "droop": reaches[0].own.unit,
        "flex": reaches[0].flex.unit,
        "balance": reaches[0].balance.unit,
        "carry": reaches[0].carry.unit,
    }
    return PoleView(
        reaches,
        str(load),
        str(swing),
        _shares(sight, drawn),
        told(drawn.name),
        drawn.large_note,
        _tubes(sight),
        _fits(sight),
        _shape(sight),
        units,
        why_reaches(sight.now),
    )


def _shape(sight: Sight) -> str:
    """What tells whether the page still has the right fields."""
    return f"{len(sight.design.sections)}:" + ",".join(m.id for m in sight.design.mandrels)


def _reach(sight: Sight, r: ReachFigures) -> ReachRow:
    system = sight.system
    old = _saved_reach(sight, r)

    def droop(now: float, before: float | None = None) -> Said:
        return say(si("x_mm", now), "length", system, 0, 1, before=None if before is None else si("x_mm", before))

    return ReachRow(
        out=r.out,
        name=told(r.name),
        drawn=r.out == sight.out,
        length=say(si("x_mm", r.length_mm), "reach", system, 2),
        own=droop(r.droop_own_mm, None if old is None else old.droop_own_mm),
        own_small=droop(r.droop_own_small_mm).number,
        loaded=droop(r.droop_loaded_mm, None if old is None else old.droop_loaded_mm),
        loaded_small=droop(r.droop_loaded_small_mm).number,
        flex=say(si("x_mm_per_100g", r.added_droop_mm_per_100g), "flex", system, 1, 3),
        balance=say(si("x_mm", r.balance_mm), "reach", system, 2),
        carry=say(r.carry_kg_m, "carry", system, 2),
        swing=spoken(r.swing_Hz, 2),
        play=say(si("x_mm", r.play_mm), "length", system, 1, 2),
        note=r.large_note,
    )


def _saved_reach(sight: Sight, r: ReachFigures) -> ReachFigures | None:
    """The same reach as saved; where sections came or went only all out is still the same."""
    if sight.saved is None:
        return None
    joints, before = len(sight.design.joints), len(sight.saved.design.joints)
    if joints == before:
        return next((o for o in sight.saved.report.reaches if o.out == r.out), None)
    return sight.saved.report.reaches[-1] if r.out == joints else None


def _shares(sight: Sight, r: ReachFigures) -> tuple[ShareRow, ...]:
    whole = sum(abs(s.own_weight_mm) for s in r.shares) or 1.0
    return tuple(
        ShareRow(
            _part(s.part),
            say(si("x_mm", s.own_weight_mm), "length", sight.system, 1, 2),
            abs(s.own_weight_mm) / whole,
            f"{spoken(s.added_pct, 1)} %",
            s.added_pct / 100.0,
        )
        for s in r.shares
    )


def _part(name: str) -> str:
    """S4 -> section 4; joint S4/S5 -> joint 4/5."""
    if name.startswith("joint S"):
        return name.replace("S", "")
    return f"section {name[1:]}" if name.startswith("S") and name[1:].isdigit() else name


def _tubes(sight: Sight) -> tuple[TubeRow, ...]:
    plain, system = sight.design.plain(), sight.system
    mandrels = tuple((m.id, m.id) for m in sight.design.mandrels)
    rows = []
    for i, figures in enumerate(sight.report.sections):
        path = f"sections[{i}]"
        fields = (
            field_of(plain, f"{path}.length_mm", "Length", system),
            field_of(plain, f"{path}.mandrel", "Mandrel", system, choices=mandrels),
            field_of(plain, f"{path}.place_mm", "Place on it", system),
            field_of(plain, f"{path}.coat_mm", "Coat", system),
            field_of(plain, f"{path}.bore_mm", "Bore, measured", system),
        )
        rows.append(
            TubeRow(
                figures.number,
                fields,
                say(si("x_mm", figures.outside_butt_mm), "length", system, 2, 3),
                say(si("x_mm", figures.bore_butt_mm), "length", system, 2, 3),
                say(si("x_g", figures.mass_g), "mass", system, 0, 1),
                _bore_from(sight, i),
            )
        )
    return tuple(rows)


def _bore_from(sight: Sight, i: int) -> str:
    """Where the bore of section i, from 0 at the tip, is known from; a measured one beside what its mandrel gives."""
    section = sight.now.work.sections[i]
    if section.bore is None:
        return "by its mandrel, not measured here"
    given = float(replace(section, bore=None).bores(np.array([0.0]))[0])
    return f"measured here; by its mandrel {say(given, 'length', sight.system, 2, 3)}"


def _fits(sight: Sight) -> tuple[FitRow, ...]:
    plain, system = sight.design.plain(), sight.system
    found = {f.where: f for f in sight.report.findings if f.kind == "fit"}
    loose = {f.where: f for f in sight.report.findings if f.kind == "rule" and f.verdict == "look"}
    rows = []
    for i, joint in enumerate(sight.report.joints):
        path = f"joints[{i}]"
        fields = tuple(
            field_of(plain, f"{path}.{name}", label, system, choices=choices, empty=_UNSAID.get(name, ""))
            for name, label, choices in _JOINT
        )
        rows.append(
            FitRow(
                i,
                f"{joint.between[0]} in {joint.between[1]}",
                fields,
                say(si("x_mm", joint.clearance_closed_mm), "length", system, 2, 4),
                say(si("x_mm", joint.clearance_drawn_mm), "length", system, 2, 4),
                spoken(joint.play_mrad, 2),
                joint.stiffness_from == "measured",
                found.get(path),
                loose.get(path),
            )
        )
    return tuple(rows)


_UNSAID = {"pivot_pct": "50", "play_mrad": "by fit"}
_JOINT: tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...] = (
    ("overlap_mm", "Overlap", ()),
    ("proud_mm", "Stands proud", ()),
    ("clamp_g", "Clamp", ()),
    ("clamp_width_mm", "Clamp width", ()),
    ("clamp_material", "made of", (("plastic", "plastic"), ("aluminium", "aluminium"), ("other", "other"))),
    ("stiffness_kN_m_rad", "Stiffness", ()),
    ("stiffness_from", "known from", (("default", "default"), ("measured", "measured here"))),
    ("centring", "Centred", (("mouth", "at the mouth"), ("none", "not at all"))),
    ("pivot_pct", "Pivot, in from mouth", ()),
    ("play_mrad", "Play", ()),
)
