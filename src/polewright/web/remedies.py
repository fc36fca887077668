"""What would be right in a field, as a person reads it: with the unit, without digits or names that say nothing."""

import re

from polewright.web.changes import UNIT_ENDING
from polewright.web.places.brief import unit_of_field
from polewright.web.say import spoken

__all__ = ["remedy"]

_BOUND = re.compile(r"(a number above |below |)(-?\d+(?:\.\d+)?)( or more| or less|)")
_ANY = "a number with its unit, such as 12.5"
_NAME = re.compile(r"\b[a-z][a-z0-9]*(?:_[A-Za-z0-9]+)+\b")
_CALLED = {
    "stress_free_C": "free of stress at",
    "fibre_areal_g_m2": "fibre weight",
    "rear_mm": "the rear hand",
    "front_mm": "the front hand",
}


def remedy(field: str, want: str) -> str:
    """What is wanted of a field, by its path in the document, from what the document's own check says.

    A bare bound gets the unit that the document keeps the field in; a name of a field is put into words.
    """
    unit = unit_of_field(re.sub(r"-\d+$", "", field.rsplit(".", 1)[-1]))
    bound = _BOUND.fullmatch(want)
    if bound is not None and any(bound.group(1, 3)):
        number = float(bound[2])
        digits = 0 if number == int(number) else len(bound[2].rsplit(".", 1)[-1])
        return f"{bound[1]}{spoken(number, digits)}{_with(unit)}{bound[3]}"
    if want == _ANY:
        return f"a number, such as 12.5{_with(unit)}"
    return re.sub(r"(\d)\.0\b(?!\d)", r"\1", _NAME.sub(lambda found: _in_words(found[0]), want))


def _with(unit: str) -> str:
    return "" if not unit else unit if unit == "°" else f" {unit}"


def _in_words(name: str) -> str:
    return _CALLED.get(name, UNIT_ENDING.sub("", name).replace("_", " "))
