"""The pole as somebody holds it: root axis at its lean, what it rests on, shape, band of the copies, droop by place.

One scale both ways, kept while the pole is drawn out or tilted, so that a hand on the drawing moves what it sees.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.drawings.centreline import Centreline, Span, moves, times_message, times_thick
from polewright.drawings.dimension import arrow, bar_length, scale_bar
from polewright.drawings.style import escaped, line, number, path, rect, svg, text
from polewright.words.reader import Reader

__all__ = ["Band", "HoldScene", "SplitPart", "hold_drawing", "split_drawing"]

Support = Literal["trestles", "clamped", "hands", "lifted", "head on glass"]
LEAST_STROKE = 2.6
GRIP = 22.0  # drawing units; as wide as a finger needs
_STEEP = 0.6  # of a pole's way that goes up: its front hand is then named to the left of it


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """Where 95 of 100 copies lie: along, least, most (n,) [m] along the root axis from the anchor, and below it."""

    along: FloatArray
    least: FloatArray
    most: FloatArray
    label: Message | str

    def __post_init__(self) -> None:
        freeze(self, ("along", "least", "most"))


@dataclass(frozen=True, slots=True, eq=False)
class HoldScene:
    """A pole in a hold, ready to be drawn.

    station (n,) [m] from the butt along the unbent pole; x, z (n,) [m] level and up from the anchor, which lies at
    station `anchor`; lean [rad]; longest [m] the pole drawn out fully, which sets the scale; spans butt to tip with the
    joint that draws each out (None for the butt); rests [m] stations of what it rests on; head [kg]; wind [m/s];
    measured [m] station at which the droop is dimensioned.
    """

    station: FloatArray
    x: FloatArray
    z: FloatArray
    anchor: float
    lean: float
    longest: float
    spans: tuple[tuple[Span, int | None], ...]
    clamps: FloatArray
    support: Support
    rests: tuple[float, ...]
    head: float
    wind: float
    measured: float
    droop: Message | str
    state: Message | str
    title: Message | str
    band: Band | None = None

    def __post_init__(self) -> None:
        freeze(self, ("station", "x", "z", "clamps"))


@dataclass(frozen=True, slots=True)
class SplitPart:
    """What one place gives of the droop: start, end [m] along the pole (alike for a joint), value as drawn, words."""

    start: float
    end: float
    value: float
    label: Message | str
    words: Message | str


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where the metres of a hold lie: the root moves down as the pole is raised, so that all of it stays in sight."""

    width: float
    height: float
    left: float
    top: float
    scale: float
    thick: int
    phone: bool
    root: float
    pole: Centreline

    def x(self, level: float) -> float:
        return self.left + level * self.scale

    def y(self, up: float) -> float:
        return self.root - up * self.scale


def hold_drawing(scene: HoldScene, reader: Reader, *, phone: bool = False, paper: bool = False) -> str:
    """The hold as SVG; the grips carry what a hand may drag: the tip its lean, a section how far it is drawn out."""
    frame = _frame(scene, phone)
    parts = [
        *_band(scene, frame, reader),
        *_axis(scene, frame, reader),
        *_rests(scene, frame, reader),
        *frame.pole.tubes((s for s, _ in scene.spans), frame.scale * frame.thick, reader),
        *frame.pole.clamps(scene.clamps, 5.0 if phone else 7.0),
        *_wind(scene, frame),
        *_droop(scene, frame, reader),
        *_grips(scene, frame, reader),
        *_foot(scene, frame, reader),
    ]
    room = scene.longest * frame.scale
    data = {"scale": frame.scale, "left": frame.left, "top": frame.top, "room": room}
    held = " ".join(f'data-{name}="{value:.6g}"' for name, value in data.items())
    return svg(frame.width, frame.height, [f"<g {held}>", *parts, "</g>"], title=reader.text(scene.title), paper=paper)


def _frame(scene: HoldScene, phone: bool) -> _Frame:
    width, left, right, top, bottom, room = (
        (366.0, 22.0, 24.0, 22.0, 64.0, 292.0) if phone else (760.0, 64.0, 120.0, 26.0, 50.0, 520.0)
    )
    scale = min(room, width - left - right) / scene.longest
    thinnest = min(s.outside for s, _ in scene.spans) * scale
    thick = times_thick(thinnest, LEAST_STROKE)
    room = scene.longest * scale
    root = top + room * (1.0 + float(np.sin(scene.lean))) / 2.0
    pole = Centreline(scene.station, left + scene.x * scale, root - scene.z * scale)
    return _Frame(width, top + room + bottom, left, top, scale, thick, phone, root, pole)


def _straight(scene: HoldScene, frame: _Frame, along: float, below: float = 0.0) -> tuple[float, float]:
    """A point by its way along the root axis from the anchor and below it [m]."""
    c, s = np.cos(scene.lean), np.sin(scene.lean)
    return frame.x(float(along * c + below * s)), frame.y(float(along * s - below * c))


def _band(scene: HoldScene, frame: _Frame, reader: Reader) -> list[str]:
    if scene.band is None:
        return []
    along = scene.band.along.tolist()
    over, under = (
        [_straight(scene, frame, a, b) for a, b in zip(along, side.tolist(), strict=True)]
        for side in (scene.band.least, scene.band.most)
    )
    edge, words = moves([*over, *reversed(under)]), escaped(reader.text(scene.band.label))
    return [f'<path d="{edge} Z" class="band"><title>{words}</title></path>']


def _axis(scene: HoldScene, frame: _Frame, reader: Reader) -> list[str]:
    """The unbent line, the level, and the lean between them."""
    length = float(scene.station[-1]) - scene.anchor
    x, y = _straight(scene, frame, 0.0)
    parts = [line(x, y, *_straight(scene, frame, length), "datum")]
    if abs(scene.lean) < np.deg2rad(3.0):
        return parts
    reach = 46.0 if frame.phone else 70.0
    arc = [(x + 0.8 * reach * np.cos(t), y - 0.8 * reach * np.sin(t)) for t in np.linspace(0.0, scene.lean, 13)]
    half = scene.lean / 2.0
    place = (x + (reach + 2.0) * float(np.cos(half)), y - (reach + 2.0) * float(np.sin(half)) + 4.0)
    return [
        *parts,
        line(x, y, x + reach, y, "hair"),
        f'<path d="{moves(arc)}" class="hair"/>',
        text(place[0], place[1], reader.given(scene.lean, "angle"), "cap"),
    ]


def _rests(scene: HoldScene, frame: _Frame, reader: Reader) -> list[str]:
    """What the pole rests on: trestles, a vice, hands, or foot and pane."""
    half = max(s.outside for s, _ in scene.spans) * frame.scale * frame.thick / 2.0 + 1.5
    if scene.support == "head on glass":
        return _foot_and_pane(scene, frame, reader)
    if scene.support == "trestles":
        (x, y), (u, v) = frame.pole.spot(scene.rests[0]), frame.pole.way(scene.rests[0])
        strap = [(x - u * 5.0, y - v * 5.0), (x + u * 5.0, y + v * 5.0)]
        normal = (v, -u)
        held = [
            line(
                a + n * half * normal[0],
                b + n * half * normal[1],
                a - 2.6 * n * half * normal[0],
                b - 2.6 * n * half * normal[1],
                "fix",
            )
            for a, b in strap
            for n in (1.0,)
        ]
        x, y = frame.pole.spot(scene.rests[1])
        foot = [(x, y + half), (x - 6.0, y + half + 11.0), (x + 6.0, y + half + 11.0)]
        return [*held, path(foot, "prop", closed=True)]
    if scene.support == "clamped":
        (x, y), (u, v) = frame.pole.spot(0.0), frame.pole.way(0.01)
        hatch = [
            line(x - v * k, y + u * k, x - v * k - u * 6.0 - v * 4.0, y + u * k - v * 6.0 + u * 4.0, "hair")
            for k in (-12.0, -6.0, 0.0, 6.0, 12.0)
        ]
        return [line(x - v * 15.0, y + u * 15.0, x + v * 15.0, y - u * 15.0, "fix"), *hatch]
    out = []
    for station, hand in zip(scene.rests, ("rear", "front"), strict=True):
        x, y = frame.pole.spot(station)
        out.append(f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(half + 4.0)}" class="hand"/>')
        if not frame.phone:
            below, is_steep = hand == "rear", abs(frame.pole.way(station)[1]) > _STEEP
            out.append(
                text(
                    x - 8.0,
                    y + (half + 18.0 if below else -half - 8.0),
                    reader.say(f"drawing.held.{hand}_hand"),
                    "cap end" if is_steep and not below else "cap",
                )
            )  # over its own hand, off the pole
    if scene.support == "lifted":
        low = frame.y(float(scene.z.min())) + half + 30.0
        out.append(_ground(frame.left - 14.0, frame.x(float(scene.x.max())) + 14.0, low))
    return out


def _ground(start: float, end: float, y: float) -> str:
    return line(start, y, end, y, "fix") + "".join(
        line(x, y, x - 6.0, y + 6.0, "hair") for x in np.arange(start + 8.0, end, 14.0)
    )


def _foot_and_pane(scene: HoldScene, frame: _Frame, reader: Reader) -> list[str]:
    (x, y), (u, v) = frame.pole.spot(0.0), frame.pole.spot(float(scene.station[-1]))
    pane = [line(u + 3.0, v - 40.0, u + 3.0, v + 60.0, "fix"), line(u + 7.0, v - 40.0, u + 7.0, v + 60.0, "fix")]
    words = [] if frame.phone else [text(u + 13.0, v + 56.0, reader.say("drawing.held.glass"), "cap")]
    return [_ground(x - 18.0, x + 60.0, y + 3.0), *pane, *words]


def _wind(scene: HoldScene, frame: _Frame) -> list[str]:
    if scene.wind <= 0.0:
        return []
    out = []
    for share in (0.45, 0.7, 0.95):
        x, y = frame.pole.spot(share * float(scene.station[-1]))
        x -= 12.0
        out += [line(x - 24.0, y, x - 6.0, y, "thin"), arrow((x, y), (1.0, 0.0), 6.0)]
    return out


def _droop(scene: HoldScene, frame: _Frame, reader: Reader) -> list[str]:
    """From the unbent line to the bent pole, across the root axis, with the figure beside it."""
    length = scene.measured - scene.anchor
    x, y = frame.pole.spot(scene.measured)
    c, s = np.cos(scene.lean), np.sin(scene.lean)
    level, up = (float(np.interp(scene.measured, scene.station, v)) for v in (scene.x, scene.z))
    along = float(level * c + up * s)
    u, v = _straight(scene, frame, along)
    parts = [line(*_straight(scene, frame, min(along, length)), *_straight(scene, frame, max(along, length)), "hair")]
    far = float(np.hypot(x - u, y - v))
    if far > 3.0:
        way = ((x - u) / far, (y - v) / far)
        parts.append(line(u, v, x, y, "thin"))
        if far > 16.0:
            parts += [arrow((u, v), (-way[0], -way[1])), arrow((x, y), way)]
    droop = reader.text(scene.droop)
    if frame.phone:
        place = min(max(x, u) + 8.0, frame.width - 9.2 * len(droop))
        return [*parts, text(place, max(y, v) + 22.0, droop, "dim")]
    return [*parts, text(max(x, u) + 18.0, (y + v) / 2.0 + 5.0, droop, "dim")]


def _grips(scene: HoldScene, frame: _Frame, reader: Reader) -> list[str]:
    out = []
    for span, joint in scene.spans:
        if span.end - span.start < 1e-6:
            continue
        grip = "lean_deg" if joint is None else f"drawn-{joint}"
        out.append(
            f'<path d="{moves(frame.pole.run(span.start, span.end))}" class="grip-line" '
            f'stroke-width="{number(GRIP)}" data-drag="{grip}"><title>{escaped(reader.text(span.label))}</title></path>'
        )
    x, y = frame.pole.spot(float(scene.station[-1]))
    if scene.head > 0.0:
        out.append(rect(x - 4.0, y - 4.0, 8.0, 8.0, "arrow"))
    out.append(
        f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(GRIP / 2.0)}" class="grip-end" '
        f'data-drag="lean_deg"><title>{escaped(reader.say("drawing.held.drag_tip"))}</title></circle>'
    )
    return out


def _foot(scene: HoldScene, frame: _Frame, reader: Reader) -> list[str]:
    length, steps = bar_length(scene.longest, reader)
    words, state = (
        reader.say("drawing.pole.scale_short", bar=length, times=times_message(frame.thick)),
        reader.text(scene.state),
    )
    y = frame.height - (30.0 if frame.phone else 12.0)
    bar = scale_bar(14.0, y, length * frame.scale, steps, words)
    if frame.phone:
        return [bar, text(14.0, frame.height - 8.0, state, "cap")]
    return [bar, text(frame.width - 6.0, y + 4.0, state, "cap end")]


def split_drawing(
    parts: tuple[SplitPart, ...],
    spans: tuple[Span, ...],
    reader: Reader,
    *,
    title: Message | str,
    phone: bool = False,
    paper: bool = False,
) -> str:
    """Droop by place: the pole laid out straight, butt at the left, and over each place what it gives at the tip."""
    width, side, tall = (366.0, 12.0, 84.0) if phone else (760.0, 18.0, 96.0)
    length = max(s.end for s in spans)
    scale = (width - 2.0 * side) / length
    most = max([abs(p.value) for p in parts] or [0.0]) or 1.0
    has_less = any(p.value < -0.02 * most for p in parts)
    base = 24.0 + tall
    out, last = [], {True: -1e9, False: -1e9}
    for part in sorted(parts, key=lambda p: (p.end - p.start < 1e-6, p.start + p.end)):
        high = tall * part.value / most
        x1, x2 = side + part.start * scale, side + part.end * scale
        is_joint = part.end - part.start < 1e-6
        if is_joint:
            x1, x2 = x1 - 4.0, x2 + 4.0
        box = rect(
            x1 + 1.0, base - max(high, 0.0), max(x2 - x1 - 2.0, 1.0), abs(high), "joint-share" if is_joint else "share"
        )
        out.append(f"<g>{box}<title>{escaped(reader.text(part.words))}</title></g>")
        label = reader.text(part.label)
        wide = 6.4 * len(label)
        middle = min(max((x1 + x2) / 2.0, side + wide / 2.0), width - side - wide / 2.0)
        if is_joint:
            middle = min(x2 + wide / 2.0, width - side - wide / 2.0)  # beside the edge that two sections share
        if middle - wide / 2.0 > last[is_joint] + 3.0 and abs(part.value) > 0.015 * most:
            out.append(text(middle, base - max(high, 0.0) - 5.0, label, "small mid"))
            last[is_joint] = middle + wide / 2.0
    floor = base + (tall * max([-p.value for p in parts] or [0.0]) / most if has_less else 0.0)
    out.append(line(side, base, width - side, base, "line"))
    for span in spans:
        if span.end - span.start > 1e-6:
            middle = side + (span.start + span.end) / 2.0 * scale
            out += [
                line(side + span.start * scale, floor + 4.0, side + span.start * scale, floor + 12.0, "hair"),
                text(middle, floor + 15.0, span.short, "cap mid"),
            ]
    return svg(width, floor + 24.0, out, title=reader.text(title), paper=paper)
