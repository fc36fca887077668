"""A pole in a hold, for whoever asks: what was asked, its shape, its figures, and where to spend."""

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import ValidationError

from polewright.answers.hold import DroopPart, HoldAnswer, JointPress, hold_answer
from polewright.answers.spend import Spending, spendings
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault, faults_of
from polewright.documents.hold import Held, Holding
from polewright.documents.values import Workpiece, workpiece
from polewright.pole.wind import drawn_to
from polewright.units import to
from polewright.workshop.hold_shape import HoldShape, hold_scene, hold_shape, lean_message, split_parts

__all__ = [
    "Design",
    "DocumentError",
    "DroopPart",
    "Fault",
    "Held",
    "HoldAnswer",
    "HoldShape",
    "Holding",
    "JointPress",
    "Spending",
    "Workpiece",
    "drawn_lengths",
    "hold_answer",
    "hold_scene",
    "hold_shape",
    "holding_of",
    "lean_message",
    "spendings",
    "split_parts",
    "workpiece",
]


def holding_of(values: Mapping[str, Any]) -> Holding:
    """How a pole is held, from values as they are typed or sent, by the names of the fields.

    Raises
    ------
    DocumentError : a value that no hold has, every fault gathered.
    """
    try:
        return Holding.model_validate(values)
    except ValidationError as fault:
        raise DocumentError(faults_of(fault, Holding)) from fault


def drawn_lengths(work: Workpiece, reach: float, first: Literal["thin", "thick"] = "thin") -> tuple[float, ...]:
    """How far each section is drawn out for a reach [m], as `Holding.drawn_mm` is given."""
    return tuple(to(float(drawn), "mm") for drawn in drawn_to(work.pole, reach, first))
