"""A test evaluated, as it is published: figures in the workshop's units, texts of a reader."""

from typing import Annotated, Any, Literal

from polewright.answers.bench_answer import BenchAnswer, BenchFigure
from polewright.bench.uncertainty import Estimate
from polewright.documents.document import Document, Part, unless
from polewright.units import QUANTITIES, to
from polewright.words.reader import Reader

__all__ = ["BenchResult", "BudgetLine", "FigureLine", "bench_result"]

Verdict = Literal["agrees", "reads low", "reads high", "cannot tell", "passes", "fails"]

_PRINTED = {"N m2": "N m²", "mm/100 g": "mm per 100 g"}  # units of the table that are published otherwise
_VERDICTS: dict[str, Verdict] = {
    "agrees": "agrees",
    "reads_low": "reads low",
    "reads_high": "reads high",
    "cannot_tell": "cannot tell",
    "passes": "passes",
    "fails": "fails",
}


class BudgetLine(Part):
    """One input of the uncertainty and its part, in the unit of the result."""

    name: str
    part: float


class FigureLine(Part):
    """A further figure of the same test, beside its prediction where the design has one."""

    name: str
    unit: str
    measured: float
    uncertainty: float
    predicted: float | None = None
    predicted_uncertainty: float | None = None
    verdict: Verdict | None = None


class BenchResult(Document):
    """A test evaluated: the figure with its expanded uncertainty (covers 95 %), beside the prediction.

    Of a test that is passed or not: what was measured, if anything, the least or most allowed, and the reasons.
    """

    document: Literal["bench-result"] = "bench-result"
    serial: str
    pole: str
    what: str
    unit: str
    measured: float | None = None
    uncertainty: float | None = None
    predicted: float | None = None
    predicted_uncertainty: float | None = None
    difference_pct: float | None = None
    blur_pct: float | None = None
    normalised_error: float | None = None
    limit: Annotated[float | None, unless(None)] = None
    verdict: Verdict
    says: str
    uncorrected: float | None = None
    notes: tuple[str, ...]
    budget: tuple[BudgetLine, ...]
    further: tuple[FigureLine, ...] = ()
    causes: tuple[str, ...] = ()
    reasons: Annotated[tuple[str, ...], unless(())] = ()


def bench_result(answer: BenchAnswer, reader: Reader) -> BenchResult:
    """The answer as it is published, its texts for a reader; figures are metric for every reader."""
    unit = QUANTITIES[answer.quantity].metric if answer.quantity else ""
    beside, outcome = answer.comparison, answer.outcome
    return BenchResult(
        serial=answer.serial,
        pole=answer.pole,
        what=reader.text(answer.what),
        unit=_PRINTED.get(unit, unit),
        **_pair("measured", "uncertainty", answer.measured, unit),
        **_pair("predicted", "predicted_uncertainty", answer.predicted, unit),
        difference_pct=None if beside is None else to(beside.relative, "%"),
        blur_pct=None if beside is None else to(beside.blur, "%"),
        normalised_error=None if beside is None else beside.normalised_error,
        limit=None if outcome is None or outcome.limit is None else to(outcome.limit, unit),
        verdict=_VERDICTS[answer.verdict if beside is None else beside.verdict],
        says=reader.text(answer.says),
        uncorrected=None if answer.uncorrected is None else to(answer.uncorrected, unit),
        notes=tuple(reader.text(note) for note in answer.notes),
        budget=tuple(
            BudgetLine(name=reader.say(f"bench.input.{share.name}"), part=to(share.standard, unit))
            for share in answer.budget
        ),
        further=tuple(_figure_line(figure, reader) for figure in answer.further),
        causes=tuple(reader.text(cause) for cause in answer.causes),
        reasons=() if outcome is None else tuple(reader.text(reason) for reason in outcome.reasons),
    )


def _pair(name: str, uncertainty: str, estimate: Estimate | None, unit: str) -> dict[str, Any]:
    return {} if estimate is None else {name: to(estimate.value, unit), uncertainty: to(estimate.expanded, unit)}


def _figure_line(figure: BenchFigure, reader: Reader) -> FigureLine:
    unit, beside = QUANTITIES[figure.quantity].metric, figure.comparison
    return FigureLine(
        name=reader.say(f"bench.name.{figure.figure}"),
        unit=_PRINTED.get(unit, unit),
        **_pair("measured", "uncertainty", figure.measured, unit),
        **_pair("predicted", "predicted_uncertainty", None if beside is None else beside.predicted, unit),
        verdict=None if beside is None else _VERDICTS[beside.verdict],
    )
