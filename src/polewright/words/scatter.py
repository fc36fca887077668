"""What is said of the spread of copies: names of figures and inputs, promises, and how much sampling leaves open."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from polewright.answers.scatter import PromiseChance, ScatterFigure
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.scatter import FIGURES
from polewright.words.reader import Reader
from polewright.words.significant import number_in_unit, number_of_digits

__all__ = [
    "FIGURE_FORMS",
    "FigureForm",
    "figure_number",
    "figure_text",
    "figure_unit",
    "input_number",
    "input_text",
    "input_unit",
    "limit_text",
    "matter_text",
    "order_text",
    "promise_text",
    "source_text",
]


@dataclass(frozen=True, slots=True)
class FigureForm:
    """How one kind of figure is written: quantity, decimals in metric and in inch units.

    per : SI figure of the scatter over that of the quantity; a droop per mass [m/kg] is written as one per force [m/N].
    """

    quantity: str
    digits: int
    inch_digits: int
    per: float = 1.0


FIGURE_FORMS: Mapping[str, FigureForm] = MappingProxyType({
    "mass": FigureForm("mass", 1, 2),
    "carry": FigureForm("carry", 3, 2),
    "length": FigureForm("length", 1, 2),
    "closed": FigureForm("length", 1, 2),
    "base_outside": FigureForm("length", 1, 3),
    "clearance": FigureForm("length", 3, 4),
    "droop": FigureForm("length", 1, 2),
    "added_droop": FigureForm("flex", 2, 3, per=GRAVITY),
})  # fmt: skip
_INPUTS = {"-": "share", "rad": "angle", "m": "length"}


def figure_text(figure: ScatterFigure, reader: Reader) -> str:
    """The name of a figure, with its joint or its reach."""
    return reader.say(
        f"scatter.figure.{figure.kind}",
        inner=figure.joint,
        outer=figure.joint + 1,
        drawn=figure.drawn or "",
        total=figure.total,
    )


def figure_number(figure: ScatterFigure, value: float, reader: Reader) -> str:
    """The number of an SI figure without its unit."""
    form = FIGURE_FORMS[figure.kind]
    return reader.bare(value / form.per, form.quantity, form.digits, form.inch_digits)


def figure_unit(figure: ScatterFigure, reader: Reader) -> str:
    """The unit in which a reader sees a figure."""
    return reader.unit(FIGURE_FORMS[figure.kind].quantity)


def limit_text(figure: ScatterFigure, limit: float, reader: Reader) -> str:
    """A promised limit with its unit, to four significant digits."""
    form = FIGURE_FORMS[figure.kind]
    return reader.quantity(limit / form.per, form.quantity)


def promise_text(promise: PromiseChance, reader: Reader) -> str:
    """What is promised; "any of these" for all promises together."""
    if promise.figure is None:
        return reader.say("scatter.promise.any")
    code = "scatter.promise.least" if promise.is_least else "scatter.promise.most"
    limit = limit_text(promise.figure, promise.limit, reader)
    return reader.say(code, figure=figure_text(promise.figure, reader), limit=limit)


def input_text(figure: str, reader: Reader) -> str:
    """The name of an input that strays."""
    return reader.say(f"scatter.input.{figure}")


def input_unit(figure: str, reader: Reader) -> str:
    """The unit in which a reader sees the spread of an input."""
    return reader.unit(_INPUTS[FIGURES[figure].unit])


def input_number(figure: str, deviation: float, reader: Reader) -> str:
    """A standard deviation of an input without its unit, to two significant digits; nothing for none."""
    if deviation == 0.0:
        return ""
    return number_of_digits(number_in_unit(deviation, _INPUTS[FIGURES[figure].unit], reader), 2, reader)


def matter_text(figure: str, between: str, reader: Reader) -> str:
    """An input with what its copies differ between."""
    return reader.say(f"scatter.between.{between}", input=input_text(figure, reader))


def order_text(count: int | None, reader: Reader) -> str:
    """So many poles, or that no number will do."""
    return reader.say("scatter.order.none") if count is None else reader.say("scatter.order.count", count=count)


def source_text(source: Message | str, confidence: str, reader: Reader) -> str:
    """Where a spread comes from and how far it is to be trusted."""
    if not confidence:
        return reader.say("scatter.untold", source=source)
    return reader.say(
        "scatter.trusted", source=source, confidence=Message(f"confidence.{confidence.replace(' ', '_')}")
    )
