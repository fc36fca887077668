"""The prepregs of a pole: taken onto its shelf, a lot's own figures in place of derived ones; prepregs count from 0."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import Field

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.document import Part
from polewright.documents.fields import AreaMass, AreaPrice, Length, Percent
from polewright.documents.files import DocumentError, Fault, bound_of
from polewright.documents.material import GIVEN_LIMITS, Material
from polewright.documents.shelf import ply_record
from polewright.errors import DesignError
from polewright.materials.library import library
from polewright.units import from_si, parse, si
from polewright.workshop.form_fields import form_text, form_values
from polewright.workshop.kinds import design_of

__all__ = [
    "GIVEN",
    "GivenFigure",
    "add_own_prepreg",
    "add_prepreg",
    "give_figure",
    "put_prepreg",
    "remove_given",
    "remove_prepreg",
    "rename_prepreg",
    "set_given",
]

Name = Annotated[str, Field(min_length=1, max_length=80)]


@dataclass(frozen=True, slots=True)
class GivenFigure:
    """A figure that a lot may have of its own: its quantity, unit, and what it can be in that unit."""

    quantity: str
    unit: str
    least: float
    most: float


GIVEN: Mapping[str, GivenFigure] = {
    "total_g_m2": GivenFigure("area_mass", "g/m2", *GIVEN_LIMITS["total_g_m2"]),
    "resin_content_pct": GivenFigure("share", "%", *GIVEN_LIMITS["resin_content_pct"]),
    "thickness_mm": GivenFigure("length", "mm", *GIVEN_LIMITS["thickness_mm"]),
    "density_kg_m3": GivenFigure("density", "kg/m3", *GIVEN_LIMITS["density_kg_m3"]),
    "E1_GPa": GivenFigure("modulus", "GPa", *GIVEN_LIMITS["E1_GPa"]),
    "E2_GPa": GivenFigure("modulus", "GPa", *GIVEN_LIMITS["E2_GPa"]),
    "G12_GPa": GivenFigure("modulus", "GPa", *GIVEN_LIMITS["G12_GPa"]),
    "nu12": GivenFigure("share", "", *GIVEN_LIMITS["nu12"]),
    "nu23": GivenFigure("share", "", *GIVEN_LIMITS["nu23"]),
    "cte1_1e6_K": GivenFigure("expansion", "µ/K", *GIVEN_LIMITS["cte1_1e6_K"]),
    "cte2_1e6_K": GivenFigure("expansion", "µ/K", *GIVEN_LIMITS["cte2_1e6_K"]),
    "Xt_MPa": GivenFigure("stress", "MPa", *GIVEN_LIMITS["Xt_MPa"]),
    "Xc_MPa": GivenFigure("stress", "MPa", *GIVEN_LIMITS["Xc_MPa"]),
    "Yt_MPa": GivenFigure("stress", "MPa", *GIVEN_LIMITS["Yt_MPa"]),
    "Yc_MPa": GivenFigure("stress", "MPa", *GIVEN_LIMITS["Yc_MPa"]),
    "S_MPa": GivenFigure("stress", "MPa", *GIVEN_LIMITS["S_MPa"]),
}


class _Roll(Part):
    """A prepreg from a fibre and a resin of the library, as a form gives it."""

    name: Name
    fibre: Name
    resin: Name
    fibre_areal_g_m2: AreaMass
    resin_content_pct: Percent
    architecture: Literal["ud", "weave"] = "ud"
    price_per_m2: AreaPrice = 0.0
    roll_width_mm: Length = 1000.0
    lot: str = ""


def add_prepreg(design: Design, name: str, like: str, lot: str) -> Design:
    """The design with a further prepreg by its name, begun as one that it has, or as one of the shipped library.

    One that it has is copied with all its figures, for a lot of its own.

    Raises
    ------
    DocumentError : a name that stands already, or nothing by that name to begin from.
    """
    new = _new_name(design, name)
    plain = design.plain()
    own = {each["id"]: each for each in plain["materials"]}
    if like in own:
        begun = {**own[like], "id": new}
    elif like in library().prepregs:
        begun = {"id": new, "prepreg": like, "description": f"shipped {like}"}
    else:
        raise DocumentError.at("like", repr(like), Message("want.known_prepreg"))
    plain["materials"].append({**begun, "lot": form_text(lot, "lot", may_be_empty=True)})
    return design_of(plain)


def add_own_prepreg(design: Design, roll: Mapping[str, Any]) -> Design:
    """The design with a prepreg of a shipped fibre and resin in the workshop's own make-up.

    `roll` has name, fibre, resin, fibre_areal_g_m2, resin_content_pct, and may have architecture ("ud", "weave"),
    price_per_m2, roll_width_mm, lot.

    Raises
    ------
    DocumentError : every field that is missing or cannot be so.
    """
    new, shelf = form_values(_Roll, roll), library()
    faults = [
        Fault((field, repr(value), Message("want.one", choices=tuple(known))))
        for field, value, known in (("fibre", new.fibre, shelf.fibres), ("resin", new.resin, shelf.resins))
        if value not in known
    ]
    if faults:
        raise DocumentError(faults)
    plain = design.plain()
    plain["materials"].append(
        {
            "id": _new_name(design, new.name),
            "description": f"{new.fibre} in {new.resin}",
            **{k: v for k, v in new.plain().items() if k != "name"},
        }
    )
    return design_of(plain)


def put_prepreg(design: Design, material: Material) -> Design:
    """The design with this prepreg on its shelf, in place of the one of the same name if there is one."""
    plain = design.plain()
    names = [each["id"] for each in plain["materials"]]
    if material.id in names:
        plain["materials"][names.index(material.id)] = material.plain()
    else:
        plain["materials"].append(material.plain())
    return design_of(plain)


def remove_prepreg(design: Design, material: int) -> Design:
    """The design without a prepreg that no ply is cut from."""
    plain = design.plain()
    name = _material(plain, material)["id"]
    for i, section in enumerate(design.sections):
        for j, stack_ply in enumerate(section.stack):
            if stack_ply.prepreg == name:
                want = Message("want.prepreg_not_used", ply=j + 1, section=i + 1)
                raise DocumentError.at(f"materials[{material}]", repr(name), want)
    del plain["materials"][material]
    return design_of(plain)


def rename_prepreg(design: Design, material: int, name: str) -> Design:
    """The design with a prepreg by another name; every ply, rule and spread that names it follows.

    Raises
    ------
    DocumentError : no such prepreg, or a name that is empty, too long or taken.
    """
    plain = design.plain()
    holder = _material(plain, material)
    old, new = holder["id"], form_text(name, "name")
    if new == old:
        return design
    holder["id"] = _new_name(design, new)
    for section in plain["sections"]:
        for ply in section["stack"]:
            ply["prepreg"] = new if ply["prepreg"] == old else ply["prepreg"]
    for rule in plain["setting"].get("rules", []):
        if rule.get("ply") == old:
            rule["ply"] = new
    for spread in plain["setting"].get("spreads", []):
        if spread.get("material") == old:
            spread["material"] = new
    return design_of(plain)


def give_figure(design: Design, material: int, figure: str, value: str, kind: str, lot: str) -> Design:
    """The design with a figure of a prepreg as a certificate says or as measured here, in place of the derived one.

    A bare number is in the figure's own unit; a figure given before is replaced.

    Raises
    ------
    DocumentError : no such prepreg, figure or kind, or a value that no prepreg has.
    """
    plain = design.plain()
    holder = _material(plain, material)
    if kind not in ("measured", "certificate"):
        raise DocumentError.at("kind", repr(kind), Message("want.measured_or_certificate"))
    new = {
        "figure": figure,
        "value": _value(figure, value, "value"),
        "kind": kind,
        "lot": form_text(lot, "lot", may_be_empty=True),
    }
    given = holder.setdefault("given", [])
    there = [i for i, each in enumerate(given) if each["figure"] == figure]
    holder["given"] = [each for each in given if each["figure"] != figure]
    holder["given"].insert(there[0] if there else len(given), new)
    return _curable(design_of(plain), material, "value", value)


def set_given(design: Design, material: int, given: int, value: str) -> Design:
    """The design with another value for a figure that was given."""
    plain = design.plain()
    entry = _given(plain, material, given)
    field = f"materials[{material}].given[{given}].value"
    entry["value"] = _value(entry["figure"], value, field)
    return _curable(design_of(plain), material, field, value)


def remove_given(design: Design, material: int, given: int) -> Design:
    """The design with a figure derived again that was given."""
    plain = design.plain()
    _given(plain, material, given)
    del plain["materials"][material]["given"][given]
    return design_of(plain)


def _new_name(design: Design, name: str) -> str:
    new = form_text(name, "name")
    if new in {each.id for each in design.materials}:
        raise DocumentError.at("name", repr(new), Message("want.own_name_on_shelf"))
    return new


def _material(plain: dict[str, Any], material: int) -> dict[str, Any]:
    if not 0 <= material < len(plain["materials"]):
        raise DocumentError.at(f"materials[{material}]", "", Message("want.no_such_prepreg"))
    found: dict[str, Any] = plain["materials"][material]
    return found


def _given(plain: dict[str, Any], material: int, given: int) -> dict[str, Any]:
    listed = _material(plain, material).get("given", [])
    if not 0 <= given < len(listed):
        raise DocumentError.at(f"materials[{material}].given[{given}]", "", Message("want.no_such_figure"))
    found: dict[str, Any] = listed[given]
    return found


def _curable(design: Design, material: int, field: str, text: str) -> Design:
    """The design, if its prepreg still cures to a ply; else the refusal at the field where the figure was typed."""
    try:
        ply_record(design.materials[material])
    except DocumentError as fault:
        raise DocumentError([Fault((field, repr(text), each[2])) for each in fault.faults]) from fault
    return design


def _value(figure: str, text: str, field: str) -> float:
    """A typed figure in its own unit, within what a prepreg can be."""
    if figure not in GIVEN:
        raise DocumentError.at("figure", repr(figure), Message("want.one", choices=tuple(GIVEN)))
    kind = GIVEN[figure]
    try:
        read = parse(text, kind.quantity, kind.unit or "%", field=field)
    except DesignError as fault:
        raise DocumentError.at(field, repr(text), fault.want) from fault
    value = from_si(figure, read) if kind.unit else read / si("one_pct", 1.0)
    if not kind.least <= value <= kind.most:
        raise DocumentError.at(
            field,
            repr(text),
            Message("want.between", least=bound_of(figure, kind.least), most=bound_of(figure, kind.most)),
        )
    return value
