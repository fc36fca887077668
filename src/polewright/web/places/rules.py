"""The rules place: every rule with its limit and its switch, why it stands, what mends it, and what it says now."""

from dataclasses import dataclass

from polewright.web.page_state import PageState
from polewright.web.place_kind import PlaceKind
from polewright.web.places.brief import Field, field_of
from polewright.words import Reader
from polewright.words.findings import FindingText, finding_text
from polewright.words.rules import limit_in_form, limit_unit
from polewright.workshop import KINDS_OF_RULE, RuleEntry, rules_of

__all__ = ["PLACE", "RuleKind", "RuleRow", "RulesView", "rules_view"]

_TEXTS = ("title", "reason", "remedy")


@dataclass(frozen=True, slots=True)
class RuleRow:
    """One rule: its fields, what it says of this pole now, and how it came to be as it is."""

    id: str
    title: str
    is_on: bool
    is_own: bool
    limit: Field | None
    reason: str
    remedy: str
    words: tuple[Field, ...]
    ply: str
    state: str
    said: tuple[FindingText, ...]
    quiet: str


@dataclass(frozen=True, slots=True)
class RuleKind:
    """One way of judging that an own rule can use."""

    id: str
    name: str
    unit: str


@dataclass(frozen=True, slots=True)
class RulesView:
    """All that the rules place shows."""

    rows: tuple[RuleRow, ...]
    kinds: tuple[RuleKind, ...]
    plies: tuple[str, ...]
    used: tuple[Field, ...]
    is_on: int
    shape: str


def rules_view(state: PageState) -> RulesView:
    """The rules of the pole at hand."""
    plain, plies = state.design.plain(), tuple(m.id for m in state.design.materials)
    rows = tuple(_row(state, entry) for entry in rules_of(state.design))
    used = tuple(
        field_of(plain, f"setting.{name}", state.reader.say(f"place.rules.{name}"), state.reader)
        for name in ("sanding_mm", "clearance_least_mm", "seam_ridge_mm")
    )
    kinds = tuple(
        RuleKind(rule.id, state.reader.text(rule.title), limit_unit(rule, state.reader)) for rule in KINDS_OF_RULE
    )
    return RulesView(rows, kinds, plies, used, sum(row.is_on for row in rows), ",".join(row.id for row in rows))


def _row(state: PageState, entry: RuleEntry) -> RuleRow:
    rule, say = entry.rule, state.reader.say
    text = {name: state.reader.text(getattr(rule, name)) for name in _TEXTS}
    words = tuple(Field(f"rule:{rule.id}:{name}", say(f"place.rules.label.{name}"), text[name], "") for name in _TEXTS)
    own = [f for f in state.check.findings if f.subjects.rule == rule.id]
    said = tuple(finding_text(f, state.reader) for f in own)  # none of a rule that is off
    nowhere = "no_joint" if "loose-joint" in (rule.id, rule.judge) else "where_known"
    quiet = "" if said else say(f"place.rules.quiet.{nowhere if rule.is_on else 'off'}")
    return RuleRow(
        rule.id,
        text["title"],
        rule.is_on,
        entry.is_own,
        _limit_field(state, entry),
        text["reason"],
        text["remedy"],
        words,
        rule.ply or "",
        _state(entry, state.reader),
        tuple(sorted(said, key=lambda f: f.verdict != "look")),
        quiet,
    )


def _limit_field(state: PageState, entry: RuleEntry) -> Field | None:
    if entry.rule.limit is None:
        return None
    return Field(
        f"rule:{entry.rule.id}:limit",
        state.reader.say(f"place.rules.limit.{'least' if entry.is_least else 'most'}"),
        limit_in_form(entry.rule, state.reader),
        limit_unit(entry.rule, state.reader),
    )


def _state(entry: RuleEntry, reader: Reader) -> str:
    """How the rule came to be as it is."""
    if entry.is_own:
        return reader.say("place.rules.state.own")
    switched = "on" if entry.rule.is_on else "off"
    names = [switched if name == "is_on" else name for name in entry.changed] or ["shipped"]
    return reader.catalogue.separator.join(reader.say(f"place.rules.state.{name}") for name in names)


PLACE = PlaceKind("have", 2, lambda request: {"view": rules_view(request.state)})
