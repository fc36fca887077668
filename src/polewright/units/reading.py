"""A figure as a person writes it, in SI; nothing is guessed.

A point is always a decimal point. A comma is a decimal comma, but "1,500" is refused: it may be 1.5 or 1500. Spaces
may part thousands ("1 500 mm"); marks of two kinds in one number are refused.
"""

import math
import re
from collections.abc import Callable
from fractions import Fraction

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.units.table import Quantity, plain_unit, quantity_of, unit_of, units_of, written_signs

__all__ = ["parse"]

MOST_POWER = 300  # of ten

_DECIMAL = r"(?:\d{1,3}(?: \d{3})+(?:[.,]\d+)?|\d+(?:[.,]\d*)?|[.,]\d+)"
_NUMBER = re.compile(
    rf"(?P<whole>\d+)?(?P<gap>[ -])?(?<![.,])(?P<over>\d+) ?/ ?(?P<under>\d+)(?![\d.,])"
    rf"|(?P<decimal>{_DECIMAL})(?:[eE](?P<power>[+-]?\d+)| ?[×xX*] ?10(?:\^|\*\*)?(?P<ten>[+-]?\d+))?",
    re.ASCII,
)


def _decimal(text: str, refuse: Callable[[Message], DesignError]) -> Fraction:
    grouped = " " in text
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", text) and not grouped:
        raise refuse(Message("want.clear_comma", decimal=text.replace(",", "."), whole=text.replace(",", "")))
    if text.endswith(","):
        raise refuse(Message("want.digit_after_comma"))
    return Fraction(text.replace(" ", "").replace(",", ".").rstrip("."))


def _number(text: str, refuse: Callable[[Message], DesignError]) -> tuple[Fraction, str]:
    """The number that `text` opens with, and what follows it."""
    match = _NUMBER.match(text)
    if match is None:
        raise refuse(Message("want.number_such_as"))
    rest = text[match.end() :]
    is_inverse = re.match(r" 1(e-6)?/[A-Za-z°]| ?/[A-Za-z]", rest)  # a unit such as 1/K or /m2
    if re.match(r" ?[\d/]|[.,]", rest) and not is_inverse:
        raise refuse(Message("want.one_number"))
    if match["under"] is not None:
        if (match["gap"] is None) != (match["whole"] is None) or int(match["under"]) == 0:
            raise refuse(Message("want.fraction"))
        return int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"])), rest
    power = int(match["power"] or match["ten"] or 0)
    if abs(power) > MOST_POWER:
        raise refuse(Message("want.power_of_ten", most=MOST_POWER))
    return _decimal(match["decimal"], refuse) * Fraction(10) ** power, rest


def _compound(text: str, quantity: Quantity, refuse: Callable[[Message], DesignError]) -> Fraction | None:
    """Feet and inches, pounds and ounces, hours and minutes, in SI; None if `text` is not of two parts."""
    parts = re.fullmatch(r"(\d+) ?([^\d .,/-]+)(?: - |-| )?(\d.*)", text, re.ASCII)
    if quantity.compound is None or parts is None:
        return None
    large, small = (units_of(quantity.name)[name] for name in quantity.compound)
    if units_of(quantity.name).get(plain_unit(parts[2])) is not large:
        return None
    number, rest = _number(parts[3], refuse)
    if not rest.strip():
        raise refuse(Message("want.unit_of_both_parts", large=large.name, small=small.name))
    if unit_of(rest, quantity, refuse) is not small or number * small.factor >= large.factor:
        raise refuse(Message("want.less_than_one_large", large=large.name, small=small.name))
    return int(parts[1]) * large.factor + number * small.factor


def _as_float(exact: Fraction, refuse: Callable[[Message], DesignError]) -> float:
    try:
        value = float(exact)
    except OverflowError:
        raise refuse(Message("want.smaller_number")) from None
    if value == 0.0 and exact != 0:
        raise refuse(Message("want.number_not_lost"))
    return value


def _exact(
    text: str, quantity: Quantity, default_unit: str | None, refuse: Callable[[Message], DesignError]
) -> Fraction:
    text = " ".join(written_signs(text).split())
    if not text:
        raise refuse(Message("want.number_in_unit", spellings=quantity.spellings))
    if len(text) > 60:
        raise refuse(Message("want.short_number"))
    sign = -1 if text[0] == "-" else 1
    body = text[1:].lstrip() if text[0] in "+-" else text
    both = _compound(body, quantity, refuse)
    if both is not None:
        return sign * both
    number, rest = _number(body, refuse)
    if not rest.strip():
        if default_unit is None:
            raise refuse(Message("want.number_with_unit", spellings=quantity.spellings))
        rest = default_unit
    unit = unit_of(rest, quantity, refuse)
    return sign * number * unit.factor + unit.offset


def parse(value: str | float, quantity: str, default_unit: str | None = None, *, field: str | None = None) -> float:
    """A figure as a person writes it, in SI: [m], [kg], [N], [rad], [Pa], [K] and their products.

    A bare number is taken in `default_unit`; without one it is refused. Nothing is guessed: see the head of this
    file for commas and spaces. Fractions ("3 1/2 in"), feet and inches ("1 ft 3 in", 1'3") and primes are read.

    Parameters
    ----------
    value : text, or a number in `default_unit`.
    quantity : a key of `QUANTITIES`.
    default_unit : unit of a bare number; None refuses one.
    field : name of the field that a refusal shows; the quantity's name if None.

    Raises
    ------
    DesignError : empty, not finite, ambiguous, of an unknown unit, or below absolute zero.
    """
    table = quantity_of(quantity)

    def refuse(want: Message) -> DesignError:
        shown_value = f'"{value}"' if isinstance(value, str) else value
        return DesignError(field or quantity, shown_value, want)

    if isinstance(value, str):
        exact = _exact(value, table, default_unit, refuse)
    elif isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise refuse(Message("want.finite_number"))
    elif default_unit is None:
        raise refuse(Message("want.number_with_unit", spellings=table.spellings))
    else:
        unit = unit_of(default_unit, table, refuse)
        exact = Fraction(repr(value)) * unit.factor + unit.offset
    result = _as_float(exact, refuse)
    if quantity == "temperature" and result < 0.0:
        raise refuse(Message("want.above_absolute_zero"))
    return result
