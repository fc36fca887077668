"""How a value is written where a text has a place for it.

| place in a text | value | reads |
|---|---|---|
| `{name}` | text, whole number, number, message, or several | as it is; six significant digits; its text; a list |
| `{gap:length.3}` | SI figure of a quantity, metric decimals | "0.212 mm" or "0.0083 in" |
| `{gap:length.3.4}` | the same, inch decimals given too | |
| `{gap:length.3.bare}` | the number alone | "0.212" |
| `{mass:mass.1@kg}` | in a unit of its own on metric pages | "1.2 kg" |
| `{share:percent.0}` | a share of one | "52 %" |
| `{factor:number.2}` | a plain number | "1.04" |
| `{load:mass.given}` | what a person gave, as it was given | "12.5 g", never "12 g" |
| `{wall:length.s3}`, `{factor:number.s3}` | so many significant digits, no zeros behind | "0.78 mm" |
| `{verdict:code.verdict}` | one of a closed set | the text of the code "verdict.holds" |
| `{day:date}` | a date or its ISO text | as the language writes dates |

A quantity without decimals is written with four significant digits. A mass of ten kilograms and more is written in
kilograms, and in pounds on inch pages.
"""

import math
from collections.abc import Callable
from datetime import date, datetime
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from polewright.codes import Message
from polewright.units import QUANTITIES, display_unit, to
from polewright.units.writing import grouped

if TYPE_CHECKING:
    from polewright.words.reader import Reader

__all__ = ["given_text", "number_text", "pretty_unit", "quantity_text", "value_text"]

_INCH_MORE = {"length": 1, "mass": 1, "flex": 1}  # decimals that an inch or ounce needs beyond a millimetre or gram
_GIVEN = 6  # significant digits of what a person gave in the unit that is shown
_TURNED = {"metric": 4, "inch": 3}  # and of what was given in another unit, as 350 g on a page in ounces
_HEAVY = {"g": (10_000.0, "kg", 3), "oz": (160.0, "lb", 1)}  # from here on: a larger unit, and how many decimals more
_MOST_HEAVY_DECIMALS = 3
_PRINTED = (("m2", "m²"), ("m3", "m³"), ("ft2", "ft²"), ("in2", "in²"), ("in3", "in³"), ("ft3", "ft³"), ("cm3", "cm³"),
            ("yd2", "yd²"), ("N m", "N·m"), ("kg m", "kg·m"), ("lb ft", "lb·ft"), ("lbf ft", "lbf·ft"),
            ("lbf in", "lbf·in"), ("/kgK", "/(kg·K)"), ("/mK", "/(m·K)"))  # fmt: skip


def value_text(value: object, form: str, reader: "Reader") -> str:
    """A value as its place in a text asks for it."""
    if isinstance(value, Message):
        return reader.text(value)
    if isinstance(value, tuple | list):
        return reader.catalogue.separator.join(value_text(each, form, reader) for each in value)
    kind, *rest = form.split(".") if form else [""]
    if kind in _KINDS:
        return _KINDS[kind](value, rest, reader)
    return _quantity_place(value, kind, rest, reader)


def _plain(value: object, rest: list[str], reader: "Reader") -> str:
    del rest
    if value is None:
        return ""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return str(value)
    return str(value).replace("-", "\u2212") if isinstance(value, int) else _significant(value, 6, reader)


def _number(value: object, rest: list[str], reader: "Reader") -> str:
    number = _as_float(value)
    if rest and rest[0].startswith("s"):
        return _significant(number, int(rest[0][1:]), reader)
    return number_text(number, int(rest[0]), reader) if rest else _significant(number, 6, reader)


def _percent(value: object, rest: list[str], reader: "Reader") -> str:
    return f"{number_text(_as_float(value) * 100.0, int(rest[0]) if rest else 0, reader)}\u202f%"


def _code(value: object, rest: list[str], reader: "Reader") -> str:
    return reader.say(".".join([*rest, str(value)]))


def _date(value: object, rest: list[str], reader: "Reader") -> str:
    del rest
    day = value if isinstance(value, date | datetime) else date.fromisoformat(str(value)[:10])
    return day.strftime(reader.catalogue.date)


_KINDS: dict[str, Callable[[object, list[str], "Reader"], str]] = {
    "": _plain,
    "number": _number,
    "percent": _percent,
    "code": _code,
    "date": _date,
}


def _quantity_place(value: object, kind: str, rest: list[str], reader: "Reader") -> str:
    place = _place(kind, tuple(rest))
    if place.significant is not None:
        own = place.unit if place.unit is not None and reader.system == "metric" else None
        return _shown_significant(
            _as_float(value),
            place.quantity,
            own or display_unit(place.quantity, reader.system),
            place.significant,
            reader,
            place.bare,
        )
    if place.is_given:
        return given_text(_as_float(value), place.quantity, reader, unit=place.unit, bare=place.bare)
    return quantity_text(
        _as_float(value), place.quantity, reader, place.metric, place.inch, unit=place.unit, bare=place.bare
    )


class _Place(NamedTuple):
    """How a quantity is written at one place of a text: the table of the module's text, taken apart."""

    quantity: str
    unit: str | None
    bare: bool
    significant: int | None
    metric: int | None
    inch: int | None
    is_given: bool = False


@lru_cache(maxsize=1024)
def _place(kind: str, rest: tuple[str, ...]) -> _Place:
    bare = "bare" in rest
    last, own = (rest[-1].split("@") if rest and "@" in rest[-1] else (None, None)) if rest else (None, None)
    parts = [last or "" if "@" in part else part for part in rest if part != "bare"]
    if "@" in kind:
        kind, own = kind.split("@")
    if parts == ["given"]:
        return _Place(kind, own, bare, None, None, None, is_given=True)
    if parts and parts[0].startswith("s"):
        return _Place(kind, own, bare, int(parts[0][1:]), None, None)
    numbers = [int(part) for part in parts if part]
    return _Place(kind, own, bare, None, numbers[0] if numbers else None, numbers[1] if len(numbers) > 1 else None)


def quantity_text(
    value: float,
    quantity: str,
    reader: "Reader",
    digits: int | None = None,
    inch_digits: int | None = None,
    *,
    unit: str | None = None,
    bare: bool = False,
) -> str:
    """An SI figure with the unit in which its reader sees the quantity.

    Parameters
    ----------
    digits : decimals in the metric unit; None writes four significant digits.
    inch_digits : decimals in the inch system's unit; None takes one more where that unit is so much larger.
    unit : shown on metric pages in place of the usual unit.
    bare : the number alone.
    """
    if quantity not in QUANTITIES:
        raise ValueError(f"no form or quantity of text is called {quantity!r}")
    name = unit if unit is not None and reader.system == "metric" else display_unit(quantity, reader.system)
    if digits is None:
        return _shown_significant(value, quantity, name, 4, reader, bare)
    places = digits if reader.system == "metric" else inch_digits
    places = digits + _INCH_MORE.get(quantity, 0) if places is None else places
    heavier = None if bare or unit is not None else _heavier(value, name)
    if heavier is not None:
        name, more = heavier
        places = min(places + more, _MOST_HEAVY_DECIMALS)
    return _with_unit(number_text(to(value, name, quantity), places, reader), name, bare=bare)


def given_text(value: float, quantity: str, reader: "Reader", *, unit: str | None = None, bare: bool = False) -> str:
    """An SI figure that a person gave, with all the digits that it was given with, up to six.

    One that was given in another unit than it is shown in has four digits, on an inch page three.

    Parameters
    ----------
    unit : shown on metric pages in place of the usual unit.
    bare : the number alone.
    """
    name = unit if unit is not None and reader.system == "metric" else display_unit(quantity, reader.system)
    number = to(value, name, quantity)
    is_own = abs(float(f"{number:.{_GIVEN}g}") - number) <= 1e-9 * abs(number)
    return _shown_significant(value, quantity, name, _GIVEN if is_own else _TURNED[reader.system], reader, bare)


def _shown_significant(value: float, quantity: str, unit: str, digits: int, reader: "Reader", bare: bool) -> str:
    heavier = None if bare else _heavier(value, unit)
    name = unit if heavier is None else heavier[0]
    return _with_unit(_significant(to(value, name, quantity), digits, reader), name, bare=bare)


def _heavier(value: float, unit: str) -> tuple[str, int] | None:
    """The larger unit in which a large mass [kg] is written, and how many decimals it has more."""
    from_here, larger, more = _HEAVY.get(unit, (math.inf, "", 0))
    return (larger, more) if abs(to(value, unit)) >= from_here else None


def _with_unit(text: str, unit: str, *, bare: bool) -> str:
    if bare:
        return text
    return f"{text}°" if unit == "°" else f"{text}\u00a0{pretty_unit(unit)}"


@lru_cache(maxsize=256)
def pretty_unit(unit: str) -> str:
    """A unit as it is printed: "N m2" is "N·m²"."""
    for plain, printed in _PRINTED:
        unit = unit.replace(plain, printed)
    return unit


def number_text(number: float, digits: int, reader: "Reader") -> str:
    """A number with so many decimals, as the reader's language writes it; four digits and more are grouped."""
    if not math.isfinite(number):
        raise ValueError(f"no figure is written for {number}")
    text = f"{number:.{digits}f}"
    if text.strip("-0.") == "":
        text = text.removeprefix("-")
    return grouped(text, reader.catalogue.group, reader.catalogue.decimal)


def _significant(number: float, digits: int, reader: "Reader") -> str:
    if number == 0.0:
        return "0"
    if not 1e-6 <= abs(number) < 1e9:
        return f"{number:.{digits}g}".replace(".", reader.catalogue.decimal).replace("-", "\u2212")
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(number))))
    text = number_text(number, decimals, reader)
    mark = reader.catalogue.decimal
    return text.rstrip("0").rstrip(mark) if mark in text else text


def _as_float(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        if hasattr(value, "__float__"):
            return float(value)
        raise TypeError(f"a number is wanted here, not {value!r}")
    return float(value)
