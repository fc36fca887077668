"""The moment that breaks a pole in the field: lifted flat off the ground, drawn out, hose full, with a jerk."""

from dataclasses import replace
from math import inf

import numpy as np

from polewright.answers.findings.finding import Finding, Subjects, verdict
from polewright.answers.sections import SectionAnswer
from polewright.answers.trestles import headline_head, headline_load
from polewright.codes import Message
from polewright.conventions.jerk import JERK
from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.pole.beam import bent
from polewright.pole.margins import Limits, margins
from polewright.pole.state import Lifted, State
from polewright.units import si

__all__ = ["lifted_finding"]

FULL_HOSE = 0.055  # [kg/m] hose and water, typical of the trade
NEARLY_NONE = 1e-6  # [N m] where cure stress alone breaks the fibre


def lifted_finding(design: Design, work: Workpiece, sections: tuple[SectionAnswer, ...]) -> Finding:
    """The nearest section to its limit when the pole is lifted flat, with a jerk; value and limit [N m].

    Raises
    ------
    NotConverged : the bent pole could not be found.
    """
    pole = work.pole
    front = min(si("prop_mm", design.setting.prop_mm), 0.5 * pole.extended_length)
    state = State.out(pole, support=Lifted(front=front), head_mass=headline_head(design), hose=FULL_HOSE)
    worst = margins(bent(pole, state), _limits(sections), load_factor=JERK).weakest
    section, holds = worst.place.number, worst.factor >= 1.0
    remedies = () if holds else ("lifted.remedy.hoops", "lifted.remedy.axial", "lifted.remedy.tilt")
    return Finding(
        code="lifted",
        kind="rule",
        verdict=verdict(holds),
        subjects=Subjects(sections=(section,)),
        where=f"sections[{section - 1}]",
        value=worst.load,
        limit=worst.limit,
        quantity="moment",
        details={
            "load": headline_load(design),
            "hose": FULL_HOSE,
            "still": worst.load / JERK,
            "by": worst.place.limit,
            "strengths": sections[section - 1].bending.strength_from,
        },
        remedies=tuple(Message(code) for code in remedies),
    )


def _limits(sections: tuple[SectionAnswer, ...]) -> Limits:
    """What each section bears in bending; fibre or resin, whichever fails first."""
    known = [
        min((m for m in (s.bending.fibre_failure, s.bending.resin_failure) if m is not None), default=inf)
        for s in sections
    ]
    return replace(
        Limits.none(len(sections)),
        strength=np.maximum(known, NEARLY_NONE),
        flattening=np.array([s.bending.flattening for s in sections]),
        wrinkling=np.array([s.bending.wrinkling for s in sections]),
    )
