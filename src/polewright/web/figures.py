"""The four figures beside the drawing, each with its change in words; one near its limit says the limit."""

from dataclasses import dataclass

from polewright.documents.design import Design
from polewright.documents.report import BandFigures, CheckReport
from polewright.units import si, to
from polewright.web.say import changed, say, spoken
from polewright.web.sight import Sight

__all__ = ["Headline", "headlines", "limit_of_droop"]

NEAR = 0.97  # of a limit: said to be near


@dataclass(frozen=True, slots=True)
class Headline:
    """One of the four figures: name, number, unit, change in words, limit in words if it is near or over."""

    key: str
    name: str
    number: str
    unit: str
    change: str
    limit: str
    look: bool


def headlines(sight: Sight) -> tuple[Headline, ...]:
    """Droop, mass, clamp window, material cost."""
    return _droop(sight), _mass(sight), _window(sight), _cost(sight)


def limit_of_droop(design: Design) -> float | None:
    """[mm] that the brief allows with all sections out."""
    limits = [w.at_most_mm for w in design.brief.droop if w.out in (0, len(design.joints)) and w.at_most_mm is not None]
    return limits[0] if limits else None


def _against(value: float, most: float | None, words: str) -> tuple[str, bool]:
    """The limit in words if the figure is near or over it."""
    if most is None or value < NEAR * most:
        return "", False
    return (f"over the limit, {words}" if value > most else f"near the limit, {words}"), True


def _droop(sight: Sight) -> Headline:
    pole, old = sight.report.pole, sight.saved
    said = say(
        si("x_mm", pole.droop_mm),
        "length",
        sight.system,
        0,
        1,
        before=None if old is None else si("x_mm", old.report.pole.droop_mm),
    )
    most = limit_of_droop(sight.design)
    words = "" if most is None else str(say(si("x_mm", most), "length", sight.system, 0, 1))
    limit, look = _against(pole.droop_mm, most, words)
    name = "Droop at the tip" if sight.out == len(sight.design.joints) else "Droop at the tip, all out"
    return Headline("droop", name, said.number, said.unit, said.change, limit, look)


def _mass(sight: Sight) -> Headline:
    pole, old, metric = sight.report.pole, sight.saved, sight.system == "metric"
    unit = "kg" if metric else "lb"
    value = to(si("x_g", pole.mass_g), unit)
    small = "g" if metric else "oz"
    before = None if old is None else to(si("x_g", old.report.pole.mass_g), small)
    change = changed(to(si("x_g", pole.mass_g), small), before, 0 if metric else 1, unit=small)
    most = sight.design.brief.mass_at_most_g
    words = "" if most is None else f"{spoken(to(si('x_g', most), unit), 3 if metric else 2)} {unit}"
    limit, look = _against(pole.mass_g, most, words)
    return Headline("mass", "Ready to work", spoken(value, 3 if metric else 2), unit, change, limit, look)


def _tightest(report: CheckReport) -> tuple[int, BandFigures] | None:
    windows = [(s.number, s.window) for s in report.sections if s.window is not None and s.window.least_N > 0.0]
    return min(windows, key=lambda w: w[1].most_N / w[1].least_N) if windows else None


def _window(sight: Sight) -> Headline:
    found, metric = _tightest(sight.report), sight.system == "metric"
    if found is None:
        return Headline("window", "Clamp window", "none", "", "no clamp on this pole", "", False)
    number, window = found
    old = None if sight.saved is None else _tightest(sight.saved.report)
    unit = "N" if metric else "lbf"
    least, most = (to(si("x_N", v), unit) for v in (window.least_N, window.most_N))
    change = (
        ""
        if old is None
        else changed(most, to(si("x_N", old[1].most_N), unit), 0, more="wider", less="narrower", unit=unit)
    )
    if not window.is_open:
        digits = 0 if round(least) > round(most) else 1
        return Headline(
            "window",
            f"Clamp window, section {number}",
            "none",
            "",
            change,
            f"holds from {least:.{digits}f}, crushes at {most:.{digits}f} {unit}",
            True,
        )
    near = window.most_N < 1.1 * window.least_N
    return Headline(
        "window",
        f"Clamp window, section {number}",
        f"{least:.0f}\u2013{most:.0f}",
        unit,
        change,
        "hardly open" if near else "",
        near,
    )


def _cost(sight: Sight) -> Headline:
    pole, old = sight.report.pole, sight.saved
    change = changed(pole.material_cost, None if old is None else old.report.pole.material_cost, 0)
    most = sight.design.brief.material_cost_at_most
    limit, look = _against(pole.material_cost, most, "" if most is None else f"{spoken(most, 0)} {pole.currency}")
    return Headline("cost", "Material", spoken(pole.material_cost, 0), pole.currency, change, limit, look)
