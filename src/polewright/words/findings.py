"""A finding as text: its name, what it says, why it matters, what to change."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from polewright.answers.findings import Finding
from polewright.answers.findings.rules import QUANTITY_OF_RULE
from polewright.answers.reach import drawn_out, reach_message
from polewright.codes import Message
from polewright.wall.rules import Ruling
from polewright.words.clamps import cracks_text, ends_text
from polewright.words.reader import Reader

__all__ = ["FindingText", "HintText", "figure_text", "finding_text", "named_sections", "ruling_text"]

_DIGITS = {  # decimals of a wish's figure: metric, inch
    "length": (1, 2),
    "mass": (0, 1),
    "carry": (3, 2),
    "bending": (0, 0),
    "frequency": (3, 3),
    "flex": (2, 3),
}
_FIT_DIGITS = (3, 4)  # of a clearance or a gap
_FEW = 3  # sections from which a row of them is written as a range


@dataclass(frozen=True, slots=True)
class HintText:
    """What to change, and what it gives; nothing where that is not known."""

    what: str
    gives: str


@dataclass(frozen=True, slots=True)
class FindingText:
    """A finding for its reader; `says` is a clause without a full stop."""

    code: str
    verdict: str
    name: str
    says: str
    reason: str
    hints: tuple[HintText, ...]


def finding_text(finding: Finding, reader: Reader, *, is_short: bool = False) -> FindingText:
    """The texts of a finding; `is_short` names sections as tables and files do: "S1-S3 out", every number listed."""
    name, says = _TEXTS.get(finding.code, _wish)(finding, reader, is_short)
    reason = finding.details.get("reason")
    return FindingText(
        code=finding.code,
        verdict=finding.verdict,
        name=name,
        says=says,
        reason=reader.text(reason)
        if isinstance(reason, str | Message)
        else reader.say(f"finding.reason.{finding.code}"),
        hints=tuple(_hint(remedy, reader) for remedy in finding.remedies),
    )


def named_sections(numbers: tuple[int, ...], reader: Reader, *, is_short: bool = False) -> str:
    """Sections by their numbers, as "section 2" or "sections 1 to 4"; the short way lists every number."""
    if not is_short and len(numbers) >= _FEW and numbers == tuple(range(numbers[0], numbers[-1] + 1)):
        return reader.say("part.sections", first=numbers[0], last=numbers[-1])
    return reader.say("part.section_list", count=len(numbers), numbers=numbers)


def _hint(remedy: Message | str, reader: Reader) -> HintText:
    if isinstance(remedy, str):
        return HintText(remedy, "")
    gives = f"gives.{remedy.code}"
    return HintText(reader.text(remedy), reader.say(gives, **remedy.values) if reader.has(gives) else "")


def figure_text(finding: Finding, value: float | None, reader: Reader) -> str:
    """A figure or limit of a wish or a fit with its unit."""
    number = 0.0 if value is None else value
    if finding.quantity == "money":
        return reader.say("wish.money", amount=number, currency=finding.details["currency"])
    digits = _FIT_DIGITS if finding.kind == "fit" else _DIGITS[finding.quantity]
    return reader.quantity(number, finding.quantity, *digits)


def _wish(finding: Finding, reader: Reader, is_short: bool) -> tuple[str, str]:
    name = reader.say(f"finding.name.{finding.code}", section=finding.subjects.sections[:1])
    return name, _beside_limit(finding, name, reader, is_short)


def _droop(finding: Finding, reader: Reader, is_short: bool) -> tuple[str, str]:
    name = reader.say("wish.droop.name", reach=_reach(finding, is_short), load=finding.details["load"])
    return name, _beside_limit(finding, name, reader, is_short)


def _beside_limit(finding: Finding, name: str, reader: Reader, is_short: bool) -> str:
    value, limit = finding.value or 0.0, finding.limit or 0.0
    figures = {"value": figure_text(finding, value, reader), "limit": figure_text(finding, limit, reader)}
    most = "least" if finding.details["is_least"] else "most"
    says = reader.say(f"wish.beside.{most}", name=name, **figures)
    if finding.holds:
        return reader.say("wish.says.holds", says=says) if is_short else says
    return reader.say(f"wish.missed.{most}", says=says, by=figure_text(finding, abs(value - limit), reader))


def _flex(finding: Finding, reader: Reader, is_short: bool) -> tuple[str, str]:
    details, reach = finding.details, _reach(finding, is_short)
    says = reader.say("wish.flex.says", reach=reach, value=finding.value, limit=finding.limit, within=details["within"])
    off = details["off"]
    if not finding.holds and isinstance(off, float):
        says = reader.say(f"wish.flex.says.{'stiffer' if off < 0.0 else 'softer'}", says=says, off=abs(off))
    elif is_short:
        says = reader.say("wish.says.holds", says=says)
    return reader.say("wish.flex.name", reach=reach), says


def _reach(finding: Finding, is_short: bool) -> Message:
    out, joints = finding.details["out"], finding.details["joints"]
    assert isinstance(out, int)
    assert isinstance(joints, int)
    return reach_message(out, joints) if is_short else drawn_out(out, joints)


def _fit(finding: Finding, reader: Reader, is_short: bool) -> tuple[str, str]:
    del is_short
    details = finding.details
    code = "fit.says.ridge" if details["ridge"] else "fit.says"
    says = reader.say(code, least=finding.value, limit=finding.limit, **details)
    return reader.say("fit.name", inner=details["inner"], outer=details["outer"]), says


def _clamp(finding: Finding, reader: Reader, is_short: bool) -> tuple[str, str]:
    del is_short
    section = finding.subjects.sections[0]
    code = "clamp_window.says" if finding.holds else "clamp_window.says.none"
    details, most = finding.details, finding.value or 0.0
    ends = ends_text(str(details["ends"]), most, reader)
    cracks = cracks_text(cast("float | None", details["crack"]), reader)
    says = reader.say(code, section=section, least=finding.limit, hold=details["hold"], ends=ends, cracks=cracks)
    return reader.say("clamp_window.name", section=section), says


def _release(finding: Finding, reader: Reader, is_short: bool) -> tuple[str, str]:
    del is_short
    section = finding.subjects.sections[0]
    code = "release.says" if finding.holds else "release.says.grips"
    return reader.say("release.name", section=section), reader.say(code, section=section, gap=abs(finding.value or 0.0))


def _lifted(finding: Finding, reader: Reader, is_short: bool) -> tuple[str, str]:
    del is_short
    says = reader.say(
        "lifted.says",
        section=finding.subjects.sections[0],
        jerked=finding.value,
        bears=finding.limit,
        **finding.details,
    )
    return reader.say("lifted.name"), says


def _rule(finding: Finding, reader: Reader, is_short: bool) -> tuple[str, str]:
    title, within = _titles(finding.details["title"], reader)
    names = named_sections(finding.subjects.sections, reader, is_short=is_short)
    if finding.value is None or finding.limit is None:
        code = "rule.says" if finding.holds else "rule.says.broken"
        return title, reader.say(code, sections=names, title=within)
    unit = finding.details["unit"]
    kind = finding.quantity or _kind_of(unit)
    code = f"rule.short.{kind}" if is_short else f"rule.beside.{kind}"
    return title, reader.say(code, sections=names, title=within, value=finding.value, limit=finding.limit, unit=unit)


def _loose(finding: Finding, reader: Reader, is_short: bool) -> tuple[str, str]:
    (title, within), sections = _titles(finding.details["title"], reader), finding.subjects.sections
    names = (
        named_sections(sections, reader, is_short=is_short)
        if finding.holds
        else reader.say("fit.pair", inner=sections[0], outer=sections[1])
    )
    code = "rule.short.loose_joint" if is_short else "rule.beside.loose_joint"
    return title, reader.say(code, sections=names, title=within, value=finding.value, limit=finding.limit)


def ruling_text(ruling: Ruling, reader: Reader) -> str:
    """What a rule says of one wall, on a line: verdict, rule, figure and limit; why it stands and what mends it."""
    rule = ruling.rule
    kind = QUANTITY_OF_RULE.get(rule.unit) or _kind_of(rule.unit)
    _, says = _titles(rule.title, reader)
    if ruling.value is not None and ruling.limit is not None:
        says = reader.say(f"ruling.{kind}", title=says, value=ruling.value, limit=ruling.limit, unit=rule.unit)
    if ruling.holds:
        return reader.say("ruling.holds", says=says)
    return reader.say("ruling.look", says=says, reason=rule.reason, remedy=rule.remedy)


def _titles(title: object, reader: Reader) -> tuple[str, str]:
    """A rule's title by itself and inside a sentence; one that a workshop typed is the same in both."""
    if not isinstance(title, Message):
        return str(title), str(title)
    return reader.text(title), reader.say(title.code.replace("rule.title.", "rule.within.", 1))


def _kind_of(unit: object) -> str:
    """How the figure of a rule without a quantity is written: as a share of something named, or with a typed unit."""
    return "share" if isinstance(unit, Message) else "number"


_TEXTS: dict[str, Callable[[Finding, Reader, bool], tuple[str, str]]] = {
    "wish.droop": _droop,
    "wish.flex": _flex,
    "fit": _fit,
    "clamp_window": _clamp,
    "release": _release,
    "lifted": _lifted,
    "rule": _rule,
    "rule.loose_joint": _loose,
}
