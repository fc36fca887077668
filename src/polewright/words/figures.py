"""Figures with number and unit apart, and their change against an earlier figure, as text."""

from dataclasses import dataclass

from polewright.answers.sections import BandWindow
from polewright.units import display_unit, to
from polewright.words.forms import pretty_unit
from polewright.words.reader import Reader

__all__ = ["Figure", "closed_window_text", "figure", "mass_text", "money", "pole_mass", "width_change"]


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
    now, old = to(value, name, quantity), None if before is None else to(before, name, quantity)
    change = _change(now, old, reader, places)
    return Figure(reader.number(now, places), pretty_unit(name), change, _has_changed(now, old, places))


def money(amount: float, currency: str, reader: Reader, digits: int, *, before: float | None = None) -> Figure:
    """An amount of money."""
    change = _change(amount, before, reader, digits)
    return Figure(reader.number(amount, digits), currency, change, _has_changed(amount, before, digits))


def pole_mass(mass: float, reader: Reader, *, before: float | None = None) -> Figure:
    """The mass [kg] of a pole in kg or lb; its change in g or oz, with that unit."""
    small, digits = ("g", 0) if reader.system == "metric" else ("oz", 1)
    now, old = to(mass, small), None if before is None else to(before, small)
    text, unit = _heavy(mass, reader)
    return Figure(text, unit, _change(now, old, reader, digits, unit=small), _has_changed(now, old, digits))


def mass_text(mass: float, reader: Reader) -> str:
    """The mass [kg] of a pole in kg or lb, as a limit beside it is written."""
    text, unit = _heavy(mass, reader)
    return f"{text}\u00a0{unit}"


def _heavy(mass: float, reader: Reader) -> tuple[str, str]:
    unit, digits = ("kg", 3) if reader.system == "metric" else ("lb", 2)
    return reader.number(to(mass, unit), digits), unit


def width_change(most: float, before: float | None, reader: Reader) -> str:
    """By how much a clamp window is wider or narrower at its most tension [N], with the unit."""
    unit = display_unit("force", reader.system)
    return _change(to(most, unit), None if before is None else to(before, unit), reader, 0, unit=unit, way="width")


def closed_window_text(window: BandWindow, reader: Reader) -> str:
    """What a clamp window that is not open says, with the decimals that tell its two tensions apart."""
    unit = display_unit("force", reader.system)
    digits = 0 if round(to(window.least, unit)) > round(to(window.most, unit)) else 1
    return reader.say(f"headline.window.closed.{digits}", least=window.least, most=window.most)


def _change(
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
