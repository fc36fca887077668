"""How the flags of a design are cut, and the kit of every section."""

from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np

from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.values import Workpiece
from polewright.errors import DesignError
from polewright.shop.kit import CutRules, Kit, section_kit
from polewright.units import si

__all__ = ["cut_rules", "kits", "roll_fault_in_place"]


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
        ends = section.bores(np.array([0.0, section.length]))
        with roll_fault_in_place(design):
            made.append(
                section_kit(
                    section.stack, float(ends[0]), float(ends[1]), section.length, rules=rules, section=f"S{i + 1}"
                )
            )
    return tuple(made)


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
