"""What a search found: poles as whole designs, the proof, the offers, the wishes in the way; SI and codes."""

from dataclasses import dataclass

from polewright.answers.find.pole import FoundDesign
from polewright.answers.sections import Ply
from polewright.codes import Message

__all__ = ["CountAnswer", "FindAnswer", "MoneyAnswer", "OfferAnswer", "WayAnswer", "WishLimit"]


@dataclass(frozen=True, slots=True)
class CountAnswer:
    """One count of candidates that adds up: in_all = evaluated + excluded + left."""

    what: Message
    in_all: int
    evaluated: int
    excluded: tuple[tuple[Message, int], ...]
    left: int


@dataclass(frozen=True, slots=True)
class MoneyAnswer:
    """What money does in one section of a plain pole of the trade: the swap that saves the most droop for it.

    section : number from the tip. droop_saved [m], cost [currency].
    """

    section: int
    stack: tuple[Ply, ...]
    droop_saved: float
    cost: float

    @property
    def rate(self) -> float:
        """[m per currency] droop saved for the money."""
        return self.droop_saved / self.cost


@dataclass(frozen=True, slots=True)
class OfferAnswer:
    """What one more wish would buy.

    what : "offer.mandrel", "offer.material", "offer.base", "offer.cost" or "offer.section", with its values.
    droop_saved [m] by `stiffer`; cost_saved [currency] by `cheaper`, whose droop in the search's model is
    `cheaper_droop` [m]. is_beside_best : measured against the best pole, else against the stiffest within the brief.
    """

    what: Message
    is_worth_it: bool
    droop_saved: float
    cost_saved: float
    cheaper_droop: float | None
    stiffer: FoundDesign | None
    cheaper: FoundDesign | None
    is_beside_best: bool


@dataclass(frozen=True, slots=True)
class WishLimit:
    """A wish of the search by its code, with its limit in SI or currency where it has one."""

    wish: str
    limit: float | None


@dataclass(frozen=True, slots=True)
class WayAnswer:
    """One wish that is in the way, eased while all others are kept.

    limit, needs : SI or currency; needs is None where the wish must go. is_possible : there is such a pole. pole : the
    nearest one, None where the whole check refuses it.
    """

    wish: str
    limit: float
    needs: float | None
    is_possible: bool
    pole: FoundDesign | None


@dataclass(frozen=True, slots=True)
class FindAnswer:
    """The answer to a brief: best pole, trade, proof, what more would buy; or why there is no such pole.

    aim : "droop", "flex", "mass", "cost" or "carry". model : what the proof speaks of. money : best rate first.
    """

    name: str
    currency: str
    aim: str
    best: FoundDesign | None
    is_complete: bool
    model: Message
    counts: tuple[CountAnswer, ...]
    estimate: Message
    notes: tuple[Message, ...]
    front: tuple[FoundDesign, ...] = ()
    money: tuple[MoneyAnswer, ...] = ()
    offers: tuple[OfferAnswer, ...] = ()
    conflict: tuple[WishLimit, ...] = ()
    is_hopeless: bool = False
    ways: tuple[WayAnswer, ...] = ()
