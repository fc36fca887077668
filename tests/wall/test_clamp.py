"""The clamp window of the workshop notes, statics of a band, words when there is none."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.integrate import quad
from tests.wall.walls_of_the_notes import AXIAL, BORE, S3, strength_of

from polewright.errors import DesignError
from polewright.wall.clamp import Band, band_hold, band_pressure, band_twist_hold, clamp_window

NOTES = "clamp window of the workshop notes: 15 mm band, 150 N soapy"
BAND = Band(width=0.015, friction=0.12)


def test_a_wall_of_unknown_strength_may_use_half_of_what_folds_it(verified):
    window = clamp_window(S3.wall(BORE), BAND, need=150.0)
    verified("wall", "least band tension", NOTES, 199.0, window.least, 0.003, unit="N", kind="notes")
    # the notes' 307 N are of the thin ring pressed at mid-wall; the layered one is 5 % softer
    verified("wall", "half of the even collapse, hooped", NOTES, 307.0, window.most, 0.06, unit="N", kind="notes")
    assert window.is_open
    assert window.ends == "half_collapse"
    assert np.isnan(window.fibre)
    assert window.message.code == "clamp.window"


def test_all_axial_wall_has_no_window_and_says_so():
    wall = AXIAL.wall(BORE)
    window = clamp_window(wall, BAND, need=150.0, strength=strength_of(wall))
    assert window.ends == "crack"
    assert_allclose(window.most, window.crack)
    assert not window.is_open
    assert window.message.code == "clamp.no_window"


def test_hold_is_the_normal_force_of_a_flexible_band_times_friction():
    # each arc dphi of a band at tension T presses with T dphi: integrate round the clock
    normal, _ = quad(lambda _: 200.0, 0.0, 2.0 * np.pi)
    assert_allclose(band_hold(200.0, friction=0.12), 0.12 * normal)
    pressed = band_pressure(200.0, radius=0.014, width=0.015) * 2.0 * np.pi * 0.014 * 0.015
    assert_allclose(pressed, normal)
    assert_allclose(band_twist_hold(200.0, friction=0.12, radius=0.014), 0.014 * 0.12 * normal)


def test_window_holds_exactly_what_is_needed_at_its_lower_edge():
    window = clamp_window(S3.wall(BORE), BAND, need=150.0)
    assert_allclose(band_hold(window.least, friction=BAND.friction), 150.0)
    radius = S3.wall(BORE).outside / 2
    assert_allclose(band_pressure(window.most, radius=radius, width=BAND.width), 0.5 * window.loads.even)


@settings(derandomize=True, max_examples=30, deadline=None)
@given(need=st.floats(1.0, 1e4), width=st.floats(0.002, 0.1))
def test_the_window_shuts_as_more_is_asked_and_opens_with_width(need, width):
    wall = S3.wall(np.array([BORE, 0.05]))
    window = clamp_window(wall, Band(width=width, friction=0.12), need=need)
    wider = clamp_window(wall, Band(width=2.0 * width, friction=0.12), need=2.0 * need)
    assert_allclose(wider.most, 2.0 * window.most)
    assert_allclose(wider.least, 2.0 * window.least)
    assert np.array_equal(window.is_open, window.hold >= need)


@pytest.mark.parametrize(
    ("changed", "text"), [({"width": 0.0}, "width"), ({"friction": np.nan}, "friction"), ({"kind": "rope"}, "kind")]
)
def test_an_impossible_band_is_refused(changed, text):
    with pytest.raises(DesignError, match=text):
        Band(**{"width": 0.015, "friction": 0.12, **changed})


def test_a_need_that_is_no_force_is_refused():
    with pytest.raises(DesignError, match="need"):
        clamp_window(S3.wall(BORE), BAND, need=0.0)
