"""Several designs against one brief: which comes first, where money went to the wrong place, what a limit costs."""

from typing import Literal

from polewright.documents.design import Design
from polewright.documents.document import Document, Part
from polewright.words.reports.check import CheckReport, Finding

__all__ = ["Ranked", "Ranking", "ranked"]

WASTED = 0.5  # of the best droop saved per money: below this, money is in the wrong place


class Ranked(Part):
    """One design's place: 1 is first; `misses` names the wishes it does not meet; `says` is why it stands there."""

    place: int
    name: str
    mass_g: float
    droop_mm: float
    added_droop_mm_per_100g: float
    material_cost: float
    base_outside_mm: float
    misses: tuple[str, ...]
    says: tuple[str, ...]


class Ranking(Document):
    """All designs in order, and what could be had if one limit gave way."""

    document: Literal["ranking"] = "ranking"
    currency: str
    designs: tuple[Ranked, ...]
    offers: tuple[str, ...]


def ranked(pairs: list[tuple[Design, CheckReport]]) -> Ranking:
    """Rank designs: those that meet the whole brief first, by droop, then those that miss least.

    A design that spends more than the cheapest is measured by droop saved per money; one that gets less than half of
    what the best gets is told so, with the share that its dearer sections have in the flex.
    """
    order = sorted(
        pairs, key=lambda p: (len(_misses(p[1])) > 0, _excess(p[1]) if _misses(p[1]) else 0.0, p[1].pole.droop_mm)
    )
    cheapest = min(pairs, key=lambda p: p[1].pole.material_cost)
    best = max((_saved_per_money(p[1], cheapest[1]) for p in pairs), default=0.0)
    rows = []
    for place, (design, report) in enumerate(order, 1):
        rows.append(
            Ranked(
                place=place,
                name=report.name,
                mass_g=report.pole.mass_g,
                droop_mm=report.pole.droop_mm,
                added_droop_mm_per_100g=report.reaches[-1].added_droop_mm_per_100g,
                material_cost=report.pole.material_cost,
                base_outside_mm=report.pole.base_outside_mm,
                misses=tuple(f.name for f in _misses(report)),
                says=_says((design, report), cheapest, best, first=place == 1),
            )
        )
    return Ranking(currency=order[0][1].pole.currency, designs=tuple(rows), offers=_offers(order))


def _misses(report: CheckReport) -> list[Finding]:
    return [f for f in report.findings if f.kind in ("brief", "fit") and f.verdict == "look"]


def _excess(report: CheckReport) -> float:
    """How far beyond its limits, each as a share of the limit, added up."""
    return sum(abs(f.value - f.limit) / abs(f.limit) for f in _misses(report) if f.value is not None and f.limit)


def _saved_per_money(report: CheckReport, cheapest: CheckReport) -> float:
    spent = report.pole.material_cost - cheapest.pole.material_cost
    if spent <= 1.0 or not _same_bores(report, cheapest):
        return 0.0
    return (cheapest.pole.droop_mm - report.pole.droop_mm) / spent


def _same_bores(report: CheckReport, other: CheckReport) -> bool:
    """Whether the two are rolled on the same bars, so that money went into fibre alone."""
    pairs = zip(report.sections, other.sections, strict=False)
    return len(report.sections) == len(other.sections) and all(a.mandrel == b.mandrel for a, b in pairs)


def _says(
    pair: tuple[Design, CheckReport], cheapest: tuple[Design, CheckReport], best: float, *, first: bool
) -> tuple[str, ...]:
    report = pair[1]
    missed = _misses(report)
    said = [f.says for f in missed] or ["meets the whole brief"]
    if first and not missed:
        said = ["meets the whole brief with the least droop of those that do"]
    saved, spent = (
        cheapest[1].pole.droop_mm - report.pole.droop_mm,
        report.pole.material_cost - cheapest[1].pole.material_cost,
    )
    rate = _saved_per_money(report, cheapest[1])
    if spent > 1.0 and _same_bores(report, cheapest[1]) and rate < WASTED * best:
        money = report.pole.currency
        dearer = _dearer(report, cheapest[1])
        share = sum(s.added_pct for s in cheapest[1].reaches[-1].shares if s.part in {f"S{n}" for n in dearer})
        names = " and ".join(f"S{n}" for n in dearer)
        said.append(
            f"money in the wrong place: {spent:.0f} {money} more than {cheapest[1].name} saves {saved:.0f} mm, "
            f"{rate:.1f} mm per {money} where the best gets {best:.1f}; {names} give only {share:.0f} % of the "
            "tip's flex"
        )
    return tuple(said)


def _dearer(report: CheckReport, cheapest: CheckReport) -> list[int]:
    """Numbers of the sections that cost more than the cheapest design's."""
    return [
        s.number
        for s, c in zip(report.sections, cheapest.sections, strict=False)
        if s.material_cost > c.material_cost * 1.02
    ]


def _offers(order: list[tuple[Design, CheckReport]]) -> tuple[str, ...]:
    """Designs that miss a single wish and beat the first one in cost and droop."""
    top = order[0][1].pole
    offers = []
    for _, report in order[1:]:
        missed, pole = _misses(report), report.pole
        if len(missed) == 1 and pole.material_cost < top.material_cost and pole.droop_mm < top.droop_mm:
            miss = missed[0]
            offers.append(
                f"if {miss.name.lower()} {miss.value:.1f} {miss.unit} is acceptable, {report.name} is "
                f"{top.material_cost - pole.material_cost:.0f} {pole.currency} cheaper and stiffer "
                f"({pole.droop_mm:.0f} mm against {top.droop_mm:.0f} mm)"
            )
    return tuple(offers)
