"""What nearly every pole of a design will keep, figure by figure and all together, by the home test of the sheet."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from polewright.answers.scatter_problem import problem_of
from polewright.answers.trestles import bent_on_trestles, headline_head
from polewright.arrays import FloatArray, freeze
from polewright.documents.design import Design
from polewright.documents.values import workpiece
from polewright.pole.modes import modes
from polewright.scatter import HomeFigure, HomeTest, Plan, Problem, home_figures, home_figures_of, points_of
from polewright.scatter.chunks import in_chunks
from polewright.units import si

__all__ = ["Guarantee", "HomeSample", "guarantee", "home_sample", "home_test"]

COPIES, SEED = 1024, 20  # of the pole
LEAST_SINGLE = 0.96  # [-] of copies that keep each figure: of all poles at least 95 in 100, sampling and all
LEAST_TOGETHER = 0.925  # [-] of copies that keep all of them: of all poles at least 90 in 100


@dataclass(frozen=True, slots=True, eq=False)
class HomeSample:
    """Sampled poles of a design on the home test: nominal and alike by figure, bad (n_copy, n_figure) in SI.

    bad : each figure of each copy, the sign turned where less is worse, so that larger is worse everywhere. alike [-]:
    correlation between two poles of the same lots.
    """

    test: HomeTest
    figures: tuple[HomeFigure, ...]
    nominal: Mapping[HomeFigure, float]
    alike: Mapping[HomeFigure, float]
    bad: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("bad",))


@dataclass(frozen=True, slots=True)
class Guarantee:
    """What nearly every pole keeps, SI by figure: bound before and published after rounding.

    level [-]: share of the copies that keep each bound; joint [-]: share that keep all published figures at once.
    """

    bound: Mapping[HomeFigure, float]
    published: Mapping[HomeFigure, float]
    level: float
    joint: float
    copies: int


def home_test(design: Design, loads: tuple[float, float]) -> HomeTest:
    """The home test of a design with two loads [kg], the lighter first; the swing as the design's setting says."""
    setting = design.setting
    return HomeTest(
        prop=si("prop_mm", setting.prop_mm),
        light=loads[0],
        heavy=loads[1],
        swing=si("swing_g", setting.swing_load_g),
        head=headline_head(design),
    )


@lru_cache(maxsize=24)
def home_sample(design: Design, test: HomeTest) -> HomeSample:
    """Copies of a design, each by its own scatter, put to the home test.

    Raises
    ------
    DocumentError : the design cannot be built. NotConverged : a copy finds no posture in balance.
    """
    whole = problem_of(design)
    problem = Problem(whole.build, whole.spreads, ())
    figures = home_figures(problem)
    points = points_of(Plan(COPIES, SEED), problem.inputs)
    flat = points.reshape(-1, problem.inputs) if problem.inputs else np.empty((COPIES, 0))
    values = in_chunks(_Tried(problem, test), flat)
    values, nominal = _true_swings(design, problem, test, values)
    return HomeSample(
        test=test,
        figures=figures,
        nominal=dict(zip(figures, map(float, nominal), strict=True)),
        alike={f: _alike(problem, flat, values[:, k]) for k, f in enumerate(figures)},
        bad=np.where([f.is_most for f in figures], values, -values),
    )


def guarantee(sample: HomeSample, rounded: Callable[[HomeFigure, float], float]) -> Guarantee:
    """The bounds that the design's own scatter keeps: each by 95 poles in 100 at least, all at once by 90.

    One level for every figure: the least at which both hold for the sampled copies, with what sampling leaves added.
    The published figures are the bounds at that level, `rounded` (figure, SI value) to the safe side.

    Source
    ------
    Order statistics: W. J. Conover, Practical Nonparametric Statistics, 3rd ed., 1999, sec. 3.3.
    """
    ordered, n = np.sort(sample.bad, axis=0), sample.bad.shape[0]

    def at(rank: int) -> tuple[FloatArray, FloatArray, float]:
        bound = ordered[rank - 1]
        shown = np.array([_rounded(f, b, rounded) for f, b in zip(sample.figures, bound.tolist(), strict=True)])
        keeps = sample.bad <= shown + 1e-12 * np.abs(shown)
        return bound, shown, float(np.mean(np.all(keeps, axis=1)))

    low, high = int(np.ceil(LEAST_SINGLE * n)), n
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if at(middle)[2] >= LEAST_TOGETHER else (middle + 1, high)
    bound, shown, joint = at(low)
    signs = [1.0 if f.is_most else -1.0 for f in sample.figures]
    return Guarantee(
        bound={f: s * b for f, s, b in zip(sample.figures, signs, bound.tolist(), strict=True)},
        published={f: s * b for f, s, b in zip(sample.figures, signs, shown.tolist(), strict=True)},
        level=low / n,
        joint=joint,
        copies=n,
    )


def _rounded(figure: HomeFigure, bad: float, rounded: Callable[[HomeFigure, float], float]) -> float:
    """A bound as it is published, with the sign of `bad`; never on the other side of what was promised."""
    sign = 1.0 if figure.is_most else -1.0
    return max(sign * rounded(figure, sign * bad), bad)


@dataclass(frozen=True, slots=True)
class _Tried:
    """The figures of a piece of the copies; a value, so that other processes can be given it."""

    problem: Problem
    test: HomeTest

    def __call__(self, points: FloatArray) -> FloatArray:
        return home_figures_of(self.problem, self.test, points)


def _true_swings(design: Design, problem: Problem, test: HomeTest, values: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The copies' figures (n, n_figure) with their swings scaled to the exact one of the design, and the design's."""
    bare = Problem(problem.build, type(problem.spreads)(), ())
    nominal, pole, values = home_figures_of(bare, test, np.empty((1, 0)))[0], workpiece(design).pole, values.copy()
    for k, figure in enumerate(home_figures(problem)):
        if figure.kind == "swing":
            bent = bent_on_trestles(pole, test.prop, figure.out, test.swing)
            exact = float(modes(bent, count=1).frequency[0])
            values[:, k] *= exact / nominal[k]
            nominal[k] = exact
    return values, nominal


def _alike(problem: Problem, points: FloatArray, values: FloatArray) -> float:
    """[-] of a figure's variance that lies between lots, as a straight line in the lots' columns sees it."""
    columns = problem.lot_columns
    spread = float(np.var(values))
    if columns.size == 0 or spread <= 1e-18 * float(np.mean(values)) ** 2:
        return 0.0
    scores = points[:, columns] - 0.5
    design = np.column_stack([np.ones(values.size), scores, scores**3])
    fitted = design @ np.linalg.lstsq(design, values, rcond=None)[0]
    return float(np.clip(np.var(fitted) / spread, 0.0, 0.95))
