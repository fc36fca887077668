"""How the flags of a design are cut, and the kit of every section."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

import numpy as np

from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.values import Workpiece
from polewright.errors import DesignError
from polewright.shop.kit import CutRules, Kit, section_kit
from polewright.units import si

__all__ = ["clamp_zones", "cut_rules", "kits", "roll_fault_in_place"]


def cut_rules(design: Design) -> CutRules:
    """How this design's flags are cut."""
    widths = {m.id: si("roll_width_mm", m.roll_width_mm) for m in design.materials}
    return CutRules(
        overlap=si("seam_overlap_mm", design.setting.seam_overlap_mm),
        trim=si("trim_mm", design.setting.trim_mm),
        roll_widths=widths,
    )


def kits(design: Design, work: Workpiece) -> tuple[Kit, ...]:
    """The kit of every section, tip first.

    Raises
    ------
    DocumentError : a roll is too narrow for its flags.
    """
    rules = cut_rules(design)
    made = []
    for i, section in enumerate(work.sections):
        butt, tip = section.bores(np.array([0.0, section.length])).tolist()
        own = replace(rules, zones=clamp_zones(design, i))
        with roll_fault_in_place(design):
            made.append(section_kit(section.stack, butt, tip, section.length, rules=own, section=f"S{i + 1}"))
    return tuple(made)


def clamp_zones(design: Design, i: int) -> tuple[tuple[float, float], ...]:
    """(from, to) [m] from the butt of section i, 0 at the tip, where a clamp presses with all sections drawn out.

    A clamp sits at the mouth of the outer tube. It presses on that tube's last clamp width, and through it and beyond
    it on the tube inside: one clamp width to either side of the mouth, which stands an overlap from that tube's butt.
    """
    zones = []
    if i > 0:
        width, length = (
            si("clamp_width_mm", design.joints[i - 1].clamp_width_mm),
            si("length_mm", design.sections[i].length_mm),
        )
        zones.append((length - width, length))
    if i < len(design.joints):
        joint = design.joints[i]
        mouth, width = si("overlap_mm", joint.overlap_mm), si("clamp_width_mm", joint.clamp_width_mm)
        zones.append((mouth - width, mouth + width))
    return tuple(zones)


@contextmanager
def roll_fault_in_place(design: Design) -> Iterator[None]:
    """Names the place in the document of a roll that is too narrow for its flags."""
    try:
        yield
    except DesignError as fault:
        for i, material in enumerate(design.materials):
            if fault.field == f"{material.id}.roll_width":
                field = f"materials[{i}].roll_width_mm"
                raise DocumentError([Fault((field, f"{material.roll_width_mm:g}", fault.want))]) from fault
        raise
