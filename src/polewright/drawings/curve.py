"""Curves over one another: a figure against a place, with round ticks, each told apart by its dash and its label."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.drawings.style import escaped, line, number, rect, svg, text
from polewright.words.forms import value_text
from polewright.words.reader import Reader

__all__ = ["Curve", "CurveScene", "Strip", "curve_drawing", "ticks"]

Dash = Literal["full", "dashed", "dotted"]


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """One line in pieces, which may jump from one to the next: each piece (n, 2) of place and value as printed."""

    pieces: tuple[FloatArray, ...]
    dash: Dash
    label: Message | str
    short: Message | str = ""  # on a phone; the label where left out


@dataclass(frozen=True, slots=True)
class Strip:
    """A stretch of the places with a name, such as a ply between its faces; `tone` is a class of its ground."""

    start: float
    end: float
    label: Message | str
    tone: str = ""


@dataclass(frozen=True, slots=True)
class CurveScene:
    """Curves with the words of both axes; places run from left to right, values up."""

    curves: tuple[Curve, ...]
    strips: tuple[Strip, ...]
    place_words: Message | str
    value_words: Message | str
    title: Message | str
    place_digits: int = 1


@dataclass(frozen=True, slots=True)
class _Frame:
    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    places: tuple[float, float]
    values: tuple[float, float]

    def x(self, place: float) -> float:
        return self.left + (place - self.places[0]) / (self.places[1] - self.places[0]) * (
            self.width - self.left - self.right
        )

    def y(self, value: float) -> float:
        return (
            self.height
            - self.bottom
            - (value - self.values[0]) / (self.values[1] - self.values[0]) * (self.height - self.top - self.bottom)
        )


def ticks(low: float, high: float, most: int) -> tuple[float, ...]:
    """Round numbers between two ends, at most `most` steps of 1, 2 or 5 times a power of ten."""
    span = max(high - low, 1e-12)
    rough = span / most
    power = 10.0 ** np.floor(np.log10(rough))
    step = next(float(k * power) for k in (1.0, 2.0, 5.0, 10.0) if k * power >= rough * (1.0 - 1e-9))
    first, last = int(np.ceil(low / step - 1e-9)), int(np.floor(high / step + 1e-9))
    return tuple(k * step for k in range(first, last + 1))


def curve_drawing(scene: CurveScene, reader: Reader, *, phone: bool = False, paper: bool = False) -> str:
    """The curves as SVG, wide or for a phone."""
    frame = _frame(scene, phone)
    parts = [
        *_ground(scene, frame, reader),
        *_axes(scene, frame, reader, phone=phone),
        *_curves(scene, frame, reader),
        *_key(scene, frame, reader, phone=phone),
    ]
    return svg(frame.width, frame.height, parts, title=reader.text(scene.title), paper=paper)


def _frame(scene: CurveScene, phone: bool) -> _Frame:
    points = np.concatenate([p for c in scene.curves for p in c.pieces])
    low, high = min(float(points[:, 1].min()), 0.0), max(float(points[:, 1].max()), 0.0)
    room = max(high - low, 1e-9) * 0.06
    ends = (float(points[:, 0].min()), float(points[:, 0].max()))
    width, height, left = (366.0, 270.0, 44.0) if phone else (620.0, 300.0, 54.0)
    return _Frame(width, height, left, 14.0, 46.0, 44.0, ends, (low - room, high + room))


def _ground(scene: CurveScene, frame: _Frame, reader: Reader) -> list[str]:
    """The strips with their names over them, where they find room."""
    out, low, last = [], frame.height - frame.bottom, -1e9
    for strip in scene.strips:
        x1, x2 = frame.x(strip.start), frame.x(strip.end)
        out += [
            rect(x1, frame.top, x2 - x1, low - frame.top, strip.tone or "none"),
            line(x1, frame.top - 4.0, x1, low, "hair"),
        ]
        name = reader.text(strip.label)
        wide = 6.0 * len(name)
        if wide < x2 - x1 + 8.0 and (x1 + x2 - wide) / 2.0 > last + 2.0:
            out.append(text((x1 + x2) / 2.0, frame.top - 6.0, name, "small mid"))
            last = (x1 + x2 + wide) / 2.0
    return [*out, line(frame.width - frame.right, frame.top - 4.0, frame.width - frame.right, low, "hair")]


def _axes(scene: CurveScene, frame: _Frame, reader: Reader, *, phone: bool) -> list[str]:
    low, digits = frame.height - frame.bottom, scene.place_digits
    out = [line(frame.left, low, frame.width - frame.right, low, "line")]
    for value in ticks(*frame.values, 5 if phone else 6):
        y = frame.y(value)
        out += [
            line(frame.left - 4.0, y, frame.left, y, "thin"),
            text(frame.left - 7.0, y + 4.0, value_text(value, "number", reader), "cap end"),
        ]
        if value == 0.0:
            out.append(line(frame.left, y, frame.width - frame.right, y, "thin"))
    for place in ticks(*frame.places, 5 if phone else 6):
        x = frame.x(place)
        out += [line(x, low, x, low + 4.0, "thin"), text(x, low + 16.0, reader.number(place, digits), "cap mid")]
    return [
        *out,
        text(frame.left, 14.0, reader.text(scene.value_words), "cap"),
        text(frame.width - frame.right, 14.0, reader.text(scene.place_words), "cap end"),
    ]


_DASHES = {"full": "", "dashed": ' stroke-dasharray="7 4"', "dotted": ' stroke-dasharray="1.6 3.4"'}


def _curves(scene: CurveScene, frame: _Frame, reader: Reader) -> list[str]:
    out = []
    for curve in scene.curves:
        runs: list[str] = []
        for piece in curve.pieces:
            points = [f"{number(frame.x(a))},{number(frame.y(b))}" for a, b in piece.tolist()]
            runs.append(("M" if not runs else "L") + " L".join(points))
        title = f"<title>{escaped(reader.text(curve.label))}</title>"
        out.append(f'<path d="{" ".join(runs)}" class="line"{_DASHES[curve.dash]}>{title}</path>')
    return out


def _key(scene: CurveScene, frame: _Frame, reader: Reader, *, phone: bool) -> list[str]:
    out, x = [], frame.left
    for curve in scene.curves:
        y, words = frame.height - 10.0, reader.text((curve.short or curve.label) if phone else curve.label)
        out += [
            f'<path d="M{number(x)},{number(y - 4.0)} h22" class="line"{_DASHES[curve.dash]}/>',
            text(x + 27.0, y, words, "cap"),
        ]
        x += 40.0 + 6.6 * len(words)
    return out
