"""The four figures beside the drawing, each with its change in words; one near its limit says the limit."""

from dataclasses import dataclass

from polewright.web.page_state import PageState
from polewright.words import Reader
from polewright.words.figures import closed_window_text, figure, mass_text, money, pole_mass, width_change
from polewright.workshop import BandWindow, Check, wish_limit

__all__ = ["Headline", "headlines"]

NEAR = 0.97  # of a limit: said to be near
HARDLY_OPEN = 1.1  # most over least tension of a clamp that is hardly open


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


def headlines(state: PageState) -> tuple[Headline, ...]:
    """Droop, mass, clamp window, material cost."""
    return _droop(state), _mass(state), _window(state), _cost(state)


def _beside(value: float, most: float | None, text: str, reader: Reader) -> tuple[str, bool]:
    """The limit as text if the figure is near or over it."""
    if most is None or value < NEAR * most:
        return "", False
    return reader.say("headline.over" if value > most else "headline.near", limit=text), True


def _droop(state: PageState) -> Headline:
    pole, old, reader = state.check.pole, state.saved, state.reader
    shown = figure(pole.droop, "length", reader, 0, 1, before=None if old is None else old.check.pole.droop)
    most = wish_limit(state.design, "wish.droop")
    text = "" if most is None else str(figure(most, "length", reader, 0, 1))
    limit, look = _beside(pole.droop, most, text, reader)
    name = reader.say("headline.droop" if state.out == len(state.design.joints) else "headline.droop.all_out")
    return Headline("droop", name, shown.number, shown.unit, shown.change, limit, look)


def _mass(state: PageState) -> Headline:
    pole, old, reader = state.check.pole, state.saved, state.reader
    shown = pole_mass(pole.mass, reader, before=None if old is None else old.check.pole.mass)
    most = wish_limit(state.design, "wish.mass")
    limit, look = _beside(pole.mass, most, "" if most is None else mass_text(most, reader), reader)
    return Headline("mass", reader.say("headline.mass"), shown.number, shown.unit, shown.change, limit, look)


def _tightest(check: Check) -> tuple[int, BandWindow] | None:
    windows = [(s.number, s.window) for s in check.sections if s.window is not None and s.window.least > 0.0]
    return min(windows, key=lambda w: w[1].most / w[1].least) if windows else None


def _window(state: PageState) -> Headline:
    found, reader = _tightest(state.check), state.reader
    if found is None:
        return Headline(
            "window", reader.say("headline.window"), reader.say("headline.window.none"), "",
            reader.say("headline.window.no_clamp"), "", False,
        )  # fmt: skip
    number, window = found
    old = None if state.saved is None else _tightest(state.saved.check)
    change = width_change(window.most, None if old is None else old[1].most, reader)
    name = reader.say("headline.window.section", section=number)
    if not window.is_open:
        limit = closed_window_text(window, reader)
        return Headline("window", name, reader.say("headline.window.none"), "", change, limit, True)
    near = window.most < HARDLY_OPEN * window.least
    return Headline(
        "window",
        name,
        reader.say("headline.window.range", least=window.least, most=window.most),
        reader.unit("force"),
        change,
        reader.say("headline.window.hardly") if near else "",
        near,
    )


def _cost(state: PageState) -> Headline:
    pole, old, reader = state.check.pole, state.saved, state.reader
    is_told = old is not None and old.check.pole.currency == pole.currency
    before = old.check.pole.material_cost if old is not None and is_told else None
    shown = money(pole.material_cost, pole.currency, reader, 0, before=before)
    most = wish_limit(state.design, "wish.material_cost")
    text = "" if most is None else str(money(most, pole.currency, reader, 0))
    limit, look = _beside(pole.material_cost, most, text, reader)
    return Headline("cost", reader.say("headline.cost"), shown.number, shown.unit, shown.change, limit, look)
