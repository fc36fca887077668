"""Other units of the same quantity, and other quantities, for texts that stand for a unit in code and tables."""

import re
from functools import cache

from polewright.units import QUANTITIES

SYSTEMS = {"metric": "inch", "inch": "metric"}
_WRITTEN = {"°": "deg", "%": "pct", "µm": "um", "°C": "C", "mm/100 g": "mm_per_100g"}


@cache
def _others() -> dict[str, tuple[str, ...]]:
    """Each unit's printed name with the units of its quantity that are of another size."""
    found: dict[str, tuple[str, ...]] = {}
    for quantity in QUANTITIES.values():
        for unit in quantity.units:
            others = tuple(u.name for u in quantity.units if u.factor != unit.factor)
            if others:
                found.setdefault(unit.name, others)
    return found


@cache
def _endings() -> dict[str, tuple[str, ...]]:
    """The same for the endings of field names: "mm" of "length_mm"."""

    def ending(unit: str) -> str:
        return _WRITTEN.get(unit, unit.replace("/", "_").replace(" ", "_"))

    return {
        ending(unit): tuple(dict.fromkeys(e for o in others if (e := ending(o)).isascii() and e.isidentifier()))
        for unit, others in _others().items()
        if ending(unit).isidentifier()
    }


def other_units(text: str) -> list[str]:
    """What may stand in place of a unit, a quantity or a system of units; nothing if `text` is none of them."""
    if text in SYSTEMS:
        return [SYSTEMS[text]]
    if text in _others():
        return list(_others()[text][:3])
    if text in QUANTITIES:
        names = list(QUANTITIES)
        place = names.index(text)
        return [names[(place + step) % len(names)] for step in (1, 5)]
    return []


def other_endings(field: str) -> list[str]:
    """A field's name with another unit of the same quantity at its end: "length_m" of "length_mm"."""
    words = field.split("_")
    for first in range(1, len(words)):
        others = _endings().get("_".join(words[first:]))
        if others:
            return ["_".join([*words[:first], other]) for other in others[:3] if other not in {"in", "min"}]
    return []


def other_formats(spec: str) -> list[str]:
    """A format of a number with a digit more and a digit less: ".2f" of ".1f", "length.2" of "length.1"."""
    found = re.fullmatch(r"(.*\.)(\d)(\D.*|)", spec)
    if not found:
        return []
    before, digits, rest = found[1], int(found[2]), found[3]
    return [f"{before}{more}{rest}" for more in (digits + 1, digits - 1) if more >= 0]
