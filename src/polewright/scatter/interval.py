"""What a figure is among all copies: mean, spread and interval, each with what the sampling leaves open."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.conventions.confidence import CONFIDENCE, tails
from polewright.errors import DesignError

__all__ = ["FigureSpread", "Sampled", "figure_spread"]


@dataclass(frozen=True, slots=True)
class Sampled:
    """A number from a sample, its standard error in the same unit, and the degrees of freedom behind that [-]."""

    value: float
    standard: float
    freedom: float

    def half_width(self, confidence: float = CONFIDENCE) -> float:
        """Half-width of the interval that holds the true number as often as `confidence` [-] says, by Student's t."""
        from scipy.special import stdtrit  # 14 MB and a tenth of a second: only who asks pays

        return float(stdtrit(self.freedom, 0.5 + confidence / 2.0)) * self.standard

    def holds(self, number: float, confidence: float = CONFIDENCE) -> bool:
        """Whether that interval holds a number."""
        return abs(number - self.value) <= self.half_width(confidence)


@dataclass(frozen=True, slots=True)
class FigureSpread:
    """One figure among all copies, in the figure's unit: mean, standard deviation, and the interval of `coverage`.

    low, high: the ends between which that share of the copies lies, the same share left out on either side.
    """

    name: str
    coverage: float
    mean: Sampled
    deviation: Sampled
    low: Sampled
    high: Sampled


def figure_spread(values: FloatArray, *, name: str = "", coverage: float = CONFIDENCE) -> FigureSpread:
    """The spread of one figure from independent replicates of a quasi-random design.

    Each number is taken of all copies together; its standard error is that of the replicates' own numbers among
    themselves.

    Parameters
    ----------
    values : (n_replicate, n) [any unit].
    coverage : [-] share of the copies between low and high.

    Source
    ------
    A. B. Owen, Monte Carlo Theory, Methods and Examples, 2013: replicated randomised quasi-Monte Carlo.
    """
    if values.ndim != 2 or values.shape[0] < 2 or not np.all(np.isfinite(values)):
        raise DesignError("values", values.shape, Message("want.two_replicates_at_least_all_finite"))
    if not 0.0 < coverage < 1.0:
        raise DesignError("coverage", coverage, Message("want.between_0_1"))
    least, most = tails(coverage)

    def of(number: Callable[[FloatArray], FloatArray]) -> Sampled:
        own = number(values)
        error = float(np.std(own, ddof=1) / np.sqrt(own.size))
        return Sampled(float(number(values.reshape(1, -1))[0]), error, own.size - 1.0)

    def at(share: float) -> Sampled:
        return of(lambda rows: np.asarray(np.quantile(rows, share, axis=1, method="hazen")))

    return FigureSpread(
        name,
        coverage,
        mean=of(lambda rows: np.asarray(rows.mean(axis=1))),
        deviation=of(lambda rows: np.asarray(rows.std(axis=1, ddof=1))),
        low=at(least),
        high=at(most),
    )
