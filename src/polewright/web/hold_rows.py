"""The figures of a pole in a hold as its page says them, each with its why."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from polewright.drawings.hold import SplitPart
from polewright.web.why import Why
from polewright.words import Reader
from polewright.words.figures import Figure
from polewright.words.hold import comfort_text, place_text, safe_text, strokes_text, warmth_text, wind_text
from polewright.words.terms import terms_of_figure
from polewright.words.why import hold_basis
from polewright.workshop.hold import HoldAnswer, HoldShape

__all__ = ["HoldRow", "contact_rows", "force_rows", "limit_rows", "rest_text", "safe_rows", "shape_rows"]

MOST_FACTOR = 1e6  # a place that bears more is not worth a row
MOST_MARGIN = 1e8
NO_DRAG = 0.05  # [N]


@dataclass(frozen=True, slots=True)
class HoldRow:
    """One figure with its words and its why."""

    name: str
    figure: Figure
    words: str = ""
    why: Why | None = None
    look: bool = False


@dataclass(frozen=True, slots=True)
class _Form:
    """How a figure is written: quantity, decimals in metric and inch, a metric unit of its own."""

    quantity: str
    digits: int
    inch_digits: int | None = None
    unit: str | None = None


_SMALL, _REACH = _Form("length", 0, 1), _Form("reach", 2)
_HAND, _GLASS, _PUSH = _Form("force", 0, 1), _Form("force", 1), _Form("force", 0)
_SWING, _SETTLES = _Form("frequency", 2), _Form("time", 1, 1, "s")


def shape_rows(shape: HoldShape, support: str, reader: Reader) -> tuple[HoldRow, ...]:
    """Where the tip is, or how far it sags."""
    level, up = shape.bent.tip
    aside = reader.say("page.hold.aside") if shape.bent.buckled else ""
    start = reader.say(f"page.hold.start.{support.replace(' ', '_')}")
    name = "page.hold.droop" if shape.measured == -1 else "page.hold.sag"
    above = "page.hold.above" if up >= 0.0 else "page.hold.below"
    return (
        HoldRow(reader.say(name), _figure(shape.droop, _SMALL, reader), aside, _why("droop", reader), bool(aside)),
        HoldRow(reader.say(above, start=start), _figure(abs(up), _REACH, reader)),
        HoldRow(reader.say("page.hold.out", start=start), _figure(abs(level), _REACH, reader)),
    )


def force_rows(a: HoldAnswer, reader: Reader) -> tuple[HoldRow, ...]:
    """In the hands, on the glass, and how it swings."""
    drag = "" if a.glass_drag is None else _drag(a.glass_drag, reader)
    strokes = strokes_text(a, reader)
    rows: list[tuple[str, float | None, _Form, str]] = [
        ("mass", a.mass, _Form("mass", 0, 1), ""),
        ("balance", a.balance, _REACH, ""),
        ("rear_hand", a.rear_hand, _HAND, _press(a.rear_hand, reader)),
        ("front_hand", a.front_hand, _HAND, _press(a.front_hand, reader)),
        ("hand_moment", a.hand_moment, _Form("moment", 1), ""),
        ("felt_mass", a.felt_mass, _Form("mass", 1, unit="kg"), reader.say("page.hold.felt")),
        ("carry", a.carry, _Form("carry", 2), comfort_text(a, reader)),
        ("swing", a.swing, _SWING, strokes),
        ("swing_propped", a.swing_propped, _SWING, ""),
        ("settles", a.settles, _SETTLES, reader.say("page.hold.settled")),
        ("glass_push", a.glass_push, _GLASS, ""),
        ("glass_drag", None if a.glass_drag is None else abs(a.glass_drag), _GLASS, drag),
        ("sway", a.sway, _SMALL, ""),
    ]
    return tuple(
        HoldRow(reader.say(f"figure.hold.{key}"), _figure(value, form, reader), words, _why(key, reader))
        for key, value, form, words in rows
        if value is not None
    )


def limit_rows(a: HoldAnswer, reader: Reader) -> tuple[HoldRow, ...]:
    """How many times its load each place bears, nearest first, one row a place."""
    seen: set[tuple[str, int]] = set()
    rows: list[HoldRow] = []
    for m in a.margins:
        where = (m.place.kind, m.place.number)
        if m.factor >= MOST_MARGIN or where in seen:
            continue
        seen.add(where)
        is_weak = m.factor < 1.0
        rows.append(
            HoldRow(
                capital(place_text(m.place, reader)),
                _times(m.factor, reader),
                reader.say("page.hold.weak") if is_weak else "",
                None if rows else _why("margins", reader, jerk=a.jerk),
                is_weak,
            )
        )
    own, push = a.self_buckling_factor, a.push_limit
    if own is not None and own <= MOST_FACTOR:
        name, then = reader.say("figure.hold.self_buckling"), reader.say("page.hold.bends_aside")
        rows.append(HoldRow(name, _times(own, reader), then, _why("self_buckling", reader), own < 1.0))
    if push is not None:
        name = reader.say("figure.hold.push_limit")
        rows.append(HoldRow(name, _figure(push, _PUSH, reader), why=_why("push_limit", reader)))
    return tuple(rows)


def contact_rows(a: HoldAnswer, reader: Reader) -> tuple[tuple[str, str, str, str, str], ...]:
    """Joint; pressed and borne at the mouth; pressed and borne at the inner end."""

    def said(force: float | None) -> str:
        return reader.say("cli.hold.unknown") if force is None else reader.bare(force, "force", 0)

    return tuple(
        (f"{j.between[0]}/{j.between[1]}", said(j.front), said(j.front_bears), said(j.back), said(j.back_bears))
        for j in a.joints
    )


def safe_rows(a: HoldAnswer, reader: Reader) -> tuple[HoldRow, ...]:
    """The reach that is still safe, and the wind and warmth it is for."""
    if a.safe.reach is None:
        return ()
    code = "page.hold.safe.wind" if a.wind > 0.0 else "page.hold.safe"
    words = reader.say(code, safe=safe_text(a, reader), warmth=warmth_text(a, reader), wind=wind_text(a, reader))
    name = reader.say("figure.hold.safe")
    return (HoldRow(name, _figure(a.safe.reach, _REACH, reader), capital(words), _why("safe", reader, jerk=a.jerk)),)


def rest_text(rest: Sequence[SplitPart], reader: Reader) -> str:
    """What has no place along the pole."""
    return capital("; ".join(reader.text(part.words) for part in rest))


def capital(text: str) -> str:
    """A text that opens a line."""
    return text[:1].upper() + text[1:]


def _figure(value: float, form: _Form, reader: Reader) -> Figure:
    """A figure with its unit apart, for two columns."""
    if form.quantity == "time":
        return Figure(reader.number(value, form.digits), "s")
    number = reader.bare(value, form.quantity, form.digits, form.inch_digits, unit=form.unit)
    unit = form.unit if form.unit is not None and reader.system == "metric" else reader.unit(form.quantity)
    return Figure(number, unit)


def _times(factor: float, reader: Reader) -> Figure:
    return Figure(reader.number(factor, 1), reader.say("unit.times"))


def _press(force: float | None, reader: Reader) -> str:
    if force is None:
        return ""
    return reader.say("page.hold.lifts" if force >= 0.0 else "page.hold.presses")


def _drag(drag: float, reader: Reader) -> str:
    if abs(drag) <= NO_DRAG:
        return ""
    return reader.say("page.hold.drag.up" if drag > 0.0 else "page.hold.drag.down")


def _why(key: str, reader: Reader, **values: Any) -> Why | None:
    """The reasoning behind a figure and what it rests on; nothing for a figure that needs none."""
    if not reader.has(f"why.hold.{key}"):
        return None
    return Why(reader.say(f"why.hold.{key}", **values), hold_basis(key, reader), (), terms_of_figure(f"hold.{key}"))
