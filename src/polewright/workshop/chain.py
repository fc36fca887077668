"""Sections put in and taken out of a pole.

A new one begins as its neighbour's wall, on the next mandrel of the rack that leaves the workshop's clearance.
Sections count from 0 at the tip, as in the paths of a document's fields.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, floor
from typing import Any, Literal

import numpy as np

from polewright.documents.design import Design, JointData, MandrelData
from polewright.documents.files import DocumentError, Fault
from polewright.documents.values import workpiece
from polewright.units import si, to
from polewright.workshop.kinds import design_of

__all__ = ["MOST_SECTIONS", "add_section", "remove_section"]

End = Literal["tip", "grip"]
MOST_SECTIONS = 12
FIRST_OVERLAP = 0.125     # of the section's length, where there is no joint yet to be like
CLOSE = 1e-9              # [m]


def add_section(design: Design, end: str, rack: Sequence[MandrelData] = ()) -> Design:
    """The design with one section more at the tip or at the grip.

    It has its neighbour's stack, length and coat, and the joint beside it but for a stiffness that nobody measured.
    It is rolled on the mandrel, of the pole's own and those of `rack`, that leaves the least clearance of all that
    leave what the workshop wants; one of `rack` that is used joins the design.

    Raises
    ------
    DocumentError : no such end, too many sections, or no mandrel leaves the clearance: the one that would is named.
    """
    if end not in ("tip", "grip"):
        raise DocumentError([Fault(("end", repr(end), "tip or grip"))])
    if len(design.sections) >= MOST_SECTIONS:
        raise DocumentError([Fault(("sections", f"{len(design.sections)} already", f"at most {MOST_SECTIONS}"))])
    at_grip, least = end == "grip", si("clearance_least_mm", design.setting.clearance_least_mm)
    own = {mandrel.id for mandrel in design.mandrels}
    found: list[tuple[float, Design]] = []
    for mandrel in (*design.mandrels, *(other for other in rack if other.id not in own)):
        made = _extended(design, mandrel, at_grip=at_grip)
        clearance = None if made is None else _clearance(made, at_grip=at_grip)
        if made is not None and clearance is not None and clearance >= least - CLOSE:
            found.append((clearance, made))
    if not found:
        raise DocumentError([Fault(("rack", "", _none_fits(design, at_grip=at_grip)))])
    return min(found, key=lambda each: each[0])[1]


def remove_section(design: Design, section: int) -> Design:
    """The design without one section and one joint; the others stay as they are, and so do measured figures.

    Between two that stay, the joint is the outer one's, its stiffness no longer measured. A wish for more sections
    drawn out than are left is a wish for all.

    Raises
    ------
    DocumentError : no such section, the last one, or its neighbours cannot slide in each other.
    """
    plain = design.plain()
    count = len(plain["sections"])
    if not 0 <= section < count:
        raise DocumentError([Fault((f"sections[{section}]", "", f"no such section; give 0 to {count - 1}"))])
    if count == 1:
        raise DocumentError([Fault(("sections", "", "a pole keeps at least one section"))])
    del plain["sections"][section]
    del plain["joints"][max(section - 1, 0)]
    if 0 < section < count - 1:
        plain["joints"][section - 1]["stiffness_from"] = "default"
    for wish in plain["brief"]["droop"]:
        wish["out"] = wish["out"] if wish["out"] < len(plain["joints"]) else 0
    return design_of(plain)


def _extended(design: Design, mandrel: MandrelData, *, at_grip: bool) -> Design | None:
    """The design with the neighbour's wall on this mandrel; None where the mandrel is too short for it."""
    plain = design.plain()
    near = plain["sections"][-1 if at_grip else 0]
    room = mandrel.profile[-1].at_mm - mandrel.profile[0].at_mm - near["length_mm"]
    if room < -CLOSE:
        return None
    new = {**near, "mandrel": mandrel.id, "place_mm": min(near["place_mm"], max(room, 0.0))}
    new.pop("bore_mm", None)
    joint = _joint_like(plain["joints"], near["length_mm"], at_grip=at_grip)
    place = (len(plain["sections"]), len(plain["joints"])) if at_grip else (0, 0)
    plain["sections"].insert(place[0], new)
    plain["joints"].insert(place[1], joint)
    if mandrel.id not in {each["id"] for each in plain["mandrels"]}:
        plain["mandrels"].append(mandrel.plain())
    return design_of(plain)


def _joint_like(joints: list[dict[str, Any]], length_mm: float, *, at_grip: bool) -> dict[str, Any]:
    if joints:
        return {**joints[-1 if at_grip else 0], "stiffness_from": "default"}
    return JointData(overlap_mm=round(FIRST_OVERLAP * length_mm)).plain()


def _clearance(design: Design, *, at_grip: bool) -> float | None:
    """[m] that the new section leaves at the tightest place; None where it does not go in at all."""
    try:
        return workpiece(design).fits[-1 if at_grip else 0].least
    except DocumentError:
        return None


def _none_fits(design: Design, *, at_grip: bool) -> str:
    """Which mandrel is wanted, where none of the rack will do."""
    near = workpiece(design).sections[-1 if at_grip else 0]
    ends = np.array([0.0, near.length])
    bar = near.mandrel.diameter_at(near.mandrel.station[0] + near.place + near.length - ends)
    cooled = float(np.mean(replace(near, bore=None).bores(ends) / bar))
    room = si("clearance_least_mm", design.setting.clearance_least_mm) + si("ridge_mm", design.setting.seam_ridge_mm)
    length = f"{to(near.length, 'mm'):.0f} mm"
    if at_grip:
        wanted = (float(near.outsides(ends).max()) + room) / cooled
        size = f"{ceil(to(wanted, 'mm') * 100.0) / 100.0:.2f} mm or a little more"
        return _wanted(f"round section {len(design.sections)}", size, length)
    wanted = (float(near.bores(ends).min()) - room - 2.0 * (near.stack.thickness + near.coat)) / cooled
    if wanted <= 0.0:
        return "section 1 is too narrow to hold such a wall; give it fewer turns or a wider mandrel first"
    size = f"{floor(to(wanted, 'mm') * 100.0) / 100.0:.2f} mm or a little less"
    return _wanted("inside section 1", size, length)


def _wanted(where: str, size: str, length: str) -> str:
    return f"no mandrel leaves room {where}; put one of {size}, {length} long or longer, on it"
