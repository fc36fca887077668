"""A document's fields by their paths, as the messages name them: one set, or all of a kind set for a supposition."""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from types import NoneType
from typing import Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, document_of

__all__ = ["empty_value", "no_place", "put", "with_fields"]

_STEP = re.compile(r"([A-Za-z_][A-Za-z0-9_]*)|\[([0-9]{1,3})\]|\.")


def put(plain: Any, path: str, value: Any) -> None:
    """Set one field of a plain document by its path ("joints[0].overlap_mm"); None takes an optional field out.

    Raises
    ------
    DocumentError : no such place.
    """
    _put(plain, _steps(path), path, value)


def with_fields(design: Design, said: Sequence[str]) -> Design:
    """The design as it would be with other figures, each said as "path = value"; its name stays.

    A list in a path without a number means all of it: "joints.overlap_mm = 220". No value takes an optional field out.

    Raises
    ------
    DocumentError : not a path and a value, no such place, or the value cannot stand there.
    """
    if not said:
        return design
    plain = design.plain()
    for words in said:
        path, sign, value = (part.strip() for part in words.partition("="))
        if not sign:
            raise DocumentError.at("--if", repr(words), Message("want.field_and_value"))
        for steps in list(_spread(plain, _steps(path))):
            _put(plain, steps, path, value or None)
    supposed = document_of(plain)
    if not isinstance(supposed, Design):
        raise DocumentError.at("document", repr(supposed.document), Message("want.document_stays_pole"))
    return supposed


def empty_value(path: str) -> str | None:
    """What an emptied field of a design holds: "" for a text that may be empty, None for a field that may be left out.

    Raises
    ------
    DocumentError : a field that must say something, or no such field.
    """
    field = _field(Design, _steps(path), path)
    if NoneType in get_args(field.annotation):
        return None
    if field.default == "":
        return ""
    want = _WANT_OF_EMPTY.get(str(_steps(path)[-1]), "want.figure_not_nothing")
    raise DocumentError.at(path, Message("given.empty"), Message(want))


_WANT_OF_EMPTY = {"name": "want.name_of_pole", "currency": "want.currency"}


def _field(model: type[BaseModel], steps: Sequence[str | int], path: str) -> FieldInfo:
    """The field that a path leads to, in the model of a document."""
    names = [step for step in steps if isinstance(step, str)]
    for name in names[:-1]:
        inner = model.model_fields.get(name)
        models = [] if inner is None else [m for m in _types_in(inner.annotation) if issubclass(m, BaseModel)]
        if not models:
            raise no_place(path, Message("want.field_of_design"))
        model = models[0]
    if not names or names[-1] not in model.model_fields:
        raise no_place(path, Message("want.field_of_design"))
    return model.model_fields[names[-1]]


def _types_in(annotation: Any) -> Iterator[type]:
    """The classes that an annotation is made of."""
    if isinstance(annotation, type) and not get_args(annotation):
        yield annotation
    for part in get_args(annotation):
        yield from _types_in(part)


def _spread(plain: Any, steps: list[str | int]) -> Iterator[list[str | int]]:
    """The paths with a number for every list, each as many times as the list is long."""
    holder = plain
    for at, step in enumerate(steps):
        if isinstance(holder, list) and isinstance(step, str):
            for number in range(len(holder)):
                yield from _spread(plain, [*steps[:at], number, *steps[at:]])
            return
        holder = (
            holder.get(step)
            if isinstance(holder, dict) and isinstance(step, str)
            else holder[step]
            if isinstance(holder, list) and isinstance(step, int) and step < len(holder)
            else None
        )
    yield steps


def _put(plain: Any, steps: list[str | int], path: str, value: Any) -> None:
    holder = plain
    for step, following in pairwise(steps):
        holder = _inside(holder, step, path, may_be_made=isinstance(following, str))
    last = steps[-1]
    if isinstance(last, int):
        _inside(holder, last, path, may_be_made=False)
        holder[last] = value
    elif not isinstance(holder, dict):
        raise no_place(path, Message("want.field_of_design"))
    elif value is None:
        holder.pop(last, None)
    else:
        holder[last] = value


def _steps(path: str) -> list[str | int]:
    steps: list[str | int] = []
    end = 0
    for found in _STEP.finditer(path):
        if found.start() != end:
            break
        end = found.end()
        if found.group(0) != ".":
            steps.append(found.group(1) if found.group(2) is None else int(found.group(2)))
    if end != len(path) or not steps:
        raise no_place(path[:120] or "field", Message("want.path_of_field"))
    return steps


def _inside(holder: Any, step: str | int, path: str, *, may_be_made: bool) -> Any:
    """One step into a document; a table that may be left out is made when a field of it is set."""
    if isinstance(step, int) and isinstance(holder, list) and step < len(holder):
        return holder[step]
    if isinstance(step, str) and isinstance(holder, dict):
        if step in holder:
            return holder[step]
        if may_be_made:
            return holder.setdefault(step, {})
    is_list = isinstance(holder, list)
    raise no_place(
        path, Message("want.place_in_list", most=len(holder) - 1) if is_list else Message("want.field_of_design")
    )


def no_place(path: str, want: Message) -> DocumentError:
    """The refusal of a path that leads nowhere."""
    return DocumentError.at(path, "", want)
