"""What a search found, as text: its proof, what more would buy, the wishes in the way and the ways out."""

from collections.abc import Iterable

from polewright.answers.find import CountAnswer, FindAnswer, FoundDesign, OfferAnswer, WayAnswer, WishLimit
from polewright.answers.sections import Ply
from polewright.answers.wishes import WISHES as TABLE
from polewright.codes import Message
from polewright.words.findings import finding_text
from polewright.words.reader import Reader

__all__ = [
    "WISHES",
    "conflict_text",
    "count_text",
    "miss_texts",
    "offer_text",
    "offer_what",
    "plies_text",
    "proof_text",
    "way_text",
    "wish_name",
]

WISHES: dict[str, tuple[str, int]] = {
    "droop": ("length", 0),
    "flex": ("flex", 2),
    "mass": ("mass", 0),
    "carry": ("carry", 2),
    "cost": ("money", 0),
    "base": ("length", 2),
    "closed": ("length", 0),
    "further_droop": ("length", 0),
    "further_flex": ("flex", 2),
    "swing": ("frequency", 3),
    "strength": ("moment", 0),
    "squeeze": ("force", 0),
    "clamp": ("force", 0),
    "twist": ("bending", 0),
}
"""Quantity and decimals of each wish of the search, by its code; the others are in the table of wishes."""
WISHES |= {w.search.code: (w.quantity, w.digits) for w in TABLE if w.search is not None}


def wish_name(wish: str, reader: Reader) -> str:
    """The name of a wish of the search."""
    return reader.say(f"find.wish.{wish}")


def _figure(wish: str, value: float, currency: str, reader: Reader) -> str:
    quantity, digits = WISHES[wish]
    if quantity == "money":
        return reader.say("find.money", amount=value, currency=currency)
    return reader.quantity(value, quantity, digits)


def conflict_text(wish: WishLimit, currency: str, reader: Reader) -> str:
    """A wish that is in the way, with its limit."""
    name = wish_name(wish.wish, reader)
    if wish.limit is None:
        return name
    return reader.say("find.wish_limit", name=name, limit=_figure(wish.wish, wish.limit, currency, reader))


def way_text(way: WayAnswer, currency: str, reader: Reader) -> str:
    """What easing one wish gives."""
    name, limit = wish_name(way.wish, reader), _figure(way.wish, way.limit, currency, reader)
    if not way.is_possible:
        return reader.say("find.way.none", name=name)
    if way.needs is None:
        return reader.say("find.way.without", name=name, limit=limit)
    needs = _figure(way.wish, way.needs, currency, reader)
    if way.pole is not None and way.wish == "droop":
        return reader.say("find.way.droop", name=name, needs=needs, limit=limit, droop=way.pole.droop)
    return reader.say("find.way.eased", name=name, needs=needs, limit=limit)


def offer_what(offer: OfferAnswer, reader: Reader) -> str:
    """What is offered."""
    return reader.text(offer.what)


def offer_text(offer: OfferAnswer, currency: str, reader: Reader) -> str:
    """What an offer buys."""
    if not offer.is_worth_it:
        return reader.say("find.offer.nothing", what=offer_what(offer, reader))
    gains = tuple(_gains(offer, currency))
    best = offer.cheaper or offer.stiffer
    if offer.what.code == "offer.base" and best is not None:
        return reader.say("find.offer.base", base=best.base_outside, gains=gains)
    return reader.say("find.offer.buys", what=offer_what(offer, reader), gains=gains)


def _gains(offer: OfferAnswer, currency: str) -> list[Message]:
    gains = []
    if offer.cost_saved > 0.0 and offer.cheaper_droop is not None:
        code = "find.gain.cheaper" if offer.is_beside_best else "find.gain.cheaper_than_stiffest"
        gains.append(Message(code, amount=offer.cost_saved, currency=currency, droop=offer.cheaper_droop))
    if offer.droop_saved > 0.0:
        gains.append(Message("find.gain.or_stiffer" if gains else "find.gain.stiffer", droop=offer.droop_saved))
    return gains


def miss_texts(pole: FoundDesign, reader: Reader, *, is_short: bool = False) -> tuple[str, ...]:
    """What of its brief and its fits a found pole misses."""
    return tuple(finding_text(f, reader, is_short=is_short).says for f in pole.misses)


def proof_text(answer: FindAnswer, reader: Reader) -> str:
    """How good the best pole is proved to be; nothing where no gap is known."""
    if answer.best is None:
        return reader.say("find.proof.none" if answer.is_complete else "find.stopped_early")
    if answer.best.gap is None:
        return ""
    return reader.say("find.proof.complete" if answer.is_complete else "find.proof.stopped", gap=answer.best.gap)


def count_text(count: CountAnswer, reader: Reader) -> str:
    """A count of candidates as one line that adds up."""
    parts = [Message("find.count.evaluated", in_all=count.in_all, what=count.what, evaluated=count.evaluated)]
    parts += [Message("find.count.excluded", number=n, reason=why) for why, n in count.excluded if n]
    if count.left:
        parts.append(Message("find.count.left", number=count.left))
    return reader.say("find.count.line", parts=tuple(parts))


def plies_text(stack: Iterable[Ply], reader: Reader) -> str:
    """A stack as the cut place says plies: "SM150 0° × 5, TH55 90°"."""
    plies = tuple(
        Message("find.ply", prepreg=ply.prepreg, angle=ply.angle)
        if ply.turns == 1.0
        else Message("find.ply.turns", prepreg=ply.prepreg, angle=ply.angle, turns=ply.turns)
        for ply in stack
    )
    return reader.say("find.plies", plies=plies)
