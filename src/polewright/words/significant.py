"""Figures with so many significant digits, number and unit apart, as columns of a table want them."""

import math

from polewright.units import display_unit, to
from polewright.words.forms import number_text, pretty_unit
from polewright.words.reader import Reader

__all__ = ["number_in_unit", "number_of_digits", "significant_parts", "significant_text"]

MOST_DECIMALS = 6


def number_of_digits(number: float, digits: int, reader: Reader) -> str:
    """A number with at least so many significant digits and at most six decimals; whole numbers are not rounded."""
    if abs(number) < 0.5 * 10.0**-MOST_DECIMALS:
        return number_text(0.0, 0, reader)
    places = max(0, digits - 1 - math.floor(math.log10(abs(number))))
    return number_text(number, min(places, MOST_DECIMALS), reader)


def significant_parts(
    value: float, quantity: str, reader: Reader, digits: int = 4, *, unit: str | None = None
) -> tuple[str, str]:
    """Number and unit of an SI figure; `unit` is shown on metric pages in place of the usual one."""
    name = unit if unit is not None and reader.system == "metric" else display_unit(quantity, reader.system)
    return number_of_digits(to(value, name, quantity), digits, reader), pretty_unit(name)


def significant_text(value: float, quantity: str, reader: Reader, digits: int = 3, *, unit: str | None = None) -> str:
    """An SI figure with its unit."""
    return "\u00a0".join(significant_parts(value, quantity, reader, digits, unit=unit))


def number_in_unit(value: float, quantity: str, reader: Reader) -> float:
    """An SI figure as a bare number in the unit of the reader, as the scale of a drawing wants it."""
    return to(value, display_unit(quantity, reader.system), quantity)
