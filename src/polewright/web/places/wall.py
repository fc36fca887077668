"""The wall place: one section's stack, what each ply earns, the section's figures and its checks."""

import re
from dataclasses import dataclass

import numpy as np

from polewright.documents.report import Finding, SectionFigures
from polewright.drawings.wall import wall_drawing
from polewright.units import System, display_unit, si, to
from polewright.wall.membrane import tube_stiffness
from polewright.wall.ring import ring_stiffness
from polewright.wall.stack import Stack, Wall
from polewright.web.say import Said, changed, say, spoken
from polewright.web.sight import Checked, Sight
from polewright.web.why import Why, why_section

__all__ = ["PlyRow", "SectionRow", "WallView", "section_findings", "wall_view"]


@dataclass(frozen=True, slots=True)
class PlyRow:
    """One ply in the table; shares [0 to 1] that the wall would lose without it."""

    place: int
    prepreg: str
    angle: str
    turns: str
    thickness: str
    note: str
    along: float
    around: float
    mass: float
    first: bool
    last: bool


@dataclass(frozen=True, slots=True)
class SectionRow:
    """One figure of the section with its change and its why."""

    key: str
    name: str
    said: Said
    why: Why


@dataclass(frozen=True, slots=True)
class WallView:
    """All that the wall place shows."""

    number: int
    sections: int
    where: str
    plies: tuple[PlyRow, ...]
    prepregs: tuple[tuple[str, str], ...]
    cut: str
    rows: tuple[SectionRow, ...]
    findings: tuple[Finding, ...]
    length_unit: str
    shape: str


def wall_view(sight: Sight) -> WallView:
    """The wall place of the section in sight."""
    number, now = sight.section, sight.now
    data, section, figures = (
        now.design.sections[number - 1],
        now.work.sections[number - 1],
        now.report.sections[number - 1],
    )
    bore = say(si("x_mm", figures.bore_butt_mm), "length", sight.system, 2, 3)
    plies = _plies(now, number, sight.system)
    return WallView(
        number=number,
        sections=len(now.design.sections),
        where=f"section {number} of {len(now.design.sections)}, bore {bore}, mandrel {figures.mandrel}",
        plies=plies,
        prepregs=tuple((m.id, m.description) for m in now.design.materials),
        cut=wall_drawing(section.stack, sight.reader, width=150.0, stripe=149.0),
        rows=_rows(sight),
        length_unit=display_unit("length", sight.system),
        findings=section_findings(now, number),
        shape=f"{number}:{len(data.stack)}:" + ",".join(m.id for m in now.design.materials),
    )


def section_findings(checked: Checked, number: int) -> tuple[Finding, ...]:
    """Checks that speak of this section; those to look at first."""
    own = [f for f in checked.report.findings if f.kind != "brief" and number in _sections_of(f)]
    return tuple(sorted(own, key=lambda f: f.verdict != "look"))


def _sections_of(finding: Finding) -> set[int]:
    found = re.match(r"joints\[(\d+)\]", finding.where)
    if found and (finding.kind == "fit" or finding.verdict == "look"):
        return {int(found.group(1)) + 1, int(found.group(1)) + 2}
    named = re.match(r"sections? (\d+(?:, \d+)*)", finding.says)
    return {int(n) for n in named.group(1).split(", ")} if named else set()


def _plies(checked: Checked, number: int, system: System) -> tuple[PlyRow, ...]:
    data, section = checked.design.sections[number - 1], checked.work.sections[number - 1]
    bore = section.bores(np.array([0.0]))
    earned = _earned(section.stack, bore)
    last = len(data.stack) - 1
    unit, digits = display_unit("length", system), (2 if system == "metric" else 4)
    return tuple(
        PlyRow(
            place=i,
            prepreg=wrap.prepreg,
            angle=f"{wrap.angle_deg:g}",
            turns=f"{wrap.turns:g}",
            thickness=spoken(to(section.stack.wraps[i].thickness, unit), digits),
            note=wrap.note,
            along=earned[i][0],
            around=earned[i][1],
            mass=earned[i][2],
            first=i == 0,
            last=i == last,
        )
        for i, wrap in enumerate(data.stack)
    )


def _earned(stack: Stack, bore: np.ndarray) -> list[tuple[float, float, float]]:
    """Share of stiffness along, of ring stiffness and of mass that goes when a ply is left out, bore kept."""
    whole = _measures(stack.wall(bore))
    if len(stack.wraps) == 1:
        return [(1.0, 1.0, 1.0)]
    shares = []
    for i in range(len(stack.wraps)):
        without = _measures(Stack(stack.wraps[:i] + stack.wraps[i + 1 :]).wall(bore))
        along, around, mass = (max(0.0, min(1.0, 1.0 - b / a)) for a, b in zip(whole, without, strict=True))
        shares.append((along, around, mass))
    return shares


def _measures(wall: Wall) -> tuple[float, float, float]:
    return (
        float(tube_stiffness(wall).bending[0]),
        float(ring_stiffness(wall).between_plates[0]),
        float(wall.mass_per_length[0]),
    )


def _rows(sight: Sight) -> tuple[SectionRow, ...]:
    now = sight.report.sections[sight.section - 1]
    was = sight.was(sight.section)
    old = None if sight.saved is None or was is None else sight.saved.report.sections[was - 1]
    rows: list[SectionRow | None] = [
        _row(sight, key, name, field, quantity, digits, now, old, unit)
        for key, name, field, quantity, digits, unit in _FIGURES
    ]
    rows.insert(6, _clear(sight))
    rows.append(_window(sight, now, old))
    rows.append(_cost(sight, now, old))
    return tuple(row for row in rows if row is not None)


_FIGURES = (
    ("along", "Stiffness along", "bending_EI_N_m2", "bending", (0, 0), None),
    ("twist", "Stiffness in twist", "twist_GJ_N_m2", "bending", (1, 1), None),
    ("ring", "Ring, 20 mm wide", "ring_20mm_N_mm", "stiffness", (0, 0), None),
    ("wall", "Wall", "wall_mm", "length", (3, 4), None),
    ("wall", "Outside", "outside_butt_mm", "length", (2, 3), None),
    ("mass", "Mass of the tube", "mass_g", "mass", (0, 2), None),
    ("release", "Lets go of the mandrel", "release_gap_mm", "length", (3, 4), None),
)


def _row(
    sight: Sight,
    key: str,
    name: str,
    field: str,
    quantity: str,
    digits: tuple[int, int],
    now: SectionFigures,
    old: SectionFigures | None,
    unit: str | None,
) -> SectionRow:
    before = None if old is None else _si(field, getattr(old, field))
    value = getattr(now, field)
    if key == "release" and value < 0.0:
        name = "Grips the mandrel by"
        value, before = -value, None
    said = say(_si(field, value), quantity, sight.system, *digits, before=before, unit=unit)
    return SectionRow(key, name, said, why_section(sight.now, sight.section, key))


def _si(field: str, value: float) -> float:
    """Stiffnesses of the report are written in SI but for the ring's; the others by their ending."""
    if field.endswith("_N_m2"):
        return float(value)
    return si("x_N_per_mm" if field.endswith("_N_mm") else field, value)


def _clear(sight: Sight) -> SectionRow | None:
    """Clearance in the next section at the end of its travel."""
    if sight.section > len(sight.report.joints):
        return None
    place = sight.section - 1
    was, before = sight.was(sight.section), None
    if sight.saved is not None and was is not None and sight.was(sight.section + 1) == was + 1:
        before = si("x_mm", sight.saved.report.joints[was - 1].clearance_drawn_mm)
    said = say(si("x_mm", sight.report.joints[place].clearance_drawn_mm), "length", sight.system, 2, 4, before=before)
    return SectionRow(
        "clear",
        f"Clear in section {sight.section + 1}, drawn out",
        said,
        why_section(sight.now, sight.section, "clear"),
    )


def _window(sight: Sight, now: SectionFigures, old: SectionFigures | None) -> SectionRow | None:
    if now.window is None:
        return None
    unit = display_unit("force", sight.system)
    least, most = (to(si("x_N", v), unit) for v in (now.window.least_N, now.window.most_N))
    before = None if old is None or old.window is None else si("x_N", old.window.most_N)
    change = say(si("x_N", now.window.most_N), "force", sight.system, 0, before=before).change
    shown = f"{least:.0f}\u2013{most:.0f}" if now.window.is_open else f"none: {least:.0f} to hold, {most:.0f} crushes"
    return SectionRow(
        "window", "Clamp window", Said(shown, unit, change), why_section(sight.now, sight.section, "window")
    )


def _cost(sight: Sight, now: SectionFigures, old: SectionFigures | None) -> SectionRow:
    change = changed(now.material_cost, None if old is None else old.material_cost, 2)
    return SectionRow(
        "cost",
        "Material",
        Said(spoken(now.material_cost, 2), sight.report.pole.currency, change),
        why_section(sight.now, sight.section, "cost"),
    )
