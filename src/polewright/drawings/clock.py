"""The seam clock: a tube seen from its butt end, with the start of every flag marked round it."""

from collections.abc import Sequence

import numpy as np

from polewright.codes import Message
from polewright.drawings.dimension import arrow
from polewright.drawings.style import line, number, svg, text
from polewright.words.reader import Reader

__all__ = ["clock_drawing"]

RADIUS, CENTRE = 52.0, 86.0


def clock_drawing(
    starts: Sequence[float], reader: Reader, *, labels: Sequence[str] | None = None, paper: bool = False
) -> str:
    """Where flags start round the clock, (n_flag,) [rad] from the mark in the direction of rolling, as SVG.

    The mark on the mandrel stands at twelve; angles grow clockwise seen from the butt end. Flags that start at one
    place share a label.
    """
    names = list(labels) if labels is not None else [str(i + 1) for i in range(len(starts))]
    places: dict[int, list[str]] = {}
    for start, name in zip(starts, names, strict=True):
        places.setdefault(round(float(np.degrees(start))) % 360, []).append(name)
    parts = [
        f'<circle cx="{number(CENTRE)}" cy="{number(CENTRE)}" r="{number(r)}" class="{kind}"/>'
        for r, kind in ((RADIUS, "line"), (RADIUS - 9.0, "thin"))
    ]
    parts += [_ray(hour * 30.0, RADIUS, RADIUS + (6.0 if hour % 3 == 0 else 3.5), "hair") for hour in range(12)]
    for degrees, own in sorted(places.items()):
        parts.append(_ray(degrees, RADIUS - 9.0, RADIUS + 9.0, "first"))
        x, y = _point(degrees, RADIUS + 20.0)
        parts.append(text(x, y + 4.5, " ".join(own), "mid strong"))
    parts += [
        text(CENTRE, CENTRE - 8.0, reader.say("drawing.clock.mark"), "cap mid small"),
        _turning(),
        _ray(0.0, 18.0, RADIUS - 14.0, "hair"),
        text(CENTRE, 2 * CENTRE - 2.0, reader.say("drawing.clock.seen_from_butt"), "cap mid small"),
    ]
    listed = tuple(
        Message("drawing.clock.start", flags=tuple(own), clock=float(np.radians(degrees)))
        for degrees, own in sorted(places.items())
    )
    title = reader.say("drawing.clock.title", starts=listed)
    return svg(2 * CENTRE, 2 * CENTRE, parts, title=title, paper=paper)


def _point(degrees: float, radius: float) -> tuple[float, float]:
    angle = np.radians(degrees)
    return CENTRE + radius * float(np.sin(angle)), CENTRE - radius * float(np.cos(angle))


def _ray(degrees: float, inner: float, outer: float, kind: str) -> str:
    return line(*_point(degrees, inner), *_point(degrees, outer), kind)


def _turning() -> str:
    """An arc with an arrow that shows which way the flags are rolled on."""
    start, end = _point(20.0, 30.0), _point(100.0, 30.0)
    arc = (
        f'<path d="M{number(start[0])},{number(start[1])} A30,30 0 0 1 {number(end[0])},{number(end[1])}" '
        'class="hair"/>'
    )
    return arc + arrow((end[0], end[1]), (float(-np.sin(np.radians(10.0))), float(np.cos(np.radians(10.0)))), 5.0)
