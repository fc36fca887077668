"""A pole in a hold, for whoever asks: what was asked, its shape, its figures, and where to spend."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import ValidationError

from polewright.answers.hold import DroopPart, HoldAnswer, JointPress, hold_answer
from polewright.answers.spend import Spending, spendings
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault, bound_of, faults_of
from polewright.documents.hold import Held, Holding
from polewright.documents.values import Workpiece, workpiece
from polewright.errors import DesignError
from polewright.pole.wind import drawn_to
from polewright.units import from_si, parse_length
from polewright.workshop.hold_shape import HoldShape, hold_scene, hold_shape, lean_message, split_parts

__all__ = [
    "Design",
    "DocumentError",
    "DroopPart",
    "Fault",
    "Held",
    "HoldAnswer",
    "HoldReport",
    "HoldShape",
    "Holding",
    "JointPress",
    "Spending",
    "Workpiece",
    "drawn_by_order",
    "drawn_lengths",
    "hold_answer",
    "hold_bounds",
    "hold_report",
    "hold_scene",
    "hold_shape",
    "holding_at",
    "holding_of",
    "lean_message",
    "spendings",
    "split_parts",
    "workpiece",
]


def holding_of(values: Mapping[str, Any]) -> Holding:
    """How a pole is held, from values as they are typed or sent, by the names of the fields.

    Raises
    ------
    DocumentError : a value that no hold has, every fault gathered.
    """
    try:
        return Holding.model_validate(values)
    except ValidationError as fault:
        raise DocumentError(faults_of(fault, Holding)) from fault


def drawn_lengths(work: Workpiece, reach: float, first: Literal["thin", "thick"] = "thin") -> tuple[float, ...]:
    """How far each section is drawn out for a reach [m], as `Holding.drawn_mm` is given."""
    return tuple(from_si("drawn_mm", float(drawn)) for drawn in drawn_to(work.pole, reach, first))


def drawn_by_order(work: Workpiece, reach: str | None, first: Literal["thin", "thick"]) -> tuple[float, ...]:
    """The same for a reach as typed, a bare number in mm; drawn out wholly without one.

    Raises
    ------
    DocumentError : a reach that cannot be read.
    """
    if reach is None:
        return drawn_lengths(work, work.pole.extended_length, first)
    try:
        return drawn_lengths(work, parse_length(reach, "mm", field="reach_mm"), first)
    except DesignError as fault:
        raise DocumentError.at("reach_mm", repr(reach), fault.want) from fault


def hold_bounds(field: str) -> tuple[Message | float, Message | float] | None:
    """The least and the most that a field of a hold takes, as its reader sees them; None for one without."""
    schema = Holding.model_json_schema()["properties"].get(field, {})
    for kind in (schema, *schema.get("anyOf", ())):
        least, most = kind.get("minimum", kind.get("ge")), kind.get("maximum", kind.get("le"))
        if least is not None and most is not None:
            return bound_of(field, least), bound_of(field, most)
    return None


@dataclass(frozen=True, slots=True)
class HoldReport:
    """A pole in a hold: its figures, and where one more axial turn would save most droop."""

    hold: HoldAnswer
    spending: tuple[Spending, ...]


def hold_report(design: Design, values: Mapping[str, Any], *, reach: str | None = None) -> HoldReport:
    """All figures of a pole in the hold that is asked for.

    Parameters
    ----------
    values : of the fields of a `Holding`, as typed or sent. reach : "all", a count of sections drawn out, or a length
    from butt to tip, drawn out thin end first; without it the values say how far.

    Raises
    ------
    DocumentError : a value that no hold has, or a reach that this pole has not, by the names of the fields.
    """
    work = workpiece(design)
    return HoldReport(hold_answer(design, work, holding_at(work, values, reach)), spendings(design, work))


def holding_at(work: Workpiece, values: Mapping[str, Any], reach: str | None) -> Holding:
    """The hold of a pole by its values, drawn out to a reach; as `hold_report` takes both."""
    return holding_of({**values, **_drawn(work, reach)})


def _drawn(work: Workpiece, reach: str | None) -> dict[str, object]:
    """The fields of a hold that say how far the sections are drawn out for a reach."""
    if reach is None:
        return {}
    if reach.strip() == "all":
        return {"out": 0}
    if reach.strip().isdigit() and int(reach) <= len(work.pole.joints):
        return {"out": int(reach)}
    wanted, pole = parse_length(reach, "mm", field="reach"), work.pole
    if not pole.closed_length - 1e-9 <= wanted <= pole.extended_length + 1e-9:
        want = Message("want.reach_between", least=pole.closed_length, most=pole.extended_length)
        raise DocumentError([Fault(("reach", reach, want))])
    return {"drawn_mm": drawn_lengths(work, wanted)}
