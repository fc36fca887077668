"""Heat, water, sun and cure: the stated figures, the limits and the refusals."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.materials import (
    cure_of_glass_transition,
    glass_transition_of_cure,
    library,
    matrix_retention,
    service_limit,
    softened,
    stock_prepreg,
    sun_warmed,
    wet_glass_transition,
)

NOTES = "workshop notes, heat and water in service"
ZERO = 273.15
DRY, WET = 120.0 + ZERO, 95.0 + ZERO


@pytest.mark.parametrize(("celsius", "printed"), [(50.0, 0.68), (65.0, 0.56), (75.0, 0.45), (85.0, 0.32)])
def test_retention_is_as_the_workshop_notes_print_it(celsius: float, printed: float, verified: Any) -> None:
    got = float(matrix_retention(celsius + ZERO, Tg_dry=DRY, Tg_wet=WET))
    verified("materials", f"matrix retention at {celsius:g} C, wet", NOTES, printed, got, 0.0, 0.005, kind="notes")


def test_retention_is_one_where_the_figures_were_taken_and_nothing_at_the_transition() -> None:
    assert_allclose(matrix_retention(23.0 + ZERO, Tg_dry=DRY, Tg_wet=DRY), 1.0, rtol=1e-12)
    near = np.array([1e-2, 1e-4, 1e-6])
    fit = np.polyfit(np.log(near), np.log(matrix_retention(WET - near, Tg_dry=DRY, Tg_wet=WET)), 1)
    assert_allclose(fit[0], 0.5, atol=1e-6)  # falls as the root of what is left


@settings(derandomize=True, max_examples=100, deadline=None)
@given(st.floats(273.15, 360.0), st.floats(273.15, 360.0))
def test_hotter_is_softer(one: float, other: float) -> None:
    cool, hot = sorted((one, other))
    assert matrix_retention(hot, Tg_dry=DRY, Tg_wet=WET) <= matrix_retention(cool, Tg_dry=DRY, Tg_wet=WET)


def test_a_batch_of_temperatures_is_answered_at_once() -> None:
    T = np.array([300.0, 330.0, 350.0])
    assert_allclose(
        matrix_retention(T, Tg_dry=DRY, Tg_wet=WET), [matrix_retention(t, Tg_dry=DRY, Tg_wet=WET) for t in T]
    )


@pytest.mark.parametrize(
    ("kwargs", "words"),
    [
        ({"temperature": WET}, r"want\.below_wet_transition"),
        ({"temperature": 400.0}, r"want\.below_wet_transition \(limit 368\.15, margin 20\.0\)"),
        ({"temperature": float("nan")}, "temperature"),
        ({"temperature": -5.0}, "kelvin"),
        ({"temperature": 300.0, "Tg_wet": 400.0}, r"want\.at_most_dry_transition"),
        ({"temperature": 260.0, "Tg_dry": 290.0, "Tg_wet": 280.0}, r"want\.above_test_temperature"),
    ],
)
def test_what_the_resin_cannot_bear_is_refused_with_a_message(kwargs: dict[str, float], words: str) -> None:
    asked = {"Tg_dry": DRY, "Tg_wet": WET, **kwargs}
    with pytest.raises(DesignError, match=words):
        matrix_retention(asked.pop("temperature"), **asked)


def test_moisture_moves_the_transition_from_dry_to_wet() -> None:
    assert_allclose(wet_glass_transition([0.0, 0.5, 1.0], Tg_dry=DRY, Tg_wet=WET), [DRY, (DRY + WET) / 2, WET])
    with pytest.raises(DesignError, match="moisture"):
        wet_glass_transition(1.5, Tg_dry=DRY, Tg_wet=WET)


def test_service_limit_is_twenty_kelvin_below_wet() -> None:
    # the resin table: "service limit about Tg_wet - 20"
    assert_allclose(service_limit(library().resin("ep120_tough").Tg_wet), 72.0 + ZERO)


def test_heat_softens_the_resin_and_leaves_the_fibre() -> None:
    ply = stock_prepreg("ud_sm_150").ply().ply
    hot = softened(ply, 0.5)
    assert ply.strength is not None
    assert hot.strength is not None
    assert hot.design is not None
    assert ply.design is not None
    for figure in ("E1", "nu12", "nu23", "alpha1", "density"):
        assert getattr(hot.elastic, figure) == getattr(ply.elastic, figure)
    for figure in ("E2", "E3", "G12", "G13", "G23"):
        assert_allclose(getattr(hot.elastic, figure), 0.5 * getattr(ply.elastic, figure), rtol=1e-12)
    assert hot.strength.Xt == ply.strength.Xt
    assert_allclose(hot.strength.Xc, 0.75 * ply.strength.Xc, rtol=1e-12)
    for figure in ("Yt", "Yc", "S"):
        assert_allclose(getattr(hot.strength, figure), 0.5 * getattr(ply.strength, figure), rtol=1e-12)
        assert_allclose(getattr(hot.design, figure), 0.5 * getattr(ply.design, figure), rtol=1e-12)
    assert (hot.thickness, hot.name) == (ply.thickness, ply.name)


def test_a_hot_weave_keeps_its_fibre_both_ways() -> None:
    ply = stock_prepreg("w_sm3k_twill_200").ply().ply
    hot = softened(ply, 0.5)
    assert ply.strength is not None
    assert hot.strength is not None
    assert (hot.elastic.E1, hot.elastic.E2) == (ply.elastic.E1, ply.elastic.E2)
    assert (hot.strength.Xt, hot.strength.Yt) == (ply.strength.Xt, ply.strength.Yt)
    assert_allclose(hot.strength.Yc, 0.75 * ply.strength.Yc, rtol=1e-12)
    assert_allclose(hot.elastic.G12, 0.5 * ply.elastic.G12, rtol=1e-12)


def test_every_shipped_ply_stays_a_possible_material_hot_and_cold() -> None:
    for name in library().prepregs:
        for retention in (0.01, 0.3, 1.0, 1.3):
            softened(stock_prepreg(name).ply().ply, retention)


@pytest.mark.parametrize(("retention", "push"), [(0.0, 0.5), (-1.0, 0.5), (float("nan"), 0.5), (0.5, 1.5), (0.5, -0.1)])
def test_softening_out_of_range_is_refused(retention: float, push: float) -> None:
    with pytest.raises(DesignError, match=r"retention|push_share"):
        softened(stock_prepreg("ud_sm_150").ply().ply, retention, push_share=push)


def test_sun_warms_a_black_pole_until_it_gives_off_what_it_takes_in() -> None:
    # heat balance on one metre of 30 mm tube, done separately: absorbed on the shadow, lost round the clock
    D, air, sun, film = 0.030, 303.15, 900.0, 15.0
    T = sun_warmed(air, sun=sun, film=film)
    assert_allclose(film * np.pi * D * (T - air), 0.9 * sun * D, rtol=1e-12)
    assert_allclose(T - air, 17.2, atol=0.05)
    assert_allclose(sun_warmed(air, sun=0.0, film=film), air)
    for bad in (
        {"sun": -1.0, "film": 10.0},
        {"sun": 900.0, "film": 0.0},
        {"sun": 900.0, "film": 10.0, "absorbed": 2.0},
    ):
        with pytest.raises(DesignError):
            sun_warmed(air, **bad)


@settings(derandomize=True, max_examples=100, deadline=None)
@given(st.floats(0.0, 1.0), st.floats(0.2, 1.0))
def test_cure_and_glass_transition_are_one_curve_read_both_ways(degree: float, lam: float) -> None:
    curve = {"Tg0": 268.15, "Tg_inf": 398.15, "dibenedetto": lam}
    Tg = glass_transition_of_cure(degree, **curve)
    assert_allclose(cure_of_glass_transition(np.clip(Tg, 268.15, 398.15), **curve), degree, atol=1e-9)


def test_glass_transition_runs_from_raw_to_full_and_straight_when_lambda_is_one() -> None:
    raw, full = 268.15, 398.15
    assert_allclose(glass_transition_of_cure([0.0, 1.0], Tg0=raw, Tg_inf=full, dibenedetto=0.45), [raw, full])
    assert_allclose(glass_transition_of_cure(0.3, Tg0=raw, Tg_inf=full, dibenedetto=1.0), raw + 0.3 * (full - raw))
    # slope at full cure is (Tg_inf - Tg0)/lambda: derivative of the curve by hand
    step = 1e-6
    slope = (full - glass_transition_of_cure(1.0 - step, Tg0=raw, Tg_inf=full, dibenedetto=0.45)) / step
    assert_allclose(slope, (full - raw) / 0.45, rtol=1e-5)


@pytest.mark.parametrize(
    "call",
    [
        lambda: glass_transition_of_cure(1.2, Tg0=268.0, Tg_inf=398.0, dibenedetto=0.45),
        lambda: glass_transition_of_cure(0.5, Tg0=268.0, Tg_inf=398.0, dibenedetto=0.0),
        lambda: glass_transition_of_cure(0.5, Tg0=398.0, Tg_inf=268.0, dibenedetto=0.45),
        lambda: glass_transition_of_cure(float("nan"), Tg0=268.0, Tg_inf=398.0, dibenedetto=0.45),
        lambda: cure_of_glass_transition(500.0, Tg0=268.0, Tg_inf=398.0, dibenedetto=0.45),
    ],
)
def test_impossible_cures_are_refused(call: Any) -> None:
    with pytest.raises(DesignError):
        call()


def test_shipped_resins_have_a_dry_transition_their_cure_can_reach() -> None:
    for r in library().resins.values():
        degree = cure_of_glass_transition(r.Tg_dry, Tg0=r.Tg0, Tg_inf=r.Tg_inf, dibenedetto=r.dibenedetto)
        assert 0.85 <= degree <= 1.0
