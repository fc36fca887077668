"""The pole place: every reach, where the droop comes from, how the sections fit, and their fields."""

from dataclasses import dataclass
from typing import Any

from polewright.web.page_state import PageState
from polewright.web.place_kind import PlaceKind
from polewright.web.places.brief import Field, field_of
from polewright.web.why import Why, why_reaches
from polewright.words import Reader
from polewright.words.check import large_note, play_text, share_name
from polewright.words.figures import Figure, figure
from polewright.words.findings import FindingText, finding_text
from polewright.words.form_values import field_stem
from polewright.workshop import Finding, ReachAnswer, drawn_out, mandrel_bore

__all__ = ["PLACE", "FitRow", "PoleView", "ReachRow", "ShareRow", "TubeRow", "pole_view"]


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
    says: str


@dataclass(frozen=True, slots=True)
class FitRow:
    """One joint: clearances, and its fields."""

    place: int
    name: str
    fields: tuple[Field, ...]
    says: str
    finding: FindingText | None
    loose: FindingText | None
    loose_limit: str


@dataclass(frozen=True, slots=True)
class PoleView:
    """All that the pole place shows."""

    reaches: tuple[ReachRow, ...]
    heads: tuple[str, ...]
    shares: tuple[ShareRow, ...]
    drawn_name: str
    note: str
    tubes: tuple[TubeRow, ...]
    fits: tuple[FitRow, ...]
    shape: str
    why: Why


def pole_view(state: PageState) -> PoleView:
    """The pole as a whole."""
    check, reader = state.check, state.reader
    reaches = tuple(_reach(state, r) for r in check.reaches)
    drawn = next((r for r in check.reaches if r.out == state.out), check.reaches[-1])
    return PoleView(
        reaches,
        _heads(drawn, reader),
        _shares(state, drawn),
        reader.text(drawn_out(drawn.out, drawn.joints)),
        large_note(drawn, reader),
        _tubes(state),
        _fits(state),
        _shape(state),
        why_reaches(state.now, reader),
    )


_COLUMNS = (
    ("length", "reach"),
    ("own", "length"),
    ("loaded", "length"),
    ("added", "flex"),
    ("play", "length"),
    ("balance", "reach"),
    ("carry", "carry"),
    ("swing", "frequency"),
)


def _heads(drawn: ReachAnswer, reader: Reader) -> tuple[str, ...]:
    """Heads of the columns of the reaches, each with its unit."""
    loads = {"loaded": drawn.load, "swing": drawn.swing_mass}
    return tuple(
        reader.say(f"page.pole.head.{name}", unit=reader.unit(quantity), load=loads.get(name, 0.0))
        for name, quantity in _COLUMNS
    )


def _shape(state: PageState) -> str:
    """What tells whether the page still has the right fields."""
    return f"{len(state.design.sections)}:" + ",".join(m.id for m in state.design.mandrels)


def _reach(state: PageState, r: ReachAnswer) -> ReachRow:
    reader, old = state.reader, _saved_reach(state, r)

    def droop(now: float, before: float | None = None) -> Figure:
        return figure(now, "length", reader, 0, 1, before=before)

    return ReachRow(
        out=r.out,
        name=reader.text(drawn_out(r.out, r.joints)),
        drawn=r.out == state.out,
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


def _saved_reach(state: PageState, r: ReachAnswer) -> ReachAnswer | None:
    """The same reach as saved; where sections came or went only all out is still the same."""
    if state.saved is None:
        return None
    joints, before = len(state.design.joints), len(state.saved.design.joints)
    if joints == before:
        return next((o for o in state.saved.check.reaches if o.out == r.out), None)
    return state.saved.check.reaches[-1] if r.out == joints else None


def _shares(state: PageState, r: ReachAnswer) -> tuple[ShareRow, ...]:
    whole, reader = sum(abs(s.own_weight) for s in r.shares) or 1.0, state.reader
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


def _tubes(state: PageState) -> tuple[TubeRow, ...]:
    plain, reader = state.design.plain(), state.reader
    choices = {"mandrel": tuple((m.id, m.id) for m in state.design.mandrels)}
    return tuple(
        TubeRow(
            answer.number,
            tuple(_field(plain, f"sections[{i}].{name}", reader, choices=choices.get(name, ())) for name in _SECTION),
            reader.say(
                "page.pole.tube",
                outside=answer.outside_butt,
                mass=answer.mass,
                bore=answer.bore_butt,
                origin=_bore_from(state, i),
            ),
        )
        for i, answer in enumerate(state.check.sections)
    )


def _field(
    plain: dict[str, Any], path: str, reader: Reader, *, choices: tuple[tuple[str, str], ...] = (), empty: str = ""
) -> Field:
    """A field of a section or a joint, named by the last part of its path without the unit."""
    label = reader.say(f"page.pole.field.{field_stem(path.rsplit('.', 1)[-1])}")
    return field_of(plain, path, label, reader, choices=choices, empty=empty)


def _bore_from(state: PageState, i: int) -> str:
    """Where the bore of section i, from 0 at the tip, is known from; a measured one beside what its mandrel gives."""
    if state.now.work.sections[i].bore is None:
        return state.reader.say("page.pole.bore.by_mandrel")
    return state.reader.say("page.pole.bore.measured", bore=mandrel_bore(state.now.work, i + 1))


def _fits(state: PageState) -> tuple[FitRow, ...]:
    plain, reader = state.design.plain(), state.reader
    fits = _by_joint(state, "fit")
    loose = {n: f for n, f in _by_joint(state, "rule.loose_joint").items() if not f.holds}
    choices = {
        name: tuple((code, reader.say(f"page.pole.choice.{name}.{code}")) for code in codes)
        for name, codes in _CHOICES.items()
    }
    empty = {"pivot_pct": "50", "play_mrad": reader.say("page.pole.field.play.empty")}
    empty["stiffness_overlap_mm"] = reader.say("page.pole.field.stiffness_overlap.empty")
    return tuple(
        FitRow(
            i,
            reader.say("page.pole.fit", inner=joint.between[0], outer=joint.between[1]),
            tuple(
                _field(plain, f"joints[{i}].{name}", reader, choices=choices.get(name, ()), empty=empty.get(name, ""))
                for name in _JOINT
            ),
            reader.say(
                "page.pole.clear",
                closed=joint.clearance_closed,
                drawn=joint.clearance_drawn,
                play=play_text(joint.play, reader),
            ),
            _text(fits.get(i + 1), reader),
            _text(loose.get(i + 1), reader),
            _limit(loose.get(i + 1), reader),
        )
        for i, joint in enumerate(state.check.joints)
    )


def _by_joint(state: PageState, code: str) -> dict[int, Finding]:
    """The findings of a code by the number of the joint that they are about."""
    return {n: f for f in state.check.findings if f.code == code for n in f.subjects.joints}


def _text(finding: Finding | None, reader: Reader) -> FindingText | None:
    return None if finding is None else finding_text(finding, reader)


def _limit(finding: Finding | None, reader: Reader) -> str:
    """At most how loose a joint may be."""
    limit = None if finding is None else finding.limit
    return "" if limit is None else reader.say("page.pole.loose_limit", limit=limit)


_SECTION = ("length_mm", "mandrel", "place_mm", "coat_mm", "bore_mm")
_JOINT = (
    "overlap_mm",
    "proud_mm",
    "clamp_g",
    "clamp_width_mm",
    "clamp_material",
    "clamp_kind",
    "stiffness_kN_m_rad",
    "stiffness_from",
    "stiffness_overlap_mm",
    "centring",
    "pivot_pct",
    "play_mrad",
)
_CHOICES = {
    "clamp_material": ("plastic", "aluminium", "other"),
    "clamp_kind": ("split_band", "two_shells", "one_pad"),
    "stiffness_from": ("default", "measured"),
    "centring": ("mouth", "none"),
}


PLACE = PlaceKind("design", 3, lambda request: {"view": pole_view(request.state)})
