"""Workshop units to SI and back: what is read, what is refused, and that a trip there and back changes nothing."""

import math
import subprocess
import sys

import pytest

from polewright import units
from polewright.errors import DesignError
from polewright.units import QUANTITIES, from_, from_si, parse, si, suffix_factor, to
from polewright.units.table import plain_unit, units_of

INCH, FOOT, OUNCE = 0.0254, 0.3048, 0.028349523125  # [m], [m], [kg] exact by definition

READ = [
    ("9 m", "length", 9.0),
    ("1,5 mm", "length", 0.0015),
    ("1.500 mm", "length", 0.0015),
    ("0,500 mm", "length", 0.0005),
    ("1 500 mm", "length", 1.5),
    ("1\u202f500,5 mm", "length", 1.5005),
    ("1234,567 mm", "length", 1.234567),
    (".5 in", "length", 0.5 * INCH),
    (",5 in", "length", 0.5 * INCH),
    ("5. mm", "length", 0.005),
    ("5µm", "length", 5e-6),
    ("5 \u03bcm", "length", 5e-6),
    ("1e3mm", "length", 1.0),
    ("1.5×10⁻³ m", "length", 0.0015),
    ("1.5 x 10^3 mm", "length", 1.5),
    ("− 5 mm", "length", -0.005),
    ("+5 mm", "length", 0.005),
    ("3 thou", "length", 0.003 * INCH),
    ("5 °C", "temperature", 278.15),
    ("-18C", "temperature", 255.15),
    ("212 °F", "temperature", 373.15),
    ("300 K", "temperature", 300.0),
    ("0 \u2103", "temperature", 273.15),
    ("45°", "angle", math.pi / 4),
    ("45 deg", "angle", math.pi / 4),
    ("90º", "angle", math.pi / 2),
    ("0,1 rad", "angle", 0.1),
    ("300 gsm", "area_mass", 0.3),
    ("150 g/m²", "area_mass", 0.15),
    ("150 g·m⁻²", "area_mass", 0.15),
    ("4 oz/yd²", "area_mass", 4 * OUNCE / 0.9144**2),
    ("33 Msi", "modulus", 33e6 * 6894.757293168361),
    ("230 GPa", "modulus", 230e9),
    ("2 bar", "pressure", 2e5),
    ("900 N/mm²", "stress", 9e8),
    ("5 kgf", "force", 49.03325),
    ("9 kN·m/rad", "turning_stiffness", 9000.0),
    ("835 N m^2", "bending", 835.0),
    ("835 N·m²", "bending", 835.0),
    ("128 N/mm", "stiffness", 128e3),
    ("3,7 kg·m", "carry", 3.7),
    ("102 mm/100 g", "flex", 0.102 / 0.980665),
    ("41.6 µ/K", "expansion", 41.6e-6),
    ("6 h 30 min", "time", 23400.0),
    ("2 lb 3 oz", "mass", 35 * OUNCE),
    ("34 %", "share", 0.34),
    ("5 1/s", "rate", 5.0),
    ("41 1e-6/K", "expansion", 41e-6),
]


@pytest.mark.parametrize(("text", "quantity", "expected"), READ)
def test_a_figure_is_read_as_a_person_means_it(text, quantity, expected):
    assert parse(text, quantity) == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("3 1/2 in", 3.5),
        ("3-1/2 in", 3.5),
        ("3½ in", 3.5),
        ("3½″", 3.5),
        ("1/2 in", 0.5),
        ("7/2 in", 3.5),
        ('1.5"', 1.5),
        ("1.5''", 1.5),
        ("1.5 \u201d", 1.5),
        ("1 ft 3 in", 15.0),
        ("1'3\"", 15.0),
        ("1′3″", 15.0),
        ("1' 3 1/2\"", 15.5),
        ("1'-3 ½\"", 15.5),
        ("1 foot 3 inches", 15.0),
        ("-1 ft 3 in", -15.0),
        ("24'", 288.0),
        ("1 FT 3 IN", 15.0),
        ("1 ft - 3 in", 15.0),
        ("0'11,5\"", 11.5),
    ],
)
def test_inches_fractions_and_primes_are_read_as_written(text, inches):
    assert units.parse_length(text) == pytest.approx(inches * INCH, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ("1,500 mm", "want.clear_comma (decimal 1.500, whole 1500)"),
        ("12,345", "want.clear_comma"),
        ("1,234.5 mm", "want.one_number"),
        ("1.234,5 mm", "want.one_number"),
        ("1.2.3 mm", "want.one_number"),
        ("1 2 mm", "want.one_number"),
        ("1 50 mm", "want.one_number"),
        ("5, mm", "want.digit_after_comma"),
        ("3 1/0 in", "want.fraction"),
        ("1/2/3 in", "want.one_number"),
        ("1.5 1/2 in", "want.one_number"),
        ("1'3", "want.unit_of_both_parts"),
        ("1 ft 15 in", "want.less_than_one_large"),
        ("1 ft -3 in", "want.number_in_unit"),
        ("1 in 3 ft", "want.number_in_unit"),
        ("5 Mm", "mm, cm, m"),
        ("2 furlong", "mm, cm, m"),
        ("5 m m m", "mm, cm, m"),
        ("9", "want.number_with_unit"),
        ("mm", "want.number_such_as"),
        ("٣ mm", "want.number_such_as"),
        ("1e400 mm", "want.power_of_ten"),
        ("5" * 61 + " mm", "want.short_number"),
        ("- -5 mm", "want.number_such_as"),
        ("2 × 3 mm", "mm, cm, m"),
    ],
)
def test_what_could_be_misread_is_refused_with_the_remedy(text, remedy):
    with pytest.raises(DesignError) as refusal:
        units.parse_length(text, field="sections[3].length")
    assert remedy in str(refusal.value)
    assert refusal.value.field == "sections[3].length"
    assert text in str(refusal.value)


@pytest.mark.parametrize("text", ["5 mPa", "5 mpa", "5 gpa", "5 N"])
def test_a_prefix_in_the_wrong_case_is_refused(text):
    with pytest.raises(DesignError, match="MPa, GPa, kPa"):
        units.parse_stress(text)


def test_a_mass_is_no_force():
    with pytest.raises(DesignError, match="kgf"):
        units.parse_force("5 kg")


@pytest.mark.parametrize(
    "value",
    [math.nan, math.inf, -math.inf, "nan", "NaN mm", "inf mm", "-Infinity", "", "  ", True, None, "1e999999999 mm"],
)
def test_nan_infinity_and_empty_are_refused_at_the_door(value):
    with pytest.raises(DesignError):
        units.parse_length(value, "mm")


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_nothing_that_is_not_a_number_is_shown(value):
    for write in (
        lambda: units.format_length(value, "mm"),
        lambda: si("length_mm", value),
        lambda: from_si("length_mm", value),
        lambda: to(value, "mm"),
        lambda: from_(value, "mm"),
    ):
        with pytest.raises(DesignError, match="finite"):
            write()


@pytest.mark.parametrize("text", ["-300 °C", "-1 K", "-500 °F"])
def test_nothing_is_colder_than_absolute_zero(text):
    with pytest.raises(DesignError, match=r"want\.above_absolute_zero"):
        units.parse_temperature(text)


@pytest.mark.parametrize("text", ["1e-300 µm", "1" + "0" * 58])
def test_numbers_at_the_edge_of_the_machine_are_kept_or_refused(text):
    assert units.parse_length(text, "mm") > 0.0
    with pytest.raises(DesignError, match=r"want\.smaller_number"):
        parse("1" + "0" * 30 + "e300", "modulus", "GPa")
    with pytest.raises(DesignError, match=r"want\.number_not_lost"):
        parse("0." + "0" * 40 + "1e-300", "length", "mm")


def test_a_bare_number_is_taken_in_the_default_unit():
    assert units.parse_length("28,64", "mm") == units.parse_length(28.64, "mm") == 0.02864
    assert units.parse_length("1 in", "mm") == INCH
    assert units.parse_temperature(20, "°C") == 293.15


def test_fields_take_their_unit_from_their_name():
    expected = {
        "length_mm": 1e-3,
        "mass_g": 1e-3,
        "E1_GPa": 1e9,
        "angle_deg": math.pi / 180,
        "area_mass_g_m2": 1e-3,
        "stress_MPa": 1e6,
        "stiffness_kN_m_rad": 1e3,
        "force_N": 1.0,
        "price": 1.0,
        "turns": 1.0,
        "nu12": 1.0,
        "EI_N_m2": 1.0,
        "alpha1_1e6_K": 1e-6,
        "density_kg_m3": 1.0,
        "carry_at_most_kg_m": 1.0,
        "void_pct": 0.01,
        "wanted_mm_per_100g": 0.01 / 9.80665,
        "ring_N_per_mm": 1e3,
        "price_per_m2": 1.0,
        "ramp_K_min": 1 / 60,
        "hold_minutes": 60.0,
        "k_W_mK": 1.0,
        "A1_1_s": 1.0,
        "E1_J_mol": 1.0,
        "heat_J_g": 1e3,
        "outside_inch": INCH,
        "cost_per_g": 1e3,
        "rise_C": 1.0,
        "spread_F": 5 / 9,
        "mass_lb": 0.45359237,
        "roll_width_mm": 1e-3,
        "schema_version": 1.0,
        "stiffness_from": 1.0,
        "swing_at_least_Hz": 1.0,
        "diameter_um": 1e-6,
    }
    assert {name: suffix_factor(name)[0] for name in expected} == pytest.approx(expected, rel=1e-15)
    assert suffix_factor("temperature_C") == (1.0, 273.15)
    assert suffix_factor("rise_C") == (1.0, 0.0)
    assert si("temperature_C", 20.0) == 293.15
    assert from_si("temperature_F", 293.15) == 68.0


@pytest.mark.parametrize("field", ["ring_N_mm", "turns_min", "checked_in"])
def test_a_field_name_of_two_meanings_is_refused(field):
    with pytest.raises(DesignError, match="clear"):
        suffix_factor(field)


def test_a_number_goes_to_a_unit_and_comes_back():
    assert to(0.02864, "mm") == 28.64
    assert from_(28.64, "mm") == 0.02864
    assert to(INCH, '"') == 1.0
    assert to(293.15, "°C") == 20.0
    with pytest.raises(DesignError, match="kgf"):
        to(1.0, "stone")


def test_one_spelling_means_one_thing_in_every_quantity():
    meaning = {}
    for name in QUANTITIES:
        for spelling, unit in units_of(name).items():
            if name == "rise":
                continue
            assert meaning.setdefault(spelling, unit.factor) == unit.factor, spelling


def test_no_two_units_of_a_quantity_share_a_spelling():
    for quantity in QUANTITIES.values():
        owner = {}
        for unit in quantity.units:
            for spelling in unit.spellings:
                assert owner.setdefault(plain_unit(spelling), unit) is unit, (quantity.name, spelling)


def test_both_display_systems_show_every_quantity():
    for quantity in QUANTITIES.values():
        for system in ("metric", "inch"):
            assert units.format_in(300.0, quantity.name, system)
    assert units.format_in(0.0254, "length", "inch", 3) == "1.000 in"
    assert units.format_in(0.02864, "length", "metric") == "28.64 mm"
    with pytest.raises(DesignError, match=r"want\.one"):
        units.display_unit("length", "roman")
    with pytest.raises(DesignError, match=r"want\.one"):
        parse("1 m", "lenght")


def test_figures_are_typeset_with_their_signs():
    assert units.format_length(-0.0123, "mm", 1) == "−12.3 mm"
    assert units.format_length(-1e-9, "mm", 1) == "0.0 mm"
    assert units.format_length(0.0, "mm") == "0 mm"
    assert units.format_angle(math.pi / 4) == "45°"
    assert units.format_quantity(835.0, "bending", "N m2") == "835 N·m²"
    assert units.format_quantity(0.104, "flex", "mm/100 g", 0) == "102 mm/100 g"
    assert units.format_mass(1.159, "kg", 3) == "1.159 kg"
    assert units.format_force(9.80665, "kgf") == "1 kgf"
    assert units.format_stress(1e9, "GPa") == "1 GPa"
    assert units.format_temperature(293.15) == "20 °C"
    assert units.format_area_mass(0.15, "g/m2") == "150 g/m²"
    assert units.format_stiffness(128e3, "N/mm") == "128 N/mm"
    assert units.format_length(1234.5678, "m") == "1\u202f235 m"


def test_the_units_load_nothing_heavy():
    code = "import sys, polewright.units; print({'numpy', 'scipy', 'pydantic', 'pint'} & set(sys.modules))"
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "set()"
