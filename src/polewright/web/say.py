"""Figures as a page says them: number and unit in the chosen system, and the change against the saved revision."""

import re
from dataclasses import dataclass

from polewright.units import System, display_unit, to
from polewright.words import Reader, default_reader

__all__ = ["Said", "changed", "page_reader", "pretty", "say", "spoken", "stacked"]

_SPACE = "\u202f"


@dataclass(frozen=True, slots=True)
class Said:
    """One figure: its number and unit as printed, and what changed in words."""

    number: str
    unit: str
    change: str = ""

    def __str__(self) -> str:
        return f"{self.number} {self.unit}".strip()


def page_reader(system: System) -> Reader:
    """Who reads a page of these units: the language of this server."""
    return Reader(default_reader().language, system)


def pretty(unit: str) -> str:
    """A unit as it is printed."""
    for plain, printed in (
        ("m2", "m²"),
        ("m3", "m³"),
        ("ft2", "ft²"),
        ("in2", "in²"),
        ("N m", "N·m"),
        ("kg m", "kg·m"),
        ("lb ft", "lb·ft"),
        ("lbf ft", "lbf·ft"),
        ("yd2", "yd²"),
    ):
        unit = unit.replace(plain, printed)
    return unit


def spoken(number: float, digits: int) -> str:
    """A number with thousands parted by a thin space and a true minus."""
    text = f"{number:,.{digits}f}".replace(",", _SPACE).replace("-", "\u2212")
    return text.removeprefix("\u2212") if not text.strip("\u22120.,") else text


def changed(
    now: float, before: float | None, digits: int, *, more: str = "more", less: str = "less", unit: str = ""
) -> str:
    """The change in words: "121 less", "as before"; nothing where there is nothing to hold it against."""
    if before is None:
        return ""
    by = round(now, digits) - round(before, digits)
    if abs(by) < 0.5 * 10.0**-digits:
        return "as before"
    return f"{spoken(abs(by), digits)}{' ' + unit if unit else ''} {more if by > 0.0 else less}"


def say(
    value: float,
    quantity: str,
    system: System,
    digits: int,
    inch_digits: int | None = None,
    *,
    before: float | None = None,
    unit: str | None = None,
    change_unit: bool = False,
) -> Said:
    """An SI figure in the unit of the system, or in `unit` where metric wants another than the usual one."""
    name = display_unit(quantity, system) if unit is None or system == "inch" else unit
    places = digits if system == "metric" or inch_digits is None else inch_digits
    number, old = to(value, name), None if before is None else to(before, name)
    words = changed(number, old, places, unit=pretty(name) if change_unit else "")
    return Said(spoken(number, places), pretty(name), words)


def stacked(words: str) -> str:
    """A found stack as the cut place says plies: "0 SM150 x5 / 90 TH55" is "SM150 0° × 5, TH55 90°"."""
    return ", ".join(re.sub(r"^(-?[\d.]+) (.+?)(?: x([\d.]+))?$", _ply_words, ply) for ply in words.split(" / "))


def _ply_words(found: re.Match[str]) -> str:
    return f"{found[2]} {found[1]}°".replace(" -", " \u2212") + (f" × {found[3]}" if found[3] else "")
