"""The place Spread: bands of every figure, chances of a miss, an order, what matters most; or where sampling stands."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from polewright.codes import Message
from polewright.drawings.spread import BandRow, ShareRow, bands_drawing, shares_drawing
from polewright.errors import DesignError
from polewright.web.job_lines import job_line
from polewright.web.page_state import PageState
from polewright.web.place_kind import ActionRequest, PlaceKind, PlaceRequest
from polewright.words import Reader
from polewright.words.scatter import (
    figure_number,
    figure_text,
    figure_unit,
    input_number,
    input_text,
    input_unit,
    limit_text,
    matter_text,
    order_text,
    promise_text,
    source_text,
)
from polewright.workshop import Job
from polewright.workshop.scatter import FigureBand, MatterShare, PromiseChance, ScatterAnswer

__all__ = ["COPIES", "PLACE", "Picture", "SpreadAnswer", "SpreadTable", "SpreadView", "spread_view"]

COPIES = (256, 1024, 4096)
ORDER = 10
MOST_ORDER = 10_000
LEAST_CHANCE = 0.1  # [-] to which the scale of chances reaches at least
SHOWN = 6  # inputs a figure, the larger shares


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing for a desk and for a phone under its heading."""

    title: str
    drawing: str
    hand_drawing: str


@dataclass(frozen=True, slots=True)
class SpreadTable:
    """Figures in columns: the first names the row; numbers: whether a column is set flush right."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class SpreadAnswer:
    """All that the copies say."""

    head: str
    is_stale: bool
    bands: Picture
    chances: Picture
    order: str
    order_title: str
    lots: str
    matters: tuple[Picture, ...]
    tables: tuple[SpreadTable, ...]
    assumptions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SpreadView:
    """The place. doing : where a sampling under way stands, or "". faults : why the last one gave nothing."""

    doing: str
    share: float | None
    faults: tuple[str, ...]
    copies: int
    order: int
    choices: tuple[int, ...]
    answer: SpreadAnswer | None


def spread_view(state: PageState, job: Job | None, answer: ScatterAnswer | None) -> SpreadView:
    """The place as the newest sampling stands."""
    reader, is_doing = state.reader, job is not None and job.is_under_way
    progress = None if job is None or not is_doing or job.progress.of == 0 else job.progress
    return SpreadView(
        doing=job_line(job, reader) if job is not None and is_doing else "",
        share=None if progress is None else progress.done / progress.of,
        faults=() if job is None or is_doing else tuple(reader.fault(*fault) for fault in job.faults),
        copies=1024 if answer is None else min(COPIES, key=lambda copies: abs(copies - answer.poles)),
        order=ORDER if answer is None else answer.order.order,
        choices=COPIES,
        answer=None if answer is None or job is None or is_doing else _answer(state, answer, job),
    )


def _answer(state: PageState, a: ScatterAnswer, job: Job) -> SpreadAnswer:
    reader, say, o = state.reader, state.reader.say, a.order
    make = {
        name: order_text(count, reader)
        for name, count in (("make", o.make), ("cautious", o.cautious), ("apart", o.apart))
    }
    return SpreadAnswer(
        head=say("place.spread.head", poles=a.poles),
        is_stale=job.about != state.design.content_hash(),
        bands=_bands(a, reader),
        chances=_chances(a, reader),
        order_title=say("scatter.order", order=o.order),
        order=_capital(say("scatter.order.make", order=o.order, confidence=o.confidence, **make)),
        lots=_capital(say("scatter.order.lots", passing=o.passing, alike=o.alike)),
        matters=tuple(
            _matters([m for m in a.matters if m.figure == f], reader)
            for f in dict.fromkeys(m.figure for m in a.matters)
        ),
        tables=(_figure_table(a, reader), _promise_table(a, reader), _input_table(a, reader)),
        assumptions=tuple(_capital(reader.text(message)) for message in a.assumptions),
    )


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _bands(a: ScatterAnswer, reader: Reader) -> Picture:
    title = reader.say("scatter.figures", coverage=a.coverage)
    rows = [_band_row(band, a, reader) for band in a.figures]
    drawn = (bands_drawing(rows, title=title, phone=phone) for phone in (False, True))
    return Picture(title, *drawn)


def _band_row(band: FigureBand, a: ScatterAnswer, reader: Reader) -> BandRow:
    figure, unit = band.figure, figure_unit(band.figure, reader)
    low, high, nominal = (figure_number(figure, v, reader) for v in (band.low.value, band.high.value, band.nominal))
    promised = [p for p in a.promises if p.figure == figure]
    about = reader.say(
        "place.spread.about", figure=figure_text(figure, reader), low=low, high=high, nominal=nominal, unit=unit
    )
    limits = "; ".join(reader.say("place.spread.limit", limit=limit_text(figure, p.limit, reader)) for p in promised)
    return BandRow(
        label=figure_text(figure, reader),
        low=band.low.value,
        high=band.high.value,
        mean=band.mean.value,
        nominal=band.nominal,
        limits=tuple(p.limit for p in promised if _is_near(p, band)),
        low_text=low,
        high_text=f"{high}\u00a0{unit}",
        about=f"{about}; {limits}" if limits else about,
    )


def _is_near(promise: PromiseChance, band: FigureBand) -> bool:
    """Whether a limit lies so near that the band can still be seen beside it."""
    wide = band.high.value - band.low.value
    return band.low.value - 2.0 * wide <= promise.limit <= band.high.value + 2.0 * wide


def _chances(a: ScatterAnswer, reader: Reader) -> Picture:
    title = reader.say("scatter.promises")
    rows = [
        ShareRow(
            label=promise_text(p, reader),
            value=p.chance.value,
            low=p.chance.low,
            high=p.chance.high,
            value_text=reader.say("place.spread.chance", chance=p.chance.value, low=p.chance.low, high=p.chance.high),
        )
        for p in a.promises
    ]
    drawn = (shares_drawing(rows, title=title, least_scale=LEAST_CHANCE, phone=phone) for phone in (False, True))
    return Picture(title, *drawn)


def _matters(rows: list[MatterShare], reader: Reader) -> Picture:
    title = reader.say("scatter.matters", figure=figure_text(rows[0].figure, reader))
    shown = [
        ShareRow(
            label=matter_text(m.input, m.between, reader),
            value=max(m.total.value, 0.0),
            low=m.total.value - m.total.half_width(),
            high=m.total.value + m.total.half_width(),
            value_text=reader.say("place.spread.share", total=m.total.value, first=max(m.first.value, 0.0)),
            part=max(m.first.value, 0.0),
        )
        for m in rows[:SHOWN]
    ]
    drawn = (shares_drawing(shown, title=title, phone=phone) for phone in (False, True))
    return Picture(title, *drawn)


def _head(names: tuple[str, ...], reader: Reader) -> tuple[str, ...]:
    return tuple(reader.say(f"scatter.table.{name}") for name in names)


def _figure_table(a: ScatterAnswer, reader: Reader) -> SpreadTable:
    def within(band: FigureBand, end: str) -> str:
        known = getattr(band, end)
        value, width = (figure_number(band.figure, v, reader) for v in (known.value, known.half_width()))
        return reader.say("scatter.within", value=value, open=width)

    rows = tuple(
        (
            figure_text(b.figure, reader),
            figure_unit(b.figure, reader),
            *(figure_number(b.figure, v, reader) for v in (b.nominal, b.mean.value, b.deviation.value)),
            within(b, "low"),
            within(b, "high"),
        )
        for b in a.figures
    )
    head = _head(("figure", "unit", "nominal", "mean", "deviation", "low", "high"), reader)
    return SpreadTable(reader.say("place.spread.figures"), head, rows, (False, False, *(True,) * 5))


def _promise_table(a: ScatterAnswer, reader: Reader) -> SpreadTable:
    def row(p: PromiseChance) -> tuple[str, ...]:
        chance, low, high = (reader.bare(v, "share", 2) for v in (p.chance.value, p.chance.low, p.chance.high))
        ends = reader.say("scatter.between_ends", low=low, high=high)
        return (promise_text(p, reader), reader.number(p.missed, 0), reader.number(p.of, 0), chance, ends)

    head = _head(("promise", "missed", "of", "chance", "true"), reader)
    rows = tuple(row(p) for p in a.promises)
    return SpreadTable(reader.say("scatter.promises"), head, rows, (False, *(True,) * 4))


def _input_table(a: ScatterAnswer, reader: Reader) -> SpreadTable:
    def row(material: str, figure: str, deviations: tuple[float, ...], source: str) -> tuple[str, ...]:
        name = input_text(figure, reader)
        named = reader.say("scatter.input_of", input=name, material=material) if material else name
        return (named, input_unit(figure, reader), *(input_number(figure, v, reader) for v in deviations), source)

    head = _head(("input", "unit", "lots", "tubes", "plies", "source"), reader)
    rows = []
    for taken in a.spreads:
        s = taken.spread
        source = source_text(s.source, s.confidence, reader)
        rows.append(row(taken.material, s.figure, (s.lot, s.tube, s.ply), source))
    return SpreadTable(reader.say("scatter.inputs"), head, tuple(rows), (False, False, True, True, True, False))


def _values(request: PlaceRequest) -> dict[str, Any]:
    samplings = request.workshop.samplings
    job, answer = samplings.latest(request.slug), samplings.answer(request.slug)
    return {"spread": spread_view(request.state, job, answer)}


def _start(request: ActionRequest) -> None:
    """Sample the copies of the pole at hand."""
    copies, order = _count(request.form, "copies", max(COPIES)), _count(request.form, "order", MOST_ORDER)
    design = request.drafts.look(request.slug).design
    request.workshop.samplings.start(request.slug, design, poles=copies, order=order)


def _stop(request: ActionRequest) -> None:
    """No further copies; nothing is kept of those there."""
    request.workshop.samplings.stop(request.slug)


def _count(form: Mapping[str, str], field: str, most: int) -> int:
    """A whole number of a form.

    Raises
    ------
    DesignError : it is none, or out of its range.
    """
    typed = form.get(field, "").strip()
    if not typed.isdecimal() or not 1 <= int(typed) <= most:
        raise DesignError(field, repr(typed), Message("want.whole_number_between", least=1, most=most))
    return int(typed)


PLACE = PlaceKind("design", 5, _values, actions={"": _start, "stop": _stop}, job="scatter")
