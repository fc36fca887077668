"""The trade between cost, droop and mass as a plot: every pole a mark to click, the present pole beside them."""

from dataclasses import dataclass
from math import ceil, floor, log10

from polewright.codes import Message
from polewright.drawings.style import escaped, line, number, path, svg, text
from polewright.words.forms import value_text
from polewright.words.reader import Reader

__all__ = ["FrontPoint", "front_drawing"]

DESK, PHONE = (720.0, 380.0), (366.0, 320.0)
LEFT, RIGHT, TOP, FOOT = 52.0, 24.0, 30.0, 52.0
LARGEST, SMALLEST = 11.0, 4.5


@dataclass(frozen=True, slots=True)
class FrontPoint:
    """One pole: across, up in the plot's units (cost, droop); weight in any unit, larger is a larger mark.

    label: short, beside the mark; words: read out and shown on hover; href: where a click leads, "" for nowhere;
    is_met: meets the brief (a filled mark); is_chosen: the one that is looked at; is_present: the pole at hand.
    """

    across: float
    up: float
    weight: float
    label: Message | str
    words: Message | str
    href: str = ""
    is_met: bool = True
    is_chosen: bool = False
    is_present: bool = False


@dataclass(frozen=True, slots=True)
class _Axis:
    """Values from low to high in steps, drawn from start to end."""

    low: float
    high: float
    step: float
    start: float
    end: float

    def at(self, value: float) -> float:
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    @property
    def ticks(self) -> list[float]:
        return [self.low + i * self.step for i in range(round((self.high - self.low) / self.step) + 1)]


def _axis(values: list[float], start: float, end: float, steps: int) -> _Axis:
    """Round ends and at most about so many steps around the values."""
    low, high = min(values), max(values)
    span = max(high - low, abs(high) * 0.1, 1e-9)
    rough = span / steps
    size = 10.0 ** floor(log10(rough))
    step = next(m * size for m in (1.0, 2.0, 5.0, 10.0) if m * size >= rough)
    return _Axis(floor(low / step) * step, ceil((low + span) / step) * step, step, start, end)


def front_drawing(
    points: list[FrontPoint],
    reader: Reader,
    *,
    across: str,
    up: str,
    weight: str,
    title: str,
    paper: bool = False,
    phone: bool = False,
) -> str:
    """The plot as SVG; `across`, `up` and `weight` name the three figures with their units.

    A filled mark meets the brief, a hollow one does not, a cross is the pole at hand; larger marks are heavier.
    """
    width, height = PHONE if phone else DESK
    if not points:
        return svg(width, 60.0, [text(LEFT, 34.0, reader.say("drawing.front.empty"), "cap")], title=title, paper=paper)
    wide = _axis([p.across for p in points], LEFT, width - RIGHT, 4 if phone else 6)
    tall = _axis([p.up for p in points], height - FOOT, TOP, 5)
    foot = reader.say("drawing.front.foot_short") if phone else reader.say("drawing.front.foot", weight=weight)
    parts = [
        *_grid(wide, tall, reader),
        text(width - RIGHT, height - 10.0, across, "cap end"),
        text(4.0, 16.0, up, "cap"),
        text(4.0, height - 10.0, foot, "cap"),
    ]
    heavy, light = max(p.weight for p in points), min(p.weight for p in points)
    for point in sorted(points, key=lambda p: (not p.is_present, -p.weight)):
        share = 1.0 if heavy <= light else (point.weight - light) / (heavy - light)
        parts.append(
            _mark(point, wide.at(point.across), tall.at(point.up), SMALLEST + share * (LARGEST - SMALLEST), reader)
        )
    # a picture may hold no links for those who cannot see it; a group may
    return svg(width, height, parts, title=title, paper=paper).replace('role="img"', 'role="group"', 1)


def _grid(wide: _Axis, tall: _Axis, reader: Reader) -> list[str]:
    parts = [
        path(
            [(wide.start, tall.start), (wide.end, tall.start), (wide.end, tall.end), (wide.start, tall.end)],
            "hair",
            closed=True,
        )
    ]
    for tick in wide.ticks:
        x = wide.at(tick)
        parts += [
            line(x, tall.start, x, tall.start + 5.0, "hair"),
            text(x, tall.start + 18.0, value_text(tick, "number", reader), "cap mid"),
        ]
    for tick in tall.ticks:
        y = tall.at(tick)
        parts += [
            line(wide.start - 5.0, y, wide.start, y, "hair"),
            text(wide.start - 8.0, y + 4.0, value_text(tick, "number", reader), "cap end"),
        ]
    return parts


def _mark(point: FrontPoint, x: float, y: float, size: float, reader: Reader) -> str:
    label, words = reader.text(point.label), escaped(reader.text(point.words))
    if point.is_present:
        arm = size + 5.0
        shape = path([(x - arm, y - arm), (x + arm, y + arm)]) + path([(x - arm, y + arm), (x + arm, y - arm)])
        shape += text(x, y + arm + 12.0, label, "cap mid")
    else:
        kind = "dot" if point.is_met else "outline"
        shape = f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(size)}" class="{kind}"/>'
        shape += text(x + size + 4.0, y - size - 1.0, label, "cap")
    if point.is_chosen:
        shape += f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(size + 5.0)}" class="lookline"/>'
    inner = f"<title>{words}</title>{shape}"
    if not point.href:
        return f"<g>{inner}</g>"
    # a mark is small: an unseen ring around it takes the finger
    reach = f'<circle cx="{number(x)}" cy="{number(y)}" r="22" fill="none" pointer-events="all"/>'
    return f'<a href="{escaped(point.href)}" aria-label="{words}">{inner}{reach}</a>'
