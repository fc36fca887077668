"""All figures of a design in one call; what every face shows."""

from polewright.documents.design import Design
from polewright.documents.findings import findings
from polewright.documents.pole_figures import pole_figures, reach_figures
from polewright.documents.report import CheckReport
from polewright.documents.section_figures import joint_figures, material_figures, section_figures
from polewright.documents.values import workpiece
from polewright.materials.library import library
from polewright.units.fields import to

__all__ = ["check"]


def check(design: Design) -> CheckReport:
    """Every figure and every finding of a design.

    Raises
    ------
    DocumentError : the design cannot be built; each fault names field, value and remedy.
    NotConverged : a bent pole could not be found; no figure is given.
    """
    work = workpiece(design)
    sections, joints = section_figures(design, work), joint_figures(design, work)
    reaches = reach_figures(design, work)
    pole = pole_figures(design, work, sections)
    found = findings(design, work, sections=sections, joints=joints, reaches=reaches, pole=pole)
    return CheckReport(
        name=design.name,
        maker=design.maker,
        design_hash=design.content_hash(),
        assumptions=_assumptions(design),
        materials=material_figures(design, work),
        sections=sections,
        joints=joints,
        reaches=reaches,
        pole=pole,
        findings=found,
        cautions=_cautions(pole.conducts),
    )


def _assumptions(design: Design) -> tuple[str, ...]:
    s = design.setting
    from_default = sum(1 for j in design.joints if j.stiffness_from == "default")
    said = [
        "walls: thin-wall lamination theory, every turn at its own radius, hoop free, twist free; exact tube beside it",
        "release gap: exact layered cylinder; the nest's bores: thin estimate, both are given",
        "moments a wall bears: fibre failure by design strengths where known, cure stress in; knock-downs in",
        f"pole: tubes in an overlap bend as one (the sum of their walls); each joint tilts {_pivots(design)}",
        f"test: level, held down at the butt, propped at {s.prop_mm:g} mm; droop is below the line of those two",
        f"cure: stress-free at {s.stress_free_C:g} °C, room at {s.room_C:g} °C",
        f"material cost: flags with {s.trim_mm:g} mm trim; {s.utilisation:.0%} of the roll used, seams in the rest",
    ]
    if from_default:
        said.append(f"stiffness of {from_default} joint(s): default, not measured here")
    return tuple(said)


def _pivots(design: Design) -> str:
    """Where the joints turn, and whose play was measured."""
    places = {j.pivot for j in design.joints}
    where = (
        "at a place of its own"
        if len(places) > 1
        else {0.0: "at the outer mouth", 1.0: "at the inner butt"}.get(
            min(places, default=0.5),
            "at the middle of its overlap"
            if places <= {0.5}
            else f"{to(min(places), '%'):g} % of its overlap in from the outer mouth",
        )
    )
    known = sum(1 for j in design.joints if j.play_mrad is not None)
    return where + (f"; play of {known} joint(s) as given, at any draw" if known else "")


def _cautions(conducts: bool) -> tuple[str, ...]:
    shelf = library()
    wanted = ["overhead_lines", "not_an_insulating_stick"] if conducts else ["not_an_insulating_stick"]
    said = [f"{shelf.hazard(w).title}: {shelf.hazard(w).caution}" for w in wanted]
    said.append(
        "Predicted strength and stiffness are no certification: prove every pole on the bench. "
        "Follow local codes and a licensed or competent person."
    )
    return tuple(said)
