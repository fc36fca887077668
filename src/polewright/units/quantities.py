"""One reader and one writer for each quantity that people type most."""

from fractions import Fraction

from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError
from polewright.units.reading import parse
from polewright.units.table import QUANTITIES
from polewright.units.writing import format_quantity

__all__ = [
    "format_angle",
    "format_area_mass",
    "format_force",
    "format_length",
    "format_mass",
    "format_stiffness",
    "format_stress",
    "format_temperature",
    "parse_angle",
    "parse_area_mass",
    "parse_force",
    "parse_length",
    "parse_load",
    "parse_mass",
    "parse_pressure",
    "parse_stiffness",
    "parse_stress",
    "parse_temperature",
]


def parse_length(value: str | float, default_unit: str | None = None, *, field: str | None = None) -> float:
    """[m] from "9 m", "1,5 mm", "3 1/2 in", "1 ft 3 in"; `default_unit` for a bare number, `field` for a refusal."""
    return parse(value, "length", default_unit, field=field)


def parse_mass(value: str | float, default_unit: str | None = None, *, field: str | None = None) -> float:
    """[kg] from "45 g", "1.2 kg", "2 lb 3 oz"; `default_unit` for a bare number, `field` for a refusal."""
    return parse(value, "mass", default_unit, field=field)


def parse_load(value: str | float, default_unit: str | None = None, *, field: str | None = None) -> float:
    """[kg] that hangs, from a mass ("500 g", "2 lb") or from what a spring balance reads ("50 N", "5 kgf", "2 lbf").

    A force is the mass that weighs as much under standard gravity; `default_unit` for a bare number.

    Raises
    ------
    DesignError : as `parse`; the refusal lists the units of both.
    """
    try:
        return parse(value, "mass", default_unit, field=field)
    except DesignError as fault:
        if not (isinstance(fault.want, Message) and fault.want.code == "want.number_in_unit"):
            raise
        try:
            pull = parse(value, "force", field=field)
        except DesignError:
            spellings = f"{QUANTITIES['mass'].spellings}, {QUANTITIES['force'].spellings}"
            raise DesignError(fault.field, fault.given, Message("want.number_in_unit", spellings=spellings)) from fault
        return float(Fraction(repr(pull)) / Fraction(str(GRAVITY)))


def parse_force(value: str | float, default_unit: str | None = None, *, field: str | None = None) -> float:
    """[N] from "30 N", "5 kgf", "2 lbf"; a mass is no force. `default_unit` for a bare number."""
    return parse(value, "force", default_unit, field=field)


def parse_angle(value: str | float, default_unit: str | None = None, *, field: str | None = None) -> float:
    """[rad] from "45°", "45 deg", "0.1 rad"; `default_unit` for a bare number, `field` for a refusal."""
    return parse(value, "angle", default_unit, field=field)


def parse_pressure(value: str | float, default_unit: str | None = None, *, field: str | None = None) -> float:
    """[Pa] from "2 bar", "30 psi", "150 kPa"; `default_unit` for a bare number, `field` for a refusal."""
    return parse(value, "pressure", default_unit, field=field)


def parse_stress(value: str | float, default_unit: str | None = None, *, field: str | None = None) -> float:
    """[Pa] from "230 GPa", "33 msi", "900 MPa"; `default_unit` for a bare number, `field` for a refusal."""
    return parse(value, "stress", default_unit, field=field)


def parse_temperature(value: str | float, default_unit: str | None = None, *, field: str | None = None) -> float:
    """[K] from "5 °C", "-18 C", "248 °F", "300 K"; `default_unit` for a bare number, `field` for a refusal."""
    return parse(value, "temperature", default_unit, field=field)


def parse_area_mass(value: str | float, default_unit: str | None = None, *, field: str | None = None) -> float:
    """[kg/m2] from "150 g/m2", "150 gsm", "4.4 oz/yd2"; `default_unit` for a bare number."""
    return parse(value, "area_mass", default_unit, field=field)


def parse_stiffness(value: str | float, default_unit: str | None = None, *, field: str | None = None) -> float:
    """[N/m] from "128 N/mm", "700 lbf/in"; `default_unit` for a bare number, `field` for a refusal."""
    return parse(value, "stiffness", default_unit, field=field)


def format_length(value: float, unit: str, digits: int | None = None) -> str:
    """A length [m] in `unit`, with `digits` decimals."""
    return format_quantity(value, "length", unit, digits)


def format_mass(value: float, unit: str, digits: int | None = None) -> str:
    """A mass [kg] in `unit`, with `digits` decimals."""
    return format_quantity(value, "mass", unit, digits)


def format_force(value: float, unit: str, digits: int | None = None) -> str:
    """A force [N] in `unit`, with `digits` decimals."""
    return format_quantity(value, "force", unit, digits)


def format_angle(value: float, unit: str = "°", digits: int | None = None) -> str:
    """An angle [rad] in `unit`, with `digits` decimals."""
    return format_quantity(value, "angle", unit, digits)


def format_stress(value: float, unit: str, digits: int | None = None) -> str:
    """A stress, pressure or modulus [Pa] in `unit`, with `digits` decimals."""
    return format_quantity(value, "stress", unit, digits)


def format_temperature(value: float, unit: str = "°C", digits: int | None = None) -> str:
    """A temperature [K] in `unit`, with `digits` decimals."""
    return format_quantity(value, "temperature", unit, digits)


def format_area_mass(value: float, unit: str, digits: int | None = None) -> str:
    """A mass per area [kg/m2] in `unit`, with `digits` decimals."""
    return format_quantity(value, "area_mass", unit, digits)


def format_stiffness(value: float, unit: str, digits: int | None = None) -> str:
    """A spring stiffness [N/m] in `unit`, with `digits` decimals."""
    return format_quantity(value, "stiffness", unit, digits)
