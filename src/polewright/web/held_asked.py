"""What the controls of a held pole ask for, and how they stand: read from the page, every fault gathered."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast, get_args

from pydantic import ValidationError

from polewright.documents.files import DocumentError, Fault
from polewright.documents.holding import Holding
from polewright.documents.values import Workpiece
from polewright.errors import PolewrightError
from polewright.units import System, display_unit, parse, si, to
from polewright.web.say import pretty, say
from polewright.workshop.held_pole import HeldPole, drawn_to

__all__ = ["Control", "Slider", "fields_of", "holding_asked", "joint_sliders", "lean_slider", "reach_slider"]

ON_GLASS = "head on glass"
MOST_TEXT = 40


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


def holding_asked(work: Workpiece, asked: Mapping[str, str], order: str, system: System) -> Holding:
    """What the controls ask for, every fault of theirs gathered."""
    faults: list[Fault] = []

    def read(name: str, quantity: str, unit: str, usual: float) -> float:
        text = asked.get(name, "").strip()[:MOST_TEXT]
        if not text:
            return usual
        try:
            is_slider = quantity == "angle" or name.startswith(("drawn", "reach"))
            shown = unit if is_slider else display_unit(quantity, system)
            return to(parse(text, quantity, shown, field=name), unit)
        except PolewrightError as fault:
            faults.append(Fault((name, repr(text), fault.want)))
            return usual

    joints = len(work.pole.joints)
    longest = to(work.pole.extended_length, "mm")
    values: dict[str, Any] = {
        "lean_deg": read("lean_deg", "angle", "°", 0.0),
        "support": asked.get("support", "trestles"),
        "rear_mm": read("rear_mm", "length", "mm", 100.0),
        "front_mm": read("front_mm", "length", "mm", 1000.0),
        "head_g": read("head_g", "mass", "g", 0.0),
        "hose_g_m": read("hose_g_m", "line_mass", "g/m", 0.0),
        "wind_m_s": read("wind_m_s", "speed", "m/s", 0.0),
        "friction_pct": read("friction_pct", "share", "%", 40.0),
        "slide": asked.get("slide", "free"),
        "push_N": read("push_N", "force", "N", 0.0),
    }
    if asked.get("temperature_C", "").strip():
        values["temperature_C"] = read("temperature_C", "temperature", "°C", 23.0)
    if values["support"] != ON_GLASS:
        values["slide"] = "free"
    if values["slide"] != "stuck":
        values["push_N"] = 0.0
    if order == "own":
        full = [to(length, "mm") for length in work.pole.full_draw]
        values["drawn_mm"] = tuple(read(f"drawn-{j}", "length", "mm", full[j]) for j in range(joints))
    elif order in ("thin", "thick"):
        reach = si("reach_mm", read("reach_mm", "length", "mm", longest))
        values["drawn_mm"] = tuple(to(float(d), "mm") for d in drawn_to(work.pole, reach, cast(Any, order)))
    else:
        faults.append(Fault(("order", repr(order[:MOST_TEXT]), "thin, thick or own")))
    try:
        hold = Holding(**values)
    except ValidationError as fault:
        faults += [_fault(item, system) for item in fault.errors()]
    if faults:
        raise DocumentError(faults)
    return hold


def _fault(item: Any, system: System) -> Fault:
    """A field out of its range, its limit said in the unit it was typed in."""
    name = str(item["loc"][0])
    quantity, unit, _ = _TYPED.get(name, ("", "", ""))
    limits = item.get("ctx", {})
    words = str(item["msg"])
    if quantity and ("le" in limits or "ge" in limits):
        side, value = ("at most", limits["le"]) if "le" in limits else ("at least", limits["ge"])
        shown = display_unit(quantity, system)
        words = f"{side} {to(si(f'x_{unit}', float(value)), shown):.4g} {shown}"
    elif name == "support":
        words = "one of " + ", ".join(get_args(Holding.model_fields["support"].annotation))
    return Fault((name, "" if quantity else repr(str(item.get("input", ""))[:MOST_TEXT]), words))


_TYPED: Mapping[str, tuple[str, str, str]] = {
    "lean_deg": ("angle", "deg", "Lean"),
    "head_g": ("mass", "g", "Head"),
    "hose_g_m": ("line_mass", "g_m", "Hose"),
    "wind_m_s": ("speed", "m_s", "Wind"),
    "temperature_C": ("temperature", "C", "The pole's warmth"),
    "rear_mm": ("length", "mm", "Rear hand, from the butt"),
    "front_mm": ("length", "mm", "Front hand, from the butt"),
    "friction_pct": ("share", "pct", "Drag over push"),
    "push_N": ("force", "N", "Push on the glass"),
}
_ONLY_FOR: Mapping[str, tuple[str, ...]] = {
    "rear_mm": ("hands", "lifted"),
    "front_mm": ("hands", "lifted"),
    "friction_pct": ("up", "down", "stuck"),
    "push_N": ("stuck",),
}  # supports, and ways of a head on the glass


def lean_slider(hold: Holding) -> Slider:
    """Lean of the root axis."""
    way = "level" if abs(hold.lean_deg) < 0.5 else "up" if hold.lean_deg > 0.0 else "down"
    says = way if way == "level" else f"{abs(hold.lean_deg):.0f}° {way}"
    return Slider("lean_deg", "Lean", -90.0, 90.0, 1.0, round(hold.lean_deg, 1), says)


def reach_slider(work: Workpiece, held: HeldPole, system: System) -> Slider:
    """How far the pole is drawn out."""
    length = float(held.bent.station[-1])
    said = say(length, "reach", system, 2)
    return Slider(
        "reach_mm",
        "Drawn out to",
        *_ends(work.pole.closed_length, work.pole.extended_length),
        1.0,
        round(to(length, "mm")),
        str(said),
    )


def _ends(least: float, most: float) -> tuple[float, float]:
    return float(round(to(least, "mm"))), float(round(to(most, "mm")))


def joint_sliders(work: Workpiece, held: HeldPole, system: System) -> tuple[Slider, ...]:
    """How far each section is drawn out."""
    rows = []
    for j, (low, high, now) in enumerate(
        zip(work.pole.closed_draw, work.pole.full_draw, held.state.drawn.tolist(), strict=True)
    ):
        says = "pushed in" if now <= low + 1e-9 else "drawn out" if now >= high - 1e-9 else "partly"
        rows.append(
            Slider(
                f"drawn-{j}",
                f"Section {j + 1}",
                *_ends(min(low, high), high),
                1.0,
                round(to(now, "mm")),
                f"{say(now, 'length', system, 0, 1)}, {says}",
            )
        )
    return tuple(rows)


def fields_of(hold: Holding, system: System) -> tuple[Control, ...]:
    """What is typed in, as it stands."""
    rows = []
    for name, (quantity, unit, label) in _TYPED.items():
        if name != "lean_deg":
            value = getattr(hold, name)
            shown = display_unit(quantity, system)
            text = "" if value is None else f"{to(si(f'x_{unit}', value), shown):.4g}"
            rows.append(
                Control(
                    name,
                    label,
                    text,
                    pretty(shown),
                    _ONLY_FOR.get(name, ()),
                    "as tested" if name == "temperature_C" else "",
                )
            )
    return tuple(rows)
