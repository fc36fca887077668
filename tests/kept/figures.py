"""Figures out of what the program prints: numbers by their place in JSON, rows of numbers with units out of text."""

import difflib
import html
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from polewright.units import QUANTITIES

DATE = re.compile(r"\d{4}-\d\d-\d\d(?:T[\d:.]+Z?)?")
UNITS = sorted({u.name for q in QUANTITIES.values() for u in q.units if u.name}, key=len, reverse=True)
UNIT = rf"\s{{0,2}}(?:{'|'.join(map(re.escape, UNITS))})(?!\w)"
FIGURE = re.compile(rf"(?<![\w#.])[-−]?\d+(?:[.,]\d+)*(?:{UNIT}|(?![\w.,]*\w))")
SHOWN = re.compile(r'\b(?:value|min|max|step|placeholder|title|aria-label)="([^"]*)"')
BLOCK = re.compile(r"<(?:tr|li|p|h\d|dl|dt|ul|ol|table|section|article|form|fieldset|figure|label|text|summary|div)\b")
GROUPS = re.compile(r"(?<=\d)[\u202f\u00a0](?=\d{3}(?!\d))")
"""Gaps between groups of digits: a figure is kept without them."""
Row = tuple[str, ...]
Place = float | str
"""What stands at a place of an answer: a number or a code."""
MOST_NEAR = 5
"""Rows that went for which the likeliest of the new ones is looked for: it takes long."""
RELATIVE = 2e-6
"""Machines round differently in the last digits of a double; what is printed has fewer."""


def by_place(answer: Any, place: str = "") -> Iterator[tuple[str, float]]:
    """Every number of a JSON answer under its place, such as "sections[1].mass_g"; yes and no count as 1 and 0."""
    if isinstance(answer, dict):
        for key, value in answer.items():
            yield from by_place(value, f"{place}.{key}" if place else key)
    elif isinstance(answer, list):
        for i, value in enumerate(answer):
            yield from by_place(value, f"{place}[{i}]")
    elif isinstance(answer, bool | int | float):
        yield place, float(f"{answer:.7g}")


def in_text(text: str, *hashes: str) -> list[Row]:
    """Every number with the unit after it, line by line; dates and the openings of hashes are left out."""
    marks = "|".join(f"{each[:8]}|{each[:4]}" for each in hashes)
    lines = re.sub(rf"\b(?:{marks or '(?!)'})\b", " ", DATE.sub(" ", GROUPS.sub("", text))).splitlines()
    return [row for line in lines if (row := tuple(re.sub(r"\s+", " ", found) for found in FIGURE.findall(line)))]


def in_page(page: str, *hashes: str) -> list[Row]:
    """Every number that a page shows, block by block: in its text and in its fields."""
    page = re.sub(r"<(script|style)\b.*?</\1>", " ", page, flags=re.S)
    page = re.sub(r"<small>", "\u202f", page).replace("\n", " ")
    page = BLOCK.sub(lambda tag: f"\n{tag[0]}", page)
    page = re.sub(r"<[^>]*>", lambda tag: f" ~ {' ~ '.join(SHOWN.findall(tag[0]))} ~ " if "=" in tag[0] else " ", page)
    return in_text(html.unescape(page).replace("~", "|"), *hashes)


def moved(kept: Mapping[str, Place], now: Mapping[str, Place]) -> list[str]:
    """Kept numbers and codes that are gone or differ now; new ones are welcome."""
    return [
        f"{place}: {value!r} became {now.get(place)!r}"
        for place, value in kept.items()
        if not _is_same(value, now.get(place))
    ]


def _is_same(value: Place, now: Place | None) -> bool:
    if isinstance(value, str) or isinstance(now, str) or now is None:
        return value == now
    return abs(now - value) <= RELATIVE * abs(value) + 1e-12 or repr(now) == repr(value)


def gone(kept: list[Row], now: list[Row]) -> list[str]:
    """Kept rows that do not come any more; rows may change places, new rows and new figures in a row are welcome."""
    lost, fresh = Counter(kept) - Counter(now), list((Counter(now) - Counter(kept)).elements())
    found = []
    for row in lost.elements():
        within = next((other for other in fresh if _comes_in(row, other)), None)
        if within is None:
            near = _near(row, fresh) if len(found) < MOST_NEAR else "?"
            found.append(f"{' ; '.join(row)}   became   {near}")
        else:
            fresh.remove(within)
    return found


def _near(row: Row, fresh: list[Row]) -> str:
    near = difflib.get_close_matches(" ; ".join(row), [" ; ".join(other) for other in fresh], 1, 0.5)
    return near[0] if near else "nothing"


def _comes_in(row: Row, other: Row) -> bool:
    coming = iter(other)
    return all(any(figure == each for each in coming) for figure in row)
