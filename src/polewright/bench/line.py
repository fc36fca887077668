"""The straight line through readings under several loads: its slope holds stiffness, its zero bow and own weight."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.bench.uncertainty import Estimate
from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["Fit", "Line", "fit", "line", "refuse_stuck"]


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """Linear least squares: coefficients (n,), covariance (n, n), scatter of one reading, degrees of freedom [-]."""

    coefficient: FloatArray
    covariance: FloatArray
    scatter: float
    freedom: float

    def estimate(self, index: int) -> Estimate:
        """One coefficient with its uncertainty."""
        return Estimate(float(self.coefficient[index]), float(np.sqrt(self.covariance[index, index])), self.freedom)


@dataclass(frozen=True, slots=True)
class Line:
    """slope [reading per load], zero [reading] at no load, scatter [reading] of one reading about the line."""

    slope: Estimate
    zero: Estimate
    scatter: float


def fit(columns: ArrayLike, readings: ArrayLike, *, floor: float) -> Fit:
    """Ordinary least squares with the uncertainty of each coefficient.

    One reading scatters by the residual root mean square over the degrees of freedom, but not by less than `floor`,
    the standard uncertainty that the gauge allows; with no degrees of freedom left the floor alone counts.

    Parameters
    ----------
    columns : (n_reading, n) any units; readings : (n_reading,) and floor in one unit.

    Raises
    ------
    DesignError : fewer independent readings than unknowns.

    Source
    ------
    JCGM 100:2008 (GUM), annex H.3, in matrix form.
    """
    x, y = np.asarray(columns, dtype=np.float64), np.asarray(readings, dtype=np.float64)
    size = np.linalg.norm(x, axis=0)
    size = np.where(size > 0.0, size, 1.0)
    left, singular, right = np.linalg.svd(x / size, full_matrices=False)
    if x.shape[0] < x.shape[1] or singular[-1] < 1e-9 * singular[0]:
        raise DesignError(
            "readings", Message("given.so_many", count=x.shape[0]), Message("want.enough_readings", unknowns=x.shape[1])
        )
    coefficient = right.T @ ((left.T @ y) / singular) / size
    left_over = x.shape[0] - x.shape[1]
    residual = y - x @ coefficient
    scatter = float(np.sqrt(residual @ residual / left_over)) if left_over > 0 else 0.0
    freedom = float(left_over) if scatter > floor else np.inf
    scatter = max(scatter, floor)
    covariance = scatter**2 * (right.T / singular**2 @ right) / np.outer(size, size)
    return Fit(coefficient, covariance, scatter, freedom)


def line(load: FloatArray, readings: FloatArray, *, floor: float, own_zeros: bool = False) -> Line:
    """Slope and zero of readings (n_load, n_repeat) against load (n_load,); two readings give their difference.

    Parameters
    ----------
    own_zeros : each column of readings has its own zero; `zero` is then that of the first.

    Raises
    ------
    DesignError : all loads are equal.
    """
    if np.ptp(load) <= 1e-9 * np.max(np.abs(load), initial=0.0):
        raise DesignError("masses", Message("given.all_same"), Message("want.two_loads"))
    columns = readings.shape[1]
    x = np.repeat(load, columns)
    zeros = np.tile(np.eye(columns), (load.size, 1)) if own_zeros else np.ones((x.size, 1))
    found = fit(np.column_stack([zeros, x]), readings.ravel(), floor=floor)
    return Line(found.estimate(zeros.shape[1]), found.estimate(0), found.scatter)


def refuse_stuck(by_load: FloatArray) -> None:
    """Raise DesignError when readings (n_load, n) [m] do not move with the load at all."""
    if np.max(np.ptp(by_load, axis=0)) <= 1e-9 * np.max(np.abs(by_load)):
        raise DesignError("readings", Message("given.all_same"), Message("want.readings_grow_dial"))
