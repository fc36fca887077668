"""The readings of a test: as text, and as they would be typed on a page by who puts them right."""

from polewright.documents.test_record import Reading
from polewright.units import si
from polewright.words.form_values import plain_figure
from polewright.words.reader import Reader

__all__ = ["reading_text", "typed_reading"]


def typed_reading(reading: Reading, reader: Reader) -> tuple[str, str, str]:
    """Load, reading and clock as they would be typed."""
    return *_load_and_reading(reading, reader), f"{reading.clock_deg:g}"


def reading_text(reading: Reading, reader: Reader) -> str:
    """Load and reading with their units, and the clock where the tube was turned."""
    load, read = _load_and_reading(reading, reader)
    units = {"mass_unit": reader.unit("mass"), "length_unit": reader.unit("length")}
    clock = si("clock_deg", reading.clock_deg)
    code = "bench.reading_at_clock" if clock else "bench.reading"
    return reader.say(code, load=load, reading=read, clock=clock, **units)


def _load_and_reading(reading: Reading, reader: Reader) -> tuple[str, str]:
    load, read = si("load_g", reading.load_g), si("reading_mm", reading.reading_mm)
    return plain_figure(load, "mass", reader), plain_figure(read, "length", reader, is_fine=True)
