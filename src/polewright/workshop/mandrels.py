"""The mandrels of a pole: put on its rack, measured at a further place, taken off; mandrels count from 0."""

from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import Field

from polewright.codes import Message
from polewright.documents.design import Design, MandrelData
from polewright.documents.document import Part
from polewright.documents.fields import Length, MandrelDiameter, NonNegativeLength
from polewright.documents.files import DocumentError
from polewright.materials.library import library
from polewright.units import si
from polewright.workshop.form_fields import form_text, form_values
from polewright.workshop.kinds import design_of

__all__ = [
    "add_mandrel",
    "add_mandrel_place",
    "put_mandrel",
    "remove_mandrel",
    "remove_mandrel_place",
    "rename_mandrel",
]


class _Bar(Part):
    """A mandrel as a form gives it."""

    mandrel: Annotated[str, Field(min_length=1, max_length=80)]
    metal: str = "aluminium_6000"
    small_end_mm: MandrelDiameter
    big_end_mm: MandrelDiameter
    length_mm: Length


class _Place(Part):
    """One more place where a mandrel was measured."""

    at_mm: NonNegativeLength
    diameter_mm: MandrelDiameter


def add_mandrel(design: Design, bar: Mapping[str, Any]) -> Design:
    """The design with a further mandrel of a shipped material, as measured cold at both ends.

    `bar` has mandrel (its name), small_end_mm, big_end_mm, length_mm, and may have metal.

    Raises
    ------
    DocumentError : a name that stands already, a material that is not known, or a measure that cannot be.
    """
    new = form_values(_Bar, bar)
    name = _new_name(design, new.mandrel, "mandrel")
    if new.metal not in library().mandrel_materials:
        raise DocumentError.at(
            "metal", repr(new.metal), Message("want.one", choices=tuple(library().mandrel_materials))
        )
    if new.big_end_mm < new.small_end_mm:
        raise DocumentError.at(
            "big_end_mm", repr(bar["big_end_mm"]), Message("want.big_end", least=si("small_end_mm", new.small_end_mm))
        )
    plain = design.plain()
    plain["mandrels"].append(
        {
            "id": name,
            "material": new.metal,
            "profile": [
                {"at_mm": 0.0, "diameter_mm": new.small_end_mm},
                {"at_mm": new.length_mm, "diameter_mm": new.big_end_mm},
            ],
        }
    )
    return design_of(plain)


def put_mandrel(design: Design, mandrel: MandrelData) -> Design:
    """The design with this mandrel on its rack, in place of the one of the same name if there is one."""
    plain = design.plain()
    names = [each["id"] for each in plain["mandrels"]]
    if mandrel.id in names:
        plain["mandrels"][names.index(mandrel.id)] = mandrel.plain()
    else:
        plain["mandrels"].append(mandrel.plain())
    return design_of(plain)


def rename_mandrel(design: Design, mandrel: int, name: str) -> Design:
    """The design with a mandrel by another name; every section rolled on it follows.

    Raises
    ------
    DocumentError : no such mandrel, or a name that is empty, too long or taken.
    """
    plain, _ = _profile(design, mandrel)
    old, new = plain["mandrels"][mandrel]["id"], form_text(name, "name")
    if new == old:
        return design
    plain["mandrels"][mandrel]["id"] = _new_name(design, new, "name")
    for section in plain["sections"]:
        section["mandrel"] = new if section["mandrel"] == old else section["mandrel"]
    return design_of(plain)


def add_mandrel_place(design: Design, mandrel: int, at_mm: Any, diameter_mm: Any) -> Design:
    """The design with a mandrel measured at one more place [mm] from its small end."""
    plain, profile = _profile(design, mandrel)
    place = form_values(_Place, {"at_mm": at_mm, "diameter_mm": diameter_mm})
    if any(each["at_mm"] == place.at_mm for each in profile):
        raise DocumentError.at("at_mm", repr(at_mm), Message("want.place_not_measured_yet"))
    profile.append(place.plain())
    profile.sort(key=lambda each: float(each["at_mm"]))
    return design_of(plain)


def remove_mandrel_place(design: Design, mandrel: int, place: int) -> Design:
    """The design with a mandrel measured at one place less; two stay."""
    plain, profile = _profile(design, mandrel)
    if not 0 <= place < len(profile):
        raise DocumentError.at(f"mandrels[{mandrel}].profile[{place}]", "", Message("want.no_such_place"))
    if len(profile) <= 2:
        raise DocumentError.at(f"mandrels[{mandrel}].profile", "", Message("want.two_measured_places"))
    del profile[place]
    return design_of(plain)


def remove_mandrel(design: Design, mandrel: int) -> Design:
    """The design without a mandrel on which no section is rolled."""
    plain, _ = _profile(design, mandrel)
    name = plain["mandrels"][mandrel]["id"]
    used = [i + 1 for i, section in enumerate(design.sections) if section.mandrel == name]
    if used:
        raise DocumentError.at(f"mandrels[{mandrel}]", repr(name), Message("want.mandrel_not_used", section=used[0]))
    del plain["mandrels"][mandrel]
    return design_of(plain)


def _new_name(design: Design, name: str, field: str) -> str:
    new = form_text(name, field)
    if new in {each.id for each in design.mandrels}:
        raise DocumentError.at(field, repr(new), Message("want.own_name_on_rack"))
    return new


def _profile(design: Design, mandrel: int) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    plain = design.plain()
    if not 0 <= mandrel < len(plain["mandrels"]):
        raise DocumentError.at(f"mandrels[{mandrel}]", "", Message("want.no_such_mandrel"))
    return plain, plain["mandrels"][mandrel]["profile"]
