"""What more would buy, where money does most, and the wishes in the way, of a search's answers."""

from math import isfinite

from polewright.answers.find.answer import MoneyAnswer, OfferAnswer, WayAnswer, WishLimit
from polewright.answers.find.pole import found_or_none, plies_of, section_of
from polewright.answers.options import SearchValues
from polewright.codes import Message
from polewright.search import Conflict, FoundPole, Links, Offer, Relaxation, given_pole

__all__ = ["conflict_of", "money_of", "offer_of", "way_of"]

LEAST_SPENT = 5.0
"""[currency] a swap must cost to be told: less is rounding of the walls, not a choice."""


def conflict_of(conflict: Conflict | None) -> tuple[WishLimit, ...]:
    """The wishes that exclude each other, each with its limit."""
    if conflict is None:
        return ()
    limits = {r.wish: r.limit for r in conflict.relaxations}
    return tuple(WishLimit(_code(wish), limits.get(wish)) for wish in conflict.wishes)


def way_of(values: SearchValues, eased: Relaxation) -> WayAnswer:
    """One wish eased, with the nearest pole."""
    return WayAnswer(
        wish=_code(eased.wish),
        limit=eased.limit,
        needs=eased.needs if isfinite(eased.needs) else None,
        is_possible=eased.pole is not None,
        pole=found_or_none(values, eased.pole),
    )


def _code(wish: str) -> str:
    return wish.replace(" ", "_")


def offer_of(values: SearchValues, offer: Offer) -> OfferAnswer:
    """What a further wish buys, and what it asks for."""
    what, document = offer.what, values.document
    if what.code == "offer.cost":
        amount = Message("offer.amount", amount=document.further.cost, currency=document.setting.currency)
        what = Message(what.code, amount=amount)
    stiffer, cheaper = found_or_none(values, offer.pole), found_or_none(values, offer.cheaper)
    return OfferAnswer(
        what=what,
        is_worth_it=offer.is_worth_it and (cheaper or stiffer) is not None,
        droop_saved=offer.droop_saved,
        cost_saved=offer.cost_saved,
        cheaper_droop=None if offer.cheaper is None else offer.cheaper.droop,
        stiffer=stiffer,
        cheaper=cheaper,
        is_beside_best=values.brief.aim == "droop",
    )


def money_of(values: SearchValues, plain: FoundPole | None, links: Links) -> tuple[MoneyAnswer, ...]:
    """Section by section, the swap of one wall of a plain pole for the dearer one that saves the most for the money."""
    if plain is None:
        return ()
    ends = (*plain.bars[1:], -1)
    rows = []
    for at, (bar, outer) in enumerate(zip(plain.bars, ends, strict=True)):
        link = next((n for n in links.links if n.inner == bar and n.outer == outer), None)
        row = None if link is None else _best_swap(values, plain, at, link.recipes)
        if row is not None:
            rows.append(row)
    return tuple(sorted(rows, key=lambda r: -r.rate))


def _best_swap(
    values: SearchValues, plain: FoundPole, at: int, recipes: tuple[tuple[int, ...], ...]
) -> MoneyAnswer | None:
    top: tuple[float, FoundPole] | None = None
    for recipe in recipes:
        walls = (*plain.recipes[:at], recipe, *plain.recipes[at + 1 :])
        other = given_pole(values.brief, plain.shop, plain.bars, walls)
        spent, saved = other.cost - plain.cost, plain.droop - other.droop
        if spent > LEAST_SPENT and saved > 0.0 and (top is None or saved / spent > top[0]):
            top = saved / spent, other
    if top is None:
        return None
    return MoneyAnswer(
        section=at + 1,
        stack=plies_of(section_of(values, top[1], at)),
        droop_saved=plain.droop - top[1].droop,
        cost=top[1].cost - plain.cost,
    )
