"""Where to spend: what one more axial turn in each section takes off the droop, for its cost and its mass."""

from dataclasses import dataclass, replace

import numpy as np

from polewright.answers.trestles import bench_state, headline_head
from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.pole.beam import bent
from polewright.pole.nest import fit
from polewright.pole.pole import Pole
from polewright.pole.section import Section, tube_of
from polewright.shop.flag import Flag
from polewright.units import si
from polewright.wall.stack import Stack, StackPly

__all__ = ["Spending", "spendings"]


@dataclass(frozen=True, slots=True)
class Spending:
    """One more turn of a section's main axial ply; section is its number from the tip.

    droop_saved [m], negative where it adds droop; cost [currency]; mass [kg]; per_cost [m per currency] and per_mass
    [m/kg] droop saved for them, 0 where there are none; clearance_left [m] of the fit with the next section, None for
    the last.
    """

    section: int
    prepreg: str
    droop_saved: float
    cost: float
    mass: float
    still_fits: bool
    clearance_left: float | None

    @property
    def per_cost(self) -> float:
        """[m per currency] droop saved for the money."""
        return self.droop_saved / self.cost if self.cost > 0.0 else 0.0

    @property
    def per_mass(self) -> float:
        """[m/kg] droop saved for the mass."""
        return self.droop_saved / self.mass if self.mass > 0.0 else 0.0


def spendings(design: Design, work: Workpiece) -> tuple[Spending, ...]:
    """One row a section that has an axial ply, best droop saved per money first."""
    state = bench_state(design, work.pole, len(work.pole.joints), head=headline_head(design))
    now = bent(work.pole, state).tip_droop
    rows = []
    for i, section in enumerate(work.sections):
        at = _main_axial(section.stack)
        if at is not None:
            thicker = _one_more(section, at)
            pole = _with_tube(work.pole, i, thicker)
            rows.append(_row(design, work, i, thicker, saved=now - bent(pole, state).tip_droop, at=at))
    return tuple(sorted(rows, key=lambda r: -r.per_cost))


def _main_axial(stack: Stack) -> int | None:
    """Place of the ply with the most fibre along the tube, if any."""
    along = [w.thickness * np.cos(w.angle) ** 4 if not w.ply.is_woven else 0.0 for w in stack.plies]
    best = int(np.argmax(along))
    return best if along[best] > 0.0 and stack.plies[best].angle_class == "axial" else None


def _one_more(section: Section, at: int) -> Section:
    plies = list(section.stack.plies)
    plies[at] = StackPly(plies[at].ply, plies[at].angle, plies[at].turns + 1.0)
    return replace(section, stack=Stack(tuple(plies)))


def _with_tube(pole: Pole, i: int, section: Section) -> Pole:
    tubes = list(pole.tubes)
    tubes[i] = tube_of(section)
    return replace(pole, tubes=tuple(tubes))


def _row(design: Design, work: Workpiece, i: int, thicker: Section, *, saved: float, at: int) -> Spending:
    stack_ply = work.sections[i].stack.plies[at]
    outside = float(thicker.outsides(np.array([0.0]))[0])
    flag = Flag(
        outside,
        outside,
        stack_ply.ply.thickness,
        1.0,
        stack_ply.angle,
        thicker.length + si("trim_mm", design.setting.trim_mm),
    )
    cost = flag.area * stack_ply.ply.price / design.setting.utilisation
    mass = tube_of(thicker).mass - work.pole.tubes[i].mass
    left = None
    if i < len(work.sections) - 1:
        joint = design.joints[i]
        between = fit(
            thicker,
            work.sections[i + 1],
            overlap=si("overlap_mm", joint.overlap_mm),
            proud=si("proud_mm", joint.proud_mm),
            ridge=si("seam_ridge_mm", design.setting.seam_ridge_mm),
        )
        left = between.least
    return Spending(
        section=i + 1,
        prepreg=stack_ply.ply.name,
        droop_saved=saved,
        cost=cost,
        mass=mass,
        still_fits=left is None or left >= si("clearance_least_mm", design.setting.clearance_least_mm),
        clearance_left=left,
    )
