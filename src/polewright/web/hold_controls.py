"""What the controls of a hold ask for, and how they stand: read from the page, every fault gathered."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast, get_args

from polewright.codes import Message
from polewright.errors import DocumentError, Fault, PolewrightError
from polewright.units import display_unit, parse, si, to
from polewright.words import Reader
from polewright.workshop.hold import Held, Holding, HoldShape, Workpiece, drawn_lengths, holding_of, lean_message

__all__ = ["Control", "Slider", "fields_of", "holding_of_query", "joint_sliders", "lean_slider", "reach_slider"]

ON_GLASS = "head on glass"
MOST_TEXT = 40
AT_STOP = 1e-9  # [m]


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


_QUANTITY: Mapping[str, str] = {
    "lean_deg": "angle",
    "head_g": "mass",
    "hose_g_m": "line_mass",
    "wind_m_s": "speed",
    "temperature_C": "temperature",
    "rear_mm": "length",
    "front_mm": "length",
    "friction_pct": "share",
    "push_N": "force",
}
"""What may be typed, by its field."""
_UNIT: Mapping[str, str] = {
    "angle": "°",
    "mass": "g",
    "line_mass": "g/m",
    "speed": "m/s",
    "temperature": "°C",
    "length": "mm",
    "share": "%",
    "force": "N",
}
"""Unit of a quantity in the fields of a hold."""
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
    faults: list[Fault] = []

    def read(name: str, quantity: str) -> float | None:
        text = query.get(name, "").strip()[:MOST_TEXT]
        if not text:
            return None
        is_slider = quantity == "angle" or name.startswith(("drawn", "reach"))
        shown = _UNIT[quantity] if is_slider else display_unit(quantity, reader.system)
        try:
            return to(parse(text, quantity, shown, field=name), _UNIT[quantity])
        except PolewrightError as fault:
            faults.append(Fault((name, repr(text), fault.want)))
            return None

    typed = {name: read(name, quantity) for name, quantity in _QUANTITY.items()}
    values: dict[str, Any] = {name: value for name, value in typed.items() if value is not None}
    values["support"] = query.get("support", "trestles")
    values["slide"] = query.get("slide", "free") if values["support"] == ON_GLASS else "free"
    if values["slide"] != "stuck":
        values["push_N"] = 0.0
    if order == "own":
        full = [to(length, "mm") for length in work.pole.full_draw]
        drawn = [read(f"drawn-{j}", "length") for j in range(len(full))]
        values["drawn_mm"] = tuple(most if own is None else own for own, most in zip(drawn, full, strict=True))
    elif order in ("thin", "thick"):
        typed_reach = read("reach_mm", "length")
        reach = work.pole.extended_length if typed_reach is None else si("reach_mm", typed_reach)
        values["drawn_mm"] = drawn_lengths(work, reach, cast(Any, order))
    else:
        faults.append(Fault(("order", repr(order[:MOST_TEXT]), Message("want.hold.order"))))
    try:
        hold = holding_of(values)
    except DocumentError as fault:
        faults += [_fault(name, value, want) for name, value, want in fault.faults]
    if faults:
        raise DocumentError(faults)
    return hold


def _fault(name: str, value: Message | str, want: Message | str) -> Fault:
    """A field out of its range, its limits said in the unit it was typed in."""
    quantity = _QUANTITY.get(name)
    if name == "support":
        return Fault((name, value, Message("want.hold.one_of", names=get_args(Held))))
    bounds = None if quantity is None else _bounds(name)
    if quantity is None or bounds is None:
        return Fault((name, value, want))
    least, most = (Message(f"quantity.{quantity}", value=si(name, bound)) for bound in bounds)
    return Fault((name, "", Message("want.hold.between", least=least, most=most)))


def _bounds(name: str) -> tuple[float, float] | None:
    """The least and the most that a field takes, as its model says."""
    schema = Holding.model_json_schema()["properties"][name]
    kinds = [schema, *schema.get("anyOf", ())]
    found = next((k for k in kinds if "minimum" in k and "maximum" in k), None)
    return None if found is None else (float(found["minimum"]), float(found["maximum"]))


def lean_slider(hold: Holding, reader: Reader) -> Slider:
    """Lean of the root axis."""
    says = reader.text(lean_message(si("lean_deg", hold.lean_deg)))
    return Slider("lean_deg", reader.say("control.hold.lean_deg"), -90.0, 90.0, 1.0, round(hold.lean_deg, 1), says)


def reach_slider(work: Workpiece, shape: HoldShape, reader: Reader) -> Slider:
    """How far the pole is drawn out."""
    length = float(shape.bent.station[-1])
    ends = _ends(work.pole.closed_length, work.pole.extended_length)
    says = reader.quantity(length, "reach", 2)
    return Slider("reach_mm", reader.say("control.hold.reach_mm"), *ends, 1.0, round(to(length, "mm")), says)


def _ends(least: float, most: float) -> tuple[float, float]:
    return float(round(to(least, "mm"))), float(round(to(most, "mm")))


def joint_sliders(work: Workpiece, shape: HoldShape, reader: Reader) -> tuple[Slider, ...]:
    """How far each section is drawn out."""
    rows = []
    for j, (low, high, now) in enumerate(
        zip(work.pole.closed_draw, work.pole.full_draw, shape.state.drawn.tolist(), strict=True)
    ):
        code = "closed" if now <= low + AT_STOP else "out" if now >= high - AT_STOP else "partly"
        label, says = reader.say("control.hold.section", section=j + 1), reader.say(f"control.hold.{code}", drawn=now)
        rows.append(Slider(f"drawn-{j}", label, *_ends(min(low, high), high), 1.0, round(to(now, "mm")), says))
    return tuple(rows)


def fields_of(hold: Holding, reader: Reader) -> tuple[Control, ...]:
    """What is typed in, as it stands."""
    rows = []
    for name, quantity in _QUANTITY.items():
        if name == "lean_deg":
            continue
        value, shown = getattr(hold, name), display_unit(quantity, reader.system)
        text = "" if value is None else f"{to(si(name, value), shown):.4g}"
        empty = reader.say("control.hold.as_tested") if name == "temperature_C" else ""
        label = reader.say(f"control.hold.{name}")
        rows.append(Control(name, label, text, reader.unit(quantity), _ONLY_FOR.get(name, ()), empty))
    return tuple(rows)
