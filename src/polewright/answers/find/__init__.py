"""The search for the best pole of a brief: its steps, and its answer in SI with codes."""

from polewright.answers.find.answer import CountAnswer, FindAnswer, MoneyAnswer, OfferAnswer, WayAnswer, WishLimit
from polewright.answers.find.finder import SECONDS, Finder, StoppedEarly
from polewright.answers.find.pole import FoundDesign

__all__ = [
    "SECONDS",
    "CountAnswer",
    "FindAnswer",
    "Finder",
    "FoundDesign",
    "MoneyAnswer",
    "OfferAnswer",
    "StoppedEarly",
    "WayAnswer",
    "WishLimit",
]
