"""A refusal as its reader sees it: the field by its name, sections and plies counted from 1, what would be right."""

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.units import quantity_of_field
from polewright.units.fields import split_field
from polewright.words.forms import value_text

if TYPE_CHECKING:
    from polewright.words.reader import Reader

__all__ = ["FaultText", "addressed", "fault_text", "field_name", "says"]

MOST_SHOWN = 300  # letters of a value that somebody typed
_PATH = re.compile(r"[A-Za-z_]\w*(\[\d+\])?(\.[A-Za-z_]\w*(\[\d+\])?)*(-\d+)?")
_WORDED = re.compile(r"([A-Za-z][A-Za-z0-9 ]*?)(?: (\d+))?")
_STEP = re.compile(r"([A-Za-z_]\w*)(?:\[(\d+)\])?")
_ITEMS = frozenset(
    ("droop", "edits", "given", "joint", "joints", "mandrels", "materials")
    + ("plies", "profile", "readings", "rules", "sections", "stack")
)
_WHOLE_FORM = ("page", "rack")  # the refusal of a whole page or rack speaks for itself
_SILENT = "brief"  # a wish is named without the table that it stands in


@dataclass(frozen=True, slots=True)
class FaultText:
    """One fault as text: path of the field, what stands there, what would be right, and all as a sentence."""

    field: str
    value: str
    want: str
    says: str


def fault_text(reader: "Reader", field: str, value: object, want: Message | str) -> FaultText:
    """A fault for its reader; a value of None or nothing is left out of the sentence."""
    shown = _value(reader, value)
    wanted = _want(reader, field, want)
    return FaultText(field, shown, wanted, _sentence(reader, field_name(reader, field), shown, wanted))


def says(reader: "Reader", field: str, value: object, want: Message | str) -> str:
    """A fault as a sentence."""
    return fault_text(reader, field, value, want).says


def addressed(reader: "Reader", field: str, value: object, want: Message | str) -> str:
    """A fault of a file as a sentence: the name of the field with its path in the file."""
    name = field_name(reader, field)
    named = name if name in ("", field) else reader.say("refusal.addressed", name=name, field=field)
    return _sentence(reader, named, _value(reader, value), _want(reader, field, want))


def field_name(reader: "Reader", field: str) -> str:
    """A field by its path ("sections[3].stack[0].angle_deg") in words ("section 4, ply 1, angle").

    What is no path has a text by its words ("entry 5", "fibre share"), or stays as it is, as the name of an option.
    Nothing is left of a whole page.
    """
    if field in _WHOLE_FORM:
        return ""
    if not _PATH.fullmatch(field):
        return _in_words(reader, field)
    path, _, of_form = field.partition("-")
    steps = [(found[1], found[2]) for found in _STEP.finditer(path)]
    if len(steps) > 1 and steps[0] == (_SILENT, None):
        del steps[0]
    named = reader.catalogue.separator.join(_step(reader, name, number) for name, number in steps)
    return reader.say("item.of_form", name=named, number=int(of_form) + 1) if of_form else named


def _in_words(reader: "Reader", field: str) -> str:
    found = _WORDED.fullmatch(field)
    code = f"field.{found[1].replace(' ', '_')}" if found else ""
    if found is None or not reader.has(code):
        return field
    name = reader.say(code)
    return name if found[2] is None else reader.say("item.other", name=name, number=int(found[2]))


def _step(reader: "Reader", name: str, number: str | None) -> str:
    if number is None:
        return _name(reader, name)
    at = int(number) + 1
    if name in _ITEMS:
        return reader.say(f"item.{name}", number=at, following=at + 1)
    return reader.say("item.other", name=_name(reader, name), number=at)


def _name(reader: "Reader", name: str) -> str:
    """The name of a field; one that no document has is written without unit and underscores."""
    code = f"field.{name}"
    if reader.has(code):
        return reader.say(code)
    try:
        stem = name if quantity_of_field(name) is None else split_field(name)[0]
    except DesignError:  # what somebody called a field may end in letters that could be more than one unit
        stem = name
    return stem.replace("_", " ").strip()


def _value(reader: "Reader", value: object) -> str:
    if value is None:
        return ""
    if value == "''":
        return reader.say("given.empty")
    text = value_text(value, "", reader)
    return text if len(text) <= MOST_SHOWN else f"{text[:MOST_SHOWN]}…"


def _want(reader: "Reader", field: str, want: Message | str) -> str:
    """What would be right; a number that is wanted is asked for in the field's unit."""
    if isinstance(want, Message) and want.code == "want.number_such_as":
        name = field.rsplit(".", 1)[-1].partition("-")[0]
        quantity = quantity_of_field(name)
        return (
            reader.say("want.plain_number_such_as")
            if quantity is None
            else reader.say("want.number_in", unit=reader.unit(quantity))
        )
    return reader.text(want)


def _sentence(reader: "Reader", name: str, value: str, want: str) -> str:
    if not name:
        return want[:1].upper() + want[1:]
    if not want:
        return reader.say("refusal.field_value", field=name, value=value)
    if not value:
        return reader.say("refusal.field_want", field=name, want=want)
    return reader.say("refusal.field_value_want", field=name, value=value, want=want)
