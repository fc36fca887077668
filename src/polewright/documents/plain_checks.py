"""What no document may hold, whatever its kind: letters that no line shows, and true or false for a figure."""

from collections.abc import Iterator
from functools import cache
from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel

from polewright.codes import Message

__all__ = ["ForbiddenValue", "forbidden_values", "models_in"]

ForbiddenValue = tuple[tuple[int | str, ...], Any, Message]  # place, value, what would be right
MAY_RUN_ON = ("note", "description", "use", "reason", "remedy")  # words that may go over several lines
DEEPEST = 20
_BREAKS = "\n\r\t"


def forbidden_values(plain: Any, model: type[BaseModel]) -> Iterator[ForbiddenValue]:
    """Every value in a document's plain values that no field of `model`'s kind may hold; a typist's slip or worse."""
    yield from _forbidden_values(plain, (), *_names_of(model))


def _forbidden_values(
    value: Any, place: tuple[int | str, ...], fields: frozenset[str], switches: frozenset[str]
) -> Iterator[ForbiddenValue]:
    if len(place) > DEEPEST:
        return  # no field lies so deep: the document's schema refuses what holds it
    if isinstance(value, dict):
        for name, inside in value.items():
            yield from _forbidden_values(inside, (*place, name), fields, switches)
    elif isinstance(value, list):
        for i, inside in enumerate(value):
            yield from _forbidden_values(inside, (*place, i), fields, switches)
    elif isinstance(value, str):
        if any(_is_unseen(letter) for letter in value) and not _may_run_on(value, place):
            yield place, value, Message("want.one_line")
    elif isinstance(value, bool):
        name = next((step for step in reversed(place) if isinstance(step, str)), "")
        if name in fields and name not in switches:
            yield place, value, Message("want.number_or_text")


def _may_run_on(text: str, place: tuple[int | str, ...]) -> bool:
    return bool(place) and place[-1] in MAY_RUN_ON and not any(_is_unseen(t) and t not in _BREAKS for t in text)


def _is_unseen(letter: str) -> bool:
    """Control characters, marks that turn or part lines, and halves of a character that UTF-8 cannot hold."""
    code = ord(letter)
    return (
        code < 0x20
        or 0x7F <= code < 0xA0
        or 0xD800 <= code < 0xE000
        or 0x2028 <= code <= 0x202E
        or 0x2066 <= code <= 0x2069
    )


@cache
def _names_of(model: type[BaseModel]) -> tuple[frozenset[str], frozenset[str]]:
    """All fields of a document and its parts by name, and those of them that are true or false."""
    fields, switches = set[str](), set[str]()
    for name, field in model.model_fields.items():
        fields.add(name)
        if bool in _plain_types(field.annotation):
            switches.add(name)
        for part in models_in(field.annotation):
            more, further = _names_of(part)
            fields |= more
            switches |= further
    return frozenset(fields), frozenset(switches)


def models_in(annotation: Any) -> list[type[BaseModel]]:
    """The parts of a document that a field may hold."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for part in get_args(annotation) for model in models_in(part)]


def _plain_types(annotation: Any) -> tuple[Any, ...]:
    return get_args(annotation) if get_origin(annotation) in (Union, UnionType) else (annotation,)
