"""The shelf place: prepregs and mandrels of the pole, each figure measured or a default, and the workshop's shelf."""

from dataclasses import dataclass, replace
from typing import Any

from polewright.documents.report import FigureOrigin, MaterialFigures
from polewright.documents.shelf import FIGURES
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.materials.library import Library, library
from polewright.units import display_unit, format_quantity, from_, si, to
from polewright.web.places.brief import Field, field_of
from polewright.web.say import pretty
from polewright.web.sight import Sight
from polewright.workshop import GIVEN, ShelfEntry, Workshop

__all__ = ["FigureRow", "MandrelRow", "PrepregRow", "ShelfView", "StockRow", "shelf_view"]

MOST_OFF = 8  # entries that are offered to be put back
Choices = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One figure of a prepreg: as it is used, where it comes from; `field` where it was given, to be changed."""

    name: str
    value: str
    kind: str
    source: str
    field: Field | None = None
    given: int = -1


@dataclass(frozen=True, slots=True)
class PrepregRow:
    """One prepreg of the pole."""

    place: int
    id: str
    used: str
    rests: str
    is_known: bool
    fields: tuple[Field, ...]
    make_up: tuple[Field, ...]
    given: tuple[FigureRow, ...]
    figures: tuple[FigureRow, ...]
    is_kept: bool


@dataclass(frozen=True, slots=True)
class MandrelRow:
    """One mandrel of the pole; `profile` holds place and diameter of each measured place."""

    place: int
    id: str
    used: str
    expansion: str
    fields: tuple[Field, ...]
    profile: tuple[tuple[Field, Field], ...]
    is_kept: bool


@dataclass(frozen=True, slots=True)
class StockRow:
    """One entry of the workshop's shelf or rack beside this pole: `state` is new here, differs here, or as here."""

    number: int
    kind: str
    id: str
    what: str
    since: str
    state: str


@dataclass(frozen=True, slots=True)
class ShelfView:
    """All that the shelf place shows; `off`: what was taken off the workshop's shelf and could be put back."""

    prepregs: tuple[PrepregRow, ...]
    mandrels: tuple[MandrelRow, ...]
    stock: tuple[StockRow, ...]
    off: tuple[StockRow, ...]
    likes: tuple[tuple[str, Choices], ...]
    fibres: Choices
    resins: Choices
    metals: Choices
    figures: Choices
    currency: str
    length_unit: str
    shape: str


def shelf_view(workshop: Workshop, sight: Sight) -> ShelfView:
    """The shelf and the rack of the pole at hand."""
    plain, shipped = sight.design.plain(), library()
    stock = (*workshop.shelf.materials(), *workshop.shelf.mandrels())
    kept = {entry.document for entry in stock}
    prepregs = tuple(
        _prepreg(sight, plain, i, MaterialDocument(material=m) in kept) for i, m in enumerate(sight.design.materials)
    )
    mandrels = tuple(
        _mandrel(sight, plain, i, MandrelDocument(mandrel=m) in kept) for i, m in enumerate(sight.design.mandrels)
    )
    shape = ";".join(
        (
            *(f"{p.id}:{len(p.given)}:{len(p.make_up)}" for p in prepregs),
            *(f"{m.id}:{len(m.profile)}" for m in mandrels),
        )
    )
    return ShelfView(
        prepregs,
        mandrels,
        tuple(_stocked(sight, entry) for entry in stock),
        _taken_off(workshop, sight),
        _likes(sight, shipped),
        tuple((f.id, f.description) for f in shipped.fibres.values()),
        tuple((r.id, r.description) for r in shipped.resins.values()),
        _metals(shipped),
        tuple((name, f"{g.words}, {pretty(g.unit)}".removesuffix(", ")) for name, g in GIVEN.items()),
        sight.report.pole.currency,
        display_unit("length", sight.system),
        shape,
    )


def _taken_off(workshop: Workshop, sight: Sight) -> tuple[StockRow, ...]:
    """What lies there no more, newest first, one of a name."""
    lying = {_name(e) for e in (*workshop.shelf.materials(), *workshop.shelf.mandrels())}
    gone = {_name(e): e for e in sorted(workshop.shelf.history(), key=lambda e: e.number) if e.gone}
    left = [entry for name, entry in gone.items() if name not in lying]
    return tuple(_stocked(sight, entry) for entry in sorted(left, key=lambda e: -e.number)[:MOST_OFF])


def _name(entry: ShelfEntry) -> tuple[str, str]:
    document = entry.document
    return document.document, document.material.id if isinstance(document, MaterialDocument) else document.mandrel.id


def _likes(sight: Sight, shipped: Library) -> tuple[tuple[str, Choices], ...]:
    """What a new prepreg may be begun from, in groups."""
    own = tuple((m.id, m.id) for m in sight.design.materials)
    listed = tuple(
        (p.id, f"{p.id}: {_kind(p.architecture)}, {to(p.fibre_area_mass, 'g/m2'):.0f} g/m²")
        for p in shipped.prepregs.values()
    )
    return (("of this pole", own), ("of the shipped library, default figures", listed))


def _kind(architecture: str) -> str:
    return "one way" if architecture == "ud" else "woven"


def _metals(shipped: Library) -> Choices:
    return tuple((m.id, m.description) for m in shipped.mandrel_materials.values())


def _prepreg(sight: Sight, plain: dict[str, Any], i: int, is_kept: bool) -> PrepregRow:
    material, figures = sight.design.materials[i], sight.report.materials[i]
    path, system, money = f"materials[{i}]", sight.system, sight.report.pole.currency
    fields = (
        field_of(plain, f"{path}.id", "Name", system),
        field_of(plain, f"{path}.description", "Description", system),
        field_of(plain, f"{path}.lot", "Lot", system),
        field_of(plain, f"{path}.price_per_m2", "Price", system, unit=f"{money}/m²"),
        field_of(plain, f"{path}.roll_width_mm", "Roll width", system),
        field_of(plain, f"{path}.fibre_areal_g_m2", "Fibre", system),
        field_of(plain, f"{path}.resin_content_pct", "Resin", system),
    )
    given = tuple(_given(sight, figures, plain, i, j) for j in range(len(material.given)))
    rest = tuple(_figure(sight, each, money) for each in figures.figures if each.figure in _NAMES)
    known = sum(f.kind in ("measured", "certificate") for f in figures.figures)
    rests = (
        f"{known} of {len(figures.figures)} figures measured or certified, the others derived or default"
        if known
        else "all figures default, not measured here"
    )
    return PrepregRow(
        i,
        material.id,
        _used(sight, material.id),
        rests,
        known > 0,
        fields,
        _make_up(sight, plain, i),
        given,
        rest,
        is_kept,
    )


def _used(sight: Sight, name: str) -> str:
    sections = [i + 1 for i, s in enumerate(sight.design.sections) if any(w.prepreg == name for w in s.stack)]
    return f"in {_listed(sections)}" if sections else "no ply is cut from it"


def _listed(sections: list[int]) -> str:
    """Sections by their numbers: "section 3", "sections 1 to 5", "sections 1, 4"."""
    first, last = sections[0], sections[-1]
    if first == last:
        return f"section {first}"
    if len(sections) > 2 and sections == list(range(first, last + 1)):
        return f"sections {first} to {last}"
    return "sections " + ", ".join(map(str, sections))


_NAMES = {
    "E1": ("stiffness along the fibre", "modulus", "GPa", 1),
    "E2": ("stiffness across", "modulus", "GPa", 2),
    "G12": ("stiffness in shear", "modulus", "GPa", 2),
    "nu12": ("narrowing (ν12)", "", "", 3),
    "nu23": ("narrowing across (ν23)", "", "", 3),
    "alpha1": ("expansion along", "expansion", "µ/K", 2),
    "alpha2": ("expansion across", "expansion", "µ/K", 1),
    "density": ("cured density", "density", "g/cm3", 3),
    "thickness": ("cured thickness", "length", "mm", 4),
    "area_mass": ("weight", "area_mass", "g/m2", 1),
    "Vf": ("fibre share", "share", "%", 1),
    "resin_share": ("resin content", "share", "%", 1),
    "Xt": ("strength along, pulled", "stress", "MPa", 0),
    "Xc": ("strength along, pressed", "stress", "MPa", 0),
    "Yt": ("strength across, pulled", "stress", "MPa", 0),
    "Yc": ("strength across, pressed", "stress", "MPa", 0),
    "S": ("strength in shear", "stress", "MPa", 0),
    "price": ("price a square metre", "", "money", 2),
}
_GIVEN_AS = {**FIGURES, "total_g_m2": "area_mass", "resin_content_pct": "resin_share"}
_KINDS = {"default": "default, not measured here", "certificate": "supplier's certificate", "measured": "measured here"}


def _figure(sight: Sight, origin: FigureOrigin, money: str) -> FigureRow:
    name, quantity, unit, digits = _NAMES[origin.figure]
    if quantity:
        value = format_quantity(origin.value, quantity, _shown_unit(sight, quantity, unit), digits)
    else:
        value = f"{origin.value:.{digits}f}" + (f" {money}" if unit == "money" else "")
    kind = _KINDS.get(origin.kind, "derived from default figures" if origin.is_default else "derived")
    return FigureRow(name, value, kind, "; ".join(part for part in (origin.formula, origin.source) if part))


def _shown_unit(sight: Sight, quantity: str, unit: str) -> str:
    """Thicknesses alone follow the page's units; figures of a material keep those of the trade's data sheets."""
    return display_unit("length", sight.system) if quantity == "length" and sight.system == "inch" else unit


def _given(sight: Sight, figures: MaterialFigures, plain: dict[str, Any], i: int, j: int) -> FigureRow:
    data = sight.design.materials[i].given[j]
    path, kind = f"materials[{i}].given[{j}]", GIVEN[data.figure]
    field = replace(field_of(plain, f"{path}.value", kind.words, sight.system), unit=pretty(kind.unit))
    origin = next((f for f in figures.figures if f.figure == _GIVEN_AS[data.figure]), None)
    source = f"lot {data.lot}" if data.lot else "" if origin is None else origin.source
    return FigureRow(kind.words, "", _KINDS[data.kind], source, field, j)


def _make_up(sight: Sight, plain: dict[str, Any], i: int) -> tuple[Field, ...]:
    """The fibre and resin that the derived figures come from, where the document itself holds them."""
    material, path = plain["materials"][i], f"materials[{i}]"
    fields: list[Field] = []
    if isinstance(material.get("fibre"), dict):
        fields += [
            field_of(plain, f"{path}.fibre.{name}", f"Fibre: {label}", sight.system)
            for name, label in (
                ("E1_GPa", "along"),
                ("E2_GPa", "across"),
                ("G12_GPa", "shear"),
                ("density_kg_m3", "density"),
                ("cte1_1e6_K", "expansion along"),
                ("cte2_1e6_K", "across"),
                ("strength_MPa", "strength"),
            )
        ]
    if isinstance(material.get("resin"), dict):
        fields += [
            field_of(plain, f"{path}.resin.{name}", f"Resin: {label}", sight.system)
            for name, label in (
                ("E_GPa", "stiffness"),
                ("density_kg_m3", "density"),
                ("cte_1e6_K", "expansion"),
                ("Tg_dry_C", "softens dry at"),
                ("Tg_wet_C", "softens wet at"),
            )
        ]
    return tuple(fields)


def _mandrel(sight: Sight, plain: dict[str, Any], i: int, is_kept: bool) -> MandrelRow:
    mandrel, path, system = sight.design.mandrels[i], f"mandrels[{i}]", sight.system
    used = [n + 1 for n, s in enumerate(sight.design.sections) if s.mandrel == mandrel.id]
    words = _listed(used) if used else "no section is rolled on it"
    usual = library().mandrel_material(mandrel.material).alpha
    said = (
        "measured here"
        if mandrel.cte_1e6_K is not None
        else (f"now {format_quantity(usual, 'expansion', 'µ/K', 1)}, the default of its material, not measured here")
    )
    fields = (
        field_of(plain, f"{path}.id", "Name", system),
        field_of(plain, f"{path}.material", "Of", system, choices=_metals(library())),
        field_of(plain, f"{path}.cte_1e6_K", "Expansion, measured", system),
    )
    profile = tuple(
        (
            field_of(plain, f"{path}.profile[{k}].at_mm", "at", system),
            field_of(plain, f"{path}.profile[{k}].diameter_mm", "diameter", system),
        )
        for k in range(len(mandrel.profile))
    )
    return MandrelRow(i, mandrel.id, words, said, fields, profile, is_kept)


def _stocked(sight: Sight, entry: ShelfEntry) -> StockRow:
    document = entry.document
    if isinstance(document, MandrelDocument):
        mandrel = document.mandrel
        here = next((m for m in sight.design.mandrels if m.id == mandrel.id), None)
        ends = " to ".join(
            dict.fromkeys(_thick(sight, p.diameter_mm) for p in (mandrel.profile[0], mandrel.profile[-1]))
        )
        what = f"⌀ {ends}, {_long(sight, mandrel.profile[-1].at_mm - mandrel.profile[0].at_mm)} long"
        return StockRow(entry.number, "mandrel", mandrel.id, what, _day(entry), _state(here, mandrel))
    material = document.material
    found = next((m for m in sight.design.materials if m.id == material.id), None)
    measured = f"{len(material.given)} figures given" if material.given else "default figures"
    what = ", ".join(
        part for part in (material.description, f"lot {material.lot}" if material.lot else "", measured) if part
    )
    return StockRow(entry.number, "prepreg", material.id, what, _day(entry), _state(found, material))


def _state(here: object, there: object) -> str:
    return "new here" if here is None else "as here" if here == there else "differs here"


def _day(entry: ShelfEntry) -> str:
    return f"{entry.at:%d %B %Y}".lstrip("0")


def _thick(sight: Sight, value_mm: float) -> str:
    unit = display_unit("length", sight.system)
    return f"{to(from_(value_mm, 'mm'), unit):.{2 if sight.system == 'metric' else 4}f} {unit}"


def _long(sight: Sight, value_mm: float) -> str:
    unit = display_unit("reach", sight.system)
    return f"{to(si('x_mm', value_mm), unit):.2f} {unit}"
