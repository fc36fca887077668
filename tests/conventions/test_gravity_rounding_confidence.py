"""Gravity, turns, significant digits and confidence, each one number in the whole product."""

import ast
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import polewright
from polewright.bench import Estimate
from polewright.conventions.confidence import CONFIDENCE, EXPANDED_COVERAGE, tails
from polewright.conventions.gravity import GRAVITY
from polewright.conventions.rounding import significant, started_turns, whole_turns
from polewright.pole.state import State
from polewright.scatter import figure_spread
from polewright.units import parse_force

SOURCE = Path(polewright.__file__).parent


def test_gravity_is_the_standard_one_everywhere():
    assert GRAVITY == 9.80665
    assert State(drawn=[]).gravity == GRAVITY
    assert parse_force("1 kgf") == pytest.approx(GRAVITY, rel=1e-15)


@pytest.mark.slow
def test_no_file_has_a_gravity_of_its_own():
    holders = {
        path.relative_to(SOURCE).as_posix()
        for path in SOURCE.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Constant) and str(node.value) in {"9.80665", "9.81", "9.8", "9.807"}
    }
    assert holders == {"conventions/gravity.py"}


@pytest.mark.parametrize(
    ("turns", "whole", "started"),
    [(1.0, 1, 1), (0.5, 0, 1), (2.25, 2, 3), (3.0 - 1e-12, 3, 3), (3.0 + 1e-12, 3, 3), (2.999, 2, 3)],
)
def test_turns_that_miss_a_whole_number_by_a_last_digit_are_whole(turns, whole, started):
    assert (whole_turns(turns), started_turns(turns)) == (whole, started)


@settings(derandomize=True, max_examples=100)
@given(value=st.floats(1e-200, 1e200), digits=st.integers(1, 12))
def test_significant_digits_are_the_nearest_number_of_so_many_digits(value, digits):
    found = float(significant(value, digits))
    last = 10.0 ** (np.floor(np.log10(value)) - digits + 1)
    assert abs(found - value) <= 0.500001 * last
    assert float(f"{found:.{digits - 1}e}") == pytest.approx(found, rel=1e-13)
    assert significant(-value, digits) == -found


def test_significant_digits_of_known_numbers():
    assert significant([0.0, 1234.5, 0.0012345, -98765.0], 3).tolist() == pytest.approx(
        [0.0, 1230.0, 0.00123, -98800.0]
    )


def test_intervals_cover_the_same_share_unless_asked():
    assert CONFIDENCE == 0.95
    assert tails() == pytest.approx((0.025, 0.975))
    assert tails(0.9) == pytest.approx((0.05, 0.95))
    assert figure_spread(np.zeros((2, 4))).coverage == CONFIDENCE


def test_the_expanded_uncertainty_of_many_readings_is_two_standard_ones():
    assert EXPANDED_COVERAGE == 0.9545
    assert Estimate(1.0, 1.0, 1e7).coverage_factor == pytest.approx(2.0, abs=1e-3)
