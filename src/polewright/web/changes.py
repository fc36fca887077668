"""What a person did on a page, as a change of the design: one form in, one edit out, or a refusal."""

import re
from collections.abc import Callable, Mapping
from typing import Any

from polewright.codes import Message
from polewright.errors import DocumentError
from polewright.words import Reader
from polewright.words.form_values import with_unit
from polewright.workshop import EDITS, Argument, Design, Workshop, empty_value

__all__ = ["change_of", "kept", "whole"]


def change_of(form: Mapping[str, str], reader: Reader, workshop: Workshop) -> Callable[[Design], Design]:
    """The change that a form asks for: the arguments of its edit, each read as its kind.

    Raises
    ------
    DocumentError : the form is not one of ours, or a figure in it cannot be read.
    """
    edit = form.get("edit", "")
    arguments = EDITS[edit].caller_arguments if edit in EDITS else ()
    fields = {each.name: _read(each, form, reader) for each in arguments if _is_given(each, form)}
    return lambda design: workshop.edited(design, edit, **fields)


def _is_given(argument: Argument, form: Mapping[str, str]) -> bool:
    """Whether a form says anything of an argument; a field left empty says nothing where it may be left out."""
    if argument.kind == "table":
        return True
    if argument.kind == "index":
        return argument.name in form
    return argument.is_needed or bool(form.get(argument.name, "").strip())


def _read(argument: Argument, form: Mapping[str, str], reader: Reader) -> Any:
    if argument.kind == "table":
        return {each.name: _read(each, form, reader) for each in argument.fields}
    if argument.kind == "index":
        return whole(form, argument.name)
    text = form.get(argument.name, "")
    is_figure = argument.kind == "figure" and text.strip()
    return kept(argument.name, text, reader) if is_figure else text


def kept(path: str, text: str, reader: Reader) -> str | None:
    """What is written into a field for the text typed, with the unit of the page; what an empty one then means."""
    text = text.strip()
    return with_unit(text, path.rsplit(".", 1)[-1], reader) if text else _emptied(path)


def _emptied(path: str) -> str | None:
    """What an emptied field means; a droop or flex that is wished is taken out as a whole, not emptied."""
    if path.startswith("brief.droop["):
        raise DocumentError.at(path, Message("given.empty"), Message("want.figure_not_nothing"))
    return empty_value(path)


def whole(form: Mapping[str, str], name: str) -> int:
    """A whole number of a form, counted from 0.

    Raises
    ------
    DocumentError : it is none.
    """
    text = form.get(name, "")
    if not re.fullmatch(r"\d{1,9}", text):
        raise DocumentError.at(name, repr(text[:40]), Message("want.whole_number"))
    return int(text)
