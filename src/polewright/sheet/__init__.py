"""The papers: buyer's sheet and work cards, with the cautions that belong on them."""

from polewright.sheet.buyer import BuyerSheet, MeasuredFlex, OwnFlex, Reach, buyer_sheet_pdf, buyer_sheet_values
from polewright.sheet.card import CardStep, TapeProgramme, WorkCard, work_card, work_card_pdf, work_card_values
from polewright.sheet.cautions import Caution, CautionText, Place, caution_texts, cautions, closing_line
from polewright.sheet.publish import (
    Refusal,
    may_be_published,
    modest,
    modest_figure,
    modest_in,
    modest_number,
    modest_quantity,
)

__all__ = [
    "BuyerSheet",
    "CardStep",
    "Caution",
    "CautionText",
    "MeasuredFlex",
    "OwnFlex",
    "Place",
    "Reach",
    "Refusal",
    "TapeProgramme",
    "WorkCard",
    "buyer_sheet_pdf",
    "buyer_sheet_values",
    "caution_texts",
    "cautions",
    "closing_line",
    "may_be_published",
    "modest",
    "modest_figure",
    "modest_in",
    "modest_number",
    "modest_quantity",
    "work_card",
    "work_card_pdf",
    "work_card_values",
]
