"""The rules of a design: the shipped ones with the workshop's changes, then those it added."""

from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.values import Workpiece
from polewright.errors import DesignError, PolewrightError
from polewright.units import si
from polewright.wall.rules import SHIPPED, Finish, Rule, Ruling, rulings, with_changes

__all__ = ["finish_of", "own_rules", "section_rulings"]


def own_rules(design: Design) -> tuple[Rule, ...]:
    """The rules as this design keeps them.

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
        raise _in_place(design, fault) from fault


def _in_place(design: Design, fault: DesignError) -> PolewrightError:
    """A refusal of a rule with its place in the document."""
    for i, change in enumerate(design.setting.rules):
        opening = f"rules[{change.id}]"
        if fault.field.startswith(opening) or (fault.field, fault.value) == ("rules", change.id):
            field = f"setting.rules[{i}]" + (fault.field.removeprefix(opening) if "[" in fault.field else ".id")
            return DocumentError([Fault((field, repr(fault.value), fault.want))])
    return fault


def finish_of(design: Design, i: int, *, starts: tuple[float, ...] | None = None) -> Finish:
    """What finishing takes off section i, from 0 at the tip, and what touches it; starts [rad] of its flags."""
    clamp = design.joints[i - 1].clamp_material if i else "plastic"
    return Finish(
        sanding=si("sanding_mm", design.setting.sanding_mm), has_aluminium_clamp=clamp == "aluminium", starts=starts
    )


def section_rulings(design: Design, work: Workpiece, i: int, *, starts: tuple[float, ...]) -> tuple[Ruling, ...]:
    """What every rule says of section i, from 0 at the tip, where its flags start [rad] round the clock known."""
    finish = finish_of(design, i, starts=starts)
    return rulings(work.sections[i].stack, finish=finish, rules=own_rules(design))
