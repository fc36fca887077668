"""Flat patterns against the spiral's own length, the developed cone, and the workshop notes' flag widths."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from polewright.errors import DesignError
from polewright.shop import Flag, fibre_drift, flag_width, section_kit, true_angle, with_split
from polewright.wall.stack import Stack, StackPly

diameters = st.floats(0.008, 0.080)
thicknesses = st.floats(2e-5, 4e-4)
turns_made = st.floats(0.25, 12.0)


def spiral_length(diameter: float, thickness: float, turns: float) -> float:
    """True arc length of the inner face of a flag that climbs by its own thickness every turn, by quadrature."""
    climb = thickness / (2 * np.pi)
    return quad(lambda a: np.hypot(diameter / 2 + climb * a, climb), 0.0, 2 * np.pi * turns, epsabs=1e-13)[0]


@settings(derandomize=True, deadline=None, max_examples=60)
@given(diameters, thicknesses, turns_made)
def test_a_flag_is_as_wide_as_its_spiral_is_long(diameter, thickness, turns):
    # the formula leaves out the climb itself: at most (t / 2 pi)^2 / (2 r^2) of the length, on the bar's radius
    expected = spiral_length(diameter, thickness, turns)
    climb = (thickness / np.pi / diameter) ** 2 / 2
    assert expected * (1 - climb) - 1e-9 <= flag_width(diameter, thickness, turns) <= expected + 1e-9


@settings(derandomize=True, deadline=None, max_examples=60)
@given(diameters, thicknesses, st.integers(1, 9), st.integers(1, 9))
def test_rolling_in_two_flags_takes_the_same_width_as_in_one(diameter, thickness, first, second):
    parted = flag_width(diameter, thickness, first) + flag_width(diameter + 2 * first * thickness, thickness, second)
    assert flag_width(diameter, thickness, first + second) == pytest.approx(parted, rel=1e-12)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(diameters, thicknesses, st.integers(1, 9))
def test_whole_turns_hold_the_area_of_their_ring(diameter, thickness, turns):
    # cross-section is conserved: the flag's edge area is the ring's area
    outside = diameter + 2 * turns * thickness
    assert flag_width(diameter, thickness, turns) * thickness == pytest.approx(
        np.pi / 4 * (outside**2 - diameter**2), rel=1e-9
    )


@pytest.mark.parametrize(("section", "expected"), tuple(enumerate((303.9, 409.2, 442.4, 475.5, 508.7))))
def test_axial_flags_of_the_reference_pole(section, expected, shop, verified):
    axial = shop.kits()[section].flags[1].flag
    verified(
        "shop",
        f"axial flag of section {section + 1}, width with 6 mm overlap",
        "reference pole of the workshop notes, printed to 0.1 mm",
        expected,
        axial.width_butt * 1e3,
        0.0,
        tolerance_abs=0.051,
        unit="mm",
        kind="notes",
    )
    assert axial.length == pytest.approx(1.720)
    assert axial.width_tip == axial.width_butt


@pytest.mark.parametrize(("flag", "expected"), [(1, 153.1), (2, 156.8)])
def test_flags_of_the_first_section_rolled_as_two(flag, expected, shop, verified):
    kit = section_kit(with_split(shop.hooped(4), 1, 2.0), 0.023, 0.023, 1.65)
    verified(
        "shop",
        f"section 1 split in two and two turns, flag {flag}",
        "reference pole of the workshop notes, printed to 0.1 mm",
        expected,
        kit.flags[flag].flag.width_butt * 1e3,
        0.0,
        tolerance_abs=0.051,
        unit="mm",
        kind="notes",
    )


def test_a_plain_circumference_is_far_short_on_a_small_bar():
    # 9 turns of 0.15 mm on 8 mm: the bare n pi d misses n t / (d + n t), a seventh
    assert 9 * np.pi * 0.008 / flag_width(0.008, 0.00015, 9) == pytest.approx(1 - 9 * 0.15 / 9.35)


@pytest.mark.parametrize(("taper", "degrees", "digits"), [(0.4e-3, 0.2, 0.05), (5e-3, 2.7, 0.05)])
def test_drift_of_the_fibre_on_a_taper(taper, degrees, digits, verified):
    flag = Flag(0.030, 0.030 - taper, 0.0001, 3.0, 0.0, 1.0)
    verified(
        "shop",
        f"fibre drift, 3 turns on {taper * 1e3:g} mm/m",
        "workshop notes, printed to 0.1 degree",
        degrees,
        np.degrees(flag.drift),
        0.0,
        tolerance_abs=digits,
        unit="deg",
        kind="notes",
    )


def test_drift_is_the_sector_of_the_developed_cone():
    # roll a cone out on the table: its slant edge sweeps arc over slant radius
    half, turns, radius = 0.05, 4.0, 0.02
    slant = radius / np.sin(half)
    assert fibre_drift(turns, half) == pytest.approx(turns * 2 * np.pi * radius / slant)


def test_true_angle_starts_as_cut_and_ends_with_the_whole_drift():
    flag = Flag(0.03, 0.02, 0.0001, 3.0, np.radians(45), 1.0)
    assert true_angle(flag, 0.0) == flag.angle
    assert true_angle(flag, 3.0) == pytest.approx(flag.angle - flag.drift)


def test_the_rise_of_a_tapered_end_is_that_of_its_arc():
    flag = Flag(0.030, 0.025, 0.0001, 5.0, 0.0, 1.0)
    radius = (0.030 + 0.0005) / 2 / np.sin(flag.half_angle)
    chord_half = radius * np.sin(flag.drift / 2)
    assert flag.end_bow == pytest.approx(radius - np.sqrt(radius**2 - chord_half**2), rel=1e-9)
    assert Flag(0.03, 0.03, 0.0001, 5.0, 0.0, 1.0).end_bow == 0.0


def test_each_end_of_a_tapered_flag_closes_on_its_own_diameter():
    kit = section_kit(Stack((StackPly(_any_ply(), 0.0, 5),)), 0.030, 0.024, 1.2)
    flag = kit.flags[0].flag
    slope = 0.006 / 1.2
    assert flag.length == pytest.approx(1.27)
    assert flag.diameter_butt == pytest.approx(0.030 + 0.035 * slope)
    assert flag.width_tip == pytest.approx(spiral_length(0.024 - 0.035 * slope, 0.00015, 5) + 0.006, rel=1e-5)
    assert flag.area == pytest.approx(kit.flags[0].pieces[0].area)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"diameter_butt": 0.0}, "diameter_butt"),
        ({"diameter_tip": float("nan")}, "diameter_tip"),
        ({"turns": -1.0}, "turns"),
        ({"thickness": float("inf")}, "thickness"),
        ({"angle": 45.0}, "angle"),
        ({"overlap": -0.001}, "overlap"),
        ({"diameter_tip": 3.0}, "diameter_tip"),
        ({"length": 0.0}, "length"),
    ],
)
def test_an_impossible_flag_is_refused_by_the_name_of_its_field(change, field):
    good = {
        "diameter_butt": 0.03,
        "diameter_tip": 0.03,
        "thickness": 1e-4,
        "turns": 2.0,
        "angle": 0.0,
        "length": 1.0,
        "overlap": 0.006,
    }
    with pytest.raises(DesignError, match=field):
        Flag(**(good | change))


def test_a_short_flag_for_a_wide_tube_is_a_flag():
    flag = Flag(diameter_butt=0.06, diameter_tip=0.061, thickness=1e-4, turns=2.0, angle=0.0, length=0.1)
    assert flag.area == pytest.approx(0.1 * (flag.width_butt + flag.width_tip) / 2.0)


def _any_ply():
    from polewright.materials.ply import Elastic, Ply

    return Ply("any", 0.00015, Elastic.isotropic(E=70e9, nu=0.3), 0.25)
