"""Cautions for the places where someone can be hurt, in few words, for the app and for every paper."""

import tomllib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Literal, get_args

from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["Caution", "Place", "cautions", "closing_line"]

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

# The buyer reads what to do, without a word on what the pole is made of.
FOR_THE_BUYER: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "overhead_lines": (
        (
            "Overhead lines kill. Current can jump a gap without touch, from house supplies too. Treat this pole as a "
            "conductor along its whole length, dry or wet."
        ),
        (
            "look up and walk the site before you extend the pole; treat every wire as live",
            "keep the distance the local utility or code sets, measured from the extended, swinging pole and its water",
            "inside that distance do not work; after a contact stay clear and call emergency services",
        ),
    ),
    "not_an_insulating_stick": (
        "This pole is no live-line tool and protects from no voltage. Paint, sleeves and dry weather change nothing.",
        ("never use it near live parts",),
    ),
    "falling_pole": (
        "A raised pole that slips or breaks reaches its full length on the ground.",
        (
            "keep people out of a circle of the extended length and mark it",
            "check every clamp before raising",
            "never leave it raised and unattended; retire cracked, crushed or deeply scored tubes",
        ),
    ),
    "wind_lightning": (
        "Wind load rises with the square of its speed and with height.",
        ("stop at the local wind limit", "stop at the first thunder and wait 30 minutes after the last"),
    ),
    "splinters_crush": (
        "A crushed or worn tube sheds needles and may fail without warning.",
        ("wear gloves; tape it or take it out of use; never drill it",),
    ),
}


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: what can happen and what to do about it."""

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
    return tuple(_for_the_buyer(_all()[key]) if place == "sheet" else _all()[key] for key in wanted)


def closing_line() -> str:
    """The line that ends every set of cautions."""
    return str(_table()["meta"]["closing"])


@cache
def _all() -> Mapping[str, Caution]:
    return {
        row["id"]: Caution(row["id"], row["title"], row["caution"], tuple(row["actions"]), row["closing"])
        for row in _table()["hazard"]
    }


@cache
def _table() -> dict[str, Any]:
    """The shipped table of hazards, read once."""
    return tomllib.loads((files("polewright.materials") / "data" / "hazards.toml").read_text(encoding="utf-8"))


def _for_the_buyer(caution: Caution) -> Caution:
    words, actions = FOR_THE_BUYER[caution.id]
    return Caution(caution.id, caution.title, words, actions, caution.closing)
