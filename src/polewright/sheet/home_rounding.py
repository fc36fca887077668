"""How each figure of the home test is rounded on a sheet: to which side, how finely, in which unit."""

from collections.abc import Callable

from polewright.scatter.home_test import HomeFigure
from polewright.sheet.publish import LEAST_ROUNDING, Worse, modest_in, modest_number
from polewright.units import display_unit, from_
from polewright.words.reader import Reader

__all__ = ["home_rounding", "home_text", "home_unit"]

LENGTH, MASS, FEEL = 0.2, 1.0, 2.0  # [%] of lengths, of mass, of balance, carry and swing
_ROUNDED: dict[str, tuple[str, Worse, float]] = {  # quantity, worse, [%]
    "extended": ("reach", "down", LENGTH),
    "closed": ("reach", "up", LENGTH * 2),
    "mass": ("heavy", "up", MASS),
    "grip": ("length", "up", LEAST_ROUNDING),
    "play": ("length", "up", 5.0),
    "reach": ("reach", "down", LENGTH),
    "droop": ("length", "up", LEAST_ROUNDING),
    "flex": ("flex", "up", LEAST_ROUNDING),
    "balance": ("reach", "up", FEEL),
    "carry": ("carry", "up", FEEL),
    "swing": ("frequency", "down", FEEL),
    "loaded": ("length", "up", LEAST_ROUNDING),
}
_HEAVY = {"metric": "kg", "inch": "lb"}


def home_unit(kind: str, reader: Reader) -> str:
    """The unit in which a figure stands on the sheet."""
    quantity = _ROUNDED[kind][0]
    return _HEAVY[reader.system] if quantity == "heavy" else display_unit(quantity, reader.system)


def home_text(kind: str, value: float, reader: Reader) -> str:
    """An SI figure as it stands on the sheet, rounded to the safe side, without its unit."""
    _, worse, percent = _ROUNDED[kind]
    return modest_in(value, home_unit(kind, reader), reader, worse, percent)


def home_rounding(reader: Reader) -> Callable[[HomeFigure, float], float]:
    """What a figure becomes when it is printed for a reader: SI in, SI out."""

    def rounded(figure: HomeFigure, value: float) -> float:
        _, worse, percent = _ROUNDED[figure.kind]
        unit = home_unit(figure.kind, reader)
        return from_(modest_number(value, unit, worse, percent), unit)

    return rounded
