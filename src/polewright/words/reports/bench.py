"""A test evaluated, as it is published: figures in the workshop's units, texts of a reader."""

from typing import Literal

from polewright.answers.bench_answer import BenchAnswer, BenchFigure
from polewright.documents.document import Document, Part
from polewright.units import QUANTITIES, to
from polewright.words.reader import Reader

__all__ = ["BenchResult", "BudgetLine", "FigureLine", "bench_result"]

Verdict = Literal["agrees", "reads low", "reads high", "cannot tell"]

_PRINTED = {"N m2": "N m²", "mm/100 g": "mm per 100 g"}  # units of the table that are published otherwise
_VERDICTS: dict[str, Verdict] = {
    "agrees": "agrees",
    "reads_low": "reads low",
    "reads_high": "reads high",
    "cannot_tell": "cannot tell",
}


class BudgetLine(Part):
    """One input of the uncertainty and its part, in the unit of the result."""

    name: str
    part: float


class FigureLine(Part):
    """A further figure of the same test, beside its prediction."""

    name: str
    unit: str
    measured: float
    uncertainty: float
    predicted: float
    predicted_uncertainty: float
    verdict: Verdict


class BenchResult(Document):
    """A test evaluated: the figure with its expanded uncertainty (covers 95 %), beside the prediction."""

    document: Literal["bench-result"] = "bench-result"
    serial: str
    pole: str
    what: str
    unit: str
    measured: float
    uncertainty: float
    predicted: float
    predicted_uncertainty: float
    difference_pct: float
    blur_pct: float
    normalised_error: float
    verdict: Verdict
    says: str
    uncorrected: float | None = None
    notes: tuple[str, ...]
    budget: tuple[BudgetLine, ...]
    further: tuple[FigureLine, ...] = ()
    causes: tuple[str, ...] = ()


def bench_result(answer: BenchAnswer, reader: Reader) -> BenchResult:
    """The answer as it is published, its texts for a reader; figures are metric for every reader."""
    unit = QUANTITIES[answer.quantity].metric
    beside = answer.comparison
    return BenchResult(
        serial=answer.serial,
        pole=answer.pole,
        what=reader.text(answer.what),
        unit=_PRINTED.get(unit, unit),
        measured=to(answer.measured.value, unit),
        uncertainty=to(answer.measured.expanded, unit),
        predicted=to(answer.predicted.value, unit),
        predicted_uncertainty=to(answer.predicted.expanded, unit),
        difference_pct=to(beside.relative, "%"),
        blur_pct=to(beside.blur, "%"),
        normalised_error=beside.normalised_error,
        verdict=_VERDICTS[beside.verdict],
        says=reader.text(answer.says),
        uncorrected=None if answer.uncorrected is None else to(answer.uncorrected, unit),
        notes=tuple(reader.text(note) for note in answer.notes),
        budget=tuple(
            BudgetLine(name=reader.say(f"bench.input.{share.name}"), part=to(share.standard, unit))
            for share in answer.budget
        ),
        further=tuple(_figure_line(figure, reader) for figure in answer.further),
        causes=tuple(reader.text(cause) for cause in answer.causes),
    )


def _figure_line(figure: BenchFigure, reader: Reader) -> FigureLine:
    unit, beside = QUANTITIES[figure.quantity].metric, figure.comparison
    return FigureLine(
        name=reader.say(f"bench.name.{figure.figure}"),
        unit=_PRINTED.get(unit, unit),
        measured=to(beside.measured.value, unit),
        uncertainty=to(beside.measured.expanded, unit),
        predicted=to(beside.predicted.value, unit),
        predicted_uncertainty=to(beside.predicted.expanded, unit),
        verdict=_VERDICTS[beside.verdict],
    )
