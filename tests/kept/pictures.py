"""Where things stand in drawings: how many shapes of a kind a picture has, and the mean of each of their numbers.

A page may be reworded and a picture may be drawn in other colours; a line that moves, a bar of another length or a mark
that goes is seen. Numbers are kept as means with weights that grow from shape to shape, so that two shapes which change
places are seen too, and small roundings of one of them are not.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser

from tests.kept.coded import without_hashes
from tests.kept.figures import Place

NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?")
PLACED = ("x", "y", "x1", "y1", "x2", "y2", "dx", "dy", "cx", "cy", "r", "rx", "ry", "width", "height", "d", "points",
          "transform", "viewbox", "font-size", "stroke-width")  # fmt: skip
TEXTS = ("fill", "stroke", "text-anchor", "style", "role")
PASSING = ("data-seen",)
"""Numbers of a state of the work."""
LAST_DIGIT = 0.012
"""Drawings are written with two digits after the point; machines may round the last one differently."""
LEFT_OUT = {"segno", "qrline"}
"""Squares of a code to be photographed hold a hash."""
SHAPES = {"svg", "g", "path", "line", "rect", "circle", "ellipse", "polyline", "polygon", "text", "tspan", "use"}


class _Pictures(HTMLParser):
    """The shapes of each picture of a page, and the widths that elements of the page itself are given."""

    def __init__(self) -> None:
        super().__init__()
        self.pictures: list[list[tuple[str, dict[str, str]]]] = [[]]
        self.depth = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        own = {name: value or "" for name, value in attrs}
        if tag == "svg" and not self.depth:
            self.pictures.append([])
        self.depth += tag == "svg"
        if self.depth and tag in SHAPES:
            self.pictures[-1].append((tag, own))
        elif not self.depth:
            outside = {name: value for name, value in own.items() if name == "style" or name.startswith("data-")}
            if outside:
                self.pictures[0].append((tag, outside))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        self.depth -= tag == "svg"


def pictures_of(page: str) -> Iterator[dict[str, Place]]:
    """What stands outside of pictures, then each picture of a page: counts and means by shape and attribute."""
    parser = _Pictures()
    parser.feed(page)
    for shapes in parser.pictures:
        yield dict(summed(shapes))


def each_once(pages: Iterable[tuple[str, str]]) -> dict[str, Place]:
    """The pictures of pages by address, and what else pages place by itself, each where it comes first."""
    found, seen = dict[str, Place](), set[tuple[tuple[str, Place], ...]]()
    for address, page in pages:
        outside, *drawn = pictures_of(page)
        alone = [{place: value} for place, value in outside.items()]
        for i, part in enumerate((*alone, *drawn), start=-len(alone)):
            if (whole := tuple(part.items())) not in seen:
                seen.add(whole)
                found |= {f"{address} {max(i, -1) + 1}: {place}": value for place, value in part.items()}
    return found


def summed(shapes: Iterable[tuple[str, dict[str, str]]]) -> Iterator[tuple[str, Place]]:
    """Counts of shapes of a kind, and means of their numbers; of each shape its name and its attributes."""
    counts: dict[str, int] = defaultdict(int)
    numbers: dict[str, list[float]] = defaultdict(list)
    for tag, own in shapes:
        if own.get("class") in LEFT_OUT:
            continue
        kind = f"{tag}.{own['class']}" if own.get("class") else tag
        counts[f"{kind} {_texts(own)}".strip()] += 1
        for name in (n for n in own if n in PLACED):
            numbers[f"{kind} {name}"] += [float(n) for n in NUMBER.findall(own[name])]
    for kind, count in counts.items():
        yield f"{kind} times", float(count)
    for place, row in numbers.items():
        if row:
            yield place, _mean(row)


def _texts(own: dict[str, str]) -> str:
    named = {name: value for name, value in own.items() if name in TEXTS or name.startswith("data-")}
    return " ".join(f"{name}={without_hashes(value)}" for name, value in named.items() if name not in PASSING)


def _mean(row: list[float]) -> float:
    weights = [1.0 + i / len(row) for i in range(len(row))]
    return float(f"{sum(w * n for w, n in zip(weights, row, strict=True)) / sum(weights):.7g}")


def shifted(kept: dict[str, Place], now: dict[str, Place]) -> list[str]:
    """Kept places that are gone, and means that moved by more than what rounding of a drawing may move them."""
    return [
        f"{place}: {value!r} became {now.get(place)!r}"
        for place, value in kept.items()
        if not _stands(value, now.get(place))
    ]


def _stands(value: Place, now: Place | None) -> bool:
    if not isinstance(value, float | int) or not isinstance(now, float | int):
        return value == now
    return abs(now - value) <= LAST_DIGIT + 2e-5 * abs(value)
