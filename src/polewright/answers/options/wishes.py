"""The wishes of a brief document as the limits of a search."""

from dataclasses import dataclass
from math import inf, nextafter

from polewright.answers.options.bounds import at_most
from polewright.answers.wishes import WISHES
from polewright.documents.brief import DroopWish
from polewright.documents.brief_file import BriefDocument
from polewright.search import Brief, FigureLimit, FurtherDroop, FurtherFlex
from polewright.units import si

__all__ = ["WishPlaces", "limits_of", "wish_places"]

_LIGHTEST = 1e-9  # [kg] a tip that carries nothing: the pole still swings


@dataclass(frozen=True, slots=True)
class WishPlaces:
    """Places among the brief's droop wishes: the first droop and flex with all drawn out, and all others."""

    droop: int | None
    flex: int | None
    droops: tuple[int, ...]
    flexes: tuple[int, ...]


def wish_places(document: BriefDocument, sections: tuple[int, ...]) -> WishPlaces:
    """Which of a brief's droop wishes is which for the search."""
    asked = document.brief.droop
    limits = [i for i, w in enumerate(asked) if w.at_most_mm is not None]
    wanted = [i for i, w in enumerate(asked) if w.wanted_mm_per_100g is not None]
    whole = [i for i, w in enumerate(asked) if w.out == 0 or w.out >= max(sections) - 1]
    droop, flex = (next((i for i in some if i in whole), None) for some in (limits, wanted))
    return WishPlaces(droop, flex, tuple(i for i in limits if i != droop), tuple(i for i in wanted if i != flex))


def limits_of(document: BriefDocument, sections: tuple[int, ...], places: WishPlaces) -> Brief:
    """The limits of a search, SI."""
    wishes, reach = document.brief, document.brief.reach_at_least_mm
    assert reach is not None
    if document.section_length_mm is not None:
        n = sections[0]
        reach = n * document.section_length_mm - (n - 1) * document.joint.overlap_mm
    droop = None if places.droop is None else wishes.droop[places.droop]
    flex = None if places.flex is None else wishes.droop[places.flex]
    headline = droop or flex
    total = (
        document.tip_fitting_g + document.setting.test_load_g
        if headline is None
        else max(headline.tip_total_g, document.tip_fitting_g)
    )
    wanted = None if flex is None else si("flex_mm_per_100g", flex.wanted_mm_per_100g or 0.0)
    return Brief(
        reach=si("reach_mm", reach),
        sections=sections,
        tip_mass=si("tip_total_g", total),
        aim=document.aim or ("droop" if flex is None else "mass"),
        droop_at_most=inf if droop is None else at_most("at_most_mm", droop.at_most_mm),
        flex_wanted=wanted,
        flex_within=0.01 if flex is None else min(si("within_pct", flex.within_pct), 0.01),
        mass_at_most=at_most("mass_at_most_g", wishes.mass_at_most_g),
        carry_at_most=wishes.carry_at_most_kg_m or inf,
        cost_at_most=_bill(wishes.material_cost_at_most),
        closed_at_most=at_most("closed_at_most_mm", wishes.closed_at_most_mm),
        base_at_most=at_most("base_mm", wishes.base_outside_at_most_mm),
        droops=tuple(
            FurtherDroop(_tip(document, w), si("at_most_mm", w.at_most_mm or 0.0), w.out)
            for w in (wishes.droop[i] for i in places.droops)
        ),
        flexes=tuple(
            FurtherFlex(
                _tip(document, w),
                si("flex_mm_per_100g", w.wanted_mm_per_100g or 0.0),
                si("within_pct", w.within_pct),
                w.out,
            )
            for w in (wishes.droop[i] for i in places.flexes)
        ),
        swing_at_least=wishes.swing_at_least_Hz or 0.0,
        swing_mass=max(si("swing_g", document.tip_fitting_g + document.setting.swing_load_g), _LIGHTEST),
        figures=tuple(
            FigureLimit(wish.search, limit)
            for wish in WISHES
            if wish.search is not None and (limit := wish.limit(wishes)) is not None
        ),
    )


def _tip(document: BriefDocument, wish: DroopWish) -> float:
    """[kg] in all at the tip, no less than its fitting."""
    return si("tip_total_g", max(wish.tip_total_g, document.tip_fitting_g))


def _bill(cost: float | None) -> float:
    return inf if cost is None else max(cost, nextafter(0.0, 1.0))
