"""Figures in the fields of a form: what stands in a field for its reader, and what its reader typed there.

A field is known by its name, whose ending is its unit ("length_mm"). A metric page shows and takes a figure in the unit
of the field itself; an inch page in the unit of the inch system, where that has one of its own. What was typed is sent
on as text, a bare number with the unit of the page: a document reads any unit, and a refusal shows what was typed.
"""

from typing import Any

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.units import display_unit, from_si, parse, quantity_of_field, si, split_field, to, unit_of_field
from polewright.words.forms import pretty_unit, value_text
from polewright.words.reader import Reader

__all__ = [
    "as_typed",
    "field_number",
    "field_stem",
    "field_text",
    "field_unit",
    "field_value",
    "plain_figure",
    "sent_in",
    "with_unit",
    "with_unit_of",
]

METRIC_DIGITS, INCH_DIGITS, PLAIN_DIGITS = 8, 5, 10  # significant; of a figure in no unit that the inch system changes


def field_stem(field: str) -> str:
    """The name of a field without its unit: "play" of "play_mrad"."""
    return split_field(field)[0]


def field_unit(field: str, reader: Reader) -> str:
    """The unit in which a page shows and takes a field, as printed; nothing for one without."""
    quantity = _in_inches(field, reader)
    return pretty_unit(unit_of_field(field) if quantity is None else display_unit(quantity, reader.system))


def field_value(field: str, value: Any, reader: Reader, digits: int | None = None) -> str:
    """What stands in a field of a page for the value of a document, without its unit.

    Parameters
    ----------
    digits : significant digits; None writes all that a document keeps, five of one turned into inch units.
    """
    if value is None:
        return ""
    quantity = _in_inches(field, reader)
    if quantity is not None:
        return (
            f"{to(si(field, float(value)), display_unit(quantity, reader.system), quantity):.{digits or INCH_DIGITS}g}"
        )
    if _has_inch_unit(field):
        return f"{float(value):.{digits or METRIC_DIGITS}g}"
    return f"{value:.{digits or PLAIN_DIGITS}g}" if isinstance(value, float) else str(value)


def with_unit(text: str, field: str, reader: Reader) -> str:
    """What was typed in a field of a page; a bare number of an inch page with its unit: "8" is "8 in" of a length."""
    quantity = _in_inches(field, reader)
    return text if quantity is None else with_unit_of(text, quantity, reader)


def with_unit_of(text: str, quantity: str, reader: Reader) -> str:
    """The same of a figure known by its quantity; what cannot be read stays as it is, to be refused as it was typed."""
    if reader.system == "metric":
        return text
    try:
        parse(text, quantity)
    except DesignError as fault:
        is_bare = isinstance(fault.want, Message) and fault.want.code == "want.number_with_unit"
        return f"{text.strip()} {display_unit(quantity, reader.system)}" if is_bare else text
    return text


def field_text(field: str, value: float, reader: Reader) -> str:
    """The figure of a document's field [in the unit of its name] with the reader's unit; a bare number without one."""
    quantity = quantity_of_field(field)
    return value_text(value, "", reader) if quantity is None else reader.quantity(si(field, float(value)), quantity)


def field_number(field: str, figure: float) -> float:
    """An SI figure in the unit that the name of a field ends with, as a slider has it."""
    return from_si(field, figure)


def sent_in(field: str, figure: float) -> str:
    """An SI figure in the unit of a field, with that unit: what a form may send from a page in any units."""
    return f"{from_si(field, figure):.6g} {unit_of_field(field)}"


def as_typed(field: str, value: float, reader: Reader) -> str:
    """The figure of a document's field [in the unit of its name] as it would be typed on a page; see `plain_figure`."""
    quantity = quantity_of_field(field)
    if quantity is None:
        raise ValueError(f"the name {field!r} ends in no unit")
    return plain_figure(si(field, value), quantity, reader)


def plain_figure(figure: float, quantity: str, reader: Reader, *, is_fine: bool = False) -> str:
    """An SI figure as it would be typed on a page: in the reader's unit, with a point and no marks between thousands.

    Parameters
    ----------
    is_fine : two more decimals in inch units, as of a gauge.
    """
    digits = 4 if is_fine and reader.system == "inch" else 2
    text = f"{to(figure, display_unit(quantity, reader.system), quantity):.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _has_inch_unit(field: str) -> bool:
    """Whether the inch system shows a field in a unit of its own."""
    quantity = quantity_of_field(field)
    return quantity is not None and display_unit(quantity, "inch") != display_unit(quantity, "metric")


def _in_inches(field: str, reader: Reader) -> str | None:
    """The quantity of a field where its reader sees it in another unit than its own."""
    return quantity_of_field(field) if reader.system == "inch" and _has_inch_unit(field) else None
