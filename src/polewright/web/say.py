"""Figures as a page says them: number and unit in the chosen system, and the change against the saved revision."""

import re
from dataclasses import dataclass

from polewright.units import System, display_unit, from_, to
from polewright.words import Reader, default_reader

__all__ = ["Said", "changed", "in_inches", "page_reader", "pretty", "say", "spoken", "stacked", "told"]

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


_IN_INCHES = {
    "mm": ("length", 3),
    "g": ("mass", 1),
    "kg m": ("carry", 2),
    "N": ("force", 0),
    "N m": ("moment", 0),
    "N m²": ("bending", 0),
    "mm per 100 g": ("flex", 3),
}
_SMALL = 1.0  # [mm] below it an inch figure has a digit more
_METRIC = {"N m²": "N m2", "mm per 100 g": "mm/100 g"}


def in_inches(value: float | None, limit: float | None, unit: str, system: System) -> str:
    """A finding's figure and its limit again for an inch page; nothing on a metric one or for a figure without both."""
    if system == "metric" or value is None or limit is None or unit not in _IN_INCHES:
        return ""
    quantity, digits = _IN_INCHES[unit]
    shown = display_unit(quantity, system)
    if unit == "mm" and abs(value) < _SMALL:
        digits += 1
    now, most = (spoken(to(from_(each, _METRIC.get(unit, unit)), shown), digits) for each in (value, limit))
    return f"{now} {pretty(shown)}, limit {most}" if now != most else ""


def told(words: str, unit: str = "") -> str:
    """A check's sentence as every page says it: sections as in the brief, a limit with its unit."""
    words = re.sub(r"\bS1(?:-S(\d+))? out\b", lambda m: f"sections 1 to {m[1]} out" if m[1] else "section 1 out", words)
    words = re.sub(r"\bsections (\d+(?:, \d+){2,})(?=:)", _ranged, words)
    words = re.sub(r"(?<=\d\d\d)\.0(?= mm\b)", "", words.replace(" share of the", " of the"))
    words = words.replace("Base outside", "Grip outside")
    return re.sub(r"(, limit [\d.e+-]+)$", rf"\1 {unit}", words) if unit and not unit.startswith("share") else words


def stacked(words: str) -> str:
    """A found stack as the cut place says plies: "0 SM150 x5 / 90 TH55" is "SM150 0° × 5, TH55 90°"."""
    return ", ".join(re.sub(r"^(-?[\d.]+) (.+?)(?: x([\d.]+))?$", _ply_words, ply) for ply in words.split(" / "))


def _ply_words(found: re.Match[str]) -> str:
    return f"{found[2]} {found[1]}°".replace(" -", " \u2212") + (f" × {found[3]}" if found[3] else "")


def _ranged(found: re.Match[str]) -> str:
    numbers = [int(number) for number in found[1].split(", ")]
    is_whole = numbers == list(range(numbers[0], numbers[-1] + 1))
    return f"sections {numbers[0]} to {numbers[-1]}" if is_whole else found[0]
