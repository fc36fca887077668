"""Whether the walls and joints keep the workshop's rules."""

from collections.abc import Iterator

from polewright.answers.findings.finding import Finding, Subjects, verdict
from polewright.answers.joints import JointAnswer
from polewright.answers.rules import finish_of, own_rules
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.wall.rules import Rule, Ruling, rulings

__all__ = ["QUANTITY_OF_RULE", "loose_findings", "rule_findings"]

LOOSE = "loose-joint"
LEAST = ("least-wall", "seams-apart")  # judges whose figure must be at least its limit
SAME = 1e-12  # [m] of clearance lost in rounding
QUANTITY_OF_RULE: dict[Message | str, str] = {"m": "length", "rad": "angle"}
"""Unit of a rule -> quantity of its figure; a rule with another unit has a number."""


def rule_findings(design: Design, work: Workpiece) -> Iterator[Finding]:
    """One finding a rule and verdict: sections of which a rule says the same stand together."""
    rules = own_rules(design)
    alike: dict[tuple[str, bool], list[tuple[int, Ruling]]] = {}
    for i, section in enumerate(work.sections):
        for ruling in rulings(section.stack, finish=finish_of(design, i), rules=rules):
            alike.setdefault((ruling.rule.id, ruling.holds), []).append((i, ruling))
    for group in alike.values():
        yield _of_sections(group)


def loose_findings(design: Design, joints: tuple[JointAnswer, ...]) -> Iterator[Finding]:
    """Every joint that is looser, drawn out, than a rule allows; those that are not stand together."""
    for rule in own_rules(design):
        if not (joints and rule.is_on and (rule.judge or rule.id) == LOOSE and rule.limit is not None):
            continue
        loose = [joint for joint in joints if joint.clearance_at_overlap > rule.limit + SAME]
        close = [joint for joint in joints if joint not in loose]
        for joint in loose:
            yield _of_joints(rule, rule.limit, [joint], holds=False)
        if close:
            yield _of_joints(rule, rule.limit, close, holds=True)


def _of_sections(group: list[tuple[int, Ruling]]) -> Finding:
    """One rule over the sections of which it says the same; the figure is the worst of them."""
    first, ruling = max(group, key=lambda each: _badness(each[1]))
    rule = ruling.rule
    return Finding(
        code="rule",
        kind="rule",
        verdict=verdict(ruling.holds),
        subjects=Subjects(sections=tuple(i + 1 for i, _ in group), rule=rule.id),
        where=f"sections[{first}]" + ("" if ruling.layer is None else f".stack[{ruling.layer}]"),
        value=ruling.value,
        limit=ruling.limit,
        quantity=QUANTITY_OF_RULE.get(rule.unit, ""),
        details=_words(rule),
        remedies=() if ruling.holds else (rule.remedy,),
    )


def _of_joints(rule: Rule, limit: float, joints: list[JointAnswer], *, holds: bool) -> Finding:
    """A rule on joints over those of which it says the same; the figure is that of the loosest."""
    widest = max(joints, key=lambda joint: joint.clearance_at_overlap)
    return Finding(
        code="rule.loose_joint",
        kind="rule",
        verdict=verdict(holds),
        subjects=Subjects(
            sections=tuple(sorted({number for joint in joints for number in joint.between})),
            joints=tuple(joint.between[0] for joint in joints),
            rule=rule.id,
        ),
        where=f"joints[{widest.between[0] - 1}]",
        value=widest.clearance_at_overlap,
        limit=limit,
        quantity="length",
        details=_words(rule),
        remedies=() if holds else (rule.remedy,),
    )


def _words(rule: Rule) -> dict[str, object]:
    """The rule's own texts, for those of a workshop's rule are what somebody typed."""
    return {"title": rule.title, "reason": rule.reason, "unit": rule.unit}


def _badness(ruling: Ruling) -> float:
    """How far the figure of a wall lies towards what its rule does not want; all have the limit of the one rule."""
    figure = ruling.value or 0.0
    return -figure if (ruling.rule.judge or ruling.rule.id) in LEAST else figure
