"""The bent pole as an engineer draws it: one scale both ways, datum, trestles, dimension, ghost of what was saved."""

from dataclasses import dataclass

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.drawings.centreline import Centreline, Span, times_message, times_thick
from polewright.drawings.dimension import arrow, bar_length, level, scale_bar, upright
from polewright.drawings.style import line, path, svg, text
from polewright.words.reader import Reader

__all__ = ["Ghost", "PoleScene", "pole_drawing"]

LEAST_STROKE = 2.4  # drawing units; a thinner tube is drawn a whole number of times as thick
TALLEST = 1.1  # height of the droop over the length of the drawing, at most


@dataclass(frozen=True, slots=True, eq=False)
class Ghost:
    """Another line to hold the pole against: along, below (n,) [m] as in the scene, its name and its droop."""

    along: FloatArray
    below: FloatArray
    name: Message | str
    droop: Message | str

    def __post_init__(self) -> None:
        freeze(self, ("along", "below"))


@dataclass(frozen=True, slots=True, eq=False)
class PoleScene:
    """A pole as it hangs, ready to be drawn.

    station (n,) [m] from the butt along the unbent pole; along, below (n,) [m] of the centreline from the butt, along
    the datum and under it; spans from the butt to the tip; clamps (m,) [m] stations of the mouths with a clamp; hold,
    prop [m] stations of the two trestles; droop, state and title as they are told.
    """

    station: FloatArray
    along: FloatArray
    below: FloatArray
    spans: tuple[Span, ...]
    clamps: FloatArray
    hold: float
    prop: float
    droop: Message | str
    state: Message | str
    title: Message | str
    ghost: Ghost | None = None

    def __post_init__(self) -> None:
        freeze(self, ("station", "along", "below", "clamps"))


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where the metres of a scene lie on the drawing."""

    width: float
    left: float
    right: float
    datum: float
    scale: float
    thick: int
    phone: bool
    pole: Centreline

    def x(self, along: float) -> float:
        return self.left + along * self.scale

    def y(self, below: float) -> float:
        return self.datum + below * self.scale


def pole_drawing(scene: PoleScene, reader: Reader, *, paper: bool = False, phone: bool = False) -> str:
    """The scene as SVG: wide for a desk or a paper, or with fewer words and its own proportions for a phone."""
    frame = _frame(scene, phone)
    deepest = max([0.0, float(scene.below.max()), *([float(scene.ghost.below.max())] if scene.ghost else [])])
    low = frame.y(deepest) + (14.0 if phone else 20.0)
    ghost = _ghost(scene.ghost, scene, frame, reader) if scene.ghost is not None else []
    low += 16.0 if ghost else 0.0
    parts = [
        line(frame.left - 12.0, frame.datum, frame.x(_far(scene)) + 16.0, frame.datum, "datum"),
        *ghost,
        *_trestles(scene, frame, reader),
        *frame.pole.tubes(scene.spans, frame.scale * frame.thick, reader),
        *frame.pole.clamps(scene.clamps, 6.0 if phone else 9.0),
        *_labels(scene, frame, reader),
        *_droop(scene, frame, reader),
    ]
    low = max(low, frame.datum + (54.0 if phone else 74.0))
    foot, words = _foot(scene, frame, low, reader)
    return svg(frame.width, foot, [*parts, *words], title=reader.text(scene.title), paper=paper)


def _far(scene: PoleScene) -> float:
    """[m] along the datum of whatever reaches farthest."""
    ghost = [] if scene.ghost is None else [float(scene.ghost.along.max())]
    return max(float(scene.along.max()), *ghost, 0.1)


def _frame(scene: PoleScene, phone: bool) -> _Frame:
    width, left, right = (366.0, 16.0, 74.0) if phone else (1120.0, 34.0, 104.0)
    deep = max(float(scene.below.max()), 1e-3)
    scale = min((width - left - right) / _far(scene), (width - left - right) * TALLEST / deep)
    thinnest = min(s.outside for s in scene.spans) * scale
    thick = times_thick(thinnest, LEAST_STROKE)
    rise = max(0.0, -float(scene.below.min()) * scale)
    datum = (30.0 if phone else 40.0) + rise
    pole = Centreline(scene.station, left + scene.along * scale, datum + scene.below * scale)
    return _Frame(width, left, right, datum, scale, thick, phone, pole)


def _trestles(scene: PoleScene, frame: _Frame, reader: Reader) -> list[str]:
    """A strap that holds the pole down, a prop under it, and how far apart they stand."""
    out, half = [], max(s.outside for s in scene.spans) * frame.scale * frame.thick / 2.0 + 1.5
    x, y = frame.pole.spot(scene.hold)
    feet = y + half + 10.0
    out += [
        path([(x - 5.0, feet), (x - 5.0, y - half), (x + 5.0, y - half), (x + 5.0, feet)], "fix"),
        line(x - 11.0, feet, x + 11.0, feet, "fix"),
    ]
    x, y = frame.pole.spot(scene.prop)
    out.append(path([(x, y + half), (x - 6.0, y + half + 10.0), (x + 6.0, y + half + 10.0)], "prop", closed=True))
    if not frame.phone:
        place = frame.y(0.0) + half + 32.0
        apart = reader.quantity(scene.prop - scene.hold, "reach", 2)
        out.append(level(frame.x(scene.hold), x, place, apart, start=frame.y(0.0) + half + 9.0, kind="cap"))
    return out


def _labels(scene: PoleScene, frame: _Frame, reader: Reader) -> list[str]:
    """One label a section over the datum; the short one where the long one finds no room, none where neither does."""
    out, last = [], -1e9
    for span in scene.spans:
        (x1, _), (x2, _) = (frame.pole.spot(s) for s in (span.start, span.end))
        label = reader.text(span.label)
        words = span.short if frame.phone or x2 - x1 < 7.0 * len(label) else label
        middle, wide = (x1 + x2) / 2.0, 6.6 * len(words)
        if x2 - x1 > 8.0 and middle - wide / 2.0 > last + 4.0:
            out.append(text(middle, frame.datum - (12.0 if frame.phone else 16.0), words, "cap mid"))
            last = middle + wide / 2.0
    return out


def _ghost(ghost: Ghost, scene: PoleScene, frame: _Frame, reader: Reader) -> list[str]:
    points = [(frame.x(a), frame.y(b)) for a, b in zip(ghost.along.tolist(), ghost.below.tolist(), strict=True)]
    code = "drawing.pole.ghost_short" if frame.phone else "drawing.pole.ghost"
    words, (x, y) = reader.say(code, name=ghost.name, droop=ghost.droop), points[-1]
    lower = max(y, frame.pole.spot(float(scene.station[-1]))[1])
    return [path(points, "ghost"), text(min(x, frame.width - 6.0) - 4.0, lower + 22.0, words, "cap end")]


def _droop(scene: PoleScene, frame: _Frame, reader: Reader) -> list[str]:
    """The droop as a dimension; where it is too small for two arrows they point at it from outside."""
    x, y = frame.pole.spot(float(scene.station[-1]))
    droop = reader.text(scene.droop)
    place = frame.x(_far(scene)) + (12.0 if frame.phone else 16.0)
    if abs(y - frame.datum) >= 14.0:
        return [upright(frame.datum, y, place, droop, start=x, kind="dim")]
    upper, lower = min(y, frame.datum), max(y, frame.datum)
    return [
        line(x + 3.0, y, place + 4.0, y, "hair"),
        line(place, upper - 14.0, place, lower + 14.0),
        arrow((place, upper), (0.0, 1.0), 6.0),
        arrow((place, lower), (0.0, -1.0), 6.0),
        text(place + 6.0, (upper + lower) / 2.0 + 4.5, droop, "dim"),
    ]


def _foot(scene: PoleScene, frame: _Frame, low: float, reader: Reader) -> tuple[float, list[str]]:
    """Scale bar and the state the pole is drawn in; the height of the whole drawing."""
    length, steps = bar_length(float(scene.station[-1]), reader)
    code = "drawing.pole.scale_short" if frame.phone else "drawing.pole.scale"
    words = reader.say(code, bar=length, times=times_message(frame.thick))
    bar, state = scale_bar(frame.left, low + 10.0, length * frame.scale, steps, words), reader.text(scene.state)
    if frame.phone:
        return low + 38.0, [bar, text(frame.left, low + 32.0, state, "cap")]
    return low + 24.0, [bar, text(frame.width - 6.0, low + 14.0, state, "cap end")]
