"""Fields of documents, whose names carry their unit: length_mm, E1_GPa, area_mass_g_m2, temperature_C.

The unit is the longest known ending: "/" and "·" are written "_" (kN_m_rad, g_m2), "per" may stand for "/"
(mm_per_100g). A name without such an ending has no unit and its number stays as it is (turns, price, nu12).
Differences of temperature end in _K, or have "rise", "sd" or "spread" before _C or _F.
"""

import math
from fractions import Fraction
from functools import cache, lru_cache

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.units.table import QUANTITIES, Unit, plain_unit, units_of

__all__ = ["from_", "from_si", "quantity_of_field", "si", "split_field", "suffix_factor", "to", "unit_of_field"]

_DIGITS = 14  # significant digits that survive a trip to SI and back in float64
_PLACES = 10  # places of a temperature that survive it: near zero on its scale the kelvins have no more
_DIFFERENCE = {"rise", "sd", "spread", "tolerance"}
_EXTRA = {
    "1e6_K": "µ/K",
    "percent": "%",
    "pct": "%",
    "deg": "°",
    "C": "°C",
    "F": "°F",
    "um": "µm",
    "minutes": "min",
    "inch": "in",
    "C_min": "°C/min",
    "K_min": "°C/min",
    "hours": "h",
    "days": "d",
    "mm_100g": "mm/100 g",
    "mm_per_100g": "mm/100 g",
    "N_m_deg": "N m/°",
    "per_m2": "/m2",
    "g_cc": "g/cm3",
    "kg_m": "kg m",  # of a field: carry; a mass by length is in g_m
}
# endings that are also English words, letters of formulas, or two units at once
_UNCLEAR = {"in": "want.clear_inch", "min": "want.clear_minutes", "N_mm": "want.clear_moment"}
_NO_ENDING = {"%", "°", "d", "1/s", "in", "min", "N mm", "N/mm", "mm/100 g"}


@cache
def _any_unit() -> dict[str, Unit]:
    """Every spelling of every unit; a temperature is on its scale, not a difference."""
    units: dict[str, Unit] = {}
    for name in QUANTITIES:
        for spelling, unit in units_of(name).items():
            units.setdefault(spelling, unit)
    return units


@cache
def _endings() -> dict[str, Unit]:
    units = {ending: _any_unit()[plain_unit(name)] for ending, name in _EXTRA.items()}
    for quantity in QUANTITIES.values():
        for unit in quantity.units:
            if unit.name not in _NO_ENDING and unit.name.isascii():
                units.setdefault(unit.name.replace("/", "_").replace(" ", "_"), unit)
            if "/" in unit.name and unit.name.isascii():
                units.setdefault(unit.name.replace("/", "_per_").replace(" ", "_"), unit)
    units["1_s"] = _any_unit()["1/s"]
    return units


def _parted(field: str) -> tuple[str, Unit | None]:
    """A field's name without its unit, and the unit."""
    words = field.split("_")
    for first in range(1, len(words)):
        ending, before = "_".join(words[first:]), words[first - 1]
        if ending in _UNCLEAR:
            raise DesignError(field, None, Message(_UNCLEAR[ending]))
        unit = _endings().get(ending)
        if unit is not None:
            if before == "per":
                return "_".join(words[: first - 1]), Unit((f"/{unit.name}",), 1 / unit.factor)
            offset = Fraction(0) if before in _DIFFERENCE else unit.offset
            return "_".join(words[:first]), Unit(unit.spellings, unit.factor, offset)
    return field, None


def _field_unit(field: str) -> Unit | None:
    return _parted(field)[1]


_field_unit_kept = lru_cache(maxsize=1024)(_field_unit)


def suffix_factor(field: str) -> tuple[float, float]:
    """Factor and offset to SI of a document field by the unit at the end of its name; (1, 0) if it has none."""
    unit = _field_unit(field)
    return (1.0, 0.0) if unit is None else (float(unit.factor), float(unit.offset))


def split_field(field: str) -> tuple[str, float, float]:
    """A document field's name without its unit, with the unit's factor and offset to SI; (name, 1, 0) if it has none.

    >>> split_field("play_mrad")
    ('play', 0.001, 0.0)
    """
    stem, unit = _parted(field)
    return (stem, 1.0, 0.0) if unit is None else (stem, float(unit.factor), float(unit.offset))


def unit_of_field(field: str) -> str:
    """The unit at the end of a document field's name as the table of units spells it; nothing if it has none.

    >>> unit_of_field("stiffness_kN_m_rad")
    'kN m/rad'
    """
    unit = _field_unit_kept(field)
    return "" if unit is None else unit.name


@lru_cache(maxsize=1024)
def quantity_of_field(field: str) -> str | None:
    """Which quantity of the table a field holds, by the unit at the end of its name; None where it has no unit.

    Where a unit stands in several rows, as MPa in stress and modulus, the row that is shown in it is meant.
    """
    words = field.split("_")
    for first in range(1, len(words)):
        unit = _endings().get("_".join(words[first:]))
        if unit is not None and words[first - 1] != "per":
            rows = [row for row in QUANTITIES.values() if unit in row.units]
            return next((row.name for row in rows if row.metric == unit.name), rows[0].name)
    return None


def _finite(value: float, field: str) -> Fraction:
    if isinstance(value, bool) or not math.isfinite(value):
        raise DesignError(field, value, Message("want.finite_number"))
    return Fraction(repr(float(value)))


@lru_cache(maxsize=1024, typed=True)
def si(field: str, value: float) -> float:
    """The SI figure of a document field, by the unit at the end of its name."""
    unit, exact = _field_unit_kept(field), _finite(value, field)
    return float(value) if unit is None else float(exact * unit.factor + unit.offset)


def _rounded(exact: Fraction) -> float:
    return float(f"{float(exact):.{_DIGITS}g}")


def from_si(field: str, value: float) -> float:
    """The document's figure of an SI one, by the unit at the end of the field's name; to 14 significant digits."""
    unit, exact = _field_unit(field), _finite(value, field)
    if unit is None:
        return float(value)
    figure = _rounded((exact - unit.offset) / unit.factor)
    return round(figure, _PLACES) if unit.offset else figure


def _by_name(unit: str) -> Unit:
    found = _any_unit().get(plain_unit(unit))
    if found is None:
        raise DesignError(
            "unit", f'"{unit}"', Message("want.one", choices=tuple(sorted({u.name for u in _any_unit().values()})))
        )
    return found


@cache
def _scale(unit: str, quantity: str | None) -> tuple[float, float]:
    """Factor and offset to SI in float64: close enough for a figure that is shown to 14 digits."""
    chosen = _by_name(unit) if quantity is None else units_of(quantity)[plain_unit(unit)]
    return float(chosen.factor), float(chosen.offset)


def to(value: float, unit: str, quantity: str | None = None) -> float:
    """An SI figure as a number in `unit`, to 14 significant digits.

    Parameters
    ----------
    quantity : what the figure is of, where a unit has two meanings: "°F" is a temperature on its scale, and of a "rise"
        a difference. None takes a temperature.
    """
    factor, offset = _scale(unit, quantity)
    if isinstance(value, bool) or not math.isfinite(value):
        raise DesignError(unit, value, Message("want.finite_number"))
    return float(f"{(value - offset) / factor:.{_DIGITS}g}")


def from_(value: float, unit: str) -> float:
    """A number in `unit` as an SI figure; temperatures are on their scale."""
    chosen = _by_name(unit)
    return float(_finite(value, unit) * chosen.factor + chosen.offset)
