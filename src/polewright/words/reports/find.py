"""The answer of a search as it is published: figures in the workshop's units, texts of a reader."""

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass
from typing import Literal

from polewright.answers.find import (
    SECONDS,
    CountAnswer,
    FindAnswer,
    Finder,
    FoundDesign,
    MoneyAnswer,
    OfferAnswer,
    WayAnswer,
)
from polewright.documents.design import Design
from polewright.documents.document import Document, Part
from polewright.search import Progress
from polewright.units import QUANTITIES, display_unit, to
from polewright.words.check import stack_text
from polewright.words.find import WISHES, conflict_text, miss_texts, offer_text, offer_what, way_text, wish_name
from polewright.words.forms import pretty_unit
from polewright.words.reader import Reader, default_reader
from polewright.words.report_fields import published
from polewright.words.reports.plain import plain_text

__all__ = ["Answer", "Count", "FindReport", "FoundFigures", "Money", "OfferFigures", "Way", "find", "find_report"]


class FoundFigures(Part):
    """One pole that was found; droop, flex, mass and cost as every design is checked, true rotations and all.

    droop_search_mm is the figure of the simpler model that the bound speaks of; gap_pct by how much anything could be
    better than this pole in that model; misses: wishes and fits that the check finds not met.
    """

    name: str
    droop_mm: float
    droop_search_mm: float
    flex_mm_per_100g: float
    mass_g: float
    material_cost: float
    carry_kg_m: float
    base_outside_mm: float
    closed_mm: float
    swing_Hz: float
    gap_pct: float | None
    sections: int
    mandrels: tuple[str, ...]
    stacks: tuple[str, ...]
    misses: tuple[str, ...]


class Count(Part):
    """One count of candidates that adds up: in_all = evaluated + excluded + left."""

    what: str
    in_all: int
    evaluated: int
    excluded: dict[str, int]
    left: int


class Money(Part):
    """What money does in one section of a plain pole of the trade: the swap that saves the most droop for it."""

    section: int
    stack: str
    droop_saved_mm: float
    cost: float
    mm_per_cost: float


class OfferFigures(Part):
    """What one more wish would buy; `says` puts it in words."""

    what: str
    droop_saved_mm: float
    cost_saved: float
    says: str
    stiffer: FoundFigures | None
    cheaper: FoundFigures | None


class Way(Part):
    """One wish that is in the way, eased while all others are kept: the nearest pole there is, or none."""

    wish: str
    limit: float
    needs: float | None
    unit: str
    says: str
    pole: FoundFigures | None


class FindReport(Document):
    """The answer to a brief: best pole, trade, proof, what more would buy; or why there is no such pole."""

    document: Literal["find-report"] = "find-report"
    name: str
    currency: str
    aim: Literal["droop", "flex", "mass", "cost", "carry"]
    best: FoundFigures | None
    is_complete: bool
    bound_model: str
    counts: tuple[Count, ...]
    estimate: str
    notes: tuple[str, ...]
    front: tuple[FoundFigures, ...] = ()
    money: tuple[Money, ...] = ()
    offers: tuple[OfferFigures, ...] = ()
    conflict: tuple[str, ...] = ()
    is_hopeless: bool = False
    ways: tuple[Way, ...] = ()
    design: Design | None = None
    stopped_at: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What `find` gives: the report, the best pole (None: none meets the brief) and the trade as whole designs."""

    report: FindReport
    best: Design | None
    front: tuple[Design, ...]


def find(
    document: Document,
    *,
    seconds: float = SECONDS,
    executor: Executor | None = None,
    say: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Answer:
    """The best poles for a brief, or for a pole design's own brief and options; every step of the answer.

    seconds : [s] a search that is expected to take longer is refused with its estimate. executor : evaluates walls
    elsewhere (processes, a cluster). say : told how the search stands. stop : asked as often; true keeps the best.

    Raises
    ------
    DocumentError : no options, a name that is not on the shelf, rules that contradict, another kind of document.
    DesignError : the search would take too long; the estimate is its value.
    StoppedEarly : stopped before there was a pole to keep.
    """
    finder = Finder(document, executor=executor, say=say, stop=stop)
    finder.estimate(seconds)
    finder.search()
    if not finder.is_stopped:
        finder.trade()
        finder.buy()
    answer = finder.answer()
    report = find_report(answer, default_reader())
    return Answer(report, report.design, tuple(pole.design for pole in answer.front))


def find_report(answer: FindAnswer, reader: Reader) -> FindReport:
    """An answer as it is published, its texts for a reader; figures are metric for every reader."""
    reader, money = Reader(reader.language), answer.currency

    def text(of: str) -> str:
        return plain_text(of)

    return FindReport(
        name=answer.name,
        currency=money,
        aim=answer.aim,
        best=None if answer.best is None else _pole(answer.best, reader),
        is_complete=answer.is_complete,
        bound_model=text(reader.text(answer.model)),
        counts=tuple(_count(c, reader) for c in answer.counts),
        estimate=text(reader.text(answer.estimate)),
        notes=tuple(text(reader.text(note)) for note in answer.notes),
        front=tuple(_pole(p, reader) for p in answer.front),
        money=tuple(_money(m) for m in answer.money),
        offers=tuple(_offer(o, money, reader) for o in answer.offers),
        conflict=tuple(text(conflict_text(w, money, reader)) for w in answer.conflict),
        is_hopeless=answer.is_hopeless,
        ways=tuple(_way(w, money, reader) for w in answer.ways),
        design=None if answer.best is None else answer.best.design,
        stopped_at="" if answer.is_complete else text(reader.say("find.stopped")),
    )


def _pole(pole: FoundDesign, reader: Reader) -> FoundFigures:
    return published(
        FoundFigures,
        pole,
        sections=len(pole.design.sections),
        stacks=tuple(stack_text(stack) for stack in pole.stacks),
        misses=tuple(map(plain_text, miss_texts(pole, reader, is_short=True))),
    )


def _count(count: CountAnswer, reader: Reader) -> Count:
    excluded = {plain_text(reader.text(why)): n for why, n in count.excluded}
    return published(Count, count, what=plain_text(reader.text(count.what)), excluded=excluded)


def _money(money: MoneyAnswer) -> Money:
    return published(Money, money, stack=stack_text(money.stack), mm_per_cost=to(money.rate, "mm"))


def _offer(offer: OfferAnswer, currency: str, reader: Reader) -> OfferFigures:
    return OfferFigures(
        what=plain_text(offer_what(offer, reader)),
        droop_saved_mm=to(offer.droop_saved, "mm"),
        cost_saved=offer.cost_saved,
        says=plain_text(offer_text(offer, currency, reader)),
        stiffer=None if offer.stiffer is None else _pole(offer.stiffer, reader),
        cheaper=None if offer.cheaper is None else _pole(offer.cheaper, reader),
    )


def _way(way: WayAnswer, currency: str, reader: Reader) -> Way:
    quantity = WISHES[way.wish][0]
    unit = display_unit(quantity, "metric") if quantity in QUANTITIES else ""
    return Way(
        wish=plain_text(wish_name(way.wish, reader)),
        limit=to(way.limit, unit) if unit else way.limit,
        needs=to(way.needs, unit) if unit and way.needs is not None else way.needs,
        unit=plain_text(pretty_unit(unit)) if unit else currency,
        says=plain_text(way_text(way, currency, reader)),
        pole=None if way.pole is None else _pole(way.pole, reader),
    )
