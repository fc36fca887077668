"""A ranking of designs as it is published: the unit in every name, texts of a reader."""

from typing import Literal

from polewright.answers.ranking import Ranking as RankingAnswer
from polewright.documents.document import Document, Part
from polewright.words.ranking import acceptable_text, miss_names, reason_texts
from polewright.words.reader import Reader
from polewright.words.report_fields import published
from polewright.words.reports.plain import plain_text

__all__ = ["Ranked", "Ranking", "ranking_report"]


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


def ranking_report(ranking: RankingAnswer, reader: Reader) -> Ranking:
    """A ranking as it is published, its texts for a reader; figures are metric for every reader."""
    reader = Reader(reader.language)
    designs = tuple(
        published(
            Ranked,
            design,
            misses=tuple(plain_text(name) for name in miss_names(design, reader)),
            says=tuple(plain_text(text) for text in reason_texts(design, ranking, reader)),
        )
        for design in ranking.designs
    )
    offers = tuple(plain_text(acceptable_text(offer, ranking.currency, reader)) for offer in ranking.offers)
    return Ranking(currency=ranking.currency, designs=designs, offers=offers)
