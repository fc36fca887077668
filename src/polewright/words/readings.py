"""The readings of a test as text."""

from typing import Any

from polewright.answers.bench_answer import ReadingTable
from polewright.documents.test_record import Reading
from polewright.units import display_unit, quantity_of_field, si, unit_of_field
from polewright.words.form_values import field_stem, field_unit, plain_figure
from polewright.words.reader import Reader

__all__ = ["figure_text", "reading_text", "readings_text"]


def figure_text(field: str, value: float, reader: Reader, *, is_fine: bool = False) -> str:
    """A figure of a test [in the unit of its field] with the reader's unit.

    Parameters
    ----------
    is_fine : two more decimals in inch units, as of a gauge.
    """
    quantity = quantity_of_field(field)
    assert quantity is not None, field
    if display_unit(quantity, "metric") != unit_of_field(field):  # such as seconds, where pages show minutes
        return f"{value:g} {field_unit(field, reader)}"
    figure = plain_figure(si(field, value), quantity, reader, is_fine=is_fine)
    return f"{figure} {field_unit(field, reader)}"


def readings_text(table: ReadingTable, readings: tuple[Any, ...], reader: Reader) -> tuple[str, ...]:
    """Each row of a table of readings in words."""
    return tuple(reading_text(r, reader) if isinstance(r, Reading) else _row_text(table, r, reader) for r in readings)


def reading_text(reading: Reading, reader: Reader) -> str:
    """Load and reading with their units, and the clock where the tube was turned."""
    load = plain_figure(si("load_g", reading.load_g), "mass", reader)
    read = plain_figure(si("reading_mm", reading.reading_mm), "length", reader, is_fine=True)
    units = {"mass_unit": reader.unit("mass"), "length_unit": reader.unit("length")}
    clock = si("clock_deg", reading.clock_deg)
    code = "bench.reading_at_clock" if clock else "bench.reading"
    return reader.say(code, load=load, reading=read, clock=clock, **units)


def _row_text(table: ReadingTable, row: Any, reader: Reader) -> str:
    """A row of another table: what stands in its columns, those left out aside."""
    parts = []
    for column in table.columns:
        value = getattr(row, column.name)
        if value in (None, "") or (value == 0 and column.choose is not None):
            continue
        if column.choose == "defect":
            parts.append(reader.say(f"bench.defect.{value}"))
        elif column.quantity is None:
            parts.append(reader.say(f"bench.read.{field_stem(column.name)}", value=str(value)))
        else:
            parts.append(figure_text(column.name, value, reader, is_fine=True))
    return reader.say("bench.read_row", parts=tuple(parts))
