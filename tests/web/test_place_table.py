"""The table of places: one row a module, one router for all of them."""

from pathlib import Path
from typing import Any

import pytest

from polewright.web import places
from polewright.web.place_table import GROUPS, JOB_PLACES, PLACES
from polewright.workshop.jobs import KINDS

REED = "/poles/reedlight-7"


def test_every_module_of_places_but_today_is_a_place():
    modules = {path.stem for path in Path(places.__file__).parent.glob("*.py")} - {"__init__"}
    assert modules == {*PLACES, "today"}


def test_no_two_places_of_a_group_stand_at_one_position():
    spots = [(place.group, place.position) for place in PLACES.values()]
    assert len(set(spots)) == len(spots)
    assert [code for _, codes in GROUPS for code in codes] == list(PLACES)


def test_every_kind_of_long_work_shows_its_answer_at_a_place():
    assert set(JOB_PLACES) == set(KINDS)


@pytest.mark.parametrize(("address", "status"), [("wall", 405), ("wall/guess", 404), ("spread/resume", 404)])
def test_a_form_that_a_place_does_not_know_is_refused(client: Any, address: str, status: int) -> None:
    assert client.post(f"{REED}/{address}", data={}).status_code == status


def test_an_address_may_say_only_what_its_place_takes(client: Any) -> None:
    assert client.get(f"{REED}/find?n=-1").status_code == 404
    assert client.get(f"{REED}/find?shelf=nowhere").status_code == 404
    assert client.get(f"{REED}/wall?n=-1").status_code == 200  # not one of the wall's
