"""The joint between a section and the next: clearances, play and stiffness."""

from dataclasses import dataclass
from typing import Literal

from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.units import si

__all__ = ["JointAnswer", "joint_answers"]


@dataclass(frozen=True, slots=True)
class JointAnswer:
    """A joint between two sections, numbered from the tip.

    overlap [m]; clearances on diameter [m]: pushed in, least over the overlap when drawn out, at the very end of
    travel, and the least of them less the seam ridge [m]; play [rad] to one side at full overlap; stiffness [N m/rad];
    pivot [-] share of the overlap in from the outer mouth.
    """

    between: tuple[int, int]
    overlap: float
    clearance_closed: float
    clearance_at_overlap: float
    clearance_drawn: float
    clearance_least: float
    seam_ridge: float
    play: float
    stiffness: float
    stiffness_from: Literal["default", "measured"]
    pivot: float


def joint_answers(design: Design, work: Workpiece) -> tuple[JointAnswer, ...]:
    """Every joint, tip first."""
    return tuple(
        JointAnswer(
            between=(i + 1, i + 2),
            overlap=si("overlap_mm", data.overlap_mm),
            clearance_closed=fit.closed,
            clearance_at_overlap=fit.at_overlap,
            clearance_drawn=fit.drawn,
            clearance_least=fit.least,
            seam_ridge=fit.ridge,
            play=joint.free_tilt(joint.overlap),
            stiffness=joint.stiffness,
            stiffness_from=data.stiffness_from,
            pivot=joint.pivot,
        )
        for i, (data, fit, joint) in enumerate(zip(design.joints, work.fits, work.pole.joints, strict=True))
    )
