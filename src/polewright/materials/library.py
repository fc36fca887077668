"""The shipped library: fibres, resins, prepregs, mandrel materials, process and use figures, hazards, each sourced.

The tables are read once; everything handed out is a frozen value in SI (temperatures in kelvin).
"""

import difflib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, TypeVar

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.entries import (
    Fibre,
    Hazard,
    Knockdown,
    MandrelMaterial,
    PrepregEntry,
    Provenance,
    Resin,
    Row,
    Scalar,
)
from polewright.materials.file_units import in_si, si_name, word_factor
from polewright.materials.frozen_map import FrozenMap

__all__ = ["Library", "library"]

SCALAR_TABLES = (
    ("process", "value"),
    ("process", "cov"),
    ("use", "load"),
    ("use", "ergonomics"),
    ("use", "scalar"),
    ("mandrels", "mandrel_quality"),
)
PLAIN_TABLES = (
    ("resins", "kinetics"),
    ("prepregs", "published_ply"),
    ("process", "tape"),
    ("process", "tape_pressure"),
    ("tests", "test"),
    ("use", "hose"),
    ("use", "grip"),
    ("use", "lifting_filter"),
    ("use", "cylinder_drag"),
    ("use", "beaufort"),
    ("sources", "source"),
)
FILES = ("fibres", "hazards", "mandrels", "prepregs", "process", "resins", "sources", "tests", "use")
RENAMED = {
    "cte": "alpha",
    "cte1": "alpha1",
    "cte2": "alpha2",
    "FAW": "fibre_area_mass",
    "prepreg": "area_mass",
    "t": "thickness",
    "resin_wt_frac": "resin_share",
    "void_frac": "void_share",
    "strain": "failure_strain",
    "k": "conductivity",
    "k_axial": "conductivity_axial",
    "cp": "heat_capacity",
    "yield": "yield_strength",
    "tensile": "tensile_strength",
    "shear": "shear_strength",
    "dibenedetto_lambda": "dibenedetto",
    "d_shrink": "free_shrink",
    "out": "out_life_20C",
    "shelf": "shelf_life_minus18C",
}
Tables = dict[str, dict[str, Any]]
_E = TypeVar("_E")


@dataclass(frozen=True, slots=True)
class Library:
    """Every shipped entry by its id; asking for an unknown id is a DesignError with the closest spellings."""

    fibres: Mapping[str, Fibre]
    resins: Mapping[str, Resin]
    prepregs: Mapping[str, PrepregEntry]
    mandrel_materials: Mapping[str, MandrelMaterial]
    hazards: Mapping[str, Hazard]
    knockdowns: Mapping[str, Knockdown]
    scalars: Mapping[str, Mapping[str, Scalar]]
    tables: Mapping[str, tuple[Row, ...]]

    def fibre(self, id: str) -> Fibre:  # noqa: A002 - the library's own word for its keys
        """The fibre class of that id."""
        return _found("fibre", id, self.fibres)

    def resin(self, id: str) -> Resin:  # noqa: A002
        """The resin class of that id."""
        return _found("resin", id, self.resins)

    def prepreg(self, id: str) -> PrepregEntry:  # noqa: A002
        """The prepreg stock item of that id."""
        return _found("prepreg", id, self.prepregs)

    def mandrel_material(self, id: str) -> MandrelMaterial:  # noqa: A002
        """The mandrel material of that id."""
        return _found("mandrel material", id, self.mandrel_materials)

    def hazard(self, id: str) -> Hazard:  # noqa: A002
        """The caution of that id."""
        return _found("hazard", id, self.hazards)

    def scalar(self, id: str, table: str | None = None) -> Scalar:  # noqa: A002
        """A single sourced figure: `table` is value, cov, load, ergonomics, scalar or mandrel_quality; any if None."""
        if table is not None:
            return _found("figure", id, _found("table", table, self.scalars))
        everywhere = {key: s for name in reversed(tuple(self.scalars)) for key, s in self.scalars[name].items()}
        return _found("figure", id, everywhere)

    def table(self, name: str) -> tuple[Row, ...]:
        """A whole table in file order: kinetics, hose, grip, beaufort, cylinder_drag, tape, test, source, ..."""
        return _found("table", name, self.tables)

    def row(self, table: str, id: str) -> Row:  # noqa: A002
        """One row of a table by its id."""
        return _found(table, id, {r.id: r for r in self.table(table)})


def _found(what: str, id: str, entries: Mapping[str, _E]) -> _E:  # noqa: A002
    if isinstance(id, str) and id in entries:
        return entries[id]
    near = difflib.get_close_matches(str(id), entries, n=3, cutoff=0.4) or sorted(entries)[:3]
    raise DesignError(what, repr(id), Message("want.known_id", choices=tuple(near)))


@cache
def library() -> Library:
    """The shipped library, read once in a process; the only reading of files in this room."""
    folder = resources.files("polewright.materials") / "data"
    tables = {name: tomllib.loads((folder / f"{name}.toml").read_text(encoding="utf-8")) for name in FILES}
    return Library(
        fibres=_entries(Fibre, tables["fibres"]["fibre"]),
        resins=_entries(Resin, tables["resins"]["resin"]),
        prepregs=_entries(PrepregEntry, tables["prepregs"]["prepreg"]),
        mandrel_materials=_entries(MandrelMaterial, tables["mandrels"]["mandrel"]),
        hazards=_entries(Hazard, tables["hazards"]["hazard"]),
        knockdowns=_by_id(_knockdown(name, row) for name, row in tables["prepregs"]["knockdown"].items()),
        scalars=FrozenMap({t: _by_id(_scalar(t, row) for row in tables[f][t]) for f, t in SCALAR_TABLES}),
        tables=FrozenMap({t: tuple(_row(row) for row in tables[f][t]) for f, t in PLAIN_TABLES}),
    )


def _by_id(entries: Iterable[Any]) -> Mapping[str, Any]:
    return FrozenMap({e.id: e for e in entries})


def _provenance(row: Mapping[str, Any]) -> Provenance:
    return Provenance(row.get("source", ""), tuple(row.get("refs", ())), row.get("confidence", ""))


def _figures(row: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, tuple[float, float]]]:
    """A row's figures in SI by their names inside, and the ranges by the figure they belong to."""
    figures: dict[str, Any] = {}
    ranges: dict[str, tuple[float, float]] = {}
    for key, value in row.items():
        if key in ("source", "refs", "confidence"):
            continue
        name = si_name(key)
        bare = name.removesuffix("_range").replace("_range_", "_")
        if bare != name:
            ranges[RENAMED.get(bare, bare)] = in_si(key, value)
        else:
            figures[RENAMED.get(name, name)] = in_si(key, value)
    return figures, ranges


def _entries(kind: type[_E], rows: Iterable[Mapping[str, Any]]) -> Mapping[str, _E]:
    """Typed entries; a figure without a field of its own is kept in `more`."""
    made: dict[str, _E] = {}
    own = set(kind.__dataclass_fields__)  # type: ignore[attr-defined]
    for row in rows:
        figures, ranges = _figures(row)
        fields = {k: v for k, v in figures.items() if k in own}
        rest = {k: v for k, v in figures.items() if k not in own}
        made[row["id"]] = kind(
            **fields,
            ranges=FrozenMap(ranges),
            more=FrozenMap(rest),  # type: ignore[call-arg]
            provenance=_provenance(row),
        )
    return FrozenMap(made)


def _knockdown(name: str, row: Mapping[str, Any]) -> Knockdown:
    return Knockdown(
        name,
        row["total"],
        row.get("process", 1.0),
        row.get("scatter", 1.0),
        row.get("environment", 1.0),
        row["reason"],
        _provenance(row),
    )


def _scalar(table: str, row: Mapping[str, Any]) -> Scalar:
    unit = row.get("unit", "mm" if row["id"].endswith("_mm_sd") else "%" if table == "cov" else "-")
    factor, offset, si = word_factor(unit)
    low, high = (row[k] * factor + offset for k in ("low", "high"))
    in_words = isinstance(row["value"], str)
    value = (low + high) / 2.0 if in_words else row["value"] * factor + offset
    return Scalar(
        row["id"], value, low, high, si, unit, row["value"] if in_words else row.get("note", ""), _provenance(row)
    )


def _row(row: Mapping[str, Any]) -> Row:
    figures, ranges = _figures(row)
    return Row(str(row.get("id", row.get("key", ""))), FrozenMap(figures), FrozenMap(ranges), _provenance(row))
