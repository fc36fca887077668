"""The line of a bent pole on a drawing, and what is drawn along it: tubes, the clamps across it."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.drawings.style import escaped, line, number
from polewright.words.reader import Reader

__all__ = ["Centreline", "Span", "moves", "times_message", "times_thick"]


@dataclass(frozen=True, slots=True)
class Span:
    """What is seen of one section: start, end [m] along the unbent pole, outside [m]; its label, long and short."""

    start: float
    end: float
    outside: float
    label: Message | str
    short: str


@dataclass(frozen=True, slots=True, eq=False)
class Centreline:
    """Places of a bent pole: station (n,) [m] from the butt along the unbent pole; x, y (n,) on the drawing."""

    station: FloatArray
    x: FloatArray
    y: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("station", "x", "y"))

    def spot(self, station: float) -> tuple[float, float]:
        """The place of one station."""
        return float(np.interp(station, self.station, self.x)), float(np.interp(station, self.station, self.y))

    def run(self, start: float, end: float) -> list[tuple[float, float]]:
        """The line between two stations, ends included."""
        inside = self.station[(self.station > start + 1e-9) & (self.station < end - 1e-9)]
        return [self.spot(s) for s in (start, *inside.tolist(), end)]

    def way(self, station: float) -> tuple[float, float]:
        """Unit vector along the pole towards the tip."""
        (x1, y1), (x2, y2) = (self.spot(station + d) for d in (-0.02, 0.02))
        size = max(float(np.hypot(x2 - x1, y2 - y1)), 1e-9)
        return (x2 - x1) / size, (y2 - y1) / size

    def tubes(self, spans: Iterable[Span], stroke: float, reader: Reader) -> list[str]:
        """Every span that is seen, `stroke` drawing units wide for each metre of its outside, its label told on it."""
        return [
            f'<path d="{moves(self.run(s.start, s.end))}" class="tube" '
            f'stroke-width="{number(s.outside * stroke)}"><title>{escaped(reader.text(s.label))}</title></path>'
            for s in spans
            if s.end - s.start > 1e-6
        ]

    def clamps(self, stations: FloatArray, half: float) -> list[str]:
        """A stroke across the pole at each mouth that carries a clamp."""
        out = []
        for station in stations.tolist():
            (x, y), (u, v) = self.spot(station), self.way(station)
            out.append(line(x - v * half, y + u * half, x + v * half, y - u * half, "clamp"))
        return out


def moves(points: list[tuple[float, float]]) -> str:
    """The way of an SVG path through some points."""
    return "M" + " L".join(f"{number(x)},{number(y)}" for x, y in points)


def times_thick(thinnest: float, least: float) -> int:
    """How many times as thick tubes are drawn, so that the thinnest [drawing units] is at least so wide."""
    return 1 if thinnest >= least else int(np.ceil(least / max(thinnest, 0.05)))


def times_message(thick: int) -> Message:
    """What the foot of a drawing says of the thickness of its tubes."""
    return Message("drawing.to_scale") if thick == 1 else Message("drawing.times_thick", times=thick)
