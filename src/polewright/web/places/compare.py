"""The place Compare: the pole at hand beside another revision of it, or beside another pole of the workshop."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Annotated, Any

from pydantic import Field

from polewright.web.page_state import PageState
from polewright.web.place_kind import PlaceKind, PlaceQuery, PlaceRequest
from polewright.words import Reader
from polewright.words.figures import figure, money
from polewright.workshop import BandWindow, Check, SectionAnswer, Workshop

__all__ = ["PLACE", "CompareQuery", "CompareRow", "CompareView", "compare_view"]

MOST_REVISIONS = 30  # to choose from
LESS, MORE = -1.0, 1.0  # which of two figures is better
Choice = tuple[str, str]


class CompareQuery(PlaceQuery):
    """What this pole is compared with: "pole:revision", a pole alone for its newest one, "" for the first choice."""

    beside: Annotated[str, Field(max_length=100, pattern=r"^([^/\\\x00-\x1f:]+(:\d{1,9})?)?$")] = ""


@dataclass(frozen=True, slots=True)
class CompareRow:
    """One figure of both, the difference in words, and which is better: "own", "other", or "" where neither is."""

    name: str
    own: str
    other: str
    difference: str
    better: str


@dataclass(frozen=True, slots=True)
class CompareView:
    """All that the place shows.

    groups : what may be compared with, by the code of the group. is_other_test : the other one is worked out in the
    test of the pole at hand, not in its own. is_other_load : it cannot be, their droops are under two loads.
    """

    groups: tuple[tuple[str, tuple[Choice, ...]], ...]
    beside: str
    own: str
    other: str
    rows: tuple[CompareRow, ...]
    sections: tuple[CompareRow, ...]
    is_other_load: bool
    is_other_test: bool = False


def compare_view(request: PlaceRequest, beside: str) -> CompareView:
    """The figures of the pole at hand beside those of another design.

    Raises
    ------
    Absent : no such pole or revision. DesignError : the other one cannot be computed.
    """
    workshop, state, say = request.workshop, request.state, request.state.reader.say
    groups = _groups(workshop, state)
    chosen = beside or next((value for _, choices in groups for value, _ in choices), "")
    if not chosen:
        return CompareView(groups, "", "", "", (), (), False)
    slug, _, number = chosen.partition(":")
    saved = workshop.designs.revision(slug, int(number) if number else None)
    own, as_saved = state.check, request.states.checked(saved.design)
    alike = request.states.in_same_test(saved.design, state.design)
    other = as_saved.check if alike is None else alike.check
    return CompareView(
        groups=groups,
        beside=chosen,
        own=say("place.compare.at_hand", pole=own.name),
        other=say("place.compare.saved", pole=other.name, number=saved.card.number),
        rows=_rows(own, other, as_saved.check, state.reader),
        sections=_section_rows(own, other, state.reader),
        is_other_load=alike is None,
        is_other_test=alike is not None and alike.design is not saved.design,
    )


def _groups(workshop: Workshop, state: PageState) -> tuple[tuple[str, tuple[Choice, ...]], ...]:
    """Revisions of this pole that differ from it, newest first, then the newest of each other pole."""
    slug, say = state.table.slug, state.reader.say
    now = state.design.content_hash()
    revisions = tuple(
        (f"{slug}:{card.number}", say("place.compare.revision", number=card.number, note=card.note).rstrip(" ,"))
        for card in workshop.designs.revisions(slug)[:MOST_REVISIONS]
        if card.content_hash != now
    )
    poles = tuple((card.slug, card.name) for card in workshop.designs.all() if card.slug != slug)
    return tuple((code, choices) for code, choices in (("revisions", revisions), ("poles", poles)) if choices)


def _is_same_load(own: Check, other: Check) -> bool:
    return abs(own.pole.droop_load - other.pole.droop_load) < 1e-6


@dataclass(frozen=True, slots=True)
class _Form:
    """How a figure is shown and judged: quantity, decimals in metric and inch, which way is better, 0 for neither."""

    quantity: str
    digits: int
    inch_digits: int
    better: float = 0.0


_MASS, _MOMENT, _REACH = _Form("mass", 0, 1, LESS), _Form("moment", 0, 0, MORE), _Form("reach", 2, 2)
_FIGURES: tuple[tuple[str, _Form, Callable[[Check], float]], ...] = (
    ("mass", _MASS, lambda c: c.pole.mass),
    ("droop", _Form("length", 0, 1, LESS), lambda c: c.pole.droop),
    ("extended", _REACH, lambda c: c.pole.extended),
    ("closed", _REACH, lambda c: c.pole.closed),
    ("balance", _REACH, lambda c: c.pole.balance),
    ("carry", _Form("carry", 2, 2, LESS), lambda c: c.pole.carry),
    ("base", _Form("length", 1, 3), lambda c: c.pole.base_outside),
    ("bending", _MOMENT, lambda c: min(s.bending.least for s in c.sections)),
)


def _rows(own: Check, other: Check, as_saved: Check, reader: Reader) -> tuple[CompareRow, ...]:
    """The whole poles; the findings of each are those of its own brief."""
    rows = []
    for code, form, read in _FIGURES:
        row = _row(reader.say(f"place.compare.{code}"), (read(own), read(other)), form, reader)
        is_told = code != "droop" or _is_same_load(own, other)
        rows.append(row if is_told else replace(row, difference="", better=""))
    margins = (own.pole.squeeze_margin, other.pole.squeeze_margin)
    rows.append(_number_row("clamps", margins, 2, MORE, reader))
    rows.append(
        _number_row("look", tuple(sum(not f.holds for f in c.findings) for c in (own, as_saved)), 0, LESS, reader)
    )
    rows.append(_cost(own, other, reader))
    return tuple(rows)


def _row(name: str, values: tuple[float, float], form: _Form, reader: Reader) -> CompareRow:
    """A figure [SI] of both poles."""
    own, other = values
    shown = figure(own, form.quantity, reader, form.digits, form.inch_digits, before=other)
    there = str(figure(other, form.quantity, reader, form.digits, form.inch_digits))
    if not shown.is_changed:
        return CompareRow(name, str(shown), there, reader.say("place.compare.same"), "")
    return CompareRow(name, str(shown), there, shown.change, _better(own, other, form.better))


def _better(own: float, other: float, way: float) -> str:
    """Which of two figures is better, where more (1) or less (-1) is."""
    return "" if way == 0.0 or own == other else "own" if (own - other) * way > 0.0 else "other"


def _number_row(code: str, values: tuple[float | None, ...], digits: int, better: float, reader: Reader) -> CompareRow:
    """A figure without a unit; None where a pole has none."""
    name, (own, other) = reader.say(f"place.compare.{code}"), values
    none = reader.say("given.nothing")
    if own is None or other is None:
        texts = [none if value is None else reader.number(value, digits) for value in values]
        return CompareRow(name, texts[0], texts[1], "", "")
    shown = money(own, "", reader, digits, before=other)
    words = shown.change if shown.is_changed else reader.say("place.compare.same")
    there = reader.number(other, digits)
    return CompareRow(name, shown.number, there, words, _better(own, other, better) if shown.is_changed else "")


def _cost(own: Check, other: Check, reader: Reader) -> CompareRow:
    """What the material costs; two currencies are not compared."""
    a, b, name = own.pole, other.pole, reader.say("place.compare.cost")
    is_same = a.currency == b.currency
    shown = money(a.material_cost, a.currency, reader, 2, before=b.material_cost if is_same else None)
    there = str(money(b.material_cost, b.currency, reader, 2))
    if not is_same:
        return CompareRow(name, str(shown), there, "", "")
    words = shown.change if shown.is_changed else reader.say("place.compare.same")
    better = _better(a.material_cost, b.material_cost, LESS) if shown.is_changed else ""
    return CompareRow(name, str(shown), there, words, better)


def _section_rows(own: Check, other: Check, reader: Reader) -> tuple[CompareRow, ...]:
    """Sections of one number beside each other, from the tip: mass, the moment that ends the wall, clamp window."""
    rows: list[CompareRow] = []
    for a, b in zip(own.sections, other.sections, strict=False):
        mass, bending = (reader.say(f"place.compare.section.{code}", number=a.number) for code in ("mass", "bending"))
        rows.append(_row(mass, (a.mass, b.mass), _MASS, reader))
        rows.append(_row(bending, (a.bending.least, b.bending.least), _MOMENT, reader))
        if a.window is not None or b.window is not None:
            rows.append(_window_row(a, b, reader))
    return tuple(rows)


def _window_row(own: SectionAnswer, other: SectionAnswer, reader: Reader) -> CompareRow:
    """The clamp of a section: its tensions, and by how much more it may be tightened before the wall gives way."""
    texts = [_window_text(s.window, reader) for s in (own, other)]
    name, words, better = reader.say("place.compare.section.window", number=own.number), "", ""
    if own.window is not None and other.window is not None:
        a, b = (w.most - w.least for w in (own.window, other.window))
        shown = figure(a, "force", reader, 0, before=b)
        words = reader.say("place.compare.same")
        if shown.is_changed:
            wider = figure(abs(a - b), "force", reader, 0)
            words = reader.say(f"change.width.{'more' if a > b else 'less'}", by=str(wider))
            better = _better(a, b, MORE)
    return CompareRow(name, texts[0], texts[1], words, better)


def _window_text(window: BandWindow | None, reader: Reader) -> str:
    if window is None:
        return reader.say("given.nothing")
    text = reader.say("headline.window.range", least=window.least, most=window.most)
    return f"{text}\u00a0{reader.unit('force')}"


def _values(request: PlaceRequest) -> dict[str, Any]:
    return {"compare": compare_view(request, request.query.beside)}


PLACE = PlaceKind("keep", 2, _values, query=CompareQuery)
