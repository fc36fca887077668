"""A measured figure beside the predicted one: do they agree, and could the test have told?"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.bench.bend import Note
from polewright.bench.uncertainty import Estimate, effective_freedom
from polewright.errors import DesignError

__all__ = ["BLIND_BEND", "Comparison", "Verdict", "compare"]

Verdict = Literal["agrees", "reads low", "reads high", "cannot tell"]

BLIND_BEND = Note(
    "blind to hoop",
    "A bend test cannot see a missing hoop ply: weigh the tube and measure its outside "
    "diameter, and ring-test the off-cut.",
)


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
    words: str
    notes: tuple[Note, ...]


def _verdict(error: float, blur: float, tolerance: float) -> Verdict:
    if abs(error) > 1.0:
        return "reads low" if error < 0.0 else "reads high"
    return "agrees" if blur <= tolerance else "cannot tell"


def _words(what: str, verdict: Verdict, relative: float, blur: float, tolerance: float) -> str:
    size, width, limit = (f"{100.0 * abs(x):.1f} %" for x in (relative, blur, tolerance))
    side = "below" if relative < 0.0 else "above"
    if verdict == "agrees":
        return f"{what} agrees with the prediction: {size} {side}, within the {width} that this test can blur."
    if verdict == "cannot tell":
        return (
            f"{what}: cannot tell. It is {size} {side} the prediction, but this test blurs {width}, more than the "
            f"{limit} that matters. Use more load, a longer span or more readings."
        )
    inside = abs(relative) <= tolerance
    tail = f"still within the {limit} allowed" if inside else f"outside the {limit} allowed"
    return f"{what} {verdict} by {size}, more than the {width} that this test can blur; {tail}."


def compare(
    measured: Estimate, predicted: Estimate, *, what: str = "Stiffness", tolerance: float = 0.05, is_bend: bool = True
) -> Comparison:
    """Measured beside predicted, in plain words.

    E_n = (measured - predicted) / sqrt(U_measured^2 + U_predicted^2), U the expanded uncertainties; beyond 1 the
    difference is more than chance. Within 1 they agree if together they blur no more than `tolerance`; else nobody
    can tell.

    Parameters
    ----------
    measured, predicted : in one unit; the prediction not zero.
    what : how the figure is called in the sentence.
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
        raise DesignError("predicted", predicted.value, "a prediction that is not zero")
    if not (np.isfinite(tolerance) and tolerance > 0.0):
        raise DesignError("tolerance", tolerance, "a share above zero, such as 0.05")
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
        words=_words(what, verdict, relative, blur, tolerance),
        notes=(BLIND_BEND,) if is_bend else (),
    )


def _difference(measured: Estimate, predicted: Estimate) -> Estimate:
    standard = float(np.hypot(measured.standard, predicted.standard))
    parts = [(x.standard, x.freedom) for x in (measured, predicted)]
    return Estimate(measured.value - predicted.value, standard, effective_freedom(parts))
