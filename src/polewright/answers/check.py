"""Everything that is known of a design in one call."""

from dataclasses import dataclass

from polewright.answers.findings import (
    Finding,
    brief_findings,
    clamp_findings,
    fit_findings,
    lifted_finding,
    loose_findings,
    release_findings,
    rule_findings,
)
from polewright.answers.joints import JointAnswer, joint_answers
from polewright.answers.materials import MaterialAnswer, material_answers
from polewright.answers.reaches import ReachAnswer, reach_answers
from polewright.answers.sections import SectionAnswer, section_answers
from polewright.answers.whole_pole import PoleAnswer, pole_answer
from polewright.answers.wishes import Figures
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.values import Workpiece, draft_workpiece
from polewright.units import si

__all__ = ["Check", "check_design", "check_draft"]


@dataclass(frozen=True, slots=True)
class Check:
    """All figures and findings of a design; sections, joints and reaches from the tip, SI throughout.

    `misfits` are what a finished design would be refused for: walls, masses and lengths are known as ever, and every
    figure of the bent pole is as if those sections did go in, without play.
    """

    name: str
    maker: str
    design_hash: str
    assumptions: tuple[Message, ...]
    materials: tuple[MaterialAnswer, ...]
    sections: tuple[SectionAnswer, ...]
    joints: tuple[JointAnswer, ...]
    reaches: tuple[ReachAnswer, ...]
    pole: PoleAnswer
    findings: tuple[Finding, ...]
    cautions: tuple[Message, ...]
    misfits: tuple[Fault, ...] = ()

    def finding(self, code: str) -> Finding | None:
        """The first finding of a code; None where there is none."""
        return next((f for f in self.findings if f.code == code), None)


def check_design(design: Design) -> Check:
    """Every figure and every finding of a finished design.

    Raises
    ------
    DocumentError : the design cannot be built; each fault names field, value and remedy.
    NotConverged : a bent pole could not be found; no figure is given.
    """
    check = check_draft(design)
    if check.misfits:
        raise DocumentError(list(check.misfits))
    return check


def check_draft(design: Design) -> Check:
    """Every figure and every finding of a design under way, whose sections may not fit each other yet.

    Raises
    ------
    DocumentError : the design cannot be even so; each fault names field, value and remedy.
    NotConverged : a bent pole could not be found; no figure is given.
    """
    work = draft_workpiece(design)
    sections, joints = section_answers(design, work), joint_answers(design, work)
    figures = Figures(sections, joints, reach_answers(design, work), pole_answer(design, work, sections))
    return Check(
        name=design.name,
        maker=design.maker,
        design_hash=design.content_hash(),
        assumptions=_assumptions(design),
        materials=material_answers(design, work),
        sections=sections,
        joints=joints,
        reaches=figures.reaches,
        pole=figures.pole,
        findings=_findings(design, work, figures),
        cautions=_cautions(figures.pole.conducts),
        misfits=work.misfits,
    )


def _findings(design: Design, work: Workpiece, figures: Figures) -> tuple[Finding, ...]:
    """All checks, the brief first."""
    return (
        *brief_findings(design, work, figures),
        *fit_findings(design, work, figures.joints),
        *clamp_findings(figures.sections),
        *release_findings(figures.sections),
        lifted_finding(design, work, figures.sections),
        *rule_findings(design, work),
        *loose_findings(design, figures.joints),
    )


def _assumptions(design: Design) -> tuple[Message, ...]:
    s = design.setting
    defaults = sum(j.stiffness_from == "default" for j in design.joints)
    return (
        Message("assumption.walls"),
        Message("assumption.release"),
        Message("assumption.moments", criterion=s.criterion),
        _pivots(design),
        Message("assumption.test", prop=si("prop_mm", s.prop_mm)),
        Message("assumption.cure", free=si("stress_free_C", s.stress_free_C), room=si("room_C", s.room_C)),
        Message("assumption.cost", trim=si("trim_mm", s.trim_mm), share=s.utilisation),
        *((Message("assumption.joints", count=defaults),) if defaults else ()),
        *(Message("assumption.insisted", material=m.id) for m in design.materials if m.is_insisted),
    )


def _pivots(design: Design) -> Message:
    """Where the joints turn, and whose play was measured."""
    places = {j.pivot for j in design.joints} or {0.5}
    fixed = {0.0: "assumption.pivot.mouth", 0.5: "assumption.pivot.middle", 1.0: "assumption.pivot.butt"}
    if len(places) > 1:
        where = Message("assumption.pivot.own")
    elif (place := min(places)) in fixed:
        where = Message(fixed[place])
    else:
        where = Message("assumption.pivot.at", share=place)
    known = sum(1 for j in design.joints if j.play_mrad is not None)
    overlaps = design.setting.overlaps
    return (
        Message("assumption.pole_play", overlaps=overlaps, pivots=where, count=known)
        if known
        else Message("assumption.pole", overlaps=overlaps, pivots=where)
    )


def _cautions(conducts: bool) -> tuple[Message, ...]:
    names = ("overhead_lines", "not_an_insulating_stick") if conducts else ("not_an_insulating_stick",)
    return (
        *(
            Message("check.caution", title=Message(f"caution.{n}.title"), says=Message(f"caution.{n}.says"))
            for n in names
        ),
        Message("check.caution.proof"),
    )
