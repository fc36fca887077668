"""A ranking of designs as text: why each stands where it does, and what a limit costs."""

from polewright.answers.ranking import Acceptable, Ranked, Ranking, Waste
from polewright.words.findings import figure_text, finding_text
from polewright.words.reader import Reader

__all__ = ["acceptable_text", "miss_names", "reason_texts"]


def miss_names(design: Ranked, reader: Reader) -> tuple[str, ...]:
    """The names of the limits that a design misses."""
    return tuple(finding_text(miss, reader, is_short=True).name for miss in design.misses)


def reason_texts(design: Ranked, ranking: Ranking, reader: Reader) -> tuple[str, ...]:
    """Why a design has its place, one clause each: what it misses or meets, and money in the wrong place."""
    says = tuple(finding_text(miss, reader, is_short=True).says for miss in design.misses)
    if not says:
        says = (reader.say("ranking.first" if design.place == 1 else "ranking.meets"),)
    return says if design.waste is None else (*says, _waste_text(design.waste, ranking.currency, reader))


def acceptable_text(offer: Acceptable, currency: str, reader: Reader) -> str:
    """What a cheaper and stiffer design asks for."""
    return reader.say(
        "ranking.offer",
        limit=finding_text(offer.miss, reader, is_short=True).name,
        value=figure_text(offer.miss, offer.miss.value, reader),
        name=offer.name,
        saved=offer.saved,
        currency=currency,
        droop=offer.droop,
        first=offer.first_droop,
    )


def _waste_text(waste: Waste, currency: str, reader: Reader) -> str:
    sections = tuple(reader.say("hold.part.section", number=n) for n in waste.sections)
    return reader.say(
        "ranking.waste",
        spent=waste.spent,
        currency=currency,
        than=waste.than,
        saved=waste.saved,
        rate=waste.rate,
        best=waste.best_rate,
        count=len(sections),
        sections=sections,
        share=waste.share,
    )
