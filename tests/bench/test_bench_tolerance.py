"""One-sided bounds from measured poles hold as often as they say, lots shared or not."""

import numpy as np
import pytest
from scipy import integrate, stats

from polewright.bench.tolerance import shared_lots, tolerance_bound, tolerance_factor
from polewright.errors import DesignError

SHOPS = 2000


@pytest.mark.parametrize(("count", "factor"), [(5, 3.40), (10, 2.57), (30, 2.08)])
def test_factors_are_those_of_the_printed_tables(count, factor):
    """For 95 % of all poles with 90 % confidence, as tables of one-sided normal tolerance limits print them."""
    assert tolerance_factor(count) == pytest.approx(factor, abs=0.005)


@pytest.mark.parametrize(("count", "effective"), [(2, None), (5, 5.0), (8, 2.3), (30, 1.4)])
def test_a_factor_covers_by_its_definition(count, effective):
    """P(mean + k s > z) by quadrature over s: mean normal with variance 1/n_e, (n - 1) s^2 chi-square."""
    k, n = tolerance_factor(count, effective=effective), effective or count
    z = stats.norm.ppf(0.95)

    def above(s: float) -> float:
        return float(stats.norm.sf((z - k * s) * np.sqrt(n)) * stats.chi.pdf(s * np.sqrt(count - 1), count - 1))

    found = integrate.quad(above, 0.0, 12.0, limit=400)[0] * np.sqrt(count - 1)
    assert found == pytest.approx(0.90, abs=1e-6)


@pytest.mark.parametrize("alike", [0.0, 0.3, 0.8])
def test_poles_of_one_lot_count_for_less(alike):
    lots = [frozenset({"B17"})] * 6
    found = tolerance_bound(np.arange(6.0), shared_lots(lots, alike), is_most=True)
    assert found.effective == pytest.approx(6.0 / (1.0 + 5.0 * alike))
    assert found.count == 6


def test_lots_that_nobody_wrote_down_count_as_one():
    one = shared_lots([frozenset({"A"}), frozenset({"A"})], 0.5)
    assert np.array_equal(shared_lots([frozenset({"A"}), frozenset()], 0.5), one)


def test_poles_that_share_half_their_lots_are_half_as_alike():
    mixed = shared_lots([frozenset({"A", "B"}), frozenset({"A", "C"}), frozenset({"D", "E"})], 0.6)
    assert mixed == pytest.approx(np.array([[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 1.0]]))


@pytest.mark.parametrize("is_most", [True, False])
@pytest.mark.parametrize(
    ("lots", "alike"), [("ABCDE", 0.7), ("AAAAA", 0.7), ("AAABBC", 0.5), ("AABBCCDDEE", 0.9), ("ABCDEFGHIJ", 0.0)]
)
def test_the_bound_of_nine_shops_in_ten_covers_what_it_says(lots, alike, is_most):
    """Shops draw their lots and poles anew; a bound is right where 95 % of all poles keep it."""
    rng = np.random.default_rng(17)
    names = sorted(set(lots))
    matrix = shared_lots([frozenset({name}) for name in lots], alike)
    right = 0
    for _ in range(SHOPS):
        of_lot = dict(zip(names, rng.standard_normal(len(names)), strict=True))
        own = rng.standard_normal(len(lots))
        values = 100.0 + 4.0 * (np.sqrt(alike) * np.array([of_lot[n] for n in lots]) + np.sqrt(1.0 - alike) * own)
        bound = tolerance_bound(values, matrix, is_most=is_most).bound
        away = (bound - 100.0) / 4.0
        right += stats.norm.cdf(away if is_most else -away) >= 0.95
    assert right / SHOPS == pytest.approx(0.90, abs=3.5 * np.sqrt(0.09 / SHOPS))


def test_as_if_apart_the_poles_of_one_lot_would_promise_too_much():
    """The same shops with poles of one lot, taken for poles of lots of their own: right far less often."""
    rng, alike, right = np.random.default_rng(18), 0.7, 0
    for _ in range(SHOPS):
        values = np.sqrt(alike) * rng.standard_normal() + np.sqrt(1.0 - alike) * rng.standard_normal(5)
        right += stats.norm.cdf(tolerance_bound(values, np.eye(5), is_most=True).bound) >= 0.95
    assert right / SHOPS < 0.7


def test_one_pole_gives_no_bound():
    with pytest.raises(DesignError):
        tolerance_factor(1)
