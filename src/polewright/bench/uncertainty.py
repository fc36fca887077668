"""Uncertainty of a measured figure by the Guide to the Expression of Uncertainty in Measurement (GUM).

Every input is an `Estimate`: a value, its standard uncertainty and the degrees of freedom behind that. A common
effect (one scale for all loads, one dial for all readings) is an input of its own, so that inputs are independent.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from polewright.codes import Message
from polewright.conventions.confidence import EXPANDED_COVERAGE
from polewright.errors import DesignError

__all__ = ["Combined", "Estimate", "Model", "Share", "combined", "effective_freedom", "exactly", "repeated", "within"]

_STEP = 1e-30  # imaginary step; nothing is subtracted, so it may be as small as one likes
Model = Callable[[Mapping[str, complex]], complex]


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure with its standard uncertainty, both in the unit of the figure, and degrees of freedom [-]."""

    value: float
    standard: float = 0.0
    freedom: float = np.inf

    def __post_init__(self) -> None:
        if not np.isfinite(self.value):
            raise DesignError("value", self.value, Message("want.finite_number"))
        if not (np.isfinite(self.standard) and self.standard >= 0.0):
            raise DesignError("standard", self.standard, Message("want.standard_uncertainty_zero_or_more"))
        if np.isnan(self.freedom) or self.freedom <= 0.0:
            raise DesignError("freedom", self.freedom, Message("want.degrees_freedom_above_zero"))

    @property
    def coverage_factor(self) -> float:
        """[-] k that covers 95.45 %: 2 for many degrees of freedom, more for few.

        Source
        ------
        JCGM 100:2008 (GUM), annex G.3 and table G.2: Student's t.
        """
        if np.isinf(self.freedom):
            return 2.0
        from scipy.special import stdtrit  # 14 MB and a tenth of a second: only who asks pays

        return float(stdtrit(self.freedom, 0.5 + EXPANDED_COVERAGE / 2.0))

    @property
    def expanded(self) -> float:
        """Half-width of the interval that covers 95.45 %, in the unit of the figure."""
        return self.coverage_factor * self.standard if self.standard > 0.0 else 0.0

    @property
    def relative(self) -> float:
        """[-] expanded uncertainty over the figure's size; infinite for a figure of zero that is uncertain."""
        if self.value == 0.0:
            return np.inf if self.standard > 0.0 else 0.0
        return self.expanded / abs(self.value)

    def scaled(self, factor: float) -> "Estimate":
        """The estimate times a factor known exactly."""
        return Estimate(self.value * factor, self.standard * abs(factor), self.freedom)


@dataclass(frozen=True, slots=True)
class Share:
    """What one input adds: its sensitivity (unit of the result over unit of the input) and its part of u [result]."""

    name: str
    sensitivity: float
    standard: float


@dataclass(frozen=True, slots=True)
class Combined:
    """A figure computed from uncertain inputs, and what each of them adds, largest first."""

    estimate: Estimate
    budget: tuple[Share, ...]


def exactly(value: float) -> Estimate:
    """An input taken as known; any unit."""
    return Estimate(value)


def within(value: float, half_width: float) -> Estimate:
    """An input anywhere within +- half_width, all alike likely: u = a/sqrt(3), in the unit of the value.

    Source
    ------
    JCGM 100:2008 (GUM), 4.3.7.
    """
    return Estimate(value, float(half_width / np.sqrt(3.0)))


def repeated(readings: ArrayLike, *, floor: float = 0.0) -> Estimate:
    """Mean of repeated readings (n,), any unit: u = s/sqrt(n) with n - 1 degrees of freedom (type A).

    `floor` is the standard uncertainty of one reading that the gauge allows; where the scatter happens to be smaller
    (or a single reading shows none) the floor stands.

    Raises
    ------
    DesignError : no reading, or one that is not finite.

    Source
    ------
    JCGM 100:2008 (GUM), 4.2.
    """
    values = np.asarray(readings, dtype=np.float64).ravel()
    if values.size == 0 or not np.all(np.isfinite(values)):
        raise DesignError(
            "readings",
            Message("given.none" if values.size == 0 else "given.not_number"),
            Message("want.at_least_one_finite_reading"),
        )
    scatter = float(np.std(values, ddof=1)) if values.size > 1 else 0.0
    freedom = values.size - 1.0 if scatter > floor else np.inf
    return Estimate(float(np.mean(values)), float(max(scatter, floor) / np.sqrt(values.size)), freedom)


def combined(model: Model, inputs: Mapping[str, Estimate]) -> Combined:
    """The figure `model` computes from the inputs, with its uncertainty to first order.

    u^2 = sum (df/dx u(x))^2; degrees of freedom by `effective_freedom`. Sensitivities are exact to
    rounding: derivatives by an imaginary step, so the model must be made of plain arithmetic.

    Source
    ------
    JCGM 100:2008 (GUM), eqs. (10) and (G.2b);
    W. Squire, G. Trapp, Using complex variables to estimate derivatives of real functions, SIAM Review 40, 1998.
    """
    values = {name: complex(x.value) for name, x in inputs.items()}
    shares = []
    for name, x in inputs.items():
        step = _STEP * max(abs(x.value), 1.0)
        slope = model(values | {name: complex(x.value, step)}).imag / step
        shares.append(Share(name, float(slope), float(abs(slope) * x.standard)))
    standard = float(np.hypot.reduce([s.standard for s in shares]))
    freedom = effective_freedom([(s.standard, inputs[s.name].freedom) for s in shares])
    budget = tuple(sorted(shares, key=lambda s: -s.standard))
    return Combined(Estimate(float(model(values).real), standard, freedom), budget)


def effective_freedom(parts: Sequence[tuple[float, float]]) -> float:
    """Degrees of freedom [-] of a sum of independent parts, each (standard uncertainty, degrees of freedom).

    Source
    ------
    JCGM 100:2008 (GUM), eq. (G.2b), after Welch and Satterthwaite.
    """
    total = float(np.hypot.reduce([standard for standard, _ in parts]))
    scatter = sum((standard / total) ** 4 / freedom for standard, freedom in parts) if total > 0.0 else 0.0
    return 1.0 / scatter if scatter > 0.0 else np.inf
