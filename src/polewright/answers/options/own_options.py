"""A pole design as a brief document: its own shelf, rack, plies and ways are the options."""

from collections.abc import Sequence
from math import ceil

from polewright.answers.sections import section_answers
from polewright.conventions.angles import is_hoop
from polewright.documents.brief_file import BriefDocument, RolledPly, Rolls, Sliding
from polewright.documents.design import Design, JointData, SectionData
from polewright.documents.material import Material
from polewright.documents.shelf import ply_record
from polewright.documents.values import Workpiece, draft_workpiece
from polewright.units import si, to

__all__ = ["brief_of"]


def brief_of(design: Design) -> BriefDocument:
    """The brief of a pole, with its own shelf, rack, plies and ways as the options.

    Plies are listed in the order of its walls; prepregs that no wall uses join them along the tube. The clearance
    window spans those of its own joints that go in. The clamps' hold is asked for where its own walls leave every clamp
    a tension: the best pole must not be one that its clamps crush.
    """
    work = draft_workpiece(design)
    joint = design.joints[0] if design.joints else JointData(overlap_mm=200.0)
    slides = [f for f in work.fits if f.goes_in]
    gaps = [to(f.at_overlap, "mm") for f in slides] or [0.4]
    tightest = min([*gaps, *(to(f.drawn, "mm") for f in slides)])
    lengths = [s.length_mm for s in design.sections]
    n = len(lengths)
    length = (to(work.pole.extended_length, "mm") + (n - 1) * joint.overlap_mm) / n
    floor = design.setting.clearance_least_mm + design.setting.seam_ridge_mm
    slide = Sliding(
        clearance_least_mm=max(tightest - 0.05, min(floor, tightest), 0.0),
        clearance_most_mm=max(gaps) + 0.05,
        place_mm=min(s.place_mm for s in design.sections),
    )
    return BriefDocument(
        name=design.name,
        maker=design.maker,
        note=design.note,
        sections=(n,),
        section_length_mm=length,
        tip_fitting_g=design.tip_fitting_g,
        setting=design.setting,
        sliding=slide,
        brief=design.brief.model_copy(
            update={"reach_at_least_mm": to(work.pole.extended_length, "mm"), "clamp_hold_N": _hold_of(design, work)}
        ),
        joint=joint,
        rolls=_rolls_of(design.sections, design.materials),
        materials=design.materials,
        mandrels=design.mandrels,
    )


def _hold_of(design: Design, work: Workpiece) -> float | None:
    """[N] what every clamp must hold: as its brief says, else as its full check has it if its own clamps all can."""
    if design.brief.clamp_hold_N is not None or not design.joints:
        return design.brief.clamp_hold_N
    can = all(s.window.is_open for s in section_answers(design, work) if s.window is not None)
    return design.setting.clamp_hold_N if can else None


def _rolls_of(sections: Sequence[SectionData], materials: Sequence[Material]) -> Rolls:
    listed: list[tuple[str, float]] = []
    for section in sections:
        at = 0
        for ply in section.stack:
            key = (ply.prepreg, ply.angle_deg)
            if key in listed[at:]:
                at = listed.index(key, at) + 1
            else:
                listed.insert(at, key)
                at += 1
    used = {name for name, _ in listed}
    spare = [(m.id, 0.0) for m in materials if m.id not in used]
    last_axial = max((i for i, (_, angle) in enumerate(listed) if not is_hoop(si("angle_deg", angle))), default=0)
    listed[last_axial:last_axial] = spare
    turns = [sum(ceil(w.turns) for w in s.stack) for s in sections]
    around = [
        [bool(is_hoop(si("angle_deg", w.angle_deg))) or _is_woven(materials, w.prepreg) for w in s.stack]
        for s in sections
    ]
    return Rolls(
        plies=tuple(RolledPly(prepreg=name, angle_deg=angle) for name, angle in listed),
        most_plies=min(max(turns) + 2, 16),
        hoop_inside=all(a[0] for a in around),
        hoop_outside=all(a[-1] for a in around),
        woven_skin=all(_is_woven(materials, s.stack[-1].prepreg) for s in sections),
    )


def _is_woven(materials: Sequence[Material], name: str) -> bool:
    return next(ply_record(m).ply.is_woven for m in materials if m.id == name)
