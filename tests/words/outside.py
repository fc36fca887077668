"""What is left of a text beside what a catalogue says: in the marked language that stands between ⟦ and ⟧."""

import re
from collections.abc import Iterable
from html.parser import HTMLParser

from polewright.conventions.sources import Source
from polewright.materials.formulas import CONTENT, ELASTIC, EXPANSION, FIBRE_MIX, STRENGTH, WEAVE
from polewright.pole.sources import SOURCES as POLE
from polewright.wall.sources import SOURCES as WALL

__all__ = ["CITED", "page_texts", "texts_within", "unmarked", "words_outside"]

INNERMOST = re.compile(r"⟦[^⟦⟧]*⟧")
WORD = re.compile(r"[^\W\d_]+")
SHOWN = ("aria-label", "title", "placeholder", "alt", "content", "data-label", "aria-roledescription", "aria-valuetext")
UNITS = (
    "mm/100 g",
    "ppm/°F",
    "thou",
    "msi",
    "cm",
    "µm",
    "km",
    "yd",
    "gf",
    "kgf",
    "ozf",
    "mN",
    "lbf·ft²",
    "lbf·ft",
    "lbf·in",
    "lb·ft",
    "kN·m/rad",
    "N·m²",
    "N·m",
    "kg·m",
    "g/m²",
    "g/cm³",
    "kg/m³",
    "lb/ft³",
    "lb/in³",
    "oz/yd²",
    "in/oz",
    "µ/K",
    "1e-6/K",
    "W/(m·K)",
    "J/(kg·K)",
    "m/s",
    "mph",
    "mrad",
    "lbf",
    "GPa",
    "MPa",
    "Msi",
    "msi",
    "ksi",
    "psi",
    "kN",
    "kg",
    "lb",
    "oz",
    "mm",
    "m²",
    "yd²",
    "ft",
    "in",
    "°C",
    "°F",
    "Hz",
    "min",
    "GB",
    "MB",
    "m",
    "g",
    "N",
    "s",
    "h",
    "J",
)
"""Signs of units, the same in every language."""


CODES = r"S\d+-\d+[a-z]?|[0-9a-f]{4,8}|\{\w+\}"
"""Numbers of flags, marks of revisions, places that a script fills."""


def _cited() -> tuple[str, ...]:
    tables = (FIBRE_MIX, CONTENT, STRENGTH, WEAVE, *ELASTIC.values(), *EXPANSION.values())
    plies = {row.source for table in tables for row in table.values() if isinstance(row.source, str)}
    sources: list[Source] = [*POLE.values(), *WALL.values()]
    return tuple(sorted(plies | {c.text for source in sources for c in source.citations}))


CITED = _cited()
"""References as printed: author, title, year and the place in the work."""


def texts_within(value: object) -> set[str]:
    """All texts in a plain document."""
    if isinstance(value, dict):
        return {text for each in value.values() for text in texts_within(each)}
    if isinstance(value, list | tuple):
        return {text for each in value for text in texts_within(each)}
    return {value} if isinstance(value, str) and value else set()


def words_outside(texts: Iterable[str], *names: str) -> set[str]:
    """Letters of texts that no catalogue said, that are no unit and none of the names; each with its text around."""
    known = sorted({*names, *UNITS}, key=len, reverse=True)
    names_or_codes = "|".join([*(re.escape(name) for name in known if name), CODES])
    allowed = re.compile(rf"(?<![^\W\d_])(?:{names_or_codes})(?![^\W\d_])")
    found = set()
    for text in texts:
        rest = unmarked(text)
        if WORD.search(allowed.sub(" ", rest)):
            found.add(" ".join(rest.split())[:160])
    return found


def unmarked(text: str) -> str:
    """A text without what the catalogue said; lines stay lines."""
    before = ""
    while before != text:
        before, text = text, INNERMOST.sub(lambda found: " " + "\n" * found[0].count("\n"), text)
    return text


def page_texts(html: str) -> list[str]:
    """All that a page shows or reads out: its text, and the attributes that are read."""
    reader = _Page()
    reader.feed(html)
    return [text for text in reader.texts if text.strip()]


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: list[str] = []
        self._silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("style", "script"):
            self._silent += 1
        if tag == "meta":
            return
        shown = (*SHOWN, *(name for name, _ in attrs if name.startswith("data-"))) if tag == "template" else SHOWN
        self.texts += [value or "" for name, value in attrs if name in shown]

    def handle_endtag(self, tag: str) -> None:
        if tag in ("style", "script"):
            self._silent -= 1

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.texts.append(data)
