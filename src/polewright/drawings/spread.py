"""The spread of copies as pictures: a band for each figure on a scale of its own, and bars of shares."""

from collections.abc import Sequence
from dataclasses import dataclass

from polewright.drawings.style import escaped, line, number, rect, svg, text

__all__ = ["BandRow", "ShareRow", "bands_drawing", "shares_drawing"]

LETTER = 6.1  # drawing units of a letter at most
PAD = 0.12  # of the range, left free at either end


@dataclass(frozen=True, slots=True)
class BandRow:
    """One figure: the ends of its band, mean, as designed, and promised limits, all on one scale; texts as printed."""

    label: str
    low: float
    high: float
    mean: float
    nominal: float
    limits: tuple[float, ...]
    low_text: str
    high_text: str
    about: str


@dataclass(frozen=True, slots=True)
class ShareRow:
    """One share [-] with the ends between which it lies, and the part of it that is drawn darker, if any."""

    label: str
    value: float
    low: float
    high: float
    value_text: str
    part: float | None = None


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where a row's picture lies: on a phone below its label, else beside it."""

    width: float
    left: float
    right: float
    row: float
    down: float

    def at(self, share: float) -> float:
        return self.left + share * (self.width - self.left - self.right)


def _frame(labels: Sequence[str], ends: Sequence[str], *, phone: bool) -> _Frame:
    right = LETTER * max((len(end) for end in ends), default=0) + 14.0
    if phone:
        return _Frame(366.0, 8.0, right, 46.0, 22.0)
    return _Frame(760.0, LETTER * max((len(label) for label in labels), default=0) + 16.0, right, 28.0, 6.0)


def bands_drawing(rows: Sequence[BandRow], *, title: str, phone: bool = False) -> str:
    """A band for each figure: its mean as a dot, as designed as a line, promised limits as marks beyond or within."""
    low_room = LETTER * max((len(row.low_text) for row in rows), default=0) + 8.0
    frame = _frame([row.label for row in rows], [row.high_text for row in rows], phone=phone)
    frame = _Frame(frame.width, frame.left + low_room, frame.right, frame.row, frame.down)
    out = []
    for i, row in enumerate(rows):
        out.append(f"<g>{''.join(_band(row, frame, 8.0 + i * frame.row))}<title>{escaped(row.about)}</title></g>")
    return svg(frame.width, 16.0 + len(rows) * frame.row, out, title=title)


def _band(row: BandRow, frame: _Frame, top: float) -> list[str]:
    places = (row.low, row.high, row.nominal, row.mean, *row.limits)
    least, most = min(places), max(places)
    span = (most - least) or 1.0

    def at(value: float) -> float:
        return frame.at((1.0 - 2.0 * PAD) * (value - least) / span + PAD if most > least else 0.5)

    y, tall = top + frame.down, 12.0
    middle = y + tall / 2.0
    wide = max(at(row.high) - at(row.low), 1.5)
    return [
        text(8.0, top + 14.0, row.label),
        line(frame.at(0.0), middle, frame.at(1.0), middle, "hair"),
        rect(at(row.low), y, wide, tall, "share"),
        *(line(at(limit), y - 4.0, at(limit), y + tall + 4.0, "lookline") for limit in row.limits),
        line(at(row.nominal), y - 2.0, at(row.nominal), y + tall + 2.0, "line"),
        f'<circle cx="{number(at(row.mean))}" cy="{number(middle)}" r="2.6" class="dot"/>',
        text(frame.left - 4.0, middle + 4.0, row.low_text, "small end"),
        text(frame.width - frame.right + 4.0, middle + 4.0, row.high_text, "small"),
    ]


def shares_drawing(rows: Sequence[ShareRow], *, title: str, least_scale: float = 0.0, phone: bool = False) -> str:
    """A bar for each share, all on one scale from nothing to the largest, and a thin line where it may lie.

    least_scale : [-] to which the scale reaches at least, so that small chances look small.
    """
    frame = _frame([row.label for row in rows], [row.value_text for row in rows], phone=phone)
    most = max([least_scale, *(max(row.value, row.high) for row in rows)]) or 1.0
    out = []
    for i, row in enumerate(rows):
        top = 8.0 + i * frame.row
        y, tall = top + frame.down, 12.0
        start, end = frame.at(0.0), frame.at(_inside(row.value / most))
        out += [
            text(8.0, top + 14.0, row.label),
            rect(start, y, max(end - start, 0.5), tall, "share"),
            *_part(row, frame, most, y, tall),
            line(
                frame.at(_inside(row.low / most)),
                y + tall / 2.0,
                frame.at(_inside(row.high / most)),
                y + tall / 2.0,
                "line",
            ),
            line(start, y - 2.0, start, y + tall + 2.0, "thin"),
            text(frame.width - frame.right + 6.0, y + tall / 2.0 + 4.0, row.value_text, "small"),
        ]
    return svg(frame.width, 16.0 + len(rows) * frame.row, out, title=title)


def _part(row: ShareRow, frame: _Frame, most: float, y: float, tall: float) -> list[str]:
    if row.part is None:
        return []
    wide = frame.at(_inside(min(row.part, row.value) / most)) - frame.at(0.0)
    return [rect(frame.at(0.0), y + 3.0, max(wide, 0.0), tall - 6.0, "joint-share")]


def _inside(share: float) -> float:
    return min(max(share, 0.0), 1.0)
