"""What lies on a workshop's rack, in one line."""

from polewright.documents.design import MandrelData
from polewright.units import si
from polewright.words.reader import Reader

__all__ = ["bar_text"]


def bar_text(mandrel: MandrelData, reader: Reader) -> str:
    """A mandrel by its diameters at both ends and its length."""
    first, last = mandrel.profile[0], mandrel.profile[-1]
    ends = {"small": si("diameter_mm", first.diameter_mm), "big": si("diameter_mm", last.diameter_mm)}
    code = "place.shelf.straight_bar" if ends["small"] == ends["big"] else "place.shelf.tapered_bar"
    return reader.say(code, **ends, length=si("at_mm", last.at_mm - first.at_mm))
