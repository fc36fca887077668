"""The wishes of a brief with one number each, as one table: field, quantity, least or most, the figure it is about."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from polewright.answers.joints import JointAnswer
from polewright.answers.reaches import ReachAnswer
from polewright.answers.sections import SectionAnswer
from polewright.answers.whole_pole import PoleAnswer
from polewright.documents.brief import Brief
from polewright.documents.design import Design
from polewright.search import FoundPole, PoleFigure, Reference, SumRow
from polewright.units import si

__all__ = ["WISHES", "Figures", "Wish", "wish_limit"]


@dataclass(frozen=True, slots=True)
class Figures:
    """The computed figures of a pole that wishes and rules are held against."""

    sections: tuple[SectionAnswer, ...]
    joints: tuple[JointAnswer, ...]
    reaches: tuple[ReachAnswer, ...]
    pole: PoleAnswer


@dataclass(frozen=True, slots=True)
class Wish:
    """One wish of the brief.

    field: of the brief document; quantity: of the table of units, or "money"; is_least: at least, else at most;
    figure: reads the SI figure of a pole; section: reads the number of the section that it is about, if one;
    remedies: codes of what to change, in the order worth trying; digits: decimals of its figure in the metric system
    where a search names it; search: what a search must know of it, for those that it knows by this table alone;
    term: code of the term that explains its field.
    """

    code: str
    field: str
    quantity: str
    figure: Callable[[Figures], float]
    remedies: tuple[str, ...]
    is_least: bool = False
    section: Callable[[Figures], int] | None = None
    digits: int = 0
    search: PoleFigure | None = None
    term: str = ""

    def limit(self, brief: Brief) -> float | None:
        """The wished limit in SI; None where the brief has no such wish."""
        value: float | None = getattr(brief, self.field)
        return None if value is None else si(self.field, value)


def _weakest_in_twist(figures: Figures) -> SectionAnswer:
    return min(figures.sections, key=lambda s: s.twist_GJ)


def _balance(pole: FoundPole) -> float:
    return pole.carry / pole.mass


def _balance_rows(reference: Reference, limit: float) -> tuple[SumRow, ...]:
    """What lies beyond the limit turns about it no more than the heaviest walls behind it turn back; and, where the
    mass is limited, all moments about the butt are at most that mass times the limit.

    A heavier wall near the butt draws the balance back, so the sum takes the heaviest that fits there: it holds for
    every wall, not for the lightest alone.

    Source
    ------
    Moments about the point: sum of m (x - limit) <= 0.
    """
    brief, build, spans, heaviest = reference.brief, reference.build, reference.spans, reference.room.heaviest
    centre, none = spans.butt + spans.length / 2.0, np.zeros(spans.butt.size)
    place = spans.mouth
    lump = np.array([build.fitting, *[build.clamp] * (place.size - 1)])
    turns, lumps = (centre - limit) * spans.length, float(lump @ (place - limit))
    back = float(np.maximum(-turns, 0.0) @ heaviest) - lumps
    rows = [SumRow(np.maximum(turns, 0.0), none, 0.0, back)]
    if np.isfinite(brief.mass_at_most):
        rows.append(SumRow(centre * spans.length, none, float(lump @ place), limit * brief.mass_at_most))
    return tuple(rows)


def _tip_play(pole: FoundPole) -> float:
    """[m] free tilt of every joint times its arm to the tip, less inside the prop, where the pole turns about it."""
    build, joints = pole.shop.build, len(pole.bars) - 1
    mouth = pole.length + np.arange(joints)[::-1] * (pole.length - build.overlap)
    at, tip = mouth - build.pivot * build.overlap, pole.length + joints * (pole.length - build.overlap)
    arm = (tip - np.maximum(at, build.prop)) * np.minimum(at / max(build.prop, 1e-9), 1.0)
    gap = np.array([pole.shop.bars[b].bore for b in pole.bars[1:]]) - pole.outside[:-1]
    return float(build.tilt(gap) @ arm)


def _tip_play_rows(reference: Reference, limit: float) -> tuple[SumRow, ...]:
    """The play itself is a sum over the joints."""
    lever = reference.spans.lever
    return (SumRow(np.zeros(lever.size), lever, 0.0, limit),)


WISHES: tuple[Wish, ...] = (
    Wish(
        "wish.reach",
        "reach_at_least_mm",
        "length",
        lambda f: f.pole.extended,
        ("wish.remedy.reach",),
        is_least=True,
        term="reach",
    ),
    Wish(
        "wish.closed",
        "closed_at_most_mm",
        "length",
        lambda f: f.pole.closed,
        ("wish.remedy.closed",),
        term="closed_length",
    ),
    Wish("wish.mass", "mass_at_most_g", "mass", lambda f: f.pole.mass, ("wish.remedy.mass",)),
    Wish(
        "wish.carry", "carry_at_most_kg_m", "carry", lambda f: f.pole.carry, ("wish.remedy.carry",), term="carry_moment"
    ),
    Wish(
        "wish.balance",
        "balance_at_most_mm",
        "length",
        lambda f: f.pole.balance,
        ("wish.remedy.balance",),
        search=PoleFigure("balance", _balance, _balance_rows, "carry"),
        term="balance",
    ),
    Wish(
        "wish.base_outside",
        "base_outside_at_most_mm",
        "length",
        lambda f: f.pole.base_outside,
        ("wish.remedy.base_outside",),
        term="butt",
    ),
    Wish(
        "wish.material_cost",
        "material_cost_at_most",
        "money",
        lambda f: f.pole.material_cost,
        ("wish.remedy.material_cost",),
    ),
    Wish(
        "wish.twist",
        "twist_at_least_N_m2",
        "bending",
        lambda f: _weakest_in_twist(f).twist_GJ,
        ("wish.remedy.twist",),
        is_least=True,
        section=lambda f: _weakest_in_twist(f).number,
        term="twist_stiffness",
    ),
    Wish(
        "wish.tip_play",
        "tip_play_at_most_mm",
        "length",
        lambda f: f.reaches[-1].play,
        ("wish.remedy.tip_play",),
        digits=1,
        search=PoleFigure("tip_play", _tip_play, _tip_play_rows, "droop"),
        term="play",
    ),
    Wish(
        "wish.swing",
        "swing_at_least_Hz",
        "frequency",
        lambda f: f.reaches[-1].swing,
        ("wish.remedy.swing",),
        is_least=True,
        term="swing",
    ),
)
"""All wishes with one number; wishes on droop and flex stand in a list of their own in a brief."""


def wish_limit(design: Design, code: str) -> float | None:
    """The limit in SI that the brief sets on a figure of the whole pole; None where it sets none.

    Parameters
    ----------
    code : of the table, or "wish.droop" for the first limit on droop with all sections out.
    """
    if code == "wish.droop":
        outs = (0, len(design.joints))
        wished = [w.at_most_mm for w in design.brief.droop if w.out in outs and w.at_most_mm is not None]
        return si("at_most_mm", wished[0]) if wished else None
    return next(wish.limit(design.brief) for wish in WISHES if wish.code == code)
