"""The pole place: every reach, where the droop comes from, how the sections fit, and their fields."""

from dataclasses import dataclass, replace

import numpy as np

from polewright.units import to
from polewright.web.places.brief import Field, field_of
from polewright.web.quantities import Figure, figure
from polewright.web.sight import Sight
from polewright.web.why import Why, why_reaches
from polewright.words import Reader
from polewright.words.check import large_note, share_name
from polewright.words.findings import FindingText, finding_text
from polewright.workshop import Finding, ReachAnswer, drawn_out

__all__ = ["FitRow", "PoleView", "ReachRow", "ShareRow", "TubeRow", "pole_view"]


@dataclass(frozen=True, slots=True)
class ReachRow:
    """One reach: figures as said, large deflection with small beside it where they part."""

    out: int
    name: str
    drawn: bool
    length: Figure
    own: Figure
    own_small: str
    loaded: Figure
    loaded_small: str
    flex: Figure
    balance: Figure
    carry: Figure
    swing: str
    play: Figure
    note: str


@dataclass(frozen=True, slots=True)
class ShareRow:
    """What one section or joint gives: of the droop by own weight, of the flex; shares [0 to 1]."""

    part: str
    own: Figure
    own_share: float
    flex: str
    flex_share: float


@dataclass(frozen=True, slots=True)
class TubeRow:
    """One section as a tube, with its fields."""

    number: int
    fields: tuple[Field, ...]
    outside: Figure
    bore: Figure
    mass: Figure
    bore_from: str


@dataclass(frozen=True, slots=True)
class FitRow:
    """One joint: clearances, and its fields."""

    place: int
    name: str
    fields: tuple[Field, ...]
    closed: Figure
    drawn: Figure
    play: str
    measured: bool
    finding: FindingText | None
    loose: FindingText | None
    loose_limit: str


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
    check, reader = sight.check, sight.reader
    reaches = tuple(_reach(sight, r) for r in check.reaches)
    drawn = next((r for r in check.reaches if r.out == sight.out), check.reaches[-1])
    units = {
        "length": reaches[0].length.unit,
        "droop": reaches[0].own.unit,
        "flex": reaches[0].flex.unit,
        "balance": reaches[0].balance.unit,
        "carry": reaches[0].carry.unit,
    }
    return PoleView(
        reaches,
        str(figure(drawn.load, "mass", reader, 0, 1)),
        str(figure(drawn.swing_mass, "mass", reader, 0, 1)),
        _shares(sight, drawn),
        reader.text(drawn_out(drawn.out, drawn.joints)),
        large_note(drawn, reader),
        _tubes(sight),
        _fits(sight),
        _shape(sight),
        units,
        why_reaches(sight.now, reader),
    )


def _shape(sight: Sight) -> str:
    """What tells whether the page still has the right fields."""
    return f"{len(sight.design.sections)}:" + ",".join(m.id for m in sight.design.mandrels)


def _reach(sight: Sight, r: ReachAnswer) -> ReachRow:
    reader, old = sight.reader, _saved_reach(sight, r)

    def droop(now: float, before: float | None = None) -> Figure:
        return figure(now, "length", reader, 0, 1, before=before)

    return ReachRow(
        out=r.out,
        name=reader.text(drawn_out(r.out, r.joints)),
        drawn=r.out == sight.out,
        length=figure(r.length, "reach", reader, 2),
        own=droop(r.droop_own, None if old is None else old.droop_own),
        own_small=droop(r.droop_own_small).number,
        loaded=droop(r.droop_loaded, None if old is None else old.droop_loaded),
        loaded_small=droop(r.droop_loaded_small).number,
        flex=figure(r.added_droop, "flex", reader, 1, 3),
        balance=figure(r.balance, "reach", reader, 2),
        carry=figure(r.carry, "carry", reader, 2),
        swing=reader.number(r.swing, 2),
        play=figure(r.play, "length", reader, 1, 2),
        note=large_note(r, reader),
    )


def _saved_reach(sight: Sight, r: ReachAnswer) -> ReachAnswer | None:
    """The same reach as saved; where sections came or went only all out is still the same."""
    if sight.saved is None:
        return None
    joints, before = len(sight.design.joints), len(sight.saved.design.joints)
    if joints == before:
        return next((o for o in sight.saved.check.reaches if o.out == r.out), None)
    return sight.saved.check.reaches[-1] if r.out == joints else None


def _shares(sight: Sight, r: ReachAnswer) -> tuple[ShareRow, ...]:
    whole, reader = sum(abs(s.own_weight) for s in r.shares) or 1.0, sight.reader
    return tuple(
        ShareRow(
            share_name(s, reader),
            figure(s.own_weight, "length", reader, 1, 2),
            abs(s.own_weight) / whole,
            reader.say("page.pole.share", share=s.added),
            s.added,
        )
        for s in r.shares
    )


def _tubes(sight: Sight) -> tuple[TubeRow, ...]:
    plain, system = sight.design.plain(), sight.system
    mandrels = tuple((m.id, m.id) for m in sight.design.mandrels)
    rows = []
    for i, answer in enumerate(sight.check.sections):
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
                answer.number,
                fields,
                figure(answer.outside_butt, "length", sight.reader, 2, 3),
                figure(answer.bore_butt, "length", sight.reader, 2, 3),
                figure(answer.mass, "mass", sight.reader, 0, 1),
                _bore_from(sight, i),
            )
        )
    return tuple(rows)


def _bore_from(sight: Sight, i: int) -> str:
    """Where the bore of section i, from 0 at the tip, is known from; a measured one beside what its mandrel gives."""
    section = sight.now.work.sections[i]
    if section.bore is None:
        return sight.reader.say("page.pole.bore.by_mandrel")
    given = float(replace(section, bore=None).bores(np.array([0.0]))[0])
    return sight.reader.say("page.pole.bore.measured", bore=given)


def _fits(sight: Sight) -> tuple[FitRow, ...]:
    plain, system, reader = sight.design.plain(), sight.system, sight.reader
    fits = _by_joint(sight, "fit")
    loose = {n: f for n, f in _by_joint(sight, "rule.loose_joint").items() if not f.holds}
    rows = []
    for i, joint in enumerate(sight.check.joints):
        path = f"joints[{i}]"
        fields = tuple(
            field_of(plain, f"{path}.{name}", label, system, choices=choices, empty=_UNSAID.get(name, ""))
            for name, label, choices in _JOINT
        )
        rows.append(
            FitRow(
                i,
                reader.say("page.pole.fit", inner=joint.between[0], outer=joint.between[1]),
                fields,
                figure(joint.clearance_closed, "length", reader, 2, 4),
                figure(joint.clearance_drawn, "length", reader, 2, 4),
                reader.number(to(joint.play, "mrad"), 2),
                joint.stiffness_from == "measured",
                _text(fits.get(i + 1), reader),
                _text(loose.get(i + 1), reader),
                _limit(loose.get(i + 1), reader),
            )
        )
    return tuple(rows)


def _by_joint(sight: Sight, code: str) -> dict[int, Finding]:
    """The findings of a code by the number of the joint that they are about."""
    return {n: f for f in sight.check.findings if f.code == code for n in f.subjects.joints}


def _text(finding: Finding | None, reader: Reader) -> FindingText | None:
    return None if finding is None else finding_text(finding, reader)


def _limit(finding: Finding | None, reader: Reader) -> str:
    """At most how loose a joint may be."""
    limit = None if finding is None else finding.limit
    return "" if limit is None else reader.say("page.pole.loose_limit", limit=limit)


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
