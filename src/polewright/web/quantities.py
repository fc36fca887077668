"""Figures of a page: number and unit for its reader, and the change against the saved revision."""

from dataclasses import dataclass

from polewright.units import display_unit, to
from polewright.words import Reader
from polewright.words.forms import pretty_unit

__all__ = ["Figure", "change_text", "figure", "money"]


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: its number and unit as printed, what changed in words, and whether anything did."""

    number: str
    unit: str
    change: str = ""
    is_changed: bool = False

    def __str__(self) -> str:
        gap = "" if self.unit == "°" else "\u00a0"
        return f"{self.number}{gap}{self.unit}".strip()


def figure(
    value: float,
    quantity: str,
    reader: Reader,
    digits: int,
    inch_digits: int | None = None,
    *,
    before: float | None = None,
    unit: str | None = None,
) -> Figure:
    """An SI figure in the reader's unit, or in `unit` where metric wants another than the usual one.

    Parameters
    ----------
    inch_digits : decimals in the inch system; the same as in metric where left out.
    before : the saved revision's SI figure; without it nothing is said of a change.
    """
    name = unit if unit is not None and reader.system == "metric" else display_unit(quantity, reader.system)
    places = digits if reader.system == "metric" or inch_digits is None else inch_digits
    now, old = to(value, name), None if before is None else to(before, name)
    change = change_text(now, old, reader, places)
    return Figure(reader.number(now, places), pretty_unit(name), change, _has_changed(now, old, places))


def money(amount: float, currency: str, reader: Reader, digits: int, *, before: float | None = None) -> Figure:
    """An amount of money."""
    change = change_text(amount, before, reader, digits)
    return Figure(reader.number(amount, digits), currency, change, _has_changed(amount, before, digits))


def change_text(
    now: float, before: float | None, reader: Reader, digits: int, *, unit: str = "", way: str = "amount"
) -> str:
    """The change as text, "121 less" or "as before"; nothing where there is nothing to compare with.

    Parameters
    ----------
    way : what the words are about: "amount" (more, less) or "width" (wider, narrower).
    """
    if before is None:
        return ""
    if not _has_changed(now, before, digits):
        return reader.say("change.none")
    by = round(now, digits) - round(before, digits)
    number = reader.number(abs(by), digits)
    return reader.say(f"change.{way}.{'more' if by > 0.0 else 'less'}", by=f"{number}\u00a0{unit}" if unit else number)


def _has_changed(now: float, before: float | None, digits: int) -> bool:
    """Whether two numbers differ as they are printed."""
    return before is not None and abs(round(now, digits) - round(before, digits)) >= 0.5 * 10.0**-digits
