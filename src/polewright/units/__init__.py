"""The only place where workshop units become SI and back."""

from polewright.units.fields import from_, shown, si, split_field, suffix_factor, to
from polewright.units.named import (
    format_angle,
    format_area_mass,
    format_force,
    format_length,
    format_mass,
    format_stiffness,
    format_stress,
    format_temperature,
    parse_angle,
    parse_area_mass,
    parse_force,
    parse_length,
    parse_mass,
    parse_pressure,
    parse_stiffness,
    parse_stress,
    parse_temperature,
)
from polewright.units.reading import parse
from polewright.units.table import QUANTITIES, Quantity, System, Unit, display_unit
from polewright.units.writing import format_in, format_quantity

__all__ = [
    "QUANTITIES",
    "Quantity",
    "System",
    "Unit",
    "display_unit",
    "format_angle",
    "format_area_mass",
    "format_force",
    "format_in",
    "format_length",
    "format_mass",
    "format_quantity",
    "format_stiffness",
    "format_stress",
    "format_temperature",
    "from_",
    "parse",
    "parse_angle",
    "parse_area_mass",
    "parse_force",
    "parse_length",
    "parse_mass",
    "parse_pressure",
    "parse_stiffness",
    "parse_stress",
    "parse_temperature",
    "shown",
    "si",
    "split_field",
    "suffix_factor",
    "to",
]
