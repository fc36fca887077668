"""What a person did on a page, as a change of the design: one form in, one edit out, or a refusal."""

import re
from collections.abc import Callable, Mapping
from typing import Any

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.errors import PolewrightError
from polewright.units import System, display_unit, parse, shown
from polewright.workshop import edited

__all__ = ["change_of", "kept", "quantity_of_field", "whole", "with_flex_wish"]

_QUANTITY = {"mm": "length", "g": "mass", "N": "force", "C": "temperature", "kg_m": "carry"}
_SAID = ("maker", "note", "use", "lot", "description")
_STILL_EMPTY = {"name": "want.name_of_pole", "currency": "want.currency"}
_MAY_LACK = ("bore_mm", "cte_1e6_K", "fibre_areal_g_m2", "pivot_pct", "play_mrad", "resin_content_pct", "strength_MPa")
_WHOLE = ("section", "ply", "to", "at", "material", "given", "mandrel", "place")


def quantity_of_field(path: str) -> str | None:
    """Which kind of figure a field holds by the end of its name, if the inch system shows it otherwise."""
    name = path.rsplit(".", 1)[-1]
    for ending in ("per_100g", "g_m2", "N_m2"):
        if name.endswith(ending):
            return None
    if name.endswith("_kg_m"):
        return "carry"
    return _QUANTITY.get(name.rsplit("_", 1)[-1]) if "_" in name else None


def change_of(form: Mapping[str, str], system: System) -> Callable[[Design], Design]:
    """The change that a form asks for.

    Raises
    ------
    DocumentError : the form is not one of ours.
    """
    edit = form.get("edit", "")
    if edit == "set_field":
        path, text = form.get("path", ""), form.get("text", "")
        return lambda design: edited(design, "set_field", path=path, value=kept(path, text, system))
    if edit == "add_wish":
        return _add_wish
    if edit == "remove_wish":
        place = whole(form, "place")
        return lambda design: _without_wish(design, place)
    if edit == "add_ply":
        ply = {
            "prepreg": form.get("prepreg", ""),
            "angle_deg": form.get("angle_deg", ""),
            "turns": form.get("turns", ""),
        }
        return _add_ply(whole(form, "section"), form.get("end", "skin"), ply)
    fields = {name: whole(form, name) for name in _WHOLE if name in form}
    return lambda design: edited(design, edit, **fields)


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
        return shown(name, parse(text, quantity, display_unit(quantity, system), field=name))
    except PolewrightError as fault:
        raise DocumentError.at(path, repr(text), fault.want) from fault


def _emptied(path: str) -> str | None:
    """What an emptied field means: a wish that is not wished, a word that is not said; a figure cannot be nothing."""
    name = path.rsplit(".", 1)[-1]
    if name in _SAID:
        return ""
    if (path.startswith("brief.") and "[" not in path) or name in _MAY_LACK:
        return None
    raise DocumentError.at(path, Message("given.empty"), Message(_STILL_EMPTY.get(name, "want.figure_not_nothing")))


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


def _add_ply(section: int, end: str, ply: dict[str, Any]) -> Callable[[Design], Design]:
    want = Message("want.figure_not_nothing")
    empty = [Fault((name, Message("given.empty"), want)) for name, text in ply.items() if not text.strip()]

    def change(design: Design) -> Design:
        if empty:
            raise DocumentError(empty)
        if section >= len(design.sections):
            raise DocumentError.at(f"sections[{section}]", "", Message("want.no_such_section"))
        at = 0 if end == "bore" else len(design.sections[section].stack)
        return edited(design, "add_ply", section=section, at=at, ply=ply)

    return change


def _add_wish(design: Design) -> Design:
    return _with_wish(design, {"at_most_mm": 1000.0})


def with_flex_wish(design: Design, flex: float) -> Design:
    """The design with a further wish: an added droop [mm/100 g] wanted with all sections out."""
    return _with_wish(design, {"wanted_mm_per_100g": round(flex, 1)})


def _with_wish(design: Design, wish: dict[str, float]) -> Design:
    wishes = [wish.plain() for wish in design.brief.droop]
    load = design.tip_fitting_g + design.setting.test_load_g
    return edited(design, "set_field", path="brief.droop", value=[*wishes, {"out": 0, "tip_total_g": load, **wish}])


def _without_wish(design: Design, place: int) -> Design:
    wishes = [wish.plain() for i, wish in enumerate(design.brief.droop) if i != place]
    return edited(design, "set_field", path="brief.droop", value=wishes)
