"""Chances and orders against simulation, scipy's distributions and what can be done by hand."""

import numpy as np
import pytest
from scipy import stats

from polewright.errors import DesignError
from polewright.scatter import (
    Promise,
    chance_of,
    chance_of_filling,
    misses,
    passed,
    pole_yield,
    poles_to_make,
    tubes_to_start,
)


@pytest.mark.parametrize(("hits", "of"), [(0, 20), (3, 40), (20, 20), (117, 1000)])
@pytest.mark.parametrize("method", ["exact", "wilson"])
def test_chances_are_those_of_an_independent_library(hits, of, method):
    own, other = chance_of(hits, of, method=method), stats.binomtest(hits, of).proportion_ci(method=method)
    assert (own.low, own.high) == pytest.approx((other.low, other.high), abs=1e-12)


def test_no_miss_in_n_leaves_three_over_n(verified):
    """The rule of three: after no miss in 1000 the one-sided 95 % limit is near 3/1000."""
    verified(
        "scatter",
        "upper limit after no miss in 1000",
        "1 - 0.025^(1/n)",
        1.0 - 0.025 ** (1 / 1000),
        chance_of(0, 1000).high,
        1e-12,
        kind="closed form",
    )


@pytest.mark.parametrize("truth", [0.01, 0.06, 0.4])
def test_exact_band_covers_at_least_as_often_as_it_claims(truth):
    hits = np.arange(201)
    weight = stats.binom.pmf(hits, 200, truth)
    bands = [chance_of(int(h), 200) for h in hits]
    assert sum(w for w, b in zip(weight, bands, strict=True) if b.low <= truth <= b.high) >= 0.95


def test_filling_an_order_is_the_binomial_tail_and_the_negative_binomial_wait():
    for order, made, passing in ((5, 7, 0.9), (20, 24, 0.83), (1, 1, 0.5), (100, 110, 0.94)):
        own = chance_of_filling(order, made=made, passing=passing)
        assert own == pytest.approx(stats.binom.sf(order - 1, made, passing), rel=1e-10)
        assert own == pytest.approx(stats.nbinom.cdf(made - order, order, passing), rel=1e-10)


def test_filling_from_one_lot_is_the_beta_binomial_tail():
    passing, alike = 0.8, 0.2
    a, b = passing * 4.0, 0.2 * 4.0
    own = chance_of_filling(10, made=15, passing=passing, alike=alike)
    assert own == pytest.approx(stats.betabinom.sf(9, 15, a, b), rel=1e-10)
    assert chance_of_filling(10, made=15, passing=passing, alike=1e-8) == pytest.approx(
        chance_of_filling(10, made=15, passing=passing), rel=1e-5
    )


@pytest.mark.parametrize("alike", [0.0, 0.15])
@pytest.mark.parametrize(("order", "passing"), [(1, 0.5), (6, 0.95), (25, 0.9), (60, 0.7)])
def test_poles_to_make_are_enough_and_one_fewer_is_not_in_simulation(order, passing, alike):
    count = poles_to_make(order, passing=passing, alike=alike)
    rng, runs = np.random.default_rng(order), 60_000
    spread = (1.0 - alike) / alike if alike else 0.0
    chance = rng.beta(passing * spread, (1.0 - passing) * spread, runs) if alike else passing
    enough = np.mean(rng.binomial(count, chance, runs) >= order)
    fewer = np.mean(rng.binomial(count - 1, chance, runs) >= order)
    slack = 3.5 * np.sqrt(0.05 * 0.95 / runs)
    assert enough >= 0.95 - slack
    assert fewer < 0.95 + slack


def test_orders_by_hand():
    assert poles_to_make(7, passing=1.0) == 7
    assert poles_to_make(1, passing=0.5) == 5  # 1 - 1/2^5 = 0.969, 1 - 1/2^4 = 0.9375
    assert poles_to_make(20, passing=1.0, share=0.95) == 19
    assert poles_to_make(1, passing=0.5, confidence=0.9) == 4


def test_yield_compounds_over_the_tubes_of_a_pole(verified):
    verified(
        "scatter",
        "six tubes of 94 % each",
        "workshop notes: yield compounds",
        0.69,
        pole_yield(0.94, tubes=6),
        0.0,
        0.005,
        kind="notes",
    )
    started = np.random.default_rng(3).geometric(0.94, (200_000, 6)).sum(axis=1).mean()
    assert tubes_to_start(6, tube_yield=0.94) == pytest.approx(started, rel=2e-3)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: poles_to_make(0, passing=0.9), "order is 0"),
        (lambda: poles_to_make(5, passing=1.2), "passing is 1.2"),
        (lambda: poles_to_make(5, passing=float("nan")), "passing is nan"),
        (lambda: poles_to_make(5, passing=0.0), r"want\.chance_for_so_many_poles"),
        (lambda: poles_to_make(5, passing=0.9, alike=0.97), r"want\.chance_for_lots_failing_together"),
        (lambda: poles_to_make(5, passing=0.9, confidence=1.0), "confidence is 1.0"),
        (lambda: chance_of(3, 2), r"hits.*want\.between_none_all_at_least_one"),
        (lambda: pole_yield(1.5, tubes=6), "tube_yield is 1.5"),
        (lambda: Promise("mass", float("inf")), r"want\.finite_limit"),
        (lambda: misses(np.zeros((4, 1)), ["mass"], [Promise("colour", 1.0)]), r"want\.one"),
    ],
)
def test_orders_that_make_no_sense_are_refused_with_a_message(call, says):
    with pytest.raises(DesignError, match=says):
        call()


def test_a_copy_passes_only_if_it_keeps_every_promise():
    values = np.array([[1.0, 5.0], [3.0, 5.0], [1.0, 7.0], [2.0, 6.0]])
    promises = [Promise("mass", 2.0), Promise("droop", 6.0)]
    assert passed(values, ["mass", "droop"], promises).tolist() == [1.0, 0.0, 0.0, 1.0]
    rows = misses(values, ["mass", "droop"], promises)
    assert [(m.missed, m.of) for m in rows] == [(1, 4), (1, 4), (2, 4)]
    assert rows[-1].promise is None
    assert passed(values, ["mass", "droop"], [Promise("mass", 2.0, is_least=True)]).tolist() == [0.0, 1.0, 0.0, 1.0]
