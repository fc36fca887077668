"""An SI figure as the workshop shows it."""

import math
from fractions import Fraction

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.units.table import System, display_unit, quantity_of, unit_of

__all__ = ["THIN_SPACE", "format_in", "format_quantity", "grouped"]

THIN_SPACE = "\u202f"
"""Between groups of three digits; it does not break, and it is read back like any space."""


def grouped(text: str, mark: str = THIN_SPACE, decimal: str = ".") -> str:
    """A plain number ("-11280.5") as people see it: four digits and more in groups of three, a true minus.

    Everything that writes a figure for a person writes it so; a field of a form and a file for a machine do not.
    """
    whole, _, decimals = text.removeprefix("-").partition(".")
    sign = "\u2212" if text.startswith("-") else ""
    figures = f"{int(whole):,}".replace(",", mark) if len(whole) > 3 else whole
    return f"{sign}{figures}{decimal}{decimals}" if decimals else f"{sign}{figures}"


def _typeset(number: float, unit: str, digits: int | None) -> str:
    if digits is None:
        decimals = 0 if number == 0.0 else max(0, 3 - math.floor(math.log10(abs(number))))
        text = f"{number:.{min(decimals, 300)}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    else:
        text = f"{number:.{digits}f}"
    if text.lstrip("-0.") == "":
        text = text.lstrip("-")
    pretty = unit.replace("2", "²").replace("3", "³").replace(" m", "·m").replace(" ft", "·ft").replace(" in", "·in")
    return grouped(text) + ("" if unit == "°" else " ") + pretty


def format_quantity(value: float, quantity: str, unit: str, digits: int | None = None) -> str:
    """An SI figure in a unit, with `digits` decimals; None gives four significant digits without idle zeros."""

    def refuse(want: Message) -> DesignError:
        return DesignError(quantity, value, want)

    if not math.isfinite(value):
        raise refuse(Message("want.finite_number"))
    chosen = unit_of(unit, quantity_of(quantity), refuse)
    number = float((Fraction(float(value)) - chosen.offset) / chosen.factor)
    return _typeset(number, chosen.name, digits)


def format_in(value: float, quantity: str, system: System, digits: int | None = None) -> str:
    """An SI figure in the unit of a display system."""
    return format_quantity(value, quantity, display_unit(quantity, system), digits)
