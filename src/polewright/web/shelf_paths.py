"""Shelf, rack and rules: their forms as edits of the pole, and the paths that keep a thing for the workshop."""

import re
from collections.abc import Callable, Mapping

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from polewright.codes import Message
from polewright.errors import Absent
from polewright.web.changes import change_of, kept, whole
from polewright.web.request import DraftsDep, Form, ReaderDep, Slug, WorkshopDep
from polewright.words import Reader
from polewright.words.form_values import with_unit
from polewright.words.rules import typed_limit
from polewright.workshop import Design, MandrelDocument, MaterialDocument, Workshop, rules_of

__all__ = ["form_change", "shelf_paths"]

shelf_paths = APIRouter()
Change = Callable[[Design], Design]
SEE_OTHER = 303
_GIVEN = re.compile(r"materials\[(\d{1,3})\]\.given\[(\d{1,3})\]\.value")
_NAMED = re.compile(r"(materials|mandrels)\[(\d{1,3})\]\.id")
_RULE = re.compile(r"rule:([^:]{1,80}):(is_on|limit|title|reason|remedy)")


def form_change(form: Mapping[str, str], reader: Reader, workshop: Workshop) -> Change:
    """The change that a form of any place asks for; some fields of a page stand for an edit of their own.

    Raises
    ------
    DocumentError : the form is not one of ours, or a figure in it cannot be read.
    """
    edit, path, text = form.get("edit", ""), form.get("path", ""), form.get("text", "")
    if edit == "set_field" and (found := _GIVEN.fullmatch(path)):
        material, given = int(found[1]), int(found[2])

        def set_given(design: Design) -> Design:
            figure = design.materials[material].given[given].figure if _has_given(design, material, given) else ""
            value = with_unit(text, figure, reader)
            return workshop.edited(design, "set_given", material=material, given=given, value=value)

        return set_given
    if edit == "set_field" and (found := _NAMED.fullmatch(path)):
        kind, of = ("prepreg", "material") if found[1] == "materials" else ("mandrel", "mandrel")
        place = int(found[2])
        return lambda design: workshop.edited(design, f"rename_{kind}", **{of: place}, name=text)
    if edit == "set_field" and (found := _RULE.fullmatch(path)):
        return _rule_change(workshop, found[1], found[2], text, reader)
    if edit == "set_field":
        return lambda design: workshop.edited(design, edit, path=path, value=kept(path, text, reader))
    if edit == "give_figure":
        form = {**form, "value": with_unit(form.get("value", ""), form.get("figure", ""), reader)}
    if edit == "add_rule":
        limit, judge = form.get("limit", ""), form.get("judge", "")
        return lambda design: change_of({**form, "limit": _limit(design, judge, limit, reader)}, reader, workshop)(
            design
        )
    return change_of(form, reader, workshop)


def _has_given(design: Design, material: int, given: int) -> bool:
    return material < len(design.materials) and given < len(design.materials[material].given)


def _rule_change(workshop: Workshop, rule: str, field: str, text: str, reader: Reader) -> Change:
    def change(design: Design) -> Design:
        value = _limit(design, rule, text, reader) if field == "limit" else text
        return workshop.edited(design, "set_rule", rule=rule, field=field, value=value)

    return change


@shelf_paths.post("/poles/{slug}/shelf/keep")
def keep(workshop: WorkshopDep, drafts: DraftsDep, reader: ReaderDep, form: Form, slug: Slug) -> Response:
    """A prepreg or mandrel of this pole, as it is here, for the whole workshop."""
    design, kind, name = drafts.look(slug).design, form.get("kind", ""), form.get("name", "")
    note = reader.say("note.from_pole", pole=design.name)
    material = next((m for m in design.materials if m.id == name and kind == "material"), None)
    mandrel = next((m for m in design.mandrels if m.id == name and kind == "mandrel"), None)
    if material is not None:
        workshop.shelf.keep(MaterialDocument(material=material), note=note)
    elif mandrel is not None:
        workshop.shelf.keep(MandrelDocument(mandrel=mandrel), note=note)
    else:
        raise Absent("name", repr(name), Message("want.prepreg_or_mandrel_of_pole"))
    return _back(slug)


@shelf_paths.post("/poles/{slug}/shelf/off")
def take_off(workshop: WorkshopDep, form: Form, slug: Slug) -> Response:
    """An entry off the workshop's shelf; the poles that have the thing keep it."""
    workshop.shelf.take_off(whole(form, "entry"))
    return _back(slug)


@shelf_paths.post("/poles/{slug}/shelf/back")
def put_back(workshop: WorkshopDep, form: Form, slug: Slug) -> Response:
    """What was taken off the workshop's shelf lies there again, as a further entry."""
    workshop.shelf.put_back(whole(form, "entry"))
    return _back(slug)


def _back(slug: str) -> Response:
    return RedirectResponse(f"/poles/{slug}/shelf#workshop", SEE_OTHER)


def _limit(design: Design, rule: str, text: str, reader: Reader) -> str:
    """A limit as typed, with the unit of the page."""
    known = next((entry.rule for entry in rules_of(design) if entry.rule.id == rule), None)
    return text if known is None else typed_limit(known, text, reader)
