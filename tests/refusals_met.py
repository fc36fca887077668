"""Every refusal that a test meets can be told: what is given is a state or a bound, what would be right a wish.

The field is a place in a document or a name: that of a field of a document or an edit has the unit of that field.
"""

import re
from functools import cache

from polewright.codes import Message
from polewright.documents.document import Part
from polewright.errors import DesignError, PolewrightError
from polewright.units import quantity_of_field, split_field
from polewright.words import default_reader
from polewright.workshop import EDITS

GIVEN = ("given.", "bound.", "search.", "find.", "job.")
WANTED = ("want.", "limit.", "publish.", "work.stopped", "scatter.stopped", "find.stopped_early", "job.")
MISSPELT = ("want.field_spelled", "want.known_field")
MET: list[PolewrightError] = []
_make = PolewrightError.__init__


def _made(self: PolewrightError, *args: object, **named: object) -> None:
    _make(self, *args, **named)  # type: ignore[arg-type]
    MET.append(self)


def watch() -> None:
    """Remember every refusal from now on."""
    PolewrightError.__init__ = _made  # type: ignore[method-assign,assignment]


def wrongly_told() -> list[str]:
    """What is wrong with the refusals since the last call."""
    met, found = list(MET), []
    MET.clear()
    for refusal in met:
        for field, given, want in refusal.faults:
            is_misspelt = isinstance(want, Message) and want.code in MISSPELT
            if not isinstance(field, str) or not (is_misspelt or _is_known(field)):
                found.append(f"field: {field!r}")
            if isinstance(given, Message) and not given.code.startswith(GIVEN):
                found.append(f"given: {given}")
            if isinstance(want, Message) and not want.code.startswith(WANTED):
                found.append(f"want: {want}")
        default_reader().refusal(refusal)
    MET.clear()
    return found


@cache
def _is_known(field: str) -> bool:
    """Whether a name is not that of a field that people and programs fill in with the unit of another."""
    name = re.split(r"[.\s]", re.sub(r"\[\w*\]", "", field))[-1]
    return name in _names() or not _stem(name) or _stem(name) not in set(map(_stem, _names()))


def _stem(name: str) -> str:
    """A name without its unit; nothing for one without a unit, or with one that may be read in two ways."""
    try:
        return "" if quantity_of_field(name) is None else split_field(name)[0]
    except DesignError:
        return ""


@cache
def _names() -> frozenset[str]:
    arguments = [argument for kind in EDITS.values() for argument in kind.arguments]
    fields = {name for part in _parts(Part) for name in part.model_fields}
    return frozenset(fields | {each.name for argument in arguments for each in (argument, *argument.fields)})


def _parts(kind: type[Part]) -> set[type[Part]]:
    return {kind}.union(*(_parts(each) for each in kind.__subclasses__()))
