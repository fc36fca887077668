"""Dimensions as a draughtsman sets them: extension lines, arrows at both ends, the figure standing on the line."""

from math import log

from polewright.drawings.style import line, number, path, rect, text
from polewright.units import display_unit, from_
from polewright.words.reader import Reader

__all__ = ["across", "arrow", "bar_length", "level", "scale_bar", "upright"]

GLYPH = 6.8  # width of a figure of a dimension
HEAD = 7.0  # length of an arrow head
BAR_SHARE = 0.26  # of what is drawn
# lengths of a scale bar in the unit of a reach, each with its steps
_BARS = {
    "metric": ((0.5, 5), (1.0, 2), (2.0, 2), (5.0, 5), (10.0, 2)),
    "inch": ((1.0, 2), (2.0, 2), (5.0, 5), (10.0, 2)),
}


def level(x1: float, x2: float, y: float, label: str, *, start: float | None = None, kind: str = "") -> str:
    """A level dimension between two abscissae at height y; `start` is the height its extension lines come from."""
    parts = (
        []
        if start is None
        else [
            line(x, start + (3.0 if y > start else -3.0), x, y + (4.0 if y > start else -4.0), "hair") for x in (x1, x2)
        ]
    )
    wide = GLYPH * len(label) + 8.0
    middle = (x1 + x2) / 2.0
    parts += [line(x1, y, x2, y), *_heads((x1, y), (x2, y))]
    if wide < abs(x2 - x1) - 2.0 * HEAD:
        parts += [rect(middle - wide / 2.0, y - 8.0, wide, 16.0, "knock"), text(middle, y + 4.5, label, f"mid {kind}")]
    else:
        parts.append(text(max(x1, x2) + 6.0, y + 4.5, label, kind))
    return "".join(parts)


def upright(y1: float, y2: float, x: float, label: str, *, start: float | None = None, kind: str = "") -> str:
    """A dimension between two heights at abscissa x, its figure beside it, away from `start`."""
    left = start is not None and x < start
    parts = (
        []
        if start is None
        else [line(start + (-3.0 if left else 3.0), y, x + (-4.0 if left else 4.0), y, "hair") for y in (y1, y2)]
    )
    parts += [line(x, y1, x, y2), *_heads((x, y1), (x, y2))]
    parts.append(text(x + (-6.0 if left else 6.0), (y1 + y2) / 2.0 + 4.5, label, f"{'end ' if left else ''}{kind}"))
    return "".join(parts)


def arrow(tip: tuple[float, float], along: tuple[float, float], size: float = HEAD) -> str:
    """An arrow head with its point at `tip`, pointing along a unit vector."""
    (x, y), (u, v) = tip, along
    foot, half = (x - u * size, y - v * size), size * 0.33
    corners = [(x, y), (foot[0] - v * half, foot[1] + u * half), (foot[0] + v * half, foot[1] - u * half)]
    return path(corners, "arrow", closed=True)


def bar_length(longest: float, reader: Reader) -> tuple[float, int]:
    """A round length [m] for a scale bar, about a quarter of what is drawn [m], and in how many steps it is drawn."""
    unit = display_unit("reach", reader.system)
    sizes = [(from_(size, unit), steps) for size, steps in _BARS[reader.system]]
    return min(sizes, key=lambda size: abs(log(size[0] / (BAR_SHARE * longest))))


def scale_bar(x: float, y: float, length: float, steps: int, words: str) -> str:
    """A bar of a stated length in equal steps, with its meaning written after it."""
    ticks = "".join(line(x + length * k / steps, y - 3.0, x + length * k / steps, y + 3.0) for k in range(steps + 1))
    return line(x, y, x + length, y) + ticks + text(x + length + 8.0, y + 4.0, words, "cap")


def across(x: float, y: float, size: float = 4.0) -> str:
    """A small cross that marks a point."""
    moves = f"M{number(x - size)},{number(y)} H{number(x + size)} M{number(x)},{number(y - size)} V{number(y + size)}"
    return f'<path d="{moves}" class="thin"/>'


def _heads(a: tuple[float, float], b: tuple[float, float]) -> list[str]:
    length = max(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5, 1e-9)
    u, v = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    size = min(HEAD, length / 3.0)
    return [arrow(a, (-u, -v), size), arrow(b, (u, v), size)]
