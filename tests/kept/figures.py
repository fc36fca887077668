"""Figures out of what the program prints: numbers by their place in JSON, numbers with their units out of text."""

import html
import re
from collections.abc import Iterator
from typing import Any

from polewright.units import QUANTITIES

DATE = re.compile(r"\d{4}-\d\d-\d\d(?:T[\d:.]+Z?)?")
UNITS = sorted({u.name for q in QUANTITIES.values() for u in q.units if u.name}, key=len, reverse=True)
FIGURE = re.compile(rf"(?<![\w#.])[-−]?\d+(?:[.,]\d+)*(?:\s{{0,2}}(?:{'|'.join(map(re.escape, UNITS))})(?!\w))?")
SHOWN = re.compile(r'\b(?:value|min|max|step|placeholder|title|aria-label)="([^"]*)"')
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


def in_text(text: str) -> list[str]:
    """Every number of a text in order, with the unit after it; dates are left out."""
    return [re.sub(r"\s+", " ", found) for found in FIGURE.findall(DATE.sub(" ", text))]


def in_page(page: str) -> list[str]:
    """Every number that a page shows in order: in its text and in its fields."""
    page = re.sub(r"<(script|style)\b.*?</\1>", " ", page, flags=re.S)
    page = re.sub(r"<small>", "\u202f", page)
    page = re.sub(r"<[^>]*>", lambda tag: f" ~ {' ~ '.join(SHOWN.findall(tag[0]))} ~ " if "=" in tag[0] else " ", page)
    return in_text(html.unescape(page).replace("~", "|"))


def moved(kept: dict[str, float], now: dict[str, float]) -> list[str]:
    """Kept numbers that are gone or differ now; new ones are welcome."""
    return [
        f"{place}: {value!r} became {now.get(place)!r}"
        for place, value in kept.items()
        if place not in now or abs(now[place] - value) > RELATIVE * abs(value) + 1e-12
    ]


def first_gone(kept: list[str], now: list[str]) -> str | None:
    """The first kept figure that does not come any more after those before it; new ones between are welcome."""
    coming = iter(now)
    for i, figure in enumerate(kept):
        if not any(figure == other for other in coming):
            return f"{' '.join(kept[max(i - 6, 0) : i])} [{figure}] {' '.join(kept[i + 1 : i + 4])}"
    return None
