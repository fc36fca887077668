"""Several designs against one brief: which comes first, where money went to the wrong place, what a limit costs."""

from collections.abc import Sequence
from dataclasses import dataclass

from polewright.answers.check import Check
from polewright.answers.findings import Finding

__all__ = ["Acceptable", "Ranked", "Ranking", "Waste", "rank_designs"]

WASTED = 0.5  # of the best droop saved per money: below this, money is in the wrong place
LEAST_SPENT = 1.0  # in the design's currency: a smaller difference in cost is none
SAME_LOAD = 1e-6  # [kg] loads at the tip that differ by less are one
DEARER = 1.02  # times the cheapest design's section, from which a section counts as dearer


@dataclass(frozen=True, slots=True)
class Waste:
    """Money in the wrong place, beside the cheapest design `than` on the same mandrels.

    spent: more than that design; saved [m] of droop; rate and best_rate [m] of droop saved for one of the currency, of
    this design and of the best; sections: those that cost more; share [-] that they have in the cheapest's tip flex.
    """

    than: str
    spent: float
    saved: float
    rate: float
    best_rate: float
    sections: tuple[int, ...]
    share: float


@dataclass(frozen=True, slots=True)
class Ranked:
    """One design's place, from 1; `misses` are the wishes and fits that it does not meet; waste is None without one.

    mass [kg]; droop [m] of the headline load; added_droop [m/N] of the longest reach; base_outside [m].
    """

    place: int
    name: str
    mass: float
    droop: float
    added_droop: float
    material_cost: float
    base_outside: float
    misses: tuple[Finding, ...]
    waste: Waste | None


@dataclass(frozen=True, slots=True)
class Acceptable:
    """A cheaper and stiffer design than the first, if its one miss is acceptable.

    saved: money less than the first; droop and first_droop [m] of the two.
    """

    name: str
    miss: Finding
    saved: float
    droop: float
    first_droop: float


@dataclass(frozen=True, slots=True)
class Ranking:
    """All designs in order, and what could be had if one limit gave way."""

    currency: str
    designs: tuple[Ranked, ...]
    offers: tuple[Acceptable, ...]


def rank_designs(checks: Sequence[Check]) -> Ranking:
    """Rank checked designs: those that meet the whole brief first, by droop, then those that miss least.

    A design that spends more than the cheapest is measured by droop saved per money; `waste` is told of one that gets
    less than half of what the best gets.
    """
    order = sorted(checks, key=lambda c: (len(_misses(c)) > 0, _excess(c), c.pole.droop))
    cheapest = min(checks, key=lambda c: c.pole.material_cost)
    best = max((_saved_per_money(c, cheapest) for c in checks), default=0.0)
    return Ranking(
        currency=order[0].pole.currency,
        designs=tuple(_ranked(place, check, cheapest, best) for place, check in enumerate(order, 1)),
        offers=_offers(order),
    )


def _ranked(place: int, check: Check, cheapest: Check, best: float) -> Ranked:
    pole = check.pole
    return Ranked(
        place=place,
        name=check.name,
        mass=pole.mass,
        droop=pole.droop,
        added_droop=check.reaches[-1].added_droop,
        material_cost=pole.material_cost,
        base_outside=pole.base_outside,
        misses=_misses(check),
        waste=_waste(check, cheapest, best),
    )


def _misses(check: Check) -> tuple[Finding, ...]:
    return tuple(f for f in check.findings if f.kind in ("brief", "fit") and not f.holds)


def _excess(check: Check) -> float:
    """[-] how far beyond its limits, each as a share of the limit, added up; zero for a design that misses none."""
    return sum(abs(f.value - f.limit) / abs(f.limit) for f in _misses(check) if f.value is not None and f.limit)


def _is_comparable(check: Check, other: Check) -> bool:
    """Whether droop and cost of two designs may be taken from each other: one load at the tip, one currency."""
    a, b = check.pole, other.pole
    return abs(a.droop_load - b.droop_load) < SAME_LOAD and a.currency == b.currency


def _saved_per_money(check: Check, cheapest: Check) -> float:
    """[m] of droop saved for one of the currency; zero where no more was spent, on other mandrels, at another load."""
    spent = check.pole.material_cost - cheapest.pole.material_cost
    if spent <= LEAST_SPENT or not _same_bores(check, cheapest) or not _is_comparable(check, cheapest):
        return 0.0
    return (cheapest.pole.droop - check.pole.droop) / spent


def _same_bores(check: Check, other: Check) -> bool:
    """Whether the two are rolled on the same mandrels, so that money went into fibre alone."""
    pairs = zip(check.sections, other.sections, strict=False)
    return len(check.sections) == len(other.sections) and all(a.mandrel == b.mandrel for a, b in pairs)


def _waste(check: Check, cheapest: Check, best: float) -> Waste | None:
    spent, rate = check.pole.material_cost - cheapest.pole.material_cost, _saved_per_money(check, cheapest)
    is_told = _same_bores(check, cheapest) and _is_comparable(check, cheapest)
    if spent <= LEAST_SPENT or not is_told or rate >= WASTED * best:
        return None
    dearer = _dearer(check, cheapest)
    shares = cheapest.reaches[-1].shares
    return Waste(
        than=cheapest.name,
        spent=spent,
        saved=cheapest.pole.droop - check.pole.droop,
        rate=rate,
        best_rate=best,
        sections=dearer,
        share=sum(s.added for s in shares if s.kind == "section" and s.number in dearer),
    )


def _dearer(check: Check, cheapest: Check) -> tuple[int, ...]:
    """Numbers of the sections that cost more than the cheapest design's."""
    pairs = zip(check.sections, cheapest.sections, strict=True)
    return tuple(s.number for s, c in pairs if s.material_cost > c.material_cost * DEARER)


def _offers(order: Sequence[Check]) -> tuple[Acceptable, ...]:
    """Designs that miss a single limit and beat the first one in cost and droop."""
    first, offers = order[0].pole, []
    for check in order[1:]:
        misses, pole = _misses(check), check.pole
        if (
            len(misses) == 1
            and _is_comparable(check, order[0])
            and pole.material_cost < first.material_cost
            and pole.droop < first.droop
        ):
            saved = first.material_cost - pole.material_cost
            offers.append(Acceptable(check.name, misses[0], saved, pole.droop, first.droop))
    return tuple(offers)
