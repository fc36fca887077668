"""The workshop's rules for a wall: each a check with its reason and its remedy; limits and switches are data.

A workshop changes a rule's limit, words or switch, and adds rules of its own: a new id with the judge of a shipped
rule and a limit of its own, for every ply or for one prepreg.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, overload

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import finite, from_zero
from polewright.wall.stack import Stack, StackPly

__all__ = ["SHIPPED", "Finish", "Rule", "Ruling", "rulings", "with_changes"]

ALIKE = 1e-6  # [rad] closer angles are one
SAME = 1e-9  # [m] of thickness lost in adding up


@dataclass(frozen=True, slots=True)
class Ruling:
    """What a rule says of one stack: whether it holds, the figure and its limit in SI, and where to look."""

    rule: "Rule"
    holds: bool
    value: float | None
    limit: float | None
    layer: int | None = None


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule as data: `limit` in SI (meaning by its judge), its `unit`, why it stands, what mends it.

    Title, reason and remedy are messages where they are the program's own, text where a workshop typed them; `unit` is
    an SI unit, or the message of another.

    `judge` is the id of the shipped rule whose judge it uses, its own id where left out; `ply` names the one prepreg
    it is about, where its judge looks at single plies (blocks of one angle); every ply where left out.
    """

    id: str
    title: Message | str
    reason: Message | str
    remedy: Message | str
    limit: float | None = None
    unit: Message | str = ""
    is_on: bool = True
    judge: str = ""
    ply: str | None = None


@dataclass(frozen=True, slots=True)
class Finish:
    """What finishing takes and what touches the wall: sanded depth [m] a side, metal clamps on the skin.

    starts (n_flag,) [rad]: clock position where each flag starts, in rolling order; unknown when left out.
    """

    sanding: float = 0.0
    has_aluminium_clamp: bool = False
    starts: tuple[float, ...] | None = None

    def __post_init__(self) -> None:
        from_zero("sanding", self.sanding, want=Message("want.depth_zero_or_more"), most=1e30)
        if self.starts is not None and len(self.starts):
            finite("starts", self.starts, want=Message("want.finite_clock_positions"), most=1e12)


def _is_axial(stack_ply: StackPly) -> bool:
    return stack_ply.angle_class == "axial" and not stack_ply.ply.is_woven


def _least_wall(stack: Stack, _: Finish, rule: Rule) -> Ruling:
    limit = rule.limit or 0.0
    return Ruling(rule, stack.thickness >= limit - SAME, stack.thickness, limit)


def _around_both_sides(stack: Stack, _: Finish, rule: Rule) -> Ruling:
    along = [i for i, w in enumerate(stack.plies) if _is_axial(w)]
    around = [i for i, w in enumerate(stack.plies) if w.goes_round]
    holds = not along or (any(i < along[0] for i in around) and any(i > along[-1] for i in around))
    return Ruling(rule, holds, None, None)


def _no_bare_axial(stack: Stack, _: Finish, rule: Rule) -> Ruling:
    skin, bore = _is_axial(stack.plies[-1]), _is_axial(stack.plies[0])
    return Ruling(rule, not (skin or bore), None, None, len(stack.plies) - 1 if skin else (0 if bore else None))


def _woven_skin(stack: Stack, _: Finish, rule: Rule) -> Ruling:
    return Ruling(rule, stack.plies[-1].ply.is_woven, None, None, len(stack.plies) - 1)


def _sanding_leaves_hoop(stack: Stack, finish: Finish, rule: Rule) -> Ruling:
    skin, limit = stack.plies[-1], rule.limit or 0.0
    if skin.ply.is_woven or not skin.goes_round:
        return Ruling(rule, True, None, limit)
    share = finish.sanding / skin.thickness
    return Ruling(rule, share <= limit, share, limit, len(stack.plies) - 1)


def _balanced(stack: Stack, _: Finish, rule: Rule) -> Ruling:
    sums: dict[tuple[str, int], float] = {}
    for stack_ply in stack.plies:
        degree = round(float(np.rad2deg(stack_ply.angle)) * 10)
        if 0 < abs(degree) < 900 and not stack_ply.ply.is_woven:
            key = (stack_ply.ply.name, abs(degree))
            sums[key] = sums.get(key, 0.0) + float(np.sign(degree)) * stack_ply.thickness
    worst = max((abs(v) for v in sums.values()), default=0.0)
    return Ruling(rule, worst <= (rule.limit or 0.0), worst, rule.limit)


def _block(stack: Stack, _: Finish, rule: Rule) -> Ruling:
    thickest, at, run, last, start = 0.0, None, 0.0, None, 0
    for i, stack_ply in enumerate(stack.plies):
        if last is None or abs(stack_ply.angle - last) > ALIKE:
            run, start, last = 0.0, i, stack_ply.angle
        run += stack_ply.thickness if rule.ply in (None, stack_ply.ply.name) else 0.0
        if run > thickest:
            thickest, at = run, start
    limit = np.inf if rule.limit is None else rule.limit
    return Ruling(rule, thickest <= limit + SAME, thickest, rule.limit, at)


def _neighbours(stack: Stack, _: Finish, rule: Rule) -> Ruling:
    steps = [abs(float(b.angle - a.angle)) for a, b in zip(stack.plies[:-1], stack.plies[1:], strict=True)]
    steps = [min(s, np.pi - s) for s in steps]
    worst = max(steps, default=0.0)
    limit = np.pi if rule.limit is None else rule.limit
    return Ruling(rule, worst <= limit + ALIKE, worst, rule.limit, int(np.argmax(steps)) if steps else None)


def _whole_turns(stack: Stack, _: Finish, rule: Rule) -> Ruling:
    part = [i for i, w in enumerate(stack.plies) if abs(w.turns - round(w.turns)) > 1e-6]
    return Ruling(rule, not part, None, None, part[0] if part else None)


def _carbon_on_aluminium(stack: Stack, finish: Finish, rule: Rule) -> Ruling:
    return Ruling(
        rule, not (finish.has_aluminium_clamp and stack.plies[-1].ply.is_conductive), None, None, len(stack.plies) - 1
    )


def _seams_apart(_: Stack, finish: Finish, rule: Rule) -> Ruling | None:
    """Least step round the clock from one flag's start to the next flag's; no word where none is known."""
    limit = rule.limit or 0.0
    if finish.starts is None or len(finish.starts) < 2:
        return None
    steps = np.abs((np.diff(finish.starts) + np.pi) % (2.0 * np.pi) - np.pi)
    return Ruling(rule, bool(steps.min() >= limit - ALIKE), float(steps.min()), rule.limit)


def _loose_joint(_: Stack, __: Finish, ___: Rule) -> Ruling | None:
    """No word: a joint is of two walls, and is judged where the fits of the pole are known."""
    return None


JUDGES: dict[str, Callable[[Stack, Finish, Rule], Ruling | None]] = {
    "least-wall": _least_wall,
    "around-both-sides": _around_both_sides,
    "no-bare-axial": _no_bare_axial,
    "woven-skin": _woven_skin,
    "sanding": _sanding_leaves_hoop,
    "balance": _balanced,
    "block": _block,
    "neighbours": _neighbours,
    "whole-turns": _whole_turns,
    "seams-apart": _seams_apart,
    "carbon-on-aluminium": _carbon_on_aluminium,
    "loose-joint": _loose_joint,
}


def _shipped(name: str, limit: float | None = None, unit: Message | str = "", *, is_on: bool = True) -> Rule:
    """A rule of the program's own, its texts by code."""
    code = name.replace("-", "_")
    return Rule(
        name,
        title=Message(f"rule.title.{code}"),
        reason=Message(f"rule.reason.{code}"),
        remedy=Message(f"rule.remedy.{code}"),
        limit=limit,
        unit=unit,
        is_on=is_on,
    )


SHIPPED: tuple[Rule, ...] = (
    _shipped("least-wall", 0.0006, "m"),
    _shipped("around-both-sides"),
    _shipped("no-bare-axial"),
    _shipped("woven-skin"),
    _shipped("sanding", 0.34, Message("rule.unit.outer_hoop")),
    _shipped("balance", 1e-6, "m"),
    _shipped("block", 0.0012, "m"),
    _shipped("neighbours", float(np.deg2rad(60.0)), "rad", is_on=False),
    _shipped("whole-turns"),
    _shipped("seams-apart", float(np.deg2rad(15.0)), "rad"),
    _shipped("carbon-on-aluminium"),
    _shipped("loose-joint", 0.0005, "m"),
)


@overload
def rulings(stack: Stack, *, finish: Finish | None = None, rules: tuple[Rule, ...] = SHIPPED) -> tuple[Ruling, ...]: ...


@overload
def rulings(
    stack: Sequence[Stack], *, finish: Finish | None = None, rules: tuple[Rule, ...] = SHIPPED
) -> tuple[tuple[Ruling, ...], ...]: ...


def rulings(stack: Stack | Sequence[Stack], *, finish: Finish | None = None, rules: tuple[Rule, ...] = SHIPPED) -> Any:
    """What each rule that is switched on says of a stack, in the order of the rules; silent where it cannot judge.

    Of several stacks, (n_stack,), it says as much of each, one row a stack.

    Raises
    ------
    DesignError : a rule without a judge.
    """
    unknown = [r for r in rules if (r.judge or r.id) not in JUDGES]
    if unknown:
        raise DesignError(
            f"rules[{unknown[0].id}].judge",
            unknown[0].judge or unknown[0].id,
            Message("want.one", choices=tuple(JUDGES)),
        )
    if not isinstance(stack, Stack):
        if not isinstance(stack, Sequence) or not all(isinstance(one, Stack) for one in stack):
            raise DesignError("stack", f"{stack!r:.60}", Message("want.stack_or_stacks_row"))
        return tuple(rulings(one, finish=finish, rules=rules) for one in stack)
    said = (JUDGES[rule.judge or rule.id](stack, finish or Finish(), rule) for rule in rules if rule.is_on)
    return tuple(ruling for ruling in said if ruling is not None)


def with_changes(changes: Mapping[str, Mapping[str, object]], rules: tuple[Rule, ...] = SHIPPED) -> tuple[Rule, ...]:
    """The rules with a workshop's own limits, words and switches, by rule id; an id with a `judge` adds a rule.

    An added rule takes title, reason, remedy, limit and unit from the rule whose judge it uses where it gives none.

    Raises
    ------
    DesignError : an id that is neither a rule nor an added one, or a judge that is none.
    """
    known = {r.id: r for r in rules}
    for name, change in changes.items():
        if not isinstance(change, Mapping):
            raise DesignError(f"rules[{name}]", f"{change!r:.60}", Message("want.what_change_limit_on_title_remedy"))
    changed = [_changed(r, changes[r.id]) if r.id in changes else r for r in rules]
    for name, change in changes.items():
        if name in known:
            continue
        judge = change.get("judge")
        if judge is None:
            raise DesignError("rules", name, Message("want.known_rule_or_judge", choices=tuple(sorted(known))))
        if not isinstance(judge, str) or judge not in known:
            raise DesignError(f"rules[{name}].judge", judge, Message("want.one", choices=tuple(sorted(known))))
        model = known[judge]
        added = replace(model, id=name, is_on=True, judge=model.judge or model.id)
        rest = {key: value for key, value in change.items() if key != "judge"}
        changed.append(_changed(added, rest))
    return tuple(changed)


_WORDS = ("title", "reason", "remedy", "unit", "judge", "ply")


def _changed(rule: Rule, change: Mapping[str, object]) -> Rule:
    """The rule with some of its words, its limit or its switch changed."""
    own = {f.name for f in fields(Rule)} - {"id"}
    for name, value in change.items():
        if name not in own:
            raise DesignError(f"rules[{rule.id}]", name, Message("want.one", choices=tuple(sorted(own))))
        if name == "limit" and value is not None:
            from_zero(f"rules[{rule.id}].limit", value, want=Message("want.number_zero_or_more_or_none"))
        if name == "is_on" and not isinstance(value, bool):
            raise DesignError(f"rules[{rule.id}].is_on", repr(value), Message("want.true_or_false"))
        if name in _WORDS and not (isinstance(value, str) or (name == "ply" and value is None)):
            raise DesignError(f"rules[{rule.id}].{name}", f"{value!r:.60}", Message("want.words"))
    return replace(rule, **change)  # type: ignore[arg-type]
