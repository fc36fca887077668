"""What the controls of a hold ask for, and how they stand: read from the page, every fault gathered."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast, get_args

from polewright.codes import Message
from polewright.errors import DocumentError, Fault
from polewright.words import Reader
from polewright.words.form_values import field_number, field_unit, field_value, with_unit
from polewright.workshop.hold import (
    Held,
    Holding,
    HoldShape,
    Workpiece,
    drawn_by_order,
    hold_bounds,
    holding_of,
    lean_message,
)

__all__ = ["Control", "Slider", "fields_of", "holding_of_query", "joint_sliders", "lean_slider", "reach_slider"]

ON_GLASS = "head on glass"
MOST_TEXT = 40
AT_STOP = 1e-9  # [m]
_SECTION = re.compile(r"drawn_mm\[(\d+)\]")


@dataclass(frozen=True, slots=True)
class Slider:
    """A range with what it stands at, in words."""

    name: str
    label: str
    least: float
    most: float
    step: float
    value: float
    says: str


@dataclass(frozen=True, slots=True)
class Control:
    """A field to be typed in, shown only for some supports or ways of the head on the glass; `empty` if left out."""

    name: str
    label: str
    text: str
    unit: str
    only_for: tuple[str, ...] = ()
    empty: str = ""


_SLIDER = "lean_deg"
_TYPED = ("head_g", "hose_g_m", "wind_m_s", "temperature_C", "rear_mm", "front_mm", "friction_pct", "push_N")
"""Fields that are typed in; what sliders say is always in the unit of the field."""
DIGITS = 4  # significant, of what stands in a field
_ONLY_FOR: Mapping[str, tuple[str, ...]] = {
    "rear_mm": ("hands", "lifted"),
    "front_mm": ("hands", "lifted"),
    "friction_pct": ("up", "down", "stuck"),
    "push_N": ("stuck",),
}  # supports, and ways of a head on the glass


def holding_of_query(work: Workpiece, query: Mapping[str, str], order: str, reader: Reader) -> Holding:
    """What the controls ask for, every fault of theirs gathered.

    Raises
    ------
    DocumentError : a control that says nothing sensible.
    """
    given = {name: text for name, whole in query.items() if (text := whole.strip()[:MOST_TEXT])}
    values: dict[str, Any] = {name: with_unit(given[name], name, reader) for name in _TYPED if name in given}
    if _SLIDER in given:
        values[_SLIDER] = given[_SLIDER]
    values["support"] = query.get("support", "trestles")
    values["slide"] = query.get("slide", "free") if values["support"] == ON_GLASS else "free"
    if values["slide"] != "stuck":
        values.pop("push_N", None)
    faults: list[Fault] = []
    try:
        drawn = _drawn(work, given, order)
    except DocumentError as fault:
        drawn, faults = (), list(fault.faults)
    try:
        hold = holding_of({**values, "drawn_mm": drawn})
    except DocumentError as fault:
        faults += [_fault(*each) for each in fault.faults]
    if faults:
        raise DocumentError(faults)
    return hold


def _drawn(work: Workpiece, given: Mapping[str, str], order: str) -> tuple[float | str, ...]:
    """How far each section is drawn out [mm], as its slider says or as the order does for a reach.

    Raises
    ------
    DocumentError : a reach that cannot be read, or no such order.
    """
    if order == "own":
        full = [field_number("drawn_mm", length) for length in work.pole.full_draw]
        return tuple(given.get(f"drawn-{j}", most) for j, most in enumerate(full))
    if order not in ("thin", "thick"):
        raise DocumentError.at("order", repr(order[:MOST_TEXT]), Message("want.hold.order"))
    return drawn_by_order(work, given.get("reach_mm"), cast(Any, order))


def _fault(name: str, value: Message | str, want: Message | str) -> Fault:
    """A fault of a hold at its control; a figure out of its range with both its limits."""
    if name == "support":
        return Fault((name, value, Message("want.hold.one_of", names=get_args(Held))))
    bounds = hold_bounds(name) if isinstance(want, Message) and want.code.startswith("limit.") else None
    if bounds is not None:
        want = Message("want.hold.between", least=bounds[0], most=bounds[1])
    return Fault((_SECTION.sub(r"drawn-\1", name), value, want))


def lean_slider(hold: Holding, shape: HoldShape, reader: Reader) -> Slider:
    """Lean of the root axis."""
    says = reader.text(lean_message(shape.state.lean))
    return Slider("lean_deg", reader.say("control.hold.lean_deg"), -90.0, 90.0, 1.0, round(hold.lean_deg, 1), says)


def reach_slider(work: Workpiece, shape: HoldShape, reader: Reader) -> Slider:
    """How far the pole is drawn out."""
    length = float(shape.bent.station[-1])
    ends = _ends(work.pole.closed_length, work.pole.extended_length)
    label, says, now = reader.say("control.hold.reach_mm"), reader.quantity(length, "reach", 2), _whole_mm(length)
    return Slider("reach_mm", label, *ends, 1.0, now, says)


def _ends(least: float, most: float) -> tuple[float, float]:
    return float(_whole_mm(least)), float(_whole_mm(most))


def _whole_mm(length: float) -> int:
    """A length [m] as a slider has it."""
    return round(field_number("reach_mm", length))


def joint_sliders(work: Workpiece, shape: HoldShape, reader: Reader) -> tuple[Slider, ...]:
    """How far each section is drawn out."""
    rows = []
    for j, (low, high, now) in enumerate(
        zip(work.pole.closed_draw, work.pole.full_draw, shape.state.drawn.tolist(), strict=True)
    ):
        code = "closed" if now <= low + AT_STOP else "out" if now >= high - AT_STOP else "partly"
        label, says = reader.say("control.hold.section", section=j + 1), reader.say(f"control.hold.{code}", drawn=now)
        rows.append(Slider(f"drawn-{j}", label, *_ends(min(low, high), high), 1.0, _whole_mm(now), says))
    return tuple(rows)


def fields_of(hold: Holding, reader: Reader) -> tuple[Control, ...]:
    """What is typed in, as it stands."""
    rows = []
    for name in _TYPED:
        text, unit = field_value(name, getattr(hold, name), reader, DIGITS), field_unit(name, reader)
        empty = reader.say("control.hold.as_tested") if name == "temperature_C" else ""
        label = reader.say(f"control.hold.{name}")
        rows.append(Control(name, label, text, unit, _ONLY_FOR.get(name, ()), empty))
    return tuple(rows)
