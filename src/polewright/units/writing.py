"""An SI figure as the workshop shows it."""

import math
from fractions import Fraction

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.units.table import System, display_unit, quantity_of, unit_of

__all__ = ["format_in", "format_quantity"]


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
    return text.replace("-", "−") + ("" if unit == "°" else " ") + pretty


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
