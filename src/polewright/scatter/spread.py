"""How far one input strays: between lots, between tubes of a lot, and between the plies of a tube."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.conventions.confidence import CONFIDENCE
from polewright.errors import DesignError
from polewright.materials.frozen_map import FrozenMap

__all__ = ["FIGURES", "LEVELS", "Figure", "FigureKind", "Level", "Shape", "Spread", "Spreads", "spread_of_tests"]

Level = Literal["lot", "tube", "ply"]
Shape = Literal["normal", "lognormal", "uniform", "truncated"]
Place = Literal["ply", "section", "joint"]
Figure = Literal[
    "E1",
    "across",
    "areal_mass",
    "resin",
    "angle",
    "width",
    "mandrel",
    "finish",
    "spine",
    "length",
    "overlap",
    "joint",
    "clamp",
]
LEVELS: tuple[Level, ...] = ("lot", "tube", "ply")


@dataclass(frozen=True, slots=True)
class FigureKind:
    """What one input is: its unit ("-" for a share of the nominal value), and where it acts."""

    unit: str
    place: Place
    of_material: bool = False

    @property
    def is_relative(self) -> bool:
        """Whether the spread is a share of the nominal value."""
        return self.unit == "-"


FIGURES: Mapping[str, FigureKind] = MappingProxyType(
    {
        "E1": FigureKind("-", "ply", of_material=True),
        "across": FigureKind("-", "ply", of_material=True),
        "areal_mass": FigureKind("-", "ply", of_material=True),
        "resin": FigureKind("-", "ply", of_material=True),
        "angle": FigureKind("rad", "ply"),
        "width": FigureKind("m", "ply"),
        "mandrel": FigureKind("m", "section"),
        "finish": FigureKind("m", "section"),
        "spine": FigureKind("-", "section"),
        "length": FigureKind("m", "section"),
        "overlap": FigureKind("m", "joint"),
        "joint": FigureKind("-", "joint"),
        "clamp": FigureKind("-", "joint"),
    }
)


ENTERED = Message("scatter.source.entered")


@dataclass(frozen=True, slots=True)
class Spread:
    """Standard deviations of one input, by where copies of it differ.

    figure: a key of `FIGURES`; lot, tube, ply: standard deviation between lots (shared by all plies of a material in
    an order, or by all tubes or joints), between tubes or joints, and between plies; a share of the nominal value or
    in the figure's own SI unit. shape: of each part; "lognormal" for relative figures alone; "truncated" is a normal
    cut off at `cut` of its standard deviations to both sides, and what is left has the stated standard deviation.
    source, confidence: where the numbers come from; count: tests behind them, None for a table's.
    """

    figure: Figure
    lot: float = 0.0
    tube: float = 0.0
    ply: float = 0.0
    shape: Shape = "normal"
    cut: float = 3.0
    source: Message | str = ENTERED
    confidence: str = ""
    count: int | None = None

    def __post_init__(self) -> None:
        if self.figure not in FIGURES:
            raise DesignError("figure", repr(self.figure), Message("want.one", choices=tuple(FIGURES)))
        for level in LEVELS:
            value = getattr(self, level)
            if not (np.isfinite(value) and value >= 0.0):
                raise DesignError(f"{self.figure}.{level}", value, Message("want.standard_deviation_zero_or_more"))
        if self.shape not in ("normal", "lognormal", "uniform", "truncated"):
            raise DesignError(
                f"{self.figure}.shape", repr(self.shape), Message("want.normal_lognormal_uniform_or_truncated")
            )
        if self.shape == "lognormal" and not FIGURES[self.figure].is_relative:
            raise DesignError(
                f"{self.figure}.shape", Message("given.lognormal"), Message("want.normal_uniform_or_truncated_offset")
            )
        if self.ply > 0.0 and FIGURES[self.figure].place != "ply":
            raise DesignError(f"{self.figure}.ply", self.ply, Message("want.zero_this_input_has_no_plies"))
        if not (np.isfinite(self.cut) and self.cut > 0.0):
            raise DesignError(f"{self.figure}.cut", self.cut, Message("want.number_standard_deviations_above_zero"))

    @property
    def total(self) -> float:
        """Standard deviation of one copy among all lots: [-] of the nominal value, or [SI unit of the figure]."""
        return float(np.sqrt(self.lot**2 + self.tube**2 + self.ply**2))

    def with_total(self, total: float) -> "Spread":
        """The same shares between lots, tubes and plies, with another `total`: [-], or [SI unit of the figure]."""
        if self.total == 0.0:
            raise DesignError(self.figure, 0.0, Message("want.spread_above_zero_be_scaled"))
        factor = total / self.total
        return replace(self, lot=self.lot * factor, tube=self.tube * factor, ply=self.ply * factor)

    def scores(self, chance: FloatArray) -> FloatArray:
        """Standardised values (any shape) [-] of mean 0 and standard deviation 1 at given chances, 0 < chance < 1.

        For a lognormal the score is that of its logarithm.

        Source
        ------
        Inverse distribution functions; variance of a normal cut at +-c: 1 - 2 c phi(c) / (2 Phi(c) - 1)
        (N. L. Johnson, S. Kotz, N. Balakrishnan, Continuous Univariate Distributions, vol. 1, 2nd ed., 1994, ch. 13).
        """
        from scipy.special import ndtr, ndtri  # 14 MB and a tenth of a second: only who asks pays

        if self.shape == "uniform":
            return np.asarray(np.sqrt(12.0) * (chance - 0.5))
        if self.shape == "truncated":
            tail, c = ndtr(-self.cut), self.cut
            inside = 1.0 - 2.0 * tail
            density = np.exp(-c * c / 2.0) / np.sqrt(2.0 * np.pi)
            return np.asarray(ndtri(tail + chance * inside) / np.sqrt(1.0 - 2.0 * c * density / inside))
        return np.asarray(ndtri(chance))

    def deviation(self, chances: Mapping[Level, FloatArray]) -> FloatArray:
        """Factor on the nominal value [-], or offset in the figure's unit; chances of each level, one shape.

        Parts add; those of a lognormal multiply, each with mean 1.
        """
        relative = FIGURES[self.figure].is_relative
        if self.shape == "lognormal":
            logs = [
                np.sqrt(v) * self.scores(chances[level]) - v / 2.0
                for level in chances
                if (v := np.log1p(getattr(self, level) ** 2)) > 0.0
            ]
            return np.exp(sum(logs))  # type: ignore[no-any-return]
        parts = sum(getattr(self, level) * self.scores(chances[level]) for level in chances)
        return np.asarray(1.0 + parts if relative else parts)


@dataclass(frozen=True, slots=True)
class Spreads:
    """All spreads of a scatter: one a figure, and others for single materials by (figure, material name)."""

    every: Mapping[str, Spread] = field(default_factory=dict)
    of_material: Mapping[tuple[str, str], Spread] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for figure, spread in [*self.every.items(), *((key[0], s) for key, s in self.of_material.items())]:
            if spread.figure != figure:
                raise DesignError(
                    "spreads",
                    Message("given.filed_under", figure=spread.figure, figure2=figure),
                    Message("want.each_under_its_own_figure"),
                )
        for figure, material in self.of_material:
            if not FIGURES[figure].of_material:
                raise DesignError(
                    "spreads",
                    Message("given.of_2", figure=figure, material=material),
                    Message("want.material_s_figure_or_one_all"),
                )
        object.__setattr__(self, "every", FrozenMap(dict(self.every)))
        object.__setattr__(self, "of_material", FrozenMap(dict(self.of_material)))

    @classmethod
    def of(cls, *spreads: Spread) -> "Spreads":
        """These spreads, the same for every material; a later one replaces an earlier one of the same figure."""
        return cls({s.figure: s for s in spreads})

    def of_figure(self, figure: str, material: str = "") -> Spread | None:
        """The spread that holds for a figure of a material, None for none."""
        return self.of_material.get((figure, material), self.every.get(figure))

    def with_spread(self, spread: Spread, *, material: str = "") -> "Spreads":
        """The same with one spread put in place, for all materials or for one."""
        if material:
            return replace(self, of_material={**self.of_material, (spread.figure, material): spread})
        return replace(self, every={**self.every, spread.figure: spread})

    def alone(self, figure: str) -> "Spreads":
        """Only the spread of one figure; every other input at its nominal value."""
        return Spreads(
            {f: s for f, s in self.every.items() if f == figure},
            {k: s for k, s in self.of_material.items() if k[0] == figure},
        )

    def __iter__(self) -> Iterator[tuple[str, Spread]]:
        """Each spread with its material, "" for all."""
        yield from (("", s) for s in self.every.values())
        yield from ((key[1], s) for key, s in self.of_material.items())


def spread_of_tests(
    figure: Figure, values: ArrayLike, *, level: Level, confidence: float = CONFIDENCE
) -> tuple[Spread, tuple[float, float]]:
    """The shop's own spread from single tests (n,) [any unit], and the band in which the true deviation lies.

    The spread is that of the next copy, given how few tests there were: s sqrt((1 + 1/n)(n - 1)/(n - 3)), the standard
    deviation of the predictive Student t. Values in the figure's SI unit, or in any for a relative figure; the band
    holds the true deviation by `confidence` [-].

    Raises
    ------
    DesignError : fewer than four tests, or a relative figure whose mean is not above zero.

    Source
    ------
    A. Gelman et al., Bayesian Data Analysis, 3rd ed., 2013, sec. 3.2; band by chi-square of n - 1.
    """
    tests = np.asarray(values, dtype=np.float64).ravel()
    n = tests.size
    if n < 4 or not np.all(np.isfinite(tests)):
        raise DesignError(
            f"{figure}.tests", Message("given.values_3", n=n), Message("want.at_least_four_finite_ones_with")
        )
    s, mean = float(np.std(tests, ddof=1)), float(np.mean(tests))
    if FIGURES[figure].is_relative:
        if mean <= 0.0:
            raise DesignError(f"{figure}.tests", mean, Message("want.mean_above_zero"))
        s /= mean
    from scipy.special import chdtri  # 14 MB and a tenth of a second: only who asks pays

    tail = (1.0 - confidence) / 2.0
    band = (s * float(np.sqrt((n - 1) / chdtri(n - 1, tail))), s * float(np.sqrt((n - 1) / chdtri(n - 1, 1.0 - tail))))
    sd = s * float(np.sqrt((1.0 + 1.0 / n) * (n - 1) / (n - 3)))
    source = Message("scatter.source.tests", count=n)
    lot, tube, ply = (sd if each == level else 0.0 for each in LEVELS)
    own = Spread(figure=figure, lot=lot, tube=tube, ply=ply, source=source, confidence="measured", count=n)
    return own, band
