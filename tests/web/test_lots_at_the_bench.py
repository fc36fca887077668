"""Lots typed at the bench reach the record, and so the figures that rest on measured poles."""

from typing import Any

import pytest
from tests.said import said

from polewright.workshop import RECORD_KINDS, Workshop, lots_of

REED = "/poles/reedlight-7"
FORM = {"kind": "tube measured", "serial": "R7-1-S4", "section": "4", "mass_g": "250 g", "outside_mm": "44 mm"}


def test_every_form_of_the_bench_asks_for_lots(client: Any) -> None:
    page = client.get(f"{REED}/bench").text
    assert page.count('name="lots"') == len(RECORD_KINDS)


def test_lots_typed_are_kept_shown_and_offered_again(client: Any, workshop: Workshop) -> None:
    kept = client.post(f"{REED}/tests", data={**FORM, "lots": " B17; C3, B17 ;"})
    assert kept.status_code == 303, kept.text
    (entry,) = workshop.records.listed(slug="reedlight-7")
    assert entry.record.lots == ("B17", "C3")
    assert said("place.bench.of_lots", lots="B17; C3") in client.get(f"{REED}/bench").text
    assert 'name="lots" value="B17; C3"' in client.get(f"{REED}/bench?correct={entry.number}").text


def test_a_lot_that_is_too_long_is_refused_at_the_field_of_lots(client: Any, workshop: Workshop) -> None:
    typed = {**FORM, "lots": "B17; " + "x" * 81}
    answer = client.post(f"{REED}/tests", data=typed, headers={"accept": "application/json"})
    assert answer.status_code == 422
    assert [fault["field"] for fault in answer.json()["faults"]] == ["lots"]
    assert workshop.records.listed(slug="reedlight-7") == ()


@pytest.mark.parametrize(
    ("typed", "lots"), [([""], ()), ([" ; ,"], ()), (["B17", "C3"], ("B17", "C3")), (["B17,C3;B17"], ("B17", "C3"))]
)
def test_lots_are_told_apart_and_counted_once(typed: list[str], lots: tuple[str, ...]) -> None:
    assert lots_of(typed) == lots
