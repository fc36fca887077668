"""Shelf, rack and rules: their forms as edits of the pole, and the paths that keep a thing for the workshop."""

import re
from collections.abc import Callable, Mapping
from typing import Any

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.errors import DesignError
from polewright.store import Absent
from polewright.units import System, display_unit, parse, to
from polewright.web.asked import Form, Here, OnDesk, Slug
from polewright.web.changes import change_of, kept, whole, with_flex_wish
from polewright.workshop import Workshop, edited, put_mandrel, put_prepreg, rule_limit, rules_of

__all__ = ["stocked_change", "stocking_paths"]

stocking_paths = APIRouter()
Change = Callable[[Design], Design]
SEE_OTHER = 303
_OF_FORM = {
    "add_prepreg": ("name", "like", "lot"),
    "give_figure": ("figure", "value", "kind", "lot"),
    "add_own_prepreg": (
        "name",
        "fibre",
        "resin",
        "fibre_areal_g_m2",
        "resin_content_pct",
        "architecture",
        "price_per_m2",
        "roll_width_mm",
        "lot",
    ),
    "add_mandrel": ("mandrel", "metal", "small_end_mm", "big_end_mm", "length_mm"),
    "add_mandrel_place": ("at_mm", "diameter_mm"),
    "add_rule": ("judge", "title", "limit", "ply", "reason", "remedy"),
}
_WHOLE_OF = {"give_figure": "material", "add_mandrel_place": "mandrel"}
_TOGETHER = {"add_own_prepreg": "roll", "add_mandrel": "bar", "add_rule": "rule"}
_GIVEN = re.compile(r"materials\[(\d{1,3})\]\.given\[(\d{1,3})\]\.value")
_NAMED = re.compile(r"(materials|mandrels)\[(\d{1,3})\]\.id")
_RULE = re.compile(r"rule:([^:]{1,80}):(is_on|limit|title|reason|remedy)")


def stocked_change(form: Mapping[str, str], system: System, workshop: Workshop) -> Change:
    """The change that a form of any place asks for.

    Raises
    ------
    DocumentError : the form is not one of ours, or a figure in it cannot be read.
    """
    edit, path, text = form.get("edit", ""), form.get("path", ""), form.get("text", "")
    if edit == "set_field" and (found := _GIVEN.fullmatch(path)):
        material, given = int(found[1]), int(found[2])
        return lambda design: edited(design, "set_given", material=material, given=given, value=text)
    if edit == "set_field" and (found := _NAMED.fullmatch(path)):
        kind, of = ("prepreg", "material") if found[1] == "materials" else ("mandrel", "mandrel")
        place = int(found[2])
        return lambda design: edited(design, f"rename_{kind}", **{of: place}, name=text)
    if edit == "set_field" and (found := _RULE.fullmatch(path)):
        rule, field = found[1], found[2]
        return lambda design: edited(
            design,
            "set_rule",
            rule=rule,
            field=field,
            value=_limit(design, rule, text, system) if field == "limit" else text,
        )
    if edit == "add_section":
        rack = workshop.shelf.kept_mandrels()
        where: dict[str, Any] = {"at": whole(form, "at")} if "at" in form else {"end": form.get("end", "")}
        return lambda design: edited(design, "add_section", rack=rack, **where)
    if edit == "add_flex_wish":
        return lambda design: with_flex_wish(design, workshop.check(design).reaches[-1].added_droop_mm_per_100g)
    if edit == "take_stock":
        return _taken(workshop, whole(form, "entry"))
    if edit == "remove_rule":
        return lambda design: edited(design, "remove_rule", rule=form.get("rule", ""))
    return _of_form(edit, form, system) if edit in _OF_FORM else change_of(form, system)


@stocking_paths.post("/poles/{slug}/shelf/keep")
def keep(workshop: Here, desk: OnDesk, form: Form, slug: Slug) -> Response:
    """A prepreg or mandrel of this pole, as it is here, for the whole workshop."""
    design, kind, name = desk.look(slug).design, form.get("kind", ""), form.get("name", "")
    material = next((m for m in design.materials if m.id == name and kind == "material"), None)
    mandrel = next((m for m in design.mandrels if m.id == name and kind == "mandrel"), None)
    if material is not None:
        workshop.shelf.keep(MaterialDocument(material=material), note=f"from {design.name}")
    elif mandrel is not None:
        workshop.shelf.keep(MandrelDocument(mandrel=mandrel), note=f"from {design.name}")
    else:
        raise Absent("name", repr(name[:80]), "a prepreg or mandrel of this pole")
    return _back(slug)


@stocking_paths.post("/poles/{slug}/shelf/off")
def take_off(workshop: Here, form: Form, slug: Slug) -> Response:
    """An entry off the workshop's shelf; the poles that have the thing keep it."""
    workshop.shelf.take_off(whole(form, "entry"))
    return _back(slug)


@stocking_paths.post("/poles/{slug}/shelf/back")
def put_back(workshop: Here, form: Form, slug: Slug) -> Response:
    """What was taken off the workshop's shelf lies there again, as a further entry."""
    number = whole(form, "entry")
    gone = next((e for e in workshop.shelf.history() if e.number == number and e.gone), None)
    if gone is None:
        raise Absent("entry", number, "an entry that was taken off the shelf")
    workshop.shelf.keep(gone.document, note="put back")
    return _back(slug)


def _back(slug: str) -> Response:
    return RedirectResponse(f"/poles/{slug}/shelf#workshop", SEE_OTHER)


def _taken(workshop: Workshop, number: int) -> Change:
    """An entry of the workshop's shelf into the pole."""
    there = {entry.number: entry.document for entry in (*workshop.shelf.materials(), *workshop.shelf.mandrels())}
    if number not in there:
        raise DocumentError([Fault(("entry", str(number), "an entry that lies on the shelf now"))])
    document = there[number]
    if isinstance(document, MandrelDocument):
        return lambda design: put_mandrel(design, document.mandrel)
    return lambda design: put_prepreg(design, document.material)


def _of_form(edit: str, form: Mapping[str, str], system: System) -> Change:
    fields: dict[str, Any] = {name: _metric(name, form.get(name, ""), system) for name in _OF_FORM[edit]}
    if edit in _TOGETHER:
        given = {_TOGETHER[edit]: fields}
        if edit == "add_rule":
            return lambda design: edited(
                design, edit, rule={**fields, "limit": _limit(design, fields["judge"], fields["limit"], system)}
            )
        return lambda design: edited(design, edit, **given)
    if edit in _WHOLE_OF:
        fields[_WHOLE_OF[edit]] = whole(form, _WHOLE_OF[edit])
    return lambda design: edited(design, edit, **fields)


def _metric(name: str, text: str, system: System) -> Any:
    """What a form's field says in the document's unit; empty stays empty."""
    return kept(name, text, system) if name.endswith("_mm") and text.strip() else text


def _limit(design: Design, rule: str, text: str, system: System) -> str:
    """A limit typed in an inch page's unit, with its unit; what cannot be read is left for the rule to refuse."""
    if system == "metric" or not text.strip() or _unit_of_limit(design, rule) != "mm":
        return text
    try:
        return f"{to(parse(text, 'length', display_unit('length', system)), 'mm')!r} mm"
    except DesignError:
        return text


def _unit_of_limit(design: Design, rule: str) -> str:
    return next((rule_limit(entry.rule)[1] for entry in rules_of(design) if entry.rule.id == rule), "")
