"""The shelf place: prepregs and mandrels of the pole, each figure measured or a default, and the workshop's shelf."""

from dataclasses import dataclass
from typing import Any

from polewright.web.page_state import PageState
from polewright.web.place_kind import PlaceKind
from polewright.web.places.brief import Field, field_of
from polewright.words import Reader
from polewright.words.form_values import field_unit, field_value
from polewright.words.forms import value_text
from polewright.words.stock import bar_text
from polewright.workshop import (
    FIGURES,
    GIVEN,
    FigureOrigin,
    Library,
    MandrelDocument,
    MaterialAnswer,
    MaterialDocument,
    ShelfEntry,
    Workshop,
    library,
)

__all__ = ["PLACE", "FigureRow", "MandrelRow", "PrepregRow", "ShelfView", "StockRow", "shelf_view"]

MOST_OFF = 8  # entries that are offered to be put back
Choices = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One figure of a prepreg: as it is used, where it comes from; `field` where it was given, to be changed."""

    name: str
    value: str
    kind: str
    source: str
    is_known: bool
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
    """One entry of the workshop's shelf or rack beside this pole: `state` is "new", "differs" or "same"."""

    number: int
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
    price_unit: str
    length_unit: str
    shape: str


def shelf_view(workshop: Workshop, state: PageState) -> ShelfView:
    """The shelf and the rack of the pole at hand."""
    plain, shipped, say = state.design.plain(), library(), state.reader.say
    stock = (*workshop.shelf.materials(), *workshop.shelf.mandrels())
    kept = {entry.document for entry in stock}
    prepregs = tuple(
        _prepreg(state, plain, i, MaterialDocument(material=m) in kept) for i, m in enumerate(state.design.materials)
    )
    mandrels = tuple(
        _mandrel(state, plain, i, MandrelDocument(mandrel=m) in kept) for i, m in enumerate(state.design.mandrels)
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
        tuple(_stocked(state, entry) for entry in stock),
        _taken_off(workshop, state),
        _models(state, shipped),
        tuple((f.id, say(f"library.fibre.{f.id}", modulus=f.E1)) for f in shipped.fibres.values()),
        tuple((r.id, say(f"library.resin.{r.id}", cure=r.cure_cycles[0]["T"])) for r in shipped.resins.values()),
        _metals(shipped, state.reader),
        tuple((name, _given_choice(state.reader, name)) for name in GIVEN),
        f"{state.check.pole.currency}{state.reader.unit('area_price')}",
        state.reader.unit("length"),
        shape,
    )


def _taken_off(workshop: Workshop, state: PageState) -> tuple[StockRow, ...]:
    """What lies there no more, newest first, one of a name."""
    lying = {_name(e) for e in (*workshop.shelf.materials(), *workshop.shelf.mandrels())}
    gone = {_name(e): e for e in sorted(workshop.shelf.history(), key=lambda e: e.number) if e.gone}
    left = [entry for name, entry in gone.items() if name not in lying]
    return tuple(_stocked(state, entry) for entry in sorted(left, key=lambda e: -e.number)[:MOST_OFF])


def _name(entry: ShelfEntry) -> tuple[str, str]:
    document = entry.document
    return document.document, document.material.id if isinstance(document, MaterialDocument) else document.mandrel.id


def _models(state: PageState, shipped: Library) -> tuple[tuple[str, Choices], ...]:
    """What a new prepreg may be begun from, in groups."""
    own = tuple((m.id, m.id) for m in state.design.materials)
    listed = tuple(
        (
            p.id,
            state.reader.say(
                "place.shelf.library_entry",
                id=p.id,
                made=state.reader.say(f"place.shelf.made.{'ud' if p.architecture == 'ud' else 'weave'}"),
                weight=p.fibre_area_mass,
            ),
        )
        for p in shipped.prepregs.values()
    )
    say = state.reader.say
    return ((say("place.shelf.of_this_pole"), own), (say("place.shelf.of_library"), listed))


def _given_choice(reader: Reader, figure: str) -> str:
    """A figure that can be given, with the unit in which it is kept."""
    name, unit = reader.say(f"ply_figure.{_GIVEN_AS[figure]}"), field_unit(figure, reader)
    return reader.catalogue.separator.join((name, unit)) if unit else name


def _metals(shipped: Library, reader: Reader) -> Choices:
    return tuple((m.id, reader.say(f"library.mandrel.{m.id}")) for m in shipped.mandrel_materials.values())


def _prepreg(state: PageState, plain: dict[str, Any], i: int, is_kept: bool) -> PrepregRow:
    material, figures = state.design.materials[i], state.check.materials[i]
    path, reader, money = f"materials[{i}]", state.reader, state.check.pole.currency
    say = state.reader.say
    fields = (
        field_of(plain, f"{path}.id", say("place.shelf.label.name"), reader),
        field_of(plain, f"{path}.description", say("place.shelf.label.description"), reader),
        field_of(plain, f"{path}.lot", say("place.shelf.label.lot"), reader),
        field_of(
            plain,
            f"{path}.price_per_m2",
            say("place.shelf.label.price"),
            reader,
            unit=f"{money}{state.reader.unit('area_price')}",
        ),
        field_of(plain, f"{path}.roll_width_mm", say("place.shelf.label.roll_width"), reader),
        field_of(plain, f"{path}.fibre_areal_g_m2", say("place.shelf.label.fibre"), reader),
        field_of(plain, f"{path}.resin_content_pct", say("place.shelf.label.resin"), reader),
    )
    given = tuple(_given(state, figures, i, j) for j in range(len(material.given)))
    rest = tuple(_figure(state, each, money) for each in figures.figures if each.figure in _FIGURES)
    known = sum(f.kind in ("measured", "certificate") for f in figures.figures)
    code = "place.shelf.rests_known" if known else "place.shelf.rests_default"
    rests = say(code, known=known, of=len(figures.figures))
    return PrepregRow(
        i,
        material.id,
        _used(state, material.id),
        rests,
        known > 0,
        fields,
        _make_up(state, plain, i),
        given,
        rest,
        is_kept,
    )


def _used(state: PageState, name: str) -> str:
    sections = [i + 1 for i, s in enumerate(state.design.sections) if any(w.prepreg == name for w in s.stack)]
    return _in_sections(state.reader, sections) if sections else state.reader.say("place.shelf.not_cut")


def _in_sections(reader: Reader, sections: list[int]) -> str:
    """Sections by their numbers: "in section 3", "in sections 1 to 5", "in sections 1, 4"."""
    first, last = sections[0], sections[-1]
    if first == last:
        return reader.say("place.shelf.in_section", section=first)
    if len(sections) > 2 and sections == list(range(first, last + 1)):
        return reader.say("place.shelf.in_section_range", first=first, last=last)
    return reader.say("place.shelf.in_sections", sections=tuple(sections))


_FIGURES = {  # quantity, unit of data sheets, decimals
    "E1": ("modulus", "GPa", 1),
    "E2": ("modulus", "GPa", 2),
    "G12": ("modulus", "GPa", 2),
    "nu12": ("", "", 3),
    "nu23": ("", "", 3),
    "alpha1": ("expansion", "µ/K", 2),
    "alpha2": ("expansion", "µ/K", 1),
    "density": ("density", "g/cm3", 3),
    "thickness": ("length", "mm", 4),
    "area_mass": ("area_mass", "g/m2", 1),
    "Vf": ("share", "%", 1),
    "resin_share": ("share", "%", 1),
    "Xt": ("stress", "MPa", 0),
    "Xc": ("stress", "MPa", 0),
    "Yt": ("stress", "MPa", 0),
    "Yc": ("stress", "MPa", 0),
    "S": ("stress", "MPa", 0),
    "price": ("area_price", "/m2", 2),
}
_PLAIN_KINDS = ("default", "certificate", "measured")
_GIVEN_AS = {**FIGURES, "total_g_m2": "area_mass", "resin_content_pct": "resin_share"}


def _figure(state: PageState, origin: FigureOrigin, money: str) -> FigureRow:
    reader, name = state.reader, origin.figure
    quantity, unit, digits = _FIGURES[name]
    if name == "price":
        value = f"{reader.bare(origin.value, quantity, digits)} {money}{reader.unit(quantity)}"
    elif quantity:
        value = reader.quantity(origin.value, quantity, digits, unit=unit)
    else:
        value = reader.number(origin.value, digits)
    code = origin.kind if origin.kind in _PLAIN_KINDS else "derived_default" if origin.is_default else "derived"
    source = "; ".join(filter(None, map(reader.text, (origin.formula, origin.source))))
    is_known = origin.kind in ("measured", "certificate")
    return FigureRow(reader.say(f"ply_figure.{name}"), value, reader.say(f"why.origin.{code}"), source, is_known)


def _given(state: PageState, figures: MaterialAnswer, i: int, j: int) -> FigureRow:
    data = state.design.materials[i].given[j]
    reader, figure = state.reader, _GIVEN_AS[data.figure]
    name = reader.say(f"ply_figure.{figure}")
    path = f"materials[{i}].given[{j}].value"
    field = Field(path, name, field_value(data.figure, data.value, reader), field_unit(data.figure, reader))
    origin = next((f for f in figures.figures if f.figure == figure), None)
    source = "" if origin is None else reader.text(origin.source)
    if data.lot:
        source = reader.say("place.shelf.of_lot", lot=data.lot)
    return FigureRow(name, "", reader.say(f"why.origin.{data.kind}"), source, True, field, j)


def _make_up(state: PageState, plain: dict[str, Any], i: int) -> tuple[Field, ...]:
    """The fibre and resin that the derived figures come from, where the document itself holds them."""
    material, path = plain["materials"][i], f"materials[{i}]"
    fields: list[Field] = []
    for kind, names in _MAKE_UP.items():
        if isinstance(material.get(kind), dict):
            fields += [
                field_of(plain, f"{path}.{kind}.{name}", state.reader.say(f"place.shelf.{kind}.{name}"), state.reader)
                for name in names
            ]
    return tuple(fields)


_MAKE_UP = {
    "fibre": ("E1_GPa", "E2_GPa", "G12_GPa", "density_kg_m3", "cte1_1e6_K", "cte2_1e6_K", "strength_MPa"),
    "resin": ("E_GPa", "density_kg_m3", "cte_1e6_K", "Tg_dry_C", "Tg_wet_C"),
}


def _mandrel(state: PageState, plain: dict[str, Any], i: int, is_kept: bool) -> MandrelRow:
    mandrel, path, reader = state.design.mandrels[i], f"mandrels[{i}]", state.reader
    used = [n + 1 for n, s in enumerate(state.design.sections) if s.mandrel == mandrel.id]
    uses = _in_sections(reader, used) if used else reader.say("place.shelf.not_rolled")
    usual = library().mandrel_material(mandrel.material).alpha
    expansion = reader.say("place.shelf.usual_expansion", expansion=usual)
    if mandrel.cte_1e6_K is not None:
        expansion = reader.say("why.origin.measured")
    say = state.reader.say
    fields = (
        field_of(plain, f"{path}.id", say("place.shelf.label.name"), reader),
        field_of(plain, f"{path}.material", say("place.shelf.label.of"), reader, choices=_metals(library(), reader)),
        field_of(plain, f"{path}.cte_1e6_K", say("place.shelf.label.expansion_measured"), reader),
    )
    profile = tuple(
        (
            field_of(plain, f"{path}.profile[{k}].at_mm", say("place.shelf.label.at"), reader),
            field_of(plain, f"{path}.profile[{k}].diameter_mm", say("place.shelf.label.diameter"), reader),
        )
        for k in range(len(mandrel.profile))
    )
    return MandrelRow(i, mandrel.id, uses, expansion, fields, profile, is_kept)


def _stocked(state: PageState, entry: ShelfEntry) -> StockRow:
    document, reader = entry.document, state.reader
    if isinstance(document, MandrelDocument):
        mandrel = document.mandrel
        here = next((m for m in state.design.mandrels if m.id == mandrel.id), None)
        return StockRow(entry.number, mandrel.id, bar_text(mandrel, reader), _day(reader, entry), _state(here, mandrel))
    material = document.material
    found = next((m for m in state.design.materials if m.id == material.id), None)
    lot = reader.say("place.shelf.of_lot", lot=material.lot) if material.lot else ""
    given = reader.say("place.shelf.given", count=len(material.given))
    measured = given if material.given else reader.say("place.shelf.no_given")
    what = reader.catalogue.separator.join(part for part in (material.description, lot, measured) if part)
    return StockRow(entry.number, material.id, what, _day(reader, entry), _state(found, material))


def _state(here: object, there: object) -> str:
    """Whether the pole has the thing: "new", "same", or another "differs" of the same name."""
    return "new" if here is None else "same" if here == there else "differs"


def _day(reader: Reader, entry: ShelfEntry) -> str:
    return value_text(entry.at, "date", reader)


PLACE = PlaceKind("have", 1, lambda request: {"shelf": shelf_view(request.workshop, request.state)})
