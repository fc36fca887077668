"""The workshop's rules as a pole keeps them: listed, changed, switched off, added; each change gives a new design.

What is changed stands in the design document, under `setting.rules`, and is saved with its revision.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from polewright.answers.rules import own_rules
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.errors import DesignError
from polewright.units import from_, from_si, parse, to
from polewright.wall.rules import SHIPPED, Rule
from polewright.words import Reader, default_reader, languages
from polewright.workshop.kinds import design_of
from polewright.workshop.words import address_of, words

__all__ = ["KINDS_OF_RULE", "RuleEntry", "add_rule", "remove_rule", "rule_limit", "rules_of", "set_rule"]

_WORDS = ("title", "reason", "remedy")
_QUANTITY: dict[Message | str, tuple[str, str, float]] = {"m": ("length", "mm", 100.0), "rad": ("angle", "°", 180.0)}
KINDS_OF_RULE: tuple[Rule, ...] = tuple(rule for rule in SHIPPED if rule.limit is not None)
_ABOUT_ONE_PLY = "block"
_LEAST_WALL = "least-wall"


@dataclass(frozen=True, slots=True)
class RuleEntry:
    """One rule as it holds for a pole; whether the workshop added it, and which of its fields it changed."""

    rule: Rule
    is_own: bool
    changed: tuple[str, ...]

    @property
    def is_least(self) -> bool:
        """The limit is the least that holds, not the most."""
        return (self.rule.judge or self.rule.id) in (_LEAST_WALL, "seams-apart")


def rules_of(design: Design) -> tuple[RuleEntry, ...]:
    """Every rule of a pole, the shipped ones first."""
    shipped = {rule.id for rule in SHIPPED}
    return tuple(RuleEntry(rule, rule.id not in shipped, _changed(rule)) for rule in own_rules(design))


def rule_limit(rule: Rule) -> tuple[float | None, Message | str]:
    """A rule's limit as a workshop reads it, with its unit: [mm], [°] or a share."""
    if rule.limit is None or rule.unit not in _QUANTITY:
        return rule.limit, rule.unit
    unit = _QUANTITY[rule.unit][1]
    return to(rule.limit, unit), unit


def set_rule(design: Design, rule: str, field: str, value: str) -> Design:
    """The design with one field of a rule changed: is_on ("on", "off"), limit, title, reason, remedy.

    A bare limit is in mm, degrees or a share, by the rule. Emptied, a field is as it was shipped.

    Raises
    ------
    DocumentError : no such rule or field, or a limit that no wall can be held to.
    """
    entry = _entry(design, rule)
    plain = design.plain()
    change = _change(plain, entry.rule)
    if field == "is_on" and value not in ("on", "off"):
        raise DocumentError.at("is_on", repr(value), Message("want.one", choices=("on", "off")))
    if field == "is_on":
        change["is_on"] = value == "on"
    elif field == "limit":
        _set_limit(plain, change, entry.rule, value)
    elif field in _WORDS:
        _set_words(design, change, entry, field, value)
    else:
        raise DocumentError.at("field", repr(field), Message("want.one", choices=("is_on", "limit", *_WORDS)))
    return _kept(plain)


def add_rule(design: Design, rule: Mapping[str, str]) -> Design:
    """The design with a rule of the workshop's own: judged as a shipped one is, by a limit of its own.

    `rule` has judge, title and limit, and may have ply (the one prepreg it is about, where the judge looks at single
    plies), reason and remedy (the model's where left empty).

    Raises
    ------
    DocumentError : each fault by the name of its field.
    """
    new = {name: rule.get(name, "").strip() for name in ("judge", "title", "limit", "ply", *_WORDS)}
    model = next((each for each in KINDS_OF_RULE if each.id == new["judge"]), None)
    if model is None:
        want = Message("want.one", choices=tuple(each.id for each in KINDS_OF_RULE))
        raise DocumentError.at("judge", repr(new["judge"]), want)
    amount, faults = 0.0, [*_title_faults(design, new["title"]), *_ply_faults(design, new["judge"], new["ply"])]
    faults += [fault for name in _WORDS for fault in _word_faults(name, new[name])]
    try:
        amount = _limit(model, new["limit"])
    except DocumentError as fault:
        faults += fault.faults
    if faults:
        raise DocumentError(faults)
    plain = design.plain()
    said = {name: text for name, text in new.items() if text and name != "limit"}
    plain["setting"].setdefault("rules", []).append({"id": _new_id(design, new["title"]), **said, "limit": amount})
    return design_of(plain)


def remove_rule(design: Design, rule: str) -> Design:
    """The design without a rule that the workshop added; a shipped one is switched off instead."""
    if not _entry(design, rule).is_own:
        raise DocumentError.at("rule", repr(rule), Message("want.shipped_rule_switched_off"))
    plain = design.plain()
    plain["setting"]["rules"] = [change for change in plain["setting"]["rules"] if change["id"] != rule]
    return design_of(plain)


def _changed(rule: Rule) -> tuple[str, ...]:
    shipped = next((each for each in SHIPPED if each.id == rule.id), rule)
    return tuple(name for name in ("is_on", "limit", *_WORDS) if getattr(rule, name) != getattr(shipped, name))


def _entry(design: Design, rule: str) -> RuleEntry:
    for entry in rules_of(design):
        if entry.rule.id == rule:
            return entry
    known = tuple(entry.rule.id for entry in rules_of(design))
    raise DocumentError.at("rule", repr(rule), Message("want.one", choices=known))


def _change(plain: dict[str, Any], rule: Rule) -> dict[str, Any]:
    """The workshop's word on a rule, made where there is none yet; one that is off stays off."""
    listed = plain["setting"].setdefault("rules", [])
    for change in listed:
        if change["id"] == rule.id:
            found: dict[str, Any] = change
            return found
    listed.append({"id": rule.id, "is_on": rule.is_on})
    made: dict[str, Any] = listed[-1]
    return made


def _kept(plain: dict[str, Any]) -> Design:
    """The design, without words on shipped rules that change nothing."""
    switched = {rule.id: rule.is_on for rule in SHIPPED}
    plain["setting"]["rules"] = [
        change
        for change in plain["setting"]["rules"]
        if set(change) > {"id", "is_on"} or change["is_on"] != switched.get(change["id"])
    ]
    return design_of(plain)


def _set_limit(plain: dict[str, Any], change: dict[str, Any], rule: Rule, text: str) -> None:
    if rule.limit is None:
        raise DocumentError.at("limit", repr(text), Message("want.no_limit_of_rule"))
    model = next(each for each in SHIPPED if each.id == (rule.judge or rule.id))
    limit = model.limit if not text.strip() else _limit(rule, text)
    if rule.id == _LEAST_WALL:  # the document has a field of its own for it
        change.pop("limit", None)
        plain["setting"]["wall_least_mm"] = from_si("wall_least_mm", limit or 0.0)
    elif limit == model.limit and not rule.judge:
        change.pop("limit", None)
    else:
        change["limit"] = limit


def _set_words(design: Design, change: dict[str, Any], entry: RuleEntry, field: str, text: str) -> None:
    text = text.strip()
    if not text:
        if entry.is_own and field == "title":
            raise DocumentError(_title_faults(design, ""))
        change.pop(field, None)
        return
    if wrong := _word_faults(field, text):
        raise DocumentError(wrong)
    if field == "title" and text not in _readings(entry.rule.title) and (faults := _title_faults(design, text)):
        raise DocumentError(faults)
    model = next((each for each in SHIPPED if each.id == entry.rule.id), None)
    if model is not None and text in _readings(getattr(model, field)):
        change.pop(field, None)
    else:
        change[field] = text


def _readings(text: Message | str) -> tuple[str, ...]:
    """A rule's text as its readers may see it, in any language."""
    readers = (default_reader(), *map(Reader, languages()))
    return (text,) if isinstance(text, str) else tuple(reader.text(text) for reader in readers)


def _word_faults(field: str, text: str) -> list[Fault]:
    try:
        words(text, field)
    except DesignError as fault:
        return [Fault.of(fault, field)]
    return []


def _limit(rule: Rule, text: str) -> float:
    """A typed limit in SI."""
    quantity, unit, most = _QUANTITY.get(rule.unit, ("share", "%", 1.0))
    try:
        value = parse(text, quantity, unit, field="limit")
    except DesignError as fault:
        raise DocumentError.at("limit", repr(text), fault.want) from fault
    if rule.unit not in _QUANTITY:  # a share may be typed as 34 % or as 0.34
        value = value if "%" in text else value / parse("1", "share", "%")
        if not 0.0 <= value <= most:
            raise DocumentError.at("limit", repr(text), Message("want.share_or_percent"))
    elif not 0.0 <= to(value, unit) <= most:
        raise DocumentError.at(
            "limit",
            repr(text),
            Message("want.between", least=0, most=Message(f"bound.{quantity}", value=from_(most, unit))),
        )
    return value


def _title_faults(design: Design, title: str) -> list[Fault]:
    if not title:
        return [Fault(("title", "", Message("want.name_of_rule")))]
    if title.casefold() in {text.casefold() for entry in rules_of(design) for text in _readings(entry.rule.title)}:
        return [Fault(("title", repr(title), Message("want.own_name_of_rule")))]
    return []


def _ply_faults(design: Design, judge: str, ply: str) -> list[Fault]:
    listed = [material.id for material in design.materials]
    if ply and judge != _ABOUT_ONE_PLY:
        return [Fault(("ply", repr(ply), Message("want.every_prepreg")))]
    if ply and ply not in listed:
        return [Fault(("ply", repr(ply), Message("want.one", choices=tuple(listed))))]
    return []


def _new_id(design: Design, title: str) -> str:
    known, base = {entry.rule.id for entry in rules_of(design)}, address_of(title)
    return next(name for name in (base, *(f"{base[:70]}-{n}" for n in range(2, 500))) if name not in known)
