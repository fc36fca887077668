"""Intervals cover as often as they claim, quasi-random points converge faster, any engine gives the same bits."""

import threading
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from functools import partial
from multiprocessing import get_context

import numpy as np
import pytest
from scipy import stats
from scipy.special import ndtri
from tests.scatter.conftest import problem_with, reference_build

from polewright.errors import DesignError, NotConverged
from polewright.pole import Bench, State, bent
from polewright.scatter import (
    Plan,
    Problem,
    Promise,
    Spread,
    Spreads,
    Stopped,
    Watch,
    default_spreads,
    figure_spread,
    figures_of,
    in_chunks,
    points_of,
    sampled,
)

SLOPES = np.array([3.0, 2.0, 1.5, 1.0, 0.5, 0.5])
SPREAD = float(np.sqrt(SLOPES @ SLOPES))
SEEDS = range(400)
LINE_MEAN, LINE_LOW, LINE_HIGH = 10.0, 10.0 - 1.959963985 * SPREAD, 10.0 + 1.959963985 * SPREAD


def line(points: np.ndarray) -> np.ndarray:
    """A linear problem: 10 + slopes . normal scores, so normal with known mean and deviation."""
    return 10.0 + ndtri(points) @ SLOPES


@pytest.fixture(scope="module")
def linear() -> list:
    plans = (Plan(2048, seed) for seed in SEEDS)
    return [figure_spread(line(points_of(plan, SLOPES.size))) for plan in plans]


@pytest.mark.parametrize(
    ("number", "truth"), [("mean", LINE_MEAN), ("deviation", SPREAD), ("low", LINE_LOW), ("high", LINE_HIGH)]
)
@pytest.mark.slow
def test_intervals_of_a_linear_problem_cover_as_often_as_they_claim(linear, number, truth, verified):
    held = sum(getattr(s, number).holds(truth) for s in linear)
    assert stats.binomtest(held, len(linear), 0.95).pvalue > 0.01
    verified(
        "scatter",
        f"95 % intervals of a linear problem that hold the true {number}, of 400 seeds",
        "binomial distribution",
        0.95,
        held / len(linear),
        0.0,
        0.035,
        kind="closed form",
    )


def test_the_interval_of_copies_holds_the_next_pole_as_often_as_it_claims():
    spread = figure_spread(line(points_of(Plan(4096, 9), SLOPES.size)))
    others = 10.0 + np.random.default_rng(1).normal(size=(40_000, 6)) @ SLOPES
    held = int(np.sum((others >= spread.low.value) & (others <= spread.high.value)))
    assert stats.binomtest(held, others.size, 0.95).pvalue > 0.001


def smooth(points: np.ndarray) -> np.ndarray:
    """Mean 1 exactly: product of 1 + (12 u^2 - 4)/10 over five inputs."""
    return np.prod(1.0 + (12.0 * points**2 - 4.0) / 10.0, axis=-1)


def rate(errors: list[float], sizes: list[int]) -> float:
    return float(np.polyfit(np.log(sizes), np.log(errors), 1)[0])


def test_quasi_random_points_converge_faster_than_chance(verified):
    """Root mean square error over many scrambles, fitted slope: -1/2 by chance, near -3/2 for a smooth figure."""
    sizes = [64, 128, 256, 512, 1024]
    quasi, chance = [], []
    for n in sizes:
        own = np.concatenate([smooth(points_of(Plan(8 * n, seed), 5)).mean(axis=1) for seed in range(25)])
        quasi.append(float(np.sqrt(np.mean((own - 1.0) ** 2))))
        rng = np.random.default_rng(n)
        plain = smooth(rng.random((200, n, 5))).mean(axis=1)
        chance.append(float(np.sqrt(np.mean((plain - 1.0) ** 2))))
    assert rate(chance, sizes) == pytest.approx(-0.5, abs=0.08)
    assert rate(quasi, sizes) < -0.9
    assert quasi[-1] < chance[-1] / 20.0
    verified(
        "scatter",
        "rate of convergence by chance",
        "central limit theorem",
        -0.5,
        rate(chance, sizes),
        0.0,
        0.08,
        kind="limit",
    )


def test_points_lie_inside_and_are_spread_evenly_in_every_input():
    points = points_of(Plan(1024, 4), 40)
    assert points.shape == (8, 128, 40)
    assert points.min() > 0.0
    assert points.max() < 1.0
    # a scrambled net of 128 points has one point in each 128th of every input
    assert np.array_equal(
        np.sort((points * 128).astype(int), axis=1), np.broadcast_to(np.arange(128)[None, :, None], points.shape)
    )


@pytest.mark.parametrize(("wanted", "size"), [(64, 64), (100, 104), (2048, 2048), (10_000, 10_240), (16_384, 16_384)])
def test_poles_are_rounded_up_to_whole_nets(wanted, size):
    plan = Plan(wanted)
    assert plan.size == size
    assert 8 <= plan.replicates <= 15
    assert wanted <= plan.size <= 1.13 * wanted


def test_seeds_differ_and_repeat():
    assert np.array_equal(points_of(Plan(64, 1), 3), points_of(Plan(64, 1), 3))
    assert not np.array_equal(points_of(Plan(64, 1), 3), points_of(Plan(64, 2), 3))
    assert not np.array_equal(points_of(Plan(64, 1), 3), points_of(Plan(64, 1), 3, stream=1))


@pytest.fixture(scope="module")
def small():
    return problem_with(default_spreads(), 3)


@pytest.fixture(scope="module")
def alone(small):
    return sampled(small, Plan(512, 7))


@pytest.mark.parametrize("workers", [1, 3])
def test_threads_give_the_same_bits_as_one_after_another(small, alone, workers):
    with ThreadPoolExecutor(workers) as on:
        assert sampled(small, Plan(512, 7), on=on).values.tobytes() == alone.values.tobytes()


@pytest.mark.slow
def test_processes_give_the_same_bits(small, alone):
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as on:
        assert sampled(small, Plan(512, 7), on=on).values.tobytes() == alone.values.tobytes()


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore")  # the cluster's own
def test_a_cluster_gives_the_same_bits(small, alone):
    distributed = pytest.importorskip("distributed")
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
        client.get_executor() as on,
    ):
        assert sampled(small, Plan(512, 7), on=on).values.tobytes() == alone.values.tobytes()


def test_progress_is_reported_and_ends_at_all(small):
    told: list[tuple[int, int]] = []
    with ThreadPoolExecutor(2) as on:
        sampled(small, Plan(512), on=on, watch=Watch(lambda done, of: told.append((done, of))))
    assert told[-1] == (4, 4)
    assert [done for done, _ in told] == sorted(done for done, _ in told)


@pytest.mark.parametrize("threads", [None, 2])
def test_a_stop_gives_nothing_and_begins_no_further_piece(threads):
    begun: list[int] = []
    stop = threading.Event()

    def piece(points: np.ndarray) -> np.ndarray:
        begun.append(1)
        stop.set()
        return points

    points = np.zeros((128 * 200, 1))
    watch = Watch(is_stopped=stop.is_set)
    with ThreadPoolExecutor(threads or 1) as on, pytest.raises(Stopped, match=r"scatter\.stopped"):
        in_chunks(partial(_slow, piece), points, on=on if threads else None, watch=watch)
    assert len(begun) < 200


def _slow(piece, points: np.ndarray) -> np.ndarray:
    threading.Event().wait(0.01)
    return piece(points)


def test_the_fault_of_a_piece_is_reported():
    problem = problem_with(Spreads.of(Spread("overlap", tube=0.2)), 2)
    with ThreadPoolExecutor(2) as on, pytest.raises(DesignError, match=r"spreads\.overlap"):
        sampled(problem, Plan(256), on=on)


def test_copies_that_find_no_balance_are_refused_not_guessed():
    problem = problem_with(Spreads.of(Spread("E1", lot=0.01)), 5, head=40000.0, load=0.0)
    with pytest.raises(NotConverged, match=r"want\.stiffer_or_shorter_pole_or_lighter"):
        sampled(problem, Plan(64))


def test_a_linear_figure_of_the_pole_has_the_spread_of_the_closed_form(verified):
    """Extended length: five tubes and four overlaps, independent; sd by the root of the sum of squares."""
    problem = problem_with(Spreads.of(Spread("length", tube=1e-3), Spread("overlap", tube=2e-3)), 5)
    spread = figure_spread(sampled(problem, Plan(1024, 3)).of("length"))
    verified(
        "scatter",
        "standard deviation of the extended length",
        "sqrt(5 s1^2 + 4 s2^2)",
        np.sqrt(5e-6 + 16e-6),
        spread.deviation.value,
        0.01,
        kind="closed form",
    )
    assert spread.mean.holds(5 * 1.65 - 4 * 0.2, 0.999)


def test_clearance_misses_as_often_as_the_normal_law_says(verified):
    """Bore and outside of two straight tubes: the gap is normal with sd sqrt(2) s; chance below a limit."""
    problem = Problem(reference_build(2), Spreads.of(Spread("mandrel", tube=4e-5)), ())
    sample = sampled(problem, Plan(65_536, 2))
    miss = sample.misses([Promise("clearance.1", 0.3e-3, is_least=True)])[0]
    closed = float(stats.norm.cdf(-0.1e-3 / (np.sqrt(2.0) * 4e-5)))
    verified(
        "scatter", "chance that a pair is too tight", "normal law", closed, miss.chance.value, 0.02, kind="closed form"
    )
    assert miss.chance.low <= closed <= miss.chance.high


def test_figures_do_not_depend_on_the_company_they_are_computed_in(small):
    points = points_of(Plan(64, 5), small.inputs).reshape(-1, small.inputs)
    whole = figures_of(small, points)
    assert np.array_equal(whole[7:9], figures_of(small, points[7:9]))


def test_the_pole_at_the_end_of_the_band_droops_as_its_copy_did(small, alone):
    droops = np.sort(alone.of("droop.all out").ravel())
    for share, expected in ((0.0, droops[0]), (0.975, droops[round(0.975 * 511)]), (1.0, droops[-1])):
        pole = alone.pole_at("droop.all out", share)
        own = bent(pole, State.out(pole, support=Bench(1.0))).tip_droop
        assert own == pytest.approx(expected, rel=1e-6)
    with pytest.raises(DesignError, match=r"want\.one"):
        alone.pole_at("colour", 0.5)
