"""Factors of units beside an independent table; what is typed comes back to the last digit."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from polewright import units
from polewright.errors import DesignError
from polewright.units import QUANTITIES, from_si, parse, si
from polewright.units.fields import _endings

INCH, FOOT, OUNCE = 0.0254, 0.3048, 0.028349523125  # [m], [m], [kg] exact by definition


PINT = {
    "mm": "mm",
    "cm": "cm",
    "m": "m",
    "µm": "um",
    "km": "km",
    "in": "in",
    "ft": "ft",
    "yd": "yd",
    "thou": "thou",
    "m2": "m**2",
    "cm2": "cm**2",
    "mm2": "mm**2",
    "in2": "in**2",
    "ft2": "ft**2",
    "yd2": "yd**2",
    "g": "g",
    "kg": "kg",
    "mg": "mg",
    "oz": "oz",
    "lb": "lb",
    "N": "N",
    "kN": "kN",
    "mN": "mN",
    "kgf": "kgf",
    "gf": "gf",
    "lbf": "lbf",
    "ozf": "ozf",
    "°": "degree",
    "rad": "rad",
    "mrad": "mrad",
    "MPa": "MPa",
    "GPa": "GPa",
    "kPa": "kPa",
    "Pa": "Pa",
    "bar": "bar",
    "mbar": "mbar",
    "psi": "psi",
    "ksi": "ksi",
    "msi": "1e6*psi",
    "g/m2": "g/m**2",
    "kg/m2": "kg/m**2",
    "oz/yd2": "oz/yd**2",
    "g/m": "g/m",
    "kg/m": "kg/m",
    "oz/ft": "oz/ft",
    "lb/ft": "lb/ft",
    "g/cm3": "g/cm**3",
    "kg/m3": "kg/m**3",
    "lb/in3": "lb/in**3",
    "lb/ft3": "lb/ft**3",
    "kg m": "kg*m",
    "lb ft": "lb*ft",
    "N m": "N*m",
    "kN m": "kN*m",
    "N mm": "N*mm",
    "lbf ft": "lbf*ft",
    "lbf in": "lbf*in",
    "N m2": "N*m**2",
    "kN m2": "kN*m**2",
    "lbf ft2": "lbf*ft**2",
    "lbf in2": "lbf*in**2",
    "N/m": "N/m",
    "N/mm": "N/mm",
    "lbf/in": "lbf/in",
    "kN m/rad": "kN*m/rad",
    "N m/rad": "N*m/rad",
    "N m/°": "N*m/degree",
    "lbf ft/rad": "lbf*ft/rad",
    "lbf ft/°": "lbf*ft/degree",
    "mm/100 g": "mm/(100*gf)",
    "mm/N": "mm/N",
    "m/N": "m/N",
    "in/lbf": "in/lbf",
    "in/oz": "in/ozf",
    "µ/K": "1e-6/K",
    "1/K": "1/K",
    "ppm/°F": "1e-6/delta_degF",
    "m/s": "m/s",
    "km/h": "km/h",
    "mph": "mph",
    "kn": "knot",
    "s": "s",
    "min": "min",
    "h": "h",
    "d": "day",
    "°C/min": "delta_degC/min",
    "K/s": "K/s",
    "°F/min": "delta_degF/min",
    "Hz": "1/s",
    "1/min": "1/min",
    "/m2": "1/meter**2",
    "/yd2": "1/yard**2",
    "1/s": "1/s",
    "%": "0.01",
    "kJ/mol": "kJ/mol",
    "J/mol": "J/mol",
    "J/g": "J/g",
    "J/kg": "J/kg",
    "J/kgK": "J/kg/K",
    "W/mK": "W/m/K",
}


def _pint_factor(registry, text):
    if text == "gf":
        text = "1e-3*kgf"
    if text == "mm/(100*gf)":
        text = "mm/(0.1*kgf)"
    return registry.parse_expression(text)


@pytest.mark.slow
def test_every_factor_agrees_with_an_independent_table():
    registry = pint.UnitRegistry()
    registry.define("ozf = 1/16 * lbf")
    for quantity in QUANTITIES.values():
        if quantity.name in ("temperature", "rise"):
            continue
        for unit in quantity.units:
            other = _pint_factor(registry, PINT[unit.name])
            magnitude = other.to_base_units().magnitude if hasattr(other, "to_base_units") else float(other)
            in_grams = {"mass": 1.0}  # the base of the table is the kilogram, as here
            assert float(unit.factor) == pytest.approx(magnitude * in_grams.get(quantity.name, 1.0), rel=1e-12), unit


def test_temperatures_agree_with_an_independent_table():
    registry = pint.UnitRegistry()
    for number in (-40.0, 0.0, 20.0, 98.6, 451.0):
        for name, other in (("°C", "degC"), ("°F", "degF"), ("K", "kelvin")):
            if name == "K" and number < 0.0:
                continue
            assert parse(number, "temperature", name) == pytest.approx(
                registry.Quantity(number, other).to("kelvin").magnitude, rel=1e-14
            )


EVERY_UNIT = [(q.name, u.name) for q in QUANTITIES.values() for u in q.units]
TYPED = st.decimals(min_value="0.0001", max_value="999999", places=6)


@hypothesis_settings(derandomize=True, max_examples=200, deadline=None)
@given(place=st.sampled_from(EVERY_UNIT), number=TYPED)
def test_what_is_typed_comes_back_to_the_last_digit(place, number):
    quantity, unit = place
    back = parse(f"{number} {unit}", quantity)
    again = units.format_quantity(back, quantity, unit, 6).split(" ")[0].rstrip("°").replace("\u202f", "")
    assert float(again) == pytest.approx(float(number), abs=1e-6 * (1.0 + 1e-9 * float(number)))


@hypothesis_settings(derandomize=True, max_examples=200, deadline=None)
@given(place=st.sampled_from(EVERY_UNIT), value=st.floats(1e-6, 1e6))
def test_what_is_shown_is_read_back_within_its_digits(place, value):
    quantity, unit = place
    if quantity == "temperature":
        value = 200.0 + value % 300.0
    text = units.format_quantity(value, quantity, unit)
    offset = next(float(u.offset) for u in QUANTITIES[quantity].units if u.name == unit)
    assert parse(text, quantity) - offset == pytest.approx(value - offset, rel=6e-4, abs=1e-9)


@pytest.mark.slow
@hypothesis_settings(derandomize=True, max_examples=300, deadline=None)
@given(ending=st.sampled_from(sorted(_endings())), number=st.decimals(-99999, 99999, places=7))
def test_a_document_field_survives_the_trip_to_si_and_back_exactly(ending, number):
    field = f"thing_{ending}"
    assert from_si(field, si(field, float(number))) == float(number)


@hypothesis_settings(derandomize=True, max_examples=500, deadline=None)
@given(
    text=st.one_of(st.text(max_size=70), st.text(alphabet="0123456789.,/ '\"-+e×^mftinkgN°C½²", max_size=16)),
    quantity=st.sampled_from(sorted(QUANTITIES)),
)
def test_whatever_is_typed_is_a_finite_figure_or_a_refusal_in_words(text, quantity):
    try:
        value, said = parse(text, quantity, QUANTITIES[quantity].metric), "read"
    except DesignError as refusal:
        value, said = 0.0, refusal.want
    assert math.isfinite(value)
    assert said


@hypothesis_settings(derandomize=True, max_examples=200, deadline=None)
@given(whole=st.integers(0, 40), over=st.integers(1, 63), feet=st.integers(0, 30))
def test_feet_inches_and_sixty_fourths_are_exact(whole, over, feet):
    inches = whole % 12
    assert units.parse_length(f"{feet}' {inches} {over}/64\"") == pytest.approx(
        (12 * feet + inches + over / 64) * INCH, rel=1e-15
    )
    assert units.parse_length(f"{whole} {over}/64 in") == pytest.approx((whole + over / 64) * INCH, rel=1e-15)
