"""Which input matters: indices in closed form, published ones, and correlation within a lot."""

import numpy as np
import pytest
from scipy.special import ndtri
from tests.scatter.conftest import problem_with, reference_build

from polewright.errors import DesignError
from polewright.scatter import (
    Plan,
    Problem,
    Promise,
    Spread,
    Spreads,
    line_shares,
    lot_correlation,
    points_of,
    sampled,
    sobol_indices,
)

EACH = {"a": np.array([0]), "b": np.array([1]), "c": np.array([2])}


def ishigami(points: np.ndarray) -> np.ndarray:
    """sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1, each evenly between -pi and pi."""
    x = np.pi * (2.0 * points - 1.0)
    return (np.sin(x[:, 0]) + 7.0 * np.sin(x[:, 1]) ** 2 + 0.1 * x[:, 2] ** 4 * np.sin(x[:, 0]))[:, None]


def linear(points: np.ndarray) -> np.ndarray:
    return (ndtri(points) @ np.array([3.0, 2.0, 1.0]))[:, None]


def product(points: np.ndarray) -> np.ndarray:
    """z1 z2: all variance is joint."""
    z = ndtri(points)
    return (z[:, 0] * z[:, 1])[:, None]


def test_ishigami_has_the_published_indices(verified):
    """T. Ishigami, T. Homma, 1990; with a = 7, b = 0.1: first 0.314, 0.442, 0; total 0.558, 0.442, 0.244."""
    found = sobol_indices(ishigami, EACH, inputs=3, plan=Plan(32_768, 1))[0]
    source = "Ishigami and Homma, 1990, function with a = 7 and b = 0.1"
    for index, first, total in zip(found, (0.3139, 0.4424, 0.0), (0.5576, 0.4424, 0.2437), strict=True):
        verified(
            "scatter",
            f"Ishigami, first index of {index.group}",
            source,
            first,
            index.first.value,
            0.0,
            0.003,
            kind="closed form",
        )
        verified(
            "scatter",
            f"Ishigami, total index of {index.group}",
            source,
            total,
            index.total.value,
            0.0,
            0.003,
            kind="closed form",
        )


def test_a_linear_problem_has_the_indices_of_the_closed_form():
    found = sobol_indices(linear, EACH, inputs=3, plan=Plan(16_384, 2))[0]
    for index, share in zip(found, (9 / 14, 4 / 14, 1 / 14), strict=True):
        assert index.first.value == pytest.approx(share, abs=0.01)
        assert index.total.value == pytest.approx(share, abs=0.01)
        assert index.first.holds(share, 0.999)
        assert index.total.holds(share, 0.999)


def test_a_group_has_the_shares_of_its_members_together():
    groups = {"first two": np.array([0, 1]), "last": np.array([2])}
    found = sobol_indices(linear, groups, inputs=3, plan=Plan(16_384, 2))[0]
    assert found[0].first.value == pytest.approx(13 / 14, abs=0.01)


def test_what_only_acts_together_shows_in_total_alone():
    found = sobol_indices(product, EACH, inputs=3, plan=Plan(16_384, 3))[0]
    for index in found[:2]:
        assert abs(index.first.value) < 0.03
        assert index.total.value == pytest.approx(1.0, abs=0.06)
    assert found[2].total.value == 0.0


def test_straight_line_shares_are_those_of_a_linear_problem_and_blind_to_a_joint_one():
    points = points_of(Plan(4096, 5), 3).reshape(-1, 3)
    rows, known = line_shares(points, linear(points)[:, 0], EACH)
    assert [r.share for r in rows] == pytest.approx([9 / 14, 4 / 14, 1 / 14], abs=0.01)
    assert known == pytest.approx(1.0, abs=1e-12)
    _, seen = line_shares(points, product(points)[:, 0], EACH)
    assert seen < 0.01


def test_a_figure_that_does_not_stray_has_no_shares():
    rows = sobol_indices(lambda p: np.ones((p.shape[0], 1)), EACH, inputs=3, plan=Plan(64))[0]
    assert all(r.first.value == r.total.value == 0.0 for r in rows)


def test_too_few_poles_for_a_straight_line_are_refused():
    with pytest.raises(DesignError, match=r"want\.at_least_inputs"):
        line_shares(np.full((40, 30), 0.5), np.zeros(40), {"a": np.arange(30)})


def test_nothing_spread_has_nothing_that_matters():
    sample = sampled(problem_with(Spreads(), 2), Plan(64))
    with pytest.raises(DesignError, match=r"want\.at_least_one_spread_above_zero"):
        sample.sobol(Plan(64))


def test_poles_of_a_lot_are_alike_as_the_shared_variance_says(verified):
    """Shared 9 of 14 of the variance: correlation 9/14."""
    own = lot_correlation(linear, np.array([0]), inputs=3, plan=Plan(16_384, 1))
    verified(
        "scatter",
        "correlation of two linear copies that share one input",
        "shared variance over all",
        9 / 14,
        own[0],
        0.02,
        kind="closed form",
    )


def test_length_of_a_pole_is_made_by_its_parts_as_their_variances_say():
    problem = Problem(reference_build(5), Spreads.of(Spread("length", tube=1e-3), Spread("overlap", tube=2e-3)), ())
    found = {i.group: i for i in sampled(problem, Plan(64)).sobol(Plan(2048))["length"]}
    assert found["length.tubes"].total.value == pytest.approx(5 / 21, abs=0.03)
    assert found["overlap.joints"].total.value == pytest.approx(16 / 21, abs=0.03)


def test_misses_of_one_lot_go_together_and_of_separate_tubes_do_not():
    heavy = [Promise("mass", problem_mass())]
    shared, apart = (
        Problem(reference_build(2), Spreads.of(s), ())
        for s in (Spread("areal_mass", lot=0.02), Spread("areal_mass", ply=0.02))
    )
    assert sampled(shared, Plan(64)).lot_correlation(heavy, Plan(512)) == pytest.approx(1.0, abs=1e-6)
    assert sampled(apart, Plan(64)).lot_correlation(heavy, Plan(1024)) < 0.15


def problem_mass() -> float:
    sample = sampled(problem_with(Spreads(), 2), Plan(64))
    return float(sample.nominal[sample.names.index("mass")])
