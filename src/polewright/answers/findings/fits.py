"""Whether every section slides in the next with room for grit."""

from collections.abc import Iterator

import numpy as np

from polewright.answers.findings.finding import Finding, Subjects, verdict
from polewright.answers.joints import JointAnswer
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.units import si

__all__ = ["fit_findings"]

SAME = 1e-12  # [m] of clearance lost in rounding
MOVE = 0.5  # [m] by which a section is moved on its mandrel at most


def fit_findings(design: Design, work: Workpiece, joints: tuple[JointAnswer, ...]) -> Iterator[Finding]:
    """One finding a joint, tip first."""
    least = si("clearance_least_mm", design.setting.clearance_least_mm)
    for i, joint in enumerate(joints):
        holds = joint.clearance_least >= least - SAME
        yield Finding(
            code="fit",
            kind="fit",
            verdict=verdict(holds),
            subjects=Subjects(sections=joint.between, joints=(i + 1,)),
            where=f"joints[{i}]",
            value=joint.clearance_least,
            limit=least,
            quantity="length",
            details={
                "inner": joint.between[0],
                "outer": joint.between[1],
                "closed": joint.clearance_closed,
                "drawn": joint.clearance_drawn,
                "tightest": min(joint.clearance_closed, joint.clearance_at_overlap, joint.clearance_drawn),
                "ridge": joint.seam_ridge,
            },
            remedies=() if holds else tuple(_remedies(design, work, i)),
        )


def _remedies(design: Design, work: Workpiece, i: int) -> Iterator[Message]:
    """What to do about a tight fit, in the order worth trying."""
    inner = work.sections[i]
    move = min(inner.place, MOVE)
    if move > 0.0:
        ends = np.array([0.0, inner.length])
        gain = float(np.min(inner.bores(ends) - inner.moved(inner.place - move).bores(ends)))
        if gain > 0.0:
            yield Message("fit.remedy.move", section=i + 1, move=move, gain=gain)
    yield Message("fit.remedy.pair", section=i + 2)
    skin, sanding = inner.stack.plies[-1], si("sanding_mm", design.setting.sanding_mm)
    if sanding > 0.0:
        yield Message("fit.remedy.no_sanding", sanding=sanding, share=sanding / skin.thickness, ply=skin.thickness)
