"""Shares, thickness, mass and bleed: conservation, the way back, and what is refused."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.materials import (
    cured_density,
    cured_thickness,
    fibre_share_of_thickness,
    fibre_volume_share,
    lot_resin_share,
    prepreg_area_mass,
    resin_share_after_bleed,
    resin_share_of,
)

CARBON_IN_EPOXY = {"fibre_density": 1780.0, "resin_density": 1220.0}


def test_weighed_square_of_a_lot_gives_its_resin_content(verified: Any) -> None:
    got = 100.0 * float(lot_resin_share(0.2351, fibre_area_mass=0.150))
    verified(
        "materials",
        "lot weighed at 235.1 g/m2 on 150 g/m2 fibre: resin content",
        "workshop notes, resin lots",
        36.2,
        got,
        0.0,
        0.05,
        "%",
        kind="notes",
    )


@settings(derandomize=True, max_examples=200, deadline=None)
@given(st.floats(0.15, 0.999), st.floats(0.0, 0.06), st.floats(1300.0, 2700.0), st.floats(1100.0, 1300.0))
def test_mass_is_kept_from_roll_to_cured_ply(wr: float, void: float, rho_f: float, rho_r: float) -> None:
    faw = 0.150
    vf = fibre_volume_share(wr, fibre_density=rho_f, resin_density=rho_r, void=void)
    t = cured_thickness(faw, vf=vf, fibre_density=rho_f)
    rho = cured_density(vf, fibre_density=rho_f, resin_density=rho_r, void=void)
    assert_allclose(rho * t, prepreg_area_mass(faw, wr), rtol=1e-9)
    assert_allclose(resin_share_of(vf, fibre_density=rho_f, resin_density=rho_r, void=void), wr, rtol=1e-9)
    assert_allclose(fibre_share_of_thickness(t, fibre_area_mass=faw, fibre_density=rho_f), vf, rtol=1e-12)


@settings(derandomize=True, max_examples=100, deadline=None)
@given(st.floats(0.2, 0.6), st.floats(0.0, 0.15))
def test_bleed_takes_resin_and_leaves_the_fibre(wr: float, bleed: float) -> None:
    left = resin_share_after_bleed(wr, bleed)
    assert_allclose((1.0 - left) * (1.0 - bleed), 1.0 - wr, rtol=1e-12)
    assert left <= wr


def test_one_percent_of_resin_bled_thins_the_ply_by_about_two_percent() -> None:
    # the shipped table states 1.8 to 2.2 % a percent (absolute) of resin
    wr = np.array([0.36, 0.35])
    t = cured_thickness(0.150, vf=fibre_volume_share(wr, **CARBON_IN_EPOXY), fibre_density=1780.0)
    assert 0.018 <= 1.0 - t[1] / t[0] <= 0.022


def test_two_points_of_resin_move_the_diameter_as_the_workshop_notes_say(verified: Any) -> None:
    # five axial plies of 150 g/m2 at 34 %: 2 points move the outside diameter by 2 n dt; the notes print the slope,
    # which lies between +2 points (0.058) and -2 (0.055)
    wr = np.array([0.32, 0.36])
    t = cured_thickness(0.150, vf=fibre_volume_share(wr, **CARBON_IN_EPOXY), fibre_density=1780.0)
    verified(
        "materials",
        "outside diameter for 2 points of resin in five axial plies",
        "workshop notes, resin lots",
        0.057,
        float(5 * (t[1] - t[0])) * 1e3,
        0.0,
        0.0005,
        unit="mm",
        kind="notes",
    )


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: fibre_volume_share(34.0, **CARBON_IN_EPOXY), r"want\.share_from_0_below_1_36"),
        (lambda: fibre_volume_share(1.0, **CARBON_IN_EPOXY), "resin share"),
        (lambda: fibre_volume_share(float("nan"), **CARBON_IN_EPOXY), "resin share"),
        (lambda: fibre_volume_share(0.01, **CARBON_IN_EPOXY), "hexagonal"),
        (lambda: fibre_volume_share(0.34, fibre_density=0.0, resin_density=1220.0), "fibre density"),
        (lambda: cured_thickness(0.0, vf=0.5, fibre_density=1780.0), "fibre areal mass"),
        (lambda: cured_thickness(0.15, vf=0.0, fibre_density=1780.0), "fibre share"),
        (lambda: fibre_share_of_thickness(0.05e-3, fibre_area_mass=0.15, fibre_density=1780.0), "packing"),
        (lambda: fibre_share_of_thickness(0.0, fibre_area_mass=0.15, fibre_density=1780.0), "thickness"),
        (lambda: lot_resin_share(0.140, fibre_area_mass=0.150), r"want\.at_least_fibre_area_mass"),
        (lambda: resin_share_after_bleed(0.3, 0.4), "bleed"),
        (lambda: resin_share_after_bleed(0.3, -0.1), "bleed"),
    ],
)
def test_contents_that_cannot_be_are_refused_with_a_message(call: Any, words: str) -> None:
    with pytest.raises(DesignError, match=words):
        call()
