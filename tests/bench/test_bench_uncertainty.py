"""Uncertainty against the worked examples of the GUM, and against Monte Carlo."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.bench import Estimate, combined, exactly, repeated, within
from polewright.bench.line import fit, line
from polewright.errors import DesignError

GUM = "JCGM 100:2008 (GUM)"


@pytest.mark.parametrize(
    ("freedom", "factor"),
    [(1, 13.97), (2, 4.53), (3, 3.31), (5, 2.65), (10, 2.28), (20, 2.13), (50, 2.05), (np.inf, 2.00)],
)
def test_coverage_factors_are_those_of_the_guide(freedom, factor, verified):
    # printed to two decimals
    verified(
        "bench",
        f"coverage factor, {freedom} degrees of freedom",
        f"{GUM}, table G.2",
        factor,
        Estimate(1.0, 1.0, freedom).coverage_factor,
        0.0,
        0.006,
        kind="published",
    )


def test_effective_freedom_of_the_end_gauge(verified):
    # uncertainties printed to two or three digits, the answer to three
    parts = {"standard": (25.0, 18.0), "difference": (9.7, 25.6), "expansion": (2.9, 50.0), "temperature": (16.6, 2.0)}
    inputs = {name: Estimate(0.0, u, freedom) for name, (u, freedom) in parts.items()}
    result = combined(lambda x: sum(x.values()), inputs).estimate
    verified(
        "bench",
        "end gauge, combined uncertainty",
        f"{GUM}, example H.1",
        32.0,
        result.standard,
        0.0,
        0.5,
        "nm",
        kind="published",
    )
    verified(
        "bench", "end gauge, effective freedom", f"{GUM}, example H.1", 16.7, result.freedom, 0.0, 0.1, kind="published"
    )


def test_the_line_of_the_thermometer_is_that_of_the_guide(verified):
    reading = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511])
    correction = np.array([-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160])
    found = line(reading - 20.0, correction[:, None], floor=0.0)
    source = f"{GUM}, example H.3"
    verified("bench", "thermometer line, zero", source, -0.1712, found.zero.value, 0.0, 6e-5, "°C", kind="published")
    verified(
        "bench",
        "thermometer line, u of the zero",
        source,
        0.0029,
        found.zero.standard,
        0.0,
        6e-5,
        "°C",
        kind="published",
    )
    verified("bench", "thermometer line, slope", source, 0.00218, found.slope.value, 0.0, 6e-6, kind="published")
    verified(
        "bench", "thermometer line, u of the slope", source, 0.00067, found.slope.standard, 0.0, 6e-6, kind="published"
    )
    verified("bench", "thermometer line, scatter", source, 0.0035, found.scatter, 0.0, 6e-5, "°C", kind="published")
    assert found.slope.freedom == 9.0


def _stiffness(x):
    return x["load"] * x["span"] ** 3 / (48.0 * x["give"]) / (1.0 - x["load"] * x["span"] / (4.0 * x["K"] * x["give"]))


def test_first_order_agrees_with_monte_carlo():
    inputs = {
        "load": Estimate(40.0, 0.08),
        "span": Estimate(1.4, 0.002),
        "give": Estimate(2.8e-3, 2e-5),
        "K": Estimate(127e3, 5e3),
    }
    result = combined(_stiffness, inputs).estimate
    rng = np.random.default_rng(20)
    n = 400_000
    draws = _stiffness({name: rng.normal(x.value, x.standard, n) for name, x in inputs.items()})
    assert result.standard == pytest.approx(np.std(draws), rel=0.01)
    low, high = np.quantile(draws, [0.02275, 0.97725])
    assert result.value - result.expanded == pytest.approx(low, abs=0.1 * result.standard)
    assert result.value + result.expanded == pytest.approx(high, abs=0.1 * result.standard)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(power=st.integers(-4, 4), value=st.floats(1e-3, 1e6), share=st.floats(1e-6, 0.2))
def test_a_power_multiplies_the_relative_uncertainty(power, value, share):
    result = combined(lambda x: x["x"] ** power, {"x": Estimate(value, share * value)}).estimate
    assert result.standard / abs(result.value) == pytest.approx(abs(power) * share, rel=1e-9, abs=1e-15)


def test_the_budget_lists_the_largest_first_and_adds_up():
    result = combined(
        _stiffness,
        {
            "load": Estimate(40.0, 0.08),
            "span": Estimate(1.4, 0.002),
            "give": Estimate(2.8e-3, 2e-5),
            "K": exactly(127e3),
        },
    )
    parts = [s.standard for s in result.budget]
    assert parts == sorted(parts, reverse=True)
    assert np.hypot.reduce(parts) == pytest.approx(result.estimate.standard, rel=1e-12)
    assert result.budget[-1].name == "K"


def test_repeats_give_the_scatter_of_their_mean():
    found = repeated([1.0, 2.0, 4.0, 5.0])
    assert (found.value, found.freedom) == (3.0, 3.0)
    assert found.standard == pytest.approx(np.sqrt(10.0 / 3.0 / 4.0))
    assert repeated([2.0, 2.0], floor=0.1) == Estimate(2.0, 0.1 / np.sqrt(2.0))
    assert repeated([2.0]).standard == 0.0


def test_a_band_of_equal_chances_has_the_spread_of_a_uniform_draw():
    draws = np.random.default_rng(3).uniform(4.0, 6.0, 200_000)
    assert within(5.0, 1.0).standard == pytest.approx(np.std(draws), rel=0.01)


def test_least_squares_covers_as_often_as_it_says():
    rng = np.random.default_rng(7)
    load, hits, n = np.array([1.0, 2.0, 3.0]), 0, 3000
    for _ in range(n):
        noise = rng.normal(0.0, 0.1, (3, 2))
        slope = line(load, 2.0 * load[:, None] + 1.0 + noise, floor=0.0).slope
        hits += abs(slope.value - 2.0) <= slope.expanded
    assert hits / n == pytest.approx(0.9545, abs=3.5 * np.sqrt(0.9545 * 0.0455 / n))


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: Estimate(np.nan), "value"),
        (lambda: Estimate(1.0, -1.0), "standard"),
        (lambda: Estimate(1.0, np.inf), "standard"),
        (lambda: Estimate(1.0, 1.0, 0.0), "freedom"),
        (lambda: repeated([]), "readings"),
        (lambda: repeated([1.0, np.nan]), "readings"),
        (lambda: fit([[1.0, 1.0], [1.0, 1.0]], [1.0, 2.0], floor=0.0), "readings"),
        (lambda: line(np.array([2.0, 2.0]), np.array([[1.0], [2.0]]), floor=0.0), "masses"),
    ],
)
def test_nonsense_is_refused_by_name(make, field):
    with pytest.raises(DesignError) as refusal:
        make()
    assert refusal.value.field == field


def test_an_exact_figure_has_no_width_and_a_zero_has_no_share():
    assert exactly(3.0).expanded == 0.0
    assert exactly(0.0).relative == 0.0
    assert Estimate(0.0, 1.0).relative == np.inf
    assert Estimate(2.0, 0.1).relative == pytest.approx(0.1)
    assert Estimate(2.0, 0.1, 7.0).scaled(-3.0) == Estimate(-6.0, 0.1 * 3.0, 7.0)
