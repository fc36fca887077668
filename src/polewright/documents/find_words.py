"""What a search says of money, offers and wishes in the way, in the workshop's units."""

from math import isfinite

from polewright.documents.found import FoundFigures, Money, OfferFigures, Way, figures_of, section_of
from polewright.documents.options_of import Asked
from polewright.documents.section_figures import stack_text
from polewright.errors import PolewrightError
from polewright.search import Conflict, FoundPole, Links, Offer, Relaxation, given_pole
from polewright.units import to

__all__ = ["conflict_words", "money_of", "offer_of", "way_of"]

NAMES = {
    "droop": "droop",
    "flex": "wanted flex",
    "mass": "mass",
    "carry": "carry moment",
    "cost": "material cost",
    "base": "base outside",
    "closed": "closed length",
    "further droop": "further droop",
    "further flex": "further wanted flex",
    "swing": "swing",
    "strength": "moment that walls bear",
    "squeeze": "squeeze that walls bear",
    "clamp": "clamp tension that walls bear",
    "twist": "twist stiffness",
}
UNITS = {
    "droop": "mm",
    "flex": "mm/100 g",
    "mass": "g",
    "carry": "kg m",
    "cost": "",
    "base": "mm",
    "closed": "mm",
    "further droop": "mm",
    "further flex": "mm/100 g",
    "swing": "Hz",
    "strength": "N m",
    "squeeze": "N",
    "clamp": "N",
    "twist": "N m²",
}
PLAIN = ("carry", "swing", "strength", "squeeze", "clamp", "twist")
LEAST_SPENT = 5.0
"""[currency] a swap must cost to be told: less is rounding of the walls, not a choice."""


def _shown(wish: str, value: float) -> float:
    return to(value, UNITS[wish]) if UNITS[wish] and wish not in PLAIN else value


def _worded(asked: Asked, wish: str, value: float) -> str:
    unit = UNITS[wish] or asked.document.setting.currency
    digits = {"base": 2, "flex": 2, "further flex": 2, "carry": 2, "swing": 3}.get(wish, 0)
    return f"{_shown(wish, value):.{digits}f} {unit}"


def conflict_words(asked: Asked, conflict: Conflict | None) -> tuple[str, ...]:
    """The wishes that exclude each other, each with its limit."""
    if conflict is None:
        return ()
    limits = {r.wish: r.limit for r in conflict.relaxations}
    return tuple(NAMES[w] + (f" {_worded(asked, w, limits[w])}" if w in limits else "") for w in conflict.wishes)


def way_of(asked: Asked, eased: Relaxation) -> Way:
    """One wish eased, with the nearest pole."""
    pole = _checked(asked, eased.pole)
    if eased.pole is None:
        says = f"easing {NAMES[eased.wish]} alone does not help"
    elif not isfinite(eased.needs):
        says = (
            f"without the {NAMES[eased.wish]}, {_worded(asked, eased.wish, eased.limit)}, all else kept: "
            "there is a pole"
        )
    else:
        says = (
            f"{NAMES[eased.wish]} {_worded(asked, eased.wish, eased.needs)} instead of "
            f"{_worded(asked, eased.wish, eased.limit)}, all else kept: there is a pole"
        )
        if pole is not None and eased.wish == "droop":
            says += f", {pole.droop_mm:.0f} mm by the full check"
    return Way(
        wish=NAMES[eased.wish],
        limit=_shown(eased.wish, eased.limit),
        needs=_shown(eased.wish, eased.needs) if isfinite(eased.needs) else None,
        unit=UNITS[eased.wish] or asked.document.setting.currency,
        says=says,
        pole=pole,
    )


def _checked(asked: Asked, pole: FoundPole | None) -> FoundFigures | None:
    """Its figures by the full check; None where there is no pole, or the check refuses it."""
    if pole is None:
        return None
    try:
        return figures_of(asked, pole)
    except PolewrightError:
        return None


def offer_of(asked: Asked, offer: Offer) -> OfferFigures:
    """What a further wish buys, and what it asks for."""
    stiffer, cheaper = _checked(asked, offer.pole), _checked(asked, offer.cheaper)
    money = asked.document.setting.currency
    what = offer.what
    if what == "cost":
        what = f"{asked.document.further.cost:g} {money} more"
    best = cheaper or stiffer
    if not offer.is_worth_it or best is None:
        says = f"{what}: buys nothing"
    else:
        says = f"{what}: " + ", ".join(_gains(asked, offer))
    if what == "base diameter" and best is not None and offer.is_worth_it:
        says = f"if {best.base_outside_mm:.1f} mm at the base is acceptable: " + ", ".join(_gains(asked, offer))
    return OfferFigures(
        what=what,
        droop_saved_mm=to(offer.droop_saved, "mm"),
        cost_saved=offer.cost_saved,
        says=says,
        stiffer=stiffer,
        cheaper=cheaper,
    )


def _gains(asked: Asked, offer: Offer) -> list[str]:
    money, said = asked.document.setting.currency, []
    now = "now" if asked.brief.aim == "droop" else "the stiffest within the brief"
    if offer.cost_saved > 0.0 and offer.cheaper is not None:
        droop = to(offer.cheaper.droop, "mm")
        said.append(f"{offer.cost_saved:.0f} {money} cheaper at {droop:.0f} mm of droop, no more than {now}")
    if offer.droop_saved > 0.0:
        said.append(
            f"or with up to {to(offer.droop_saved, 'mm'):.0f} mm less droop"
            if said
            else f"{to(offer.droop_saved, 'mm'):.0f} mm less droop"
        )
    return said


def money_of(asked: Asked, plain: FoundPole | None, links: Links) -> tuple[Money, ...]:
    """Section by section, the swap of one wall of a plain pole for the dearer one that saves the most for the money."""
    if plain is None:
        return ()
    ends = (*plain.bars[1:], -1)
    rows = []
    for at, (bar, outer) in enumerate(zip(plain.bars, ends, strict=True)):
        link = next((n for n in links.links if n.inner == bar and n.outer == outer), None)
        row = None if link is None else _best_swap(asked, plain, at, link.recipes)
        if row is not None:
            rows.append(row)
    return tuple(sorted(rows, key=lambda r: -r.mm_per_cost))


def _best_swap(asked: Asked, plain: FoundPole, at: int, recipes: tuple[tuple[int, ...], ...]) -> Money | None:
    top: tuple[float, FoundPole] | None = None
    for recipe in recipes:
        walls = (*plain.recipes[:at], recipe, *plain.recipes[at + 1 :])
        other = given_pole(asked.brief, plain.shop, plain.bars, walls)
        spent, saved = other.cost - plain.cost, plain.droop - other.droop
        if spent > LEAST_SPENT and saved > 0.0 and (top is None or saved / spent > top[0]):
            top = saved / spent, other
    if top is None:
        return None
    saved, spent = to(plain.droop - top[1].droop, "mm"), top[1].cost - plain.cost
    return Money(
        section=at + 1,
        stack=stack_text(section_of(asked, top[1], at)),
        droop_saved_mm=saved,
        cost=spent,
        mm_per_cost=saved / spent,
    )
