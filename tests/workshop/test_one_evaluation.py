"""An edit is evaluated once, whichever face it comes through; an angle is converted once in and once a figure out."""

import re
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
import pytest
from tests.api.conftest import Client

from polewright import units
from polewright.answers.check import Check, check_draft
from polewright.api import create_api
from polewright.documents import values
from polewright.documents.design import Design
from polewright.store import open_store
from polewright.web import combined_app, create_pages
from polewright.words import default_reader
from polewright.words.reports.check import check_report
from polewright.workshop import Workshop

POLE = "/poles/reedlight-7"
TURNS = {"edit": "set_turns", "section": 3, "ply": 0, "turns": 1.73}


class Counted:
    """Both faces of a demo workshop, and the designs that were evaluated for them."""

    def __init__(self, workshop: Workshop, evaluated: list[Design]) -> None:
        self.workshop, self.evaluated = workshop, evaluated
        self.ask = Client(combined_app(create_pages(workshop), create_api(workshop)))

    def page_edit(self, place: str, **fields: str) -> httpx.Response:
        """An edit at a place of the app."""
        return self.ask.post(f"{POLE}/{place}/edit?section=4", data=fields)


@pytest.fixture
def counted(tmp_path: Path) -> Iterator[Counted]:
    evaluated: list[Design] = []
    for known in (values.draft_workpiece, values._rolled):
        known.cache_clear()  # of earlier tests

    def check(design: Design) -> Check:
        evaluated.append(design)
        return check_draft(design)

    with Workshop(open_store(tmp_path / "w.db"), lambda: datetime(2026, 3, 1, tzinfo=UTC), check) as workshop:
        workshop.load_demo()
        counted = Counted(workshop, evaluated)
        assert counted.ask.get(f"{POLE}/wall?section=4").status_code == 200
        evaluated.clear()
        yield counted


def changed(counted: Counted) -> Design:
    """The one design that was evaluated."""
    (design,) = counted.evaluated
    assert design.sections[3].stack[0].turns == 1.73
    return design


@pytest.mark.parametrize("place", ["wall", "pole", "brief", "rules", "cut", "sheet"])
def test_an_edit_in_the_app_is_evaluated_once_with_its_page(counted: Counted, place: str) -> None:
    built = values.draft_workpiece.cache_info().misses
    answer = counted.page_edit(place, edit="set_turns", section="3", ply="0", turns="1.73")
    assert answer.status_code == 200, answer.text[:500]
    changed(counted)
    assert values.draft_workpiece.cache_info().misses - built == 1


def test_what_an_edit_found_is_known_when_the_pole_is_looked_at_and_saved(counted: Counted) -> None:
    counted.page_edit("wall", edit="set_turns", section="3", ply="0", turns="1.73")
    seen = re.search(r'data-seen="(\w+)"', counted.ask.get(f"{POLE}/wall?section=4").text)
    assert seen is not None
    counted.ask.post(f"{POLE}/revisions", data={"seen": seen[1], "note": "thicker"})
    assert counted.workshop.designs.open("reedlight-7").saved.design == changed(counted)


def test_an_edit_of_the_json_api_is_evaluated_once(counted: Counted) -> None:
    plain = counted.workshop.designs.at_hand("reedlight-7").plain()
    answer = counted.ask.post("/api/edits", json={"design": plain, "edits": [TURNS]})
    assert answer.json()["design"] == changed(counted).plain()


def test_edits_of_the_pole_at_hand_are_evaluated_once_together(counted: Counted) -> None:
    edits = [{**TURNS, "turns": 2.0}, TURNS]
    answer = counted.ask.post("/api/poles/reedlight-7/edits", json={"edits": edits})
    assert answer.json()["draft"] == changed(counted).plain()


@pytest.fixture
def conversions(monkeypatch: pytest.MonkeyPatch) -> Counter[tuple[str, str, float]]:
    """Every conversion of a unit while the test runs: function, field or unit, value."""
    counts: Counter[tuple[str, str, float]] = Counter()

    def counting(name: str, convert: Callable[..., float], *, is_field_first: bool) -> Callable[..., float]:
        def one(first: Any, second: Any, *rest: Any, **more: Any) -> float:
            key, value = (first, second) if is_field_first else (second, first)
            counts[name, str(key), float(value)] += 1
            return convert(first, second, *rest, **more)

        return one

    rooms = [room for name, room in sys.modules.items() if name.startswith("polewright.")]
    for name, is_field_first in (("si", True), ("from_si", True), ("to", False), ("from_", False)):
        convert = getattr(units, name)
        wrapped = counting(name, convert, is_field_first=is_field_first)
        for room in rooms:
            for attribute, found in list(vars(room).items()):
                if found is convert:
                    monkeypatch.setattr(room, attribute, wrapped)
    return counts


def test_the_angle_of_a_ply_is_converted_once_in_and_once_for_each_figure_shown(
    counted: Counted, conversions: Counter[tuple[str, str, float]]
) -> None:
    design = counted.workshop.designs.at_hand("reedlight-7")
    stack = tuple(
        ply.model_copy(update={"angle_deg": 1.25 + 2.5 * i}) for i, ply in enumerate(design.sections[3].stack)
    )  # angles that no other ply has
    sections = tuple(
        section.model_copy(update={"stack": stack}) if i == 3 else section for i, section in enumerate(design.sections)
    )
    design = design.model_copy(update={"sections": sections})
    angles = [ply.angle_deg for ply in stack]
    check = counted.workshop.check(design)
    assert {angle: conversions["si", "angle_deg", angle] for angle in angles} == dict.fromkeys(angles, 1)
    assert not [key for key in conversions if key[0] == "to" and key[1] == "°"]
    report = check_report(check, default_reader())
    shown = Counter({key[2]: count for key, count in conversions.items() if key[:2] == ("to", "°")})
    for angle, ply in zip(angles, check.sections[3].stack, strict=True):
        assert shown[ply.angle] == str(report.sections[3].stack).count(f"{angle:g} ")
        assert conversions["si", "angle_deg", angle] == 1


def test_a_page_of_a_wall_converts_no_angle_of_a_ply_again(
    counted: Counted, conversions: Counter[tuple[str, str, float]]
) -> None:
    counted.page_edit("wall", edit="rotate_ply", section="3", ply="0", angle_deg="3.75")
    changed_ply = counted.workshop.designs.at_hand("reedlight-7").sections[3].stack[0]
    assert changed_ply.angle_deg == 3.75
    counted.ask.get(f"{POLE}/wall?section=4")
    assert conversions["si", "angle_deg", 3.75] == 1
