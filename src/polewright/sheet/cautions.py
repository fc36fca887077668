"""Cautions for the places where someone can be hurt, in few words, for the app and for every paper."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.library import library
from polewright.units import from_
from polewright.words.reader import Reader

__all__ = ["Caution", "CautionText", "Place", "caution_texts", "cautions", "closing_line"]

Place = Literal["store", "cut", "roll", "oven", "finish", "use", "sheet"]

BY_PLACE: Mapping[str, tuple[str, ...]] = {
    "store": ("freezer", "exotherm_scrap", "epoxy_sensitisation"),
    "cut": ("epoxy_sensitisation", "carbon_dust", "glass_dust", "aramid_dust"),
    "roll": ("epoxy_sensitisation", "solvents_release", "exotherm_scrap"),
    "oven": ("oven_mandrel", "exotherm_scrap", "solvents_release"),
    "finish": ("carbon_dust", "glass_dust", "aramid_dust", "splinters_crush", "galvanic"),
    "use": (
        "overhead_lines",
        "not_an_insulating_stick",
        "falling_pole",
        "wind_lightning",
        "building_electrics",
        "splinters_crush",
        "slips_water",
        "ergonomics_overuse",
        "biology_water",
    ),
    "sheet": ("overhead_lines", "not_an_insulating_stick", "falling_pole", "wind_lightning", "splinters_crush"),
}
FAMILY_OF: Mapping[str, str] = {
    "carbon_dust": "carbon",
    "glass_dust": "glass",
    "aramid_dust": "aramid",
    "galvanic": "carbon",
}

# What the buyer reads names no material; how many things each of these cautions says to do.
FOR_THE_BUYER: Mapping[str, int] = {
    "overhead_lines": 3,
    "not_an_insulating_stick": 1,
    "falling_pole": 3,
    "wind_lightning": 2,
    "splinters_crush": 1,
}
# Figures that a text has places for: [K] a mandrel from the oven and what gloves must bear, [kg] that one may lift.
VALUES: Mapping[str, float] = {"hot": from_(130.0, "°C"), "glove": from_(250.0, "°C"), "heavy": from_(15.0, "kg")}


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: what can happen and what to do about it."""

    id: str
    title: Message
    says: Message
    actions: tuple[Message, ...]


@dataclass(frozen=True, slots=True)
class CautionText:
    """A caution as it is read."""

    id: str
    title: str
    words: str
    actions: tuple[str, ...]
    closing: str


def cautions(place: Place, *, families: Collection[str] = ("carbon",)) -> tuple[Caution, ...]:
    """What must be said at a place, most serious first.

    `families` are the fibre families in the pole; dust of others is left out. At "sheet" the words are the buyer's and
    name no material.
    """
    if place not in get_args(Place):
        raise DesignError("place", place, Message("want.one", choices=tuple(get_args(Place))))
    wanted = [key for key in BY_PLACE[place] if FAMILY_OF.get(key) in (None, *families)]
    return tuple(_for_the_buyer(key) if place == "sheet" else _caution(key) for key in wanted)


def caution_texts(found: Collection[Caution], reader: Reader) -> tuple[CautionText, ...]:
    """Cautions as their reader sees them."""
    closing = reader.say("caution.note")
    return tuple(
        CautionText(c.id, reader.text(c.title), reader.text(c.says), tuple(map(reader.text, c.actions)), closing)
        for c in found
    )


def closing_line() -> Message:
    """The line that ends every set of cautions."""
    return Message("caution.closing")


def _caution(key: str) -> Caution:
    return _made(key, key, len(library().hazards[key].actions))


def _for_the_buyer(key: str) -> Caution:
    return _made(key, f"buyer.{key}", FOR_THE_BUYER[key])


def _made(key: str, texts: str, actions: int) -> Caution:
    return Caution(
        key,
        Message(f"caution.{key}.title"),
        Message(f"caution.{texts}.says", **VALUES),
        tuple(Message(f"caution.{texts}.do.{n}", **VALUES) for n in range(1, actions + 1)),
    )
