"""Spreads: shapes, levels, columns, and the shop's own tests in place of the tables."""

import numpy as np
import pytest
from scipy import stats
from tests.scatter.conftest import problem_with

from polewright.errors import DesignError
from polewright.materials.library import library
from polewright.scatter import Plan, Spread, Spreads, default_spreads, points_of, spread_of_tests

CHANCES = (np.arange(200_000) + 0.5) / 200_000


@pytest.mark.parametrize("shape", ["normal", "uniform", "truncated"])
def test_every_shape_has_mean_zero_and_deviation_one(shape):
    score = Spread("mandrel", tube=1.0, shape=shape, cut=1.5).scores(CHANCES)
    assert abs(score.mean()) < 1e-12
    assert score.std() == pytest.approx(1.0, rel=2e-4)  # midpoint rule over the tails


def test_truncated_score_follows_the_published_distribution():
    score = Spread("mandrel", tube=1.0, shape="truncated", cut=2.0).scores(np.array([0.01, 0.3, 0.9]))
    cut = stats.truncnorm(-2.0, 2.0)
    assert score == pytest.approx(cut.ppf([0.01, 0.3, 0.9]) / cut.std(), rel=1e-10)


def test_lognormal_parts_multiply_to_mean_one_and_the_stated_deviation():
    spread = Spread("joint", lot=0.2, tube=0.3, shape="lognormal")
    coarse = (np.arange(1000) + 0.5) / 1000
    lot, tube = np.meshgrid(coarse, coarse)
    factor = spread.deviation({"lot": lot, "tube": tube})
    assert factor.min() > 0.0
    assert factor.mean() == pytest.approx(1.0, rel=1e-3)
    assert factor.std() == pytest.approx(np.sqrt(1.04 * 1.09 - 1.0), rel=5e-3)  # product of independent lognormals


def test_plies_of_a_lot_share_it_and_their_mean_strays_as_the_closed_form_says(verified):
    """Variance of the mean of n plies: lot^2 + ply^2 / n; of ten tubes, each of own plies."""
    spread = Spread("E1", lot=0.03, tube=0.02, ply=0.04)
    problem = problem_with(Spreads.of(spread), sections=5)
    points = points_of(Plan(8192, 3), problem.inputs).reshape(-1, problem.inputs)
    block = next(b for b in problem.blocks if b.material == "TH55")  # two flags a tube, five tubes
    factor = block.spread.deviation({level: points[:, columns] for level, columns in block.columns.items()})
    assert factor.shape[1] == 10
    closed = 0.03**2 + 0.02**2 / 5 + 0.04**2 / 10
    verified(
        "scatter",
        "variance of the mean of ten plies of one lot",
        "lot^2 + tube^2/5 + ply^2/10",
        closed,
        factor.mean(axis=1).var(),
        0.02,
        kind="closed form",
    )
    both = np.cov(factor[:, 0], factor[:, 1])[0, 1]
    apart = np.cov(factor[:, 0], factor[:, 2])[0, 1]
    verified(
        "scatter",
        "covariance of two plies of one tube",
        "lot^2 + tube^2",
        0.03**2 + 0.02**2,
        both,
        0.03,
        kind="closed form",
    )
    verified(
        "scatter", "covariance of two plies of two tubes of one lot", "lot^2", 0.03**2, apart, 0.04, kind="closed form"
    )


def test_a_material_of_its_own_spread_leaves_the_others_alone():
    spreads = Spreads.of(Spread("E1", lot=0.03)).with_spread(Spread("E1", lot=0.01), material="TH55")
    problem = problem_with(spreads)
    assert {(b.material, b.spread.lot) for b in problem.blocks} == {("SM150", 0.03), ("TH55", 0.01)}
    assert problem.lot_columns.size == 2


def test_lots_take_the_first_columns():
    problem = problem_with(default_spreads())
    assert set(problem.lot_columns) == set(range(problem.lot_columns.size))


def test_groups_share_out_every_column_once():
    problem = problem_with(default_spreads())
    columns = np.concatenate(list(problem.groups.values()))
    assert sorted(columns) == list(range(problem.inputs))


def test_default_spreads_are_the_tables():
    cov, given = library().scalars["cov"], default_spreads()
    for figure, row in (("E1", "E1"), ("areal_mass", "FAW"), ("resin", "resin_content")):
        assert given.of_figure(figure).total == pytest.approx(cov[row].value, rel=1e-12)
    assert all(s.source and s.confidence for _, s in given)


def test_own_tests_give_the_spread_of_the_next_copy():
    tests = np.array([131.0, 133.0, 130.0, 135.0, 132.0, 134.0])
    spread, band = spread_of_tests("E1", tests, level="lot")
    n, s = 6, tests.std(ddof=1) / tests.mean()
    assert spread.lot == pytest.approx(stats.t(n - 1, scale=s * np.sqrt(1 + 1 / n)).std(), rel=1e-10)
    assert band[0] == pytest.approx(s * np.sqrt(5 / stats.chi2.ppf(0.975, 5)), rel=1e-10)
    assert band[0] < s < band[1]


def test_the_band_of_own_tests_covers_as_often_as_it_claims():
    rng, runs = np.random.default_rng(5), 2000
    bands = [spread_of_tests("mandrel", rng.normal(0.0, 2.0, 6), level="tube")[1] for _ in range(runs)]
    held = sum(low <= 2.0 <= high for low, high in bands)
    assert stats.binomtest(held, runs, 0.95).pvalue > 0.001


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: Spread("E1", lot=-0.1), "E1.lot is -0.1"),
        (lambda: Spread("E1", lot=float("nan")), "E1.lot is nan"),
        (lambda: Spread("colour"), r"figure.*want\.one"),
        (
            lambda: Spread("mandrel", tube=1e-5, shape="lognormal"),
            r"mandrel\.shape.*want\.normal_uniform_or_truncated_offset",
        ),
        (lambda: Spread("mandrel", ply=1e-5), "mandrel.ply"),
        (lambda: spread_of_tests("E1", [1.0, 2.0, 3.0], level="lot"), r"want\.at_least_four_finite_ones_with"),
        (lambda: Spreads({"E2": Spread("E1")}), r"want\.each_under_its_own_figure"),
        (lambda: Spreads().with_spread(Spread("mandrel"), material="SM150"), r"want\.material_s_figure_or_one_all"),
    ],
)
def test_impossible_spreads_are_refused_with_a_message(call, says):
    with pytest.raises(DesignError, match=says):
        call()
