"""What nearly all poles will keep, from a few that were measured: one-sided bounds of normal figures."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["Tolerance", "shared_lots", "tolerance_bound", "tolerance_factor"]

COVERAGE, CONFIDENCE = 0.95, 0.90  # of all poles, by a bound that so many shops in a hundred find right


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Mean and standard deviation of one figure over poles, [unit of the figure], and the bound beyond which few lie.

    count: poles measured; effective [-]: as many poles, each of its own lot, would tell the mean as well.
    """

    mean: float
    deviation: float
    bound: float
    count: int
    effective: float


def tolerance_factor(
    count: int, *, effective: float | None = None, coverage: float = COVERAGE, confidence: float = CONFIDENCE
) -> float:
    """K [-] so that mean + k s is above `coverage` [-] of a normal figure, in `confidence` [-] of samples.

    k = t'(count - 1, z sqrt(n)) / sqrt(n), the `confidence` quantile of the noncentral t, z the normal quantile of
    `coverage`. Without `effective` n is `count`; with it n is the effective number behind the mean alone.

    Raises
    ------
    DesignError : fewer than two poles.

    Source
    ------
    G. J. Hahn, W. Q. Meeker, Statistical Intervals, 1991, sec. 4.4; D. B. Owen, A survey of properties and applications
    of the noncentral t-distribution, Technometrics 10, 1968. With `effective`, the derivation in `tolerance_bound`.
    """
    from scipy.special import ndtri  # 14 MB and a tenth of a second: only who asks pays
    from scipy.stats import nct

    if count < 2:
        raise DesignError("count", count, Message("want.two_measured_poles"))
    root = float(np.sqrt(count if effective is None else effective))
    return float(nct.ppf(confidence, count - 1, float(ndtri(coverage)) * root)) / root


def shared_lots(lots: "list[frozenset[str]]", alike: float) -> FloatArray:
    """Correlation (n, n) [-] between the figures of poles, by the lots each was made of.

    alike [-]: correlation of two poles that share every lot. Poles that share some share that part of it, counted as
    the cosine between their lists of lots, which keeps the matrix positive. A pole whose lots nobody wrote down may
    have been made of any: it counts as sharing all with every other.
    """
    if not 0.0 <= alike < 1.0:
        raise DesignError("alike", alike, Message("want.from_0_up_below_1"))
    known = all(lots)
    share = np.ones((len(lots), len(lots)))
    if known:
        names = sorted(set().union(*lots))
        rows = np.array([[name in own for name in names] for own in lots], dtype=np.float64)
        rows /= np.linalg.norm(rows, axis=1, keepdims=True)
        share = rows @ rows.T
    out = alike * share
    np.fill_diagonal(out, 1.0)
    return out


def tolerance_bound(
    values: ArrayLike, alike: FloatArray, *, is_most: bool, coverage: float = COVERAGE, confidence: float = CONFIDENCE
) -> Tolerance:
    """The bound that `coverage` [-] of all poles keep, from some that were measured, lots shared or not.

    Values y with covariance s^2 R, R known: the mean m = 1'R^-1 y / 1'R^-1 1 has the variance s^2 / n_e with n_e =
    1'R^-1 1, and s^2 = (y - m)'R^-1 (y - m)/(n - 1) is independent of it, as chi-square of n - 1. So (m + k s - mean)
    follows the noncentral t with n_e in the place of n: poles of one lot count for less, n_e = n / (1 + (n - 1) r).

    Parameters
    ----------
    values : (n,) [any unit] one a pole.
    alike : (n, n) [-] correlation between them, as `shared_lots` gives it.
    is_most : the bound is above (droop, mass), else below (swing).

    Source
    ------
    Generalised least squares: A. C. Aitken, On least squares and linear combination of observations, Proc. R. Soc.
    Edinburgh 55, 1936; the noncentral t as in `tolerance_factor`.
    """
    y = np.asarray(values, dtype=np.float64)
    if y.ndim != 1 or alike.shape != (y.size, y.size) or not np.all(np.isfinite(y)):
        raise DesignError("values", Message("given.not_finite"), Message("want.finite_numbers"))
    weights = np.linalg.solve(alike, np.ones(y.size))
    effective = float(weights.sum())
    mean = float(weights @ y) / effective
    away = y - mean
    deviation = float(np.sqrt(away @ np.linalg.solve(alike, away) / (y.size - 1)))
    k = tolerance_factor(y.size, effective=effective, coverage=coverage, confidence=confidence)
    return Tolerance(mean, deviation, mean + (k if is_most else -k) * deviation, y.size, effective)
