"""What the hundredth pole will be like, as it is published: figures in the workshop's units, texts of a reader."""

from typing import Literal

from polewright.answers.scatter import FigureBand, MatterShare, OrderAnswer, PromiseChance, ScatterAnswer
from polewright.answers.scatter import InputSpread as InputTaken
from polewright.documents.document import Document, Part
from polewright.scatter import FIGURES
from polewright.units import si, to
from polewright.words.reader import Reader
from polewright.words.reports.plain import plain_text
from polewright.words.scatter import figure_text, input_text, matter_text, promise_text

__all__ = [
    "InputSpread",
    "MatterRow",
    "OrderFigures",
    "PromiseFigures",
    "ScatterReport",
    "ScatteredFigure",
    "scatter_report",
]

FLEX_UNIT = "mm per 100 g"
UNITS = {"mass": "g", "carry": "kg m", "added_droop": FLEX_UNIT}


class ScatteredFigure(Part):
    """One figure among all copies; `.._pm` is what the sampling leaves open, at 95 %."""

    name: str
    unit: str
    nominal: float
    mean: float
    mean_pm: float
    sd: float
    sd_pm: float
    low: float
    low_pm: float
    high: float
    high_pm: float


class PromiseFigures(Part):
    """How often one promise is missed, or any of them; the band holds the true chance in 95 of 100 cases."""

    says: str
    figure: str = ""
    limit: float | None = None
    unit: str = ""
    missed: int
    of: int
    chance_pct: float
    chance_low_pct: float
    chance_high_pct: float


class OrderFigures(Part):
    """Poles to make for an order; None where no number would do. `lots_alike` is how far poles of a lot miss together.

    to_make: at the chance as seen; to_make_cautious: at the far end of its band; to_make_apart: if every pole had lots
    of its own.
    """

    order: int
    confidence_pct: float
    passing_pct: float
    lots_alike: float
    to_make: int | None = None
    to_make_cautious: int | None = None
    to_make_apart: int | None = None


class MatterRow(Part):
    """What one input gives of a figure's variance: as a straight line sees it, by itself, and with all it joins."""

    figure: str
    input: str
    line_pct: float | None = None
    first_pct: float
    first_pm_pct: float
    total_pct: float
    total_pm_pct: float


class InputSpread(Part):
    """The spread taken for one input: standard deviations between lots, tubes (or joints) and plies."""

    input: str
    material: str = ""
    unit: str
    lots: float
    tubes: float
    plies: float
    shape: Literal["normal", "lognormal", "uniform", "truncated"]
    source: str
    confidence: str


class ScatterReport(Document):
    """What the hundredth pole will be like."""

    document: Literal["scatter-report"] = "scatter-report"
    name: str
    design_hash: str
    poles: int
    seed: int
    replicates: int
    coverage_pct: float
    figures: tuple[ScatteredFigure, ...]
    promises: tuple[PromiseFigures, ...]
    order: OrderFigures
    matters: tuple[MatterRow, ...]
    spreads: tuple[InputSpread, ...]
    assumptions: tuple[str, ...]


def scatter_report(answer: ScatterAnswer, reader: Reader) -> ScatterReport:
    """The answer as it is published, its texts for a reader; figures are metric for every reader."""
    reader = Reader(reader.language)
    return ScatterReport(
        name=answer.name,
        design_hash=answer.design_hash,
        poles=answer.poles,
        seed=answer.seed,
        replicates=answer.replicates,
        coverage_pct=to(answer.coverage, "%"),
        figures=tuple(_figure(f, reader) for f in answer.figures),
        promises=tuple(_promise(p, reader) for p in answer.promises),
        order=_order(answer.order),
        matters=tuple(_matter(m, reader) for m in answer.matters),
        spreads=tuple(_input(s, reader) for s in answer.spreads),
        assumptions=tuple(_plain(reader.text(message)) for message in answer.assumptions),
    )


def _plain(text: str) -> str:
    return plain_text(text).replace("mm/100 g", FLEX_UNIT)


def _unit(kind: str) -> tuple[str, float]:
    """The unit a figure is published in, and what an SI one is multiplied by."""
    unit = UNITS.get(kind, "mm")
    if unit == FLEX_UNIT:
        return unit, to(si("load_g", 100.0), "mm")
    return unit, to(1.0, unit)


def _figure(band: FigureBand, reader: Reader) -> ScatteredFigure:
    unit, factor = _unit(band.figure.kind)
    numbers: dict[str, float] = {}
    for name, number in (("mean", band.mean), ("sd", band.deviation), ("low", band.low), ("high", band.high)):
        numbers[name], numbers[f"{name}_pm"] = number.value * factor, number.half_width() * factor
    name = _plain(figure_text(band.figure, reader))
    return ScatteredFigure(name=name, unit=unit, nominal=band.nominal * factor, **numbers)


def _promise(p: PromiseChance, reader: Reader) -> PromiseFigures:
    seen = p.chance
    numbers = {
        "chance_pct": to(seen.value, "%"),
        "chance_low_pct": to(seen.low, "%"),
        "chance_high_pct": to(seen.high, "%"),
    }
    says = _plain(promise_text(p, reader))
    if p.figure is None:
        return PromiseFigures(says=says, missed=p.missed, of=p.of, **numbers)
    unit, factor = _unit(p.figure.kind)
    figure = _plain(figure_text(p.figure, reader))
    return PromiseFigures(
        says=says, figure=figure, limit=p.limit * factor, unit=unit, missed=p.missed, of=p.of, **numbers
    )


def _order(order: OrderAnswer) -> OrderFigures:
    return OrderFigures(
        order=order.order,
        confidence_pct=to(order.confidence, "%"),
        passing_pct=to(order.passing, "%"),
        lots_alike=order.alike,
        to_make=order.make,
        to_make_cautious=order.cautious,
        to_make_apart=order.apart,
    )


def _matter(m: MatterShare, reader: Reader) -> MatterRow:
    return MatterRow(
        figure=_plain(figure_text(m.figure, reader)),
        input=_plain(matter_text(m.input, m.between, reader)),
        line_pct=None if m.line is None else to(m.line, "%"),
        first_pct=to(m.first.value, "%"),
        first_pm_pct=to(m.first.half_width(), "%"),
        total_pct=to(m.total.value, "%"),
        total_pm_pct=to(m.total.half_width(), "%"),
    )


def _input(taken: InputTaken, reader: Reader) -> InputSpread:
    spread = taken.spread
    unit = {"-": "%", "rad": "°", "m": "mm"}[FIGURES[spread.figure].unit]
    return InputSpread(
        input=_plain(input_text(spread.figure, reader)),
        material=taken.material,
        unit=unit,
        lots=to(spread.lot, unit),
        tubes=to(spread.tube, unit),
        plies=to(spread.ply, unit),
        shape=spread.shape,
        source=_plain(reader.text(spread.source)),
        confidence=spread.confidence,
    )
