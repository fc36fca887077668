"""The closed table of quantities and their units, with exact factors to SI."""

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Literal

from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError

__all__ = [
    "QUANTITIES",
    "Quantity",
    "System",
    "Unit",
    "display_unit",
    "plain_unit",
    "quantity_of",
    "unit_of",
    "units_of",
    "written_signs",
]

System = Literal["metric", "inch"]


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: SI value = number * factor + offset; the first spelling is the one printed."""

    spellings: tuple[str, ...]
    factor: Fraction
    offset: Fraction = Fraction(0)
    any_case: bool = False

    @property
    def name(self) -> str:
        """The spelling that is printed."""
        return self.spellings[0]


@dataclass(frozen=True, slots=True)
class Quantity:
    """One kind of figure: its closed table of units, and what each display system shows."""

    name: str
    units: tuple[Unit, ...]
    metric: str
    inch: str
    compound: tuple[str, str] | None = None

    @property
    def spellings(self) -> str:
        """The accepted units, as a refusal lists them."""
        return ", ".join(unit.name for unit in self.units)


def _u(spellings: str, factor: str | Fraction | int, offset: str = "0", *, any_case: bool = False) -> Unit:
    return Unit(tuple(spellings.split(" | ")), Fraction(factor), Fraction(offset), any_case)


_POUND = Fraction("0.45359237")  # [kg] exact, international pound
_GRAVITY = Fraction(str(GRAVITY))  # [m/s2] exact
_FOOT, _INCH, _YARD = Fraction("0.3048"), Fraction("0.0254"), Fraction("0.9144")  # [m] exact
_DEGREE = Fraction(math.pi) / 180
_PSI = _POUND * _GRAVITY / _INCH**2
_FAHRENHEIT = Fraction(5, 9)

_LENGTH = (
    _u("mm | millimetre | millimetres | millimeter | millimeters", "1e-3"),
    _u("cm", "1e-2"),
    _u("m | metre | metres | meter | meters", 1),
    _u("µm | um", "1e-6"),
    _u("km", 1000),
    _u("in | inch | inches | \" | ''", _INCH, any_case=True),
    _u("ft | foot | feet | '", _FOOT, any_case=True),
    _u("yd | yard | yards", _YARD, any_case=True),
    _u("thou | mil", _INCH / 1000, any_case=True),
)
_STRESS = (
    _u("MPa | N/mm2", "1e6"),
    _u("GPa | kN/mm2", "1e9"),
    _u("kPa", 1000),
    _u("Pa | N/m2", 1),
    _u("bar", "1e5"),
    _u("mbar", 100),
    _u("psi", _PSI, any_case=True),
    _u("ksi", _PSI * 1000, any_case=True),
    _u("msi", _PSI * 1000000, any_case=True),
)
_LBF = _POUND * _GRAVITY


def _sizes_and_forces() -> tuple[Quantity, ...]:
    return (
        Quantity("length", _LENGTH, "mm", "in", ("ft", "in")),
        Quantity("reach", _LENGTH, "m", "ft", ("ft", "in")),
        Quantity(
            "area",
            (
                _u("m2", 1),
                _u("cm2", "1e-4"),
                _u("mm2", "1e-6"),
                _u("in2", _INCH**2),
                _u("ft2", _FOOT**2),
                _u("yd2", _YARD**2),
            ),
            "m2",
            "yd2",
        ),
        Quantity(
            "mass",
            (
                _u("g", "1e-3"),
                _u("kg", 1),
                _u("mg", "1e-6"),
                _u("oz", _POUND / 16, any_case=True),
                _u("lb | lbs", _POUND, any_case=True),
            ),
            "g",
            "oz",
            ("lb", "oz"),
        ),
        Quantity(
            "force",
            (
                _u("N", 1),
                _u("kN", 1000),
                _u("mN", "1e-3"),
                _u("kgf | kp", _GRAVITY),
                _u("gf", _GRAVITY / 1000),
                _u("lbf", _LBF, any_case=True),
                _u("ozf", _LBF / 16, any_case=True),
            ),
            "N",
            "lbf",
        ),
        Quantity(
            "angle",
            (_u("° | deg | degree | degrees", _DEGREE, any_case=True), _u("rad", 1), _u("mrad", "1e-3")),
            "°",
            "°",
        ),
    )


def _stresses_and_masses() -> tuple[Quantity, ...]:
    return (
        Quantity("stress", _STRESS, "MPa", "ksi"),
        Quantity("modulus", _STRESS, "GPa", "msi"),
        Quantity("pressure", _STRESS, "kPa", "psi"),
        Quantity(
            "temperature",
            (
                _u("°C | C | degC | celsius", 1, "273.15"),
                _u("K | kelvin", 1),
                _u("°F | F | degF | fahrenheit", _FAHRENHEIT, "45967/180"),
            ),
            "°C",
            "°F",
        ),
        Quantity("rise", (_u("K | kelvin", 1), _u("°C | C | degC", 1), _u("°F | F | degF", _FAHRENHEIT)), "K", "°F"),
        Quantity(
            "area_mass",
            (
                _u("g/m2 | gsm | gm-2", "1e-3"),
                _u("kg/m2", 1),
                _u("oz/yd2 | osy", _POUND / 16 / _YARD**2, any_case=True),
            ),
            "g/m2",
            "oz/yd2",
        ),
        Quantity(
            "line_mass",
            (_u("g/m", "1e-3"), _u("kg/m", 1), _u("oz/ft", _POUND / 16 / _FOOT), _u("lb/ft", _POUND / _FOOT)),
            "g/m",
            "oz/ft",
        ),
        Quantity(
            "density",
            (
                _u("g/cm3 | g/cc", 1000),
                _u("kg/m3", 1),
                _u("lb/in3", _POUND / _INCH**3),
                _u("lb/ft3", _POUND / _FOOT**3),
            ),
            "g/cm3",
            "lb/in3",
        ),
    )


def _moments_and_stiffnesses() -> tuple[Quantity, ...]:
    return (
        Quantity("carry", (_u("kg m | m kg", 1), _u("lb ft | ft lb", _POUND * _FOOT)), "kg m", "lb ft"),
        Quantity(
            "moment",
            (
                _u("N m", 1),
                _u("kN m", 1000),
                _u("N mm", "1e-3"),
                _u("lbf ft | ft lbf", _LBF * _FOOT),
                _u("lbf in | in lbf", _LBF * _INCH),
            ),
            "N m",
            "lbf ft",
        ),
        Quantity(
            "bending",
            (_u("N m2", 1), _u("kN m2", 1000), _u("lbf ft2", _LBF * _FOOT**2), _u("lbf in2", _LBF * _INCH**2)),
            "N m2",
            "lbf ft2",
        ),
        Quantity("stiffness", (_u("N/m", 1), _u("N/mm | kN/m", 1000), _u("lbf/in", _LBF / _INCH)), "N/mm", "lbf/in"),
        Quantity(
            "turning_stiffness",
            (
                _u("kN m/rad", 1000),
                _u("N m/rad", 1),
                _u("N m/° | N m/deg", 1 / _DEGREE),
                _u("lbf ft/rad", _LBF * _FOOT),
                _u("lbf ft/° | lbf ft/deg", _LBF * _FOOT / _DEGREE),
            ),
            "kN m/rad",
            "lbf ft/°",
        ),
        Quantity(
            "flex",
            (
                _u("mm/100 g", Fraction(1, 100) / _GRAVITY),
                _u("mm/N", "1e-3"),
                _u("m/N", 1),
                _u("in/lbf", _INCH / _LBF),
                _u("in/oz", _INCH * 16 / _LBF),
            ),
            "mm/100 g",
            "in/oz",
        ),
    )


def _heat_time_and_shares() -> tuple[Quantity, ...]:
    return (
        Quantity(
            "expansion",
            (
                _u("µ/K | ppm/K | um/m/K | 1e-6/K | ppm/°C | µ/°C", "1e-6"),
                _u("1/K | 1/°C", 1),
                _u("ppm/°F | µ/°F", Fraction("1e-6") / _FAHRENHEIT),
            ),
            "µ/K",
            "ppm/°F",
        ),
        Quantity(
            "speed",
            (_u("m/s", 1), _u("km/h", Fraction(5, 18)), _u("mph", "0.44704"), _u("kn", Fraction(1852, 3600))),
            "m/s",
            "mph",
        ),
        Quantity(
            "time",
            (_u("s", 1), _u("min | minutes", 60), _u("h | hours", 3600), _u("d | days", 86400)),
            "min",
            "min",
            ("h", "min"),
        ),
        Quantity(
            "heating_rate",
            (_u("°C/min | K/min | C/min", Fraction(1, 60)), _u("K/s", 1), _u("°F/min | F/min", _FAHRENHEIT / 60)),
            "°C/min",
            "°F/min",
        ),
        Quantity("frequency", (_u("Hz", 1), _u("1/min", Fraction(1, 60))), "Hz", "Hz"),
        Quantity("rate", (_u("1/s", 1),), "1/s", "1/s"),
        Quantity("area_price", (_u("/m2 | 1/m2", 1), _u("/yd2 | 1/yd2", 1 / _YARD**2)), "/m2", "/yd2"),  # money stays
        Quantity("share", (_u("%", "0.01"),), "%", "%"),
        Quantity("molar_energy", (_u("kJ/mol", 1000), _u("J/mol", 1)), "kJ/mol", "kJ/mol"),
        Quantity("heat", (_u("J/g | kJ/kg", 1000), _u("J/kg", 1)), "J/g", "J/g"),
        Quantity("heat_capacity", (_u("J/kgK | J/kg/K | J/(kgK)", 1),), "J/kgK", "J/kgK"),
        Quantity("conductivity", (_u("W/mK | W/m/K | W/(mK)", 1),), "W/mK", "W/mK"),
    )


def _table() -> dict[str, Quantity]:
    rows = (*_sizes_and_forces(), *_stresses_and_masses(), *_moments_and_stiffnesses(), *_heat_time_and_shares())
    return {row.name: row for row in rows}


QUANTITIES: Mapping[str, Quantity] = _table()

_SIGNS = str.maketrans(
    {
        "\u00b5": "u",
        "\u03bc": "u",
        "\u00b2": "2",
        "\u00b3": "3",
        "\u207b": "-",
        "\u2212": "-",
        "\u00ba": "°",
        "\u2103": "°C",
        "\u2109": "°F",
        "\u2033": '"',
        "\u201d": '"',
        "\u201c": '"',
        "\u2032": "'",
        "\u2019": "'",
        "\u2018": "'",
        "\u2044": "/",
        "\u00a0": " ",
        "\u202f": " ",
        "\u2009": " ",
        "\u2007": " ",
        "\t": " ",
        "\u00bd": " 1/2",
        "\u00bc": " 1/4",
        "\u00be": " 3/4",
        "\u2153": " 1/3",
        "\u2154": " 2/3",
        "\u215b": " 1/8",
        "\u215c": " 3/8",
        "\u215d": " 5/8",
        "\u215e": " 7/8",
    }
)
_POWERS = str.maketrans("⁰¹⁴⁵⁶⁷⁸⁹", "01456789")


def written_signs(text: str) -> str:
    """The text with one sign for each meaning: minus, primes, spaces, powers, vulgar fractions."""
    return text.translate(_SIGNS).translate(_POWERS)


def plain_unit(text: str) -> str:
    """One spelling for each way of writing the same unit: no spaces, dots or carets."""
    text = text.translate(_SIGNS).translate(_POWERS)
    return re.sub(r"[ ·⋅•*×^]", "", text)


@cache
def units_of(quantity: str) -> dict[str, Unit]:
    """Every accepted spelling of a quantity's units."""
    table: dict[str, Unit] = {}
    for unit in QUANTITIES[quantity].units:
        for spelling in unit.spellings:
            table[plain_unit(spelling)] = unit
            if unit.any_case:
                table[plain_unit(spelling).upper()] = table[plain_unit(spelling).capitalize()] = unit
    return table


def quantity_of(name: str) -> Quantity:
    """The row of the table, or a refusal that lists them."""
    if name not in QUANTITIES:
        raise DesignError("quantity", name, Message("want.one", choices=tuple(QUANTITIES)))
    return QUANTITIES[name]


def unit_of(text: str, quantity: Quantity, refuse: Callable[[Message], DesignError]) -> Unit:
    """The unit that `text` spells, or a refusal that lists the quantity's units."""
    unit = units_of(quantity.name).get(plain_unit(text))
    if unit is None:
        raise refuse(Message("want.number_in_unit", spellings=quantity.spellings))
    return unit


def display_unit(quantity: str, system: System) -> str:
    """The unit in which a display system ("metric" or "inch") shows a quantity."""
    table = quantity_of(quantity)
    if system not in ("metric", "inch"):
        raise DesignError("system", system, Message("want.one", choices=("metric", "inch")))
    return table.metric if system == "metric" else table.inch
