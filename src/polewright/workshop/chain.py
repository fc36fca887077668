"""Sections put in and taken out of a pole.

A new one begins as its neighbour's wall, on the next mandrel of the rack that leaves the workshop's clearance.
Sections count from 0 at the tip, as in the paths of a document's fields.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil, floor, inf, isfinite

import numpy as np

from polewright.codes import Message
from polewright.documents.design import Design, JointData, MandrelData
from polewright.documents.files import DocumentError
from polewright.documents.values import draft_workpiece
from polewright.units import from_, si, to
from polewright.workshop.kinds import design_of

__all__ = ["MOST_SECTIONS", "add_section", "remove_section"]

MOST_SECTIONS = 12
FIRST_OVERLAP = 0.125  # of the section's length, where there is no joint yet to be like
CLOSE = 1e-9  # [m]


def add_section(
    design: Design, end: str | None = None, rack: Sequence[MandrelData] = (), *, at: int | None = None
) -> Design:
    """The design with one section more: at the "tip" or "butt" by `end`, or so that it stands at place `at`.

    It has the stack, length and coat of the neighbour nearer the tip (at the tip, of the one there), and joints like
    the one beside it but for a stiffness that nobody measured. It is rolled on the mandrel, of the pole's own and those
    of `rack`, that leaves the least clearance of all that leave what the workshop wants on both its sides (of its two
    joints the looser counts); one of `rack` that is used joins the design.

    Raises
    ------
    DocumentError : no such place, too many sections, or no mandrel leaves the clearance: the ones that would are named,
        or how much farther apart the neighbours must be.
    """
    count, place = len(design.sections), _place(design, end, at)
    if count >= MOST_SECTIONS:
        raise DocumentError.at(
            "sections", Message("given.already", count=count), Message("want.at_most_count", limit=MOST_SECTIONS)
        )
    least = si("clearance_least_mm", design.setting.clearance_least_mm)
    own = {mandrel.id for mandrel in design.mandrels}
    found: list[tuple[float, Design]] = []
    for mandrel in (*design.mandrels, *(other for other in rack if other.id not in own)):
        made = _extended(design, mandrel, place)
        clearances = () if made is None else _clearances(made, place)
        if made is not None and clearances and min(clearances) >= least - CLOSE:
            found.append((max(clearances), made))
    if not found:
        raise DocumentError.at("rack", "", _none_fits(design, place))
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
        raise DocumentError.at(f"sections[{section}]", "", Message("want.no_such_section_give", most=count - 1))
    if count == 1:
        raise DocumentError.at("sections", "", Message("want.one_section_left"))
    del plain["sections"][section]
    del plain["joints"][max(section - 1, 0)]
    if 0 < section < count - 1:
        plain["joints"][section - 1]["stiffness_from"] = "default"
    for wish in plain["brief"]["droop"]:
        wish["out"] = wish["out"] if wish["out"] < len(plain["joints"]) else 0
    return design_of(plain)


def _place(design: Design, end: str | None, at: int | None) -> int:
    """The place that is meant, 0 at the tip to the number of sections at the butt ("grip" is its older name)."""
    count = len(design.sections)
    if at is None and end in ("tip", "butt", "grip"):
        return 0 if end == "tip" else count
    if at is None:
        want = Message("want.end_or_place", count=count)
        raise DocumentError.at("end", "" if end is None else repr(end), want)
    if end is not None or not 0 <= at <= count:
        raise DocumentError.at("at", str(at), Message("want.place_of_section", count=count))
    return at


def _extended(design: Design, mandrel: MandrelData, place: int) -> Design | None:
    """The design with the neighbour's wall on this mandrel; None where the mandrel is too short for it."""
    plain = design.plain()
    near = plain["sections"][max(place - 1, 0)]
    room = mandrel.profile[-1].at_mm - mandrel.profile[0].at_mm - near["length_mm"]
    if room < -CLOSE:
        return None
    new = {**near, "mandrel": mandrel.id, "place_mm": min(near["place_mm"], max(room, 0.0))}
    new.pop("bore_mm", None)
    joints, beside = plain["joints"], max(min(place, len(plain["joints"])) - 1, 0)
    joint = (
        {**joints[beside], "stiffness_from": "default"}
        if joints
        else JointData(overlap_mm=round(FIRST_OVERLAP * near["length_mm"])).plain()
    )
    if 0 < place < len(plain["sections"]):
        joints[place - 1 : place] = [joint, dict(joint)]
    else:
        joints.insert(place, joint)
    plain["sections"].insert(place, new)
    if mandrel.id not in {each["id"] for each in plain["mandrels"]}:
        plain["mandrels"].append(mandrel.plain())
    return design_of(plain)


def _clearances(design: Design, place: int) -> tuple[float, ...]:
    """[m] that the new section leaves at the tightest place of each of its joints; none where it does not go in."""
    try:
        fits = draft_workpiece(design).fits
    except DocumentError:
        return ()
    own = [fits[i] for i in (place - 1, place) if 0 <= i < len(fits)]
    return tuple(fit.least for fit in own) if all(fit.goes_in for fit in own) else ()


def _none_fits(design: Design, place: int) -> Message:
    """Which mandrel is wanted, where none of the rack will do; or that the neighbours leave no room for any."""
    sections = draft_workpiece(design).sections
    model = sections[max(place - 1, 0)]
    ends = np.array([0.0, model.length])
    bar = model.mandrel.diameter_at(model.mandrel.station[0] + model.place + model.length - ends)
    cooled = float(np.mean(replace(model, bore=None).bores(ends) / bar))
    room = si("clearance_least_mm", design.setting.clearance_least_mm) + si("ridge_mm", design.setting.seam_ridge_mm)
    wall, least, most = 2.0 * (model.stack.thickness + model.coat), 0.0, inf
    if place > 0:
        least = (float(model.outsides(ends).max()) + room) / cooled
    if place < len(sections):
        outer = sections[place]
        most = (float(outer.bores(np.array([0.0, outer.length])).min()) - room - wall) / cooled
    if most <= 0.0:
        return Message("want.wider_section_1")
    return _named(place, least, most, model.length, len(sections))


def _named(place: int, least: float, most: float, length: float, count: int) -> Message:
    """The mandrel wanted, from `least` to `most` [m] thick, in steps of a hundredth of a millimetre."""
    low, high = _step(ceil, least), _step(floor, most) if isfinite(most) else inf
    if place == count:
        return Message("want.mandrel_round_last", section=count, least=low, length=length)
    if place == 0:
        return Message("want.mandrel_inside_first", most=high, length=length)
    if high == low:
        return Message("want.mandrel_of_size", tip=place, butt=place + 1, size=low, length=length)
    if high > low:
        return Message("want.mandrel_between", tip=place, butt=place + 1, least=low, most=high, length=length)
    wider = (
        Message("part.section", number=count)
        if place + 1 == count
        else Message("part.sections", first=place + 1, last=count)
    )
    return Message("want.wider_mandrels", tip=place, butt=place + 1, wider=wider, by=_step(ceil, least - most))


def _step(rounded: Callable[[float], int], size: float) -> float:
    """A size [m] up or down to a hundredth of a millimetre [m]."""
    return from_(rounded(to(size, "mm") * 100.0) / 100.0, "mm")
