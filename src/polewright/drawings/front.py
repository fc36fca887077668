"""The trade between cost, droop and mass as a plot: every pole a mark to click, the present pole beside them."""

from dataclasses import dataclass
from math import ceil, floor, log10

from polewright.drawings.style import escaped, line, number, path, rect, svg, text

__all__ = ["FrontPoint", "front_drawing"]

WIDTH, HEIGHT = 720.0, 380.0
LEFT, RIGHT, TOP, FOOT = 64.0, 24.0, 20.0, 52.0
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
    label: str
    words: str
    href: str = ""
    is_met: bool = True
    is_chosen: bool = False
    is_present: bool = False


@dataclass(frozen=True, slots=True)
class _Axis:
    low: float
    high: float
    step: float

    def share(self, value: float) -> float:
        return (value - self.low) / (self.high - self.low)

    @property
    def ticks(self) -> list[float]:
        return [self.low + i * self.step for i in range(round((self.high - self.low) / self.step) + 1)]


def _axis(values: list[float]) -> _Axis:
    """Round ends and steps, about five, around the values."""
    low, high = min(values), max(values)
    span = max(high - low, abs(high) * 0.1, 1e-9)
    rough = span / 5.0
    size = 10.0 ** floor(log10(rough))
    step = next(m * size for m in (1.0, 2.0, 5.0, 10.0) if m * size >= rough)
    low, high = floor(low / step) * step, ceil((low + span) / step) * step
    return _Axis(low, high, step)


def front_drawing(points: list[FrontPoint], *, across: str, up: str, weight: str, title: str,
                  paper: bool = False) -> str:
    """The plot as SVG; `across`, `up` and `weight` name the three figures with their units.

    A filled mark meets the brief, a hollow one does not, a cross is the pole at hand; larger marks are heavier.
    """
    if not points:
        return svg(WIDTH, 60.0, [text(LEFT, 34.0, "no pole to show", "cap")], title=title, paper=paper)
    wide, tall = _axis([p.across for p in points]), _axis([p.up for p in points])
    parts = [*_grid(wide, tall), text(WIDTH - RIGHT, HEIGHT - 10.0, across, "cap end"),
             text(LEFT - 48.0, TOP - 6.0, up, "cap"),
             text(LEFT, HEIGHT - 10.0, f"{weight}: larger marks are heavier; hollow: misses the brief", "cap")]
    heavy, light = max(p.weight for p in points), min(p.weight for p in points)
    for point in sorted(points, key=lambda p: -p.weight):
        share = 1.0 if heavy <= light else (point.weight - light) / (heavy - light)
        parts.append(_mark(point, _x(wide, point.across), _y(tall, point.up), SMALLEST + share * (LARGEST - SMALLEST)))
    return svg(WIDTH, HEIGHT, parts, title=title, paper=paper)


def _x(axis: _Axis, value: float) -> float:
    return LEFT + axis.share(value) * (WIDTH - LEFT - RIGHT)


def _y(axis: _Axis, value: float) -> float:
    return HEIGHT - FOOT - axis.share(value) * (HEIGHT - TOP - FOOT)


def _grid(wide: _Axis, tall: _Axis) -> list[str]:
    parts = [rect(LEFT, TOP, WIDTH - LEFT - RIGHT, HEIGHT - TOP - FOOT, "hair")]
    for tick in wide.ticks:
        x = _x(wide, tick)
        parts += [line(x, HEIGHT - FOOT, x, HEIGHT - FOOT + 5.0, "hair"),
                  text(x, HEIGHT - FOOT + 18.0, f"{tick:g}", "cap mid")]
    for tick in tall.ticks:
        y = _y(tall, tick)
        parts += [line(LEFT - 5.0, y, LEFT, y, "hair"), text(LEFT - 8.0, y + 4.0, f"{tick:g}", "cap end")]
    return parts


def _mark(point: FrontPoint, x: float, y: float, size: float) -> str:
    if point.is_present:
        shape = path([(x - 7.0, y - 7.0), (x + 7.0, y + 7.0)]) + path([(x - 7.0, y + 7.0), (x + 7.0, y - 7.0)])
    else:
        kind = "dot" if point.is_met else "outline"
        shape = f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(size)}" class="{kind}"/>'
    if point.is_chosen:
        shape += f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(size + 5.0)}" class="lookline"/>'
    shape += text(x + size + 4.0, y - size - 1.0, point.label, "cap")
    inner = f"<title>{escaped(point.words)}</title>{shape}"
    if not point.href:
        return f"<g>{inner}</g>"
    # a mark is small: an unseen ring around it takes the finger
    reach = f'<circle cx="{number(x)}" cy="{number(y)}" r="22" fill="none" pointer-events="all"/>'
    return f'<a href="{escaped(point.href)}" aria-label="{escaped(point.words)}">{inner}{reach}</a>'
