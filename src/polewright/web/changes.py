"""What a person did on a page, as a change of the design: one form in, one edit out, or a refusal."""

import re
from collections.abc import Callable, Mapping
from typing import Any

from polewright.codes import Message
from polewright.errors import DocumentError, PolewrightError
from polewright.units import System, display_unit, from_si, parse
from polewright.workshop import EDITS, Argument, Design, Workshop, empty_value

__all__ = ["change_of", "kept", "quantity_of_field", "whole"]

_QUANTITY = {
    "mm_per_100g": "flex",
    "g_m2": "area_mass",
    "N_m2": "bending",
    "kN_m_rad": "turning_stiffness",
    "per_m2": "area_price",
    "kg_m3": "density",
    "1e6_K": "expansion",
    "kg_m": "carry",
    "GPa": "modulus",
    "MPa": "stress",
    "mm": "length",
    "g": "mass",
    "N": "force",
    "C": "temperature",
}
"""By the ending of a field's name, the longest first."""


def quantity_of_field(path: str) -> str | None:
    """Which kind of figure a field holds by the end of its name, if the inch system shows it otherwise."""
    name = path.rsplit(".", 1)[-1]
    return next((quantity for ending, quantity in _QUANTITY.items() if name.endswith(f"_{ending}")), None)


def change_of(form: Mapping[str, str], system: System, workshop: Workshop) -> Callable[[Design], Design]:
    """The change that a form asks for: the arguments of its edit, each read as its kind.

    Raises
    ------
    DocumentError : the form is not one of ours, or a figure in it cannot be read.
    """
    edit = form.get("edit", "")
    arguments = EDITS[edit].caller_arguments if edit in EDITS else ()
    fields = {each.name: _read(each, form, system) for each in arguments if _is_given(each, form)}
    return lambda design: workshop.edited(design, edit, **fields)


def _is_given(argument: Argument, form: Mapping[str, str]) -> bool:
    """Whether a form says anything of an argument; a field left empty says nothing where it may be left out."""
    if argument.kind == "table":
        return True
    if argument.kind == "index":
        return argument.name in form
    return argument.is_needed or bool(form.get(argument.name, "").strip())


def _read(argument: Argument, form: Mapping[str, str], system: System) -> Any:
    if argument.kind == "table":
        return {each.name: _read(each, form, system) for each in argument.fields}
    if argument.kind == "index":
        return whole(form, argument.name)
    text = form.get(argument.name, "")
    is_figure = argument.kind == "figure" and text.strip()
    return kept(argument.name, text, system) if is_figure else text


def kept(path: str, text: str, system: System) -> Any:
    """What is written into a field for the text typed: None for an empty one; inches turned into the field's unit."""
    text = text.strip()
    if not text:
        return _emptied(path)
    quantity = quantity_of_field(path)
    if system == "metric" or quantity is None:
        return text
    name = path.rsplit(".", 1)[-1]
    try:
        return from_si(name, parse(text, quantity, display_unit(quantity, system), field=name))
    except PolewrightError as fault:
        raise DocumentError.at(path, repr(text), fault.want) from fault


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
