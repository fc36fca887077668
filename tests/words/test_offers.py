"""What an offer is said to buy: a wider base by the pole that takes it, savings by what is saved."""

from types import SimpleNamespace
from typing import Any

import pytest

from polewright.answers.find.answer import OfferAnswer
from polewright.codes import Message
from polewright.words import Reader
from polewright.words.find import offer_text

CODES = Reader("x-coded")


def pole(base_mm: float) -> Any:
    return SimpleNamespace(base_outside=base_mm / 1e3)


def offer(**more: Any) -> OfferAnswer:
    plain = {"what": Message("offer.base"), "is_worth_it": True, "droop_saved": 0.0, "cost_saved": 0.0}
    none = {"cheaper_droop": None, "stiffer": None, "cheaper": None, "is_beside_best": True}
    return OfferAnswer(**plain | none | more)


@pytest.mark.parametrize(
    ("poles", "base"),
    [
        ({"cheaper": pole(31.0)}, "31"),
        ({"stiffer": pole(32.0)}, "32"),
        ({"cheaper": pole(31.0), "stiffer": pole(32.0)}, "31"),
    ],
)
def test_a_wider_base_is_that_of_the_pole_it_buys_the_cheaper_first(poles: dict[str, Any], base: str) -> None:
    assert offer_text(offer(**poles), "€", CODES).startswith(f"⟨find.offer.base|base={base}")


def test_an_offer_that_buys_nothing_says_so() -> None:
    assert offer_text(offer(is_worth_it=False, stiffer=pole(32.0)), "€", CODES).startswith("⟨find.offer.nothing")


@pytest.mark.parametrize(
    ("saved", "codes"),
    [
        ({"droop_saved": 0.01}, ["find.gain.stiffer"]),
        ({"droop_saved": 0.01, "cheaper_droop": 0.1}, ["find.gain.stiffer"]),
        ({"cost_saved": 3.0}, []),
        ({"cost_saved": 3.0, "cheaper_droop": 0.1}, ["find.gain.cheaper"]),
        ({"cost_saved": 0.5, "droop_saved": 0.01, "cheaper_droop": 0.1}, ["find.gain.cheaper", "find.gain.or_stiffer"]),
        ({"cost_saved": 3.0, "cheaper_droop": 0.1, "is_beside_best": False}, ["find.gain.cheaper_than_stiffest"]),
    ],
)
def test_what_is_saved_is_said_and_nothing_else(saved: dict[str, Any], codes: list[str]) -> None:
    text = offer_text(offer(what=Message("offer.material", name="HM125"), **saved), "€", CODES)
    assert [part.split("|")[0].rstrip("⟩") for part in text.split("⟨") if part.startswith("find.gain")] == codes
