"""What searches of a short pole answer, in SI with codes: wishes one by one, offers, a conflict, ways out of it."""

import dataclasses
import tomllib
from collections.abc import Callable, Iterator
from typing import Any

from polewright.answers.find import Finder
from polewright.codes import Message
from polewright.documents.brief_file import BriefDocument
from polewright.words import Reader
from polewright.words.reports.find import find_report
from tests.kept.coded import CODED, texts_of
from tests.kept.figures import Place
from tests.kept.whole import ROOT, places_in

Change = Callable[[dict[str, Any]], object]
LONG = ("counts", "estimate")
"""How many were looked at and how long it takes: no part of what is found."""


def _plain() -> dict[str, Any]:
    plain = tomllib.loads((ROOT / "examples" / "briefs" / "reedlight-7.toml").read_text(encoding="utf-8"))
    plain["brief"] = {"reach_at_least_mm": 3000, "material_cost_at_most": 60}
    plain["bought"] = {
        "mandrels": plain["mandrels"][3:4],
        "materials": [m for m in plain["materials"] if m["id"] == "HM125"],
    }
    plain["materials"] = [m for m in plain["materials"] if m["id"] != "HM125"]
    plain["mandrels"] = plain["mandrels"][:3]
    plain["rolls"]["most_plies"] = 6
    plain["rolls"]["plies"] = [p for p in plain["rolls"]["plies"] if p["prepreg"] != "HM125"]
    plain.pop("sections", None)
    plain.pop("further", None)
    return plain


def _brief(**wishes: Any) -> Change:
    return lambda plain: plain["brief"].update(wishes)


def _rolls(**rules: Any) -> Change:
    return lambda plain: plain["rolls"].update(rules)


def _further(plain: dict[str, Any]) -> None:
    plain["brief"]["base_outside_at_most_mm"] = 28.5
    plain["further"] = {**plain["bought"], "cost": 15.0}


SEARCHES: dict[str, Change] = {
    "lightest": lambda plain: plain.update(aim="mass", brief={"reach_at_least_mm": 3000, "droop": [
        {"tip_total_g": 500, "at_most_mm": 60}]}),
    "cheapest": lambda plain: plain.update(aim="cost", brief={"reach_at_least_mm": 3000, "mass_at_most_g": 400}),
    "flex": lambda plain: plain.update(aim="mass", brief={"reach_at_least_mm": 3000, "droop": [
        {"tip_total_g": 500, "wanted_mm_per_100g": 14.0, "within_pct": 5.0}]}),
    "first out": _brief(droop=[{"tip_total_g": 400, "out": 1, "at_most_mm": 90}]),
    "closed": _brief(closed_at_most_mm=1800, balance_at_most_mm=1500),
    "thick": _rolls(wall_least_mm=0.7, wall_most_mm=1.1, block_most_mm=0.6, neighbours_most_deg=90),
    "strong": _rolls(moment_least_N_m=100, plates_squeeze_least_N=100, hand_squeeze_least_N=100,
                     pads_squeeze_least_N=50, clamp_least_kPa=50, ring_least_N_m=1),
    "borne": _rolls(moment_least_N_m=30, plates_squeeze_least_N=20, hand_squeeze_least_N=20,
                    pads_squeeze_least_N=10, clamp_least_kPa=5),
    "any order": _rolls(order="any", most_plies=4, hoop_inside=False, hoop_outside=False),
    "one length": lambda plain: plain.update(section_length_mm=1650),
    "own length": lambda plain: plain.update(sections=[2], aim="droop"),
    "clamped": _brief(clamp_hold_N=300),
    "bought": _further,
    "wider": lambda plain: plain.update(brief={"reach_at_least_mm": 3000, "base_outside_at_most_mm": 27.5},
                                        further={"base_mm": 2.0, "cost": 5.0}),
    "out of stock": lambda plain: plain.update(stock=[{"prepreg": "SM150", "left_m": 0.5}], work_h=4),
    "too much": _brief(mass_at_most_g=330, droop=[{"tip_total_g": 600, "at_most_mm": 40}]),
    "hopeless": _brief(reach_at_least_mm=9000),
}  # fmt: skip


def _names_in(value: Any, place: str = "") -> Iterator[tuple[str, Place]]:
    """Every name and word of frozen values under its place; "nothing" where there is none."""
    if value is None or isinstance(value, str):
        yield f"{place} is", value or "nothing"
    elif isinstance(value, tuple):
        for i, each in enumerate(value):
            yield from _names_in(each, f"{place}[{i}]")
    elif dataclasses.is_dataclass(value) and not isinstance(value, Message):
        for field in dataclasses.fields(value):
            yield from _names_in(getattr(value, field.name), f"{place}.{field.name}" if place else field.name)


def brief_of(name: str) -> dict[str, Any]:
    """The brief of a search as plain values."""
    plain = _plain()
    SEARCHES[name](plain)
    plain.pop("bought")
    return plain


def searched(name: str) -> dict[str, Place]:
    """The whole answer of one search, and the texts of what is published of it."""
    finder = Finder(BriefDocument(**brief_of(name)))
    finder.search()
    finder.trade()
    finder.buy()
    answer = finder.answer()
    report = find_report(answer, Reader(CODED)).model_dump(mode="json", exclude={"search", "best"})
    texts = {f"published: {place}": text for place, text in texts_of(report)}
    found = {**dict(places_in(answer)), **dict(_names_in(answer)), **texts}
    return {place: value for place, value in found.items() if not place.startswith(LONG)}
