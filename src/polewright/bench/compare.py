"""A measured figure beside the predicted one: do they agree, and could the test have told?"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.bench.uncertainty import Estimate, effective_freedom
from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["BLIND_BEND", "Comparison", "Verdict", "compare"]

Verdict = Literal["agrees", "reads_low", "reads_high", "cannot_tell"]

BLIND_BEND = Message("bench.note.blind_to_hoop")


@dataclass(frozen=True, slots=True)
class Comparison:
    """Measured against predicted, both in one unit.

    difference: measured less predicted [unit]; relative [-] of the predicted; blur [-]: half-width within which test
    and prediction together cannot tell, relative to the predicted; normalised_error [-]: difference over the joint
    expanded uncertainty.
    """

    measured: Estimate
    predicted: Estimate
    difference: Estimate
    relative: float
    blur: float
    normalised_error: float
    verdict: Verdict
    tolerance: float
    notes: tuple[Message, ...]

    @property
    def is_within_tolerance(self) -> bool:
        """Whether the difference is one that does not matter."""
        return abs(self.relative) <= self.tolerance


def _verdict(error: float, blur: float, tolerance: float) -> Verdict:
    if abs(error) > 1.0:
        return "reads_low" if error < 0.0 else "reads_high"
    return "agrees" if blur <= tolerance else "cannot_tell"


def compare(measured: Estimate, predicted: Estimate, *, tolerance: float = 0.05, is_bend: bool = True) -> Comparison:
    """Measured beside predicted, and what the test can tell.

    E_n = (measured - predicted) / sqrt(U_measured^2 + U_predicted^2), U the expanded uncertainties; beyond 1 the
    difference is more than chance. Within 1 they agree if together they blur no more than `tolerance`; else nobody
    can tell.

    Parameters
    ----------
    measured, predicted : in one unit; the prediction not zero.
    tolerance : [-] of the predicted figure; the difference that would matter.
    is_bend : whether to add what a bend test cannot see.

    Raises
    ------
    DesignError : the prediction is zero or the tolerance is not above zero.

    Source
    ------
    ISO 13528, Statistical methods for use in proficiency testing by interlaboratory comparison, E_n score.
    """
    if predicted.value == 0.0:
        raise DesignError("predicted", predicted.value, Message("want.prediction_not_zero"))
    if not (np.isfinite(tolerance) and tolerance > 0.0):
        raise DesignError("tolerance", tolerance, Message("want.tolerance_above_zero", example=0.05))
    apart = measured.value - predicted.value
    joint = float(np.hypot(measured.expanded, predicted.expanded))
    scale = abs(predicted.value)
    error = apart / joint if joint > 0.0 else float(np.sign(apart) * np.inf) if apart else 0.0
    relative, blur = apart / scale, joint / scale
    verdict = _verdict(error, blur, tolerance)
    return Comparison(
        measured=measured,
        predicted=predicted,
        difference=_difference(measured, predicted),
        relative=relative,
        blur=blur,
        normalised_error=error,
        verdict=verdict,
        tolerance=tolerance,
        notes=(BLIND_BEND,) if is_bend else (),
    )


def _difference(measured: Estimate, predicted: Estimate) -> Estimate:
    standard = float(np.hypot(measured.standard, predicted.standard))
    parts = [(x.standard, x.freedom) for x in (measured, predicted)]
    return Estimate(measured.value - predicted.value, standard, effective_freedom(parts))
