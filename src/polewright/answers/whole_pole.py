"""The pole as a whole: totals, and the headline droop."""

from dataclasses import dataclass

import numpy as np

from polewright.answers.reaches import heft_on_trestles
from polewright.answers.sections import SectionAnswer
from polewright.answers.trestles import bent_on_bench, headline_head, headline_load
from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.pole.beam import bent_small
from polewright.units import si

__all__ = ["NO_HOLD", "PoleAnswer", "pole_answer"]

NO_HOLD = 1e-9  # [N] a clamp that needs less tension holds nothing


@dataclass(frozen=True, slots=True)
class PoleAnswer:
    """Totals of a pole, SI; droop [m] all out and level with `droop_load` [kg] at the tip, fitting and all.

    mass [kg] ready to work, tubes [kg] alone; carry [kg m]; material_cost in the design's currency; squeeze_margin [-]
    is the least of most over least tension of all clamps, None without one.
    """

    extended: float
    closed: float
    mass: float
    tubes: float
    balance: float
    carry: float
    base_outside: float
    material_cost: float
    currency: str
    droop: float
    droop_small: float
    droop_load: float
    squeeze_margin: float | None
    conducts: bool


def pole_answer(design: Design, work: Workpiece, sections: tuple[SectionAnswer, ...]) -> PoleAnswer:
    """Totals, and the headline droop: all sections out, level, with the load of the brief's first wish."""
    pole, out = work.pole, len(work.pole.joints)
    headline = bent_on_bench(design, pole, out, head=headline_head(design))
    held = heft_on_trestles(pole, si("prop_mm", design.setting.prop_mm), out)
    windows = [s.window for s in sections if s.window is not None]
    return PoleAnswer(
        extended=pole.extended_length,
        closed=pole.closed_length,
        mass=pole.mass,
        tubes=sum(t.mass for t in pole.tubes),
        balance=held.balance,
        carry=held.carry_moment,
        base_outside=float(np.max(pole.tubes[-1].outside)),
        material_cost=sum(s.material_cost for s in sections),
        currency=design.setting.currency,
        droop=headline.tip_droop,
        droop_small=bent_small(pole, headline.state).tip_droop,
        droop_load=headline_load(design),
        squeeze_margin=min((w.most / w.least for w in windows if w.least > NO_HOLD), default=None),
        conducts=any(work.records[w.prepreg].ply.is_conductive for s in design.sections for w in s.stack),
    )
