"""The bench's forms are those of the table of record kinds; a rule of one face is a rule of all."""

import re
from typing import Any

import pytest

from polewright.answers.bench import RECORD_KINDS
from polewright.answers.bench_answer import RecordKind
from polewright.workshop import Workshop

BENCH = "/poles/reedlight-7/bench"
FALLING = [(500.0, 2.05), (2500.0, 0.42)]  # load [g], reading [mm]: the tube would rise under its load


@pytest.mark.parametrize("kind", RECORD_KINDS.values(), ids=RECORD_KINDS)
def test_the_page_has_a_form_of_each_kind_with_its_fields_and_loads(client: Any, kind: RecordKind) -> None:
    forms = client.get(BENCH).text.split("<form")[1:]
    (form,) = [form for form in forms if f'name="kind" value="{kind.name}"' in form]
    for field in kind.fields:
        assert re.search(rf'id="{kind.code}-{field.name}"[^>]* name="{field.name}"', form), field.name
        assert re.search(rf'<label for="{kind.code}-{field.name}">[^<]+</label>', form), field.name
    for table in (table for table in kind.tables if table.loads != ("", "")):
        offered = re.findall(rf'name="{table.prefix}load_g-\d+"[^>]* value="([^"]*)"', form)
        assert tuple(offered[:2]) == table.loads


def refused_by_page(client: Any) -> list[str]:
    form = {"kind": "two-load bend", "serial": "R7-0031", "section": "3", "span_mm": "800"}
    for row, (load, reading) in enumerate(FALLING):
        form |= {f"load_g-{row}": f"{load}", f"reading_mm-{row}": f"{reading}"}
    answer = client.post("/poles/reedlight-7/tests", data=form, headers={"accept": "application/json"})
    assert answer.status_code == 422
    return [fault["field"] for fault in answer.json()["faults"]]


def refused_by_api(client: Any) -> list[str]:
    readings = [{"load_g": load, "reading_mm": reading} for load, reading in FALLING]
    test = {"kind": "two-load bend", "section": 3, "span_mm": 800.0, "readings": readings}
    record = {"document": "test-record", "schema_version": 1, "serial": "R7-0031", "test": test}
    answer = client.post("/api/poles/reedlight-7/tests", json={"record": record})
    assert answer.status_code == 422
    return [fault["field"] for fault in answer.json()["faults"]]


@pytest.mark.parametrize("refused", [refused_by_page, refused_by_api])
def test_a_bend_test_whose_readings_fall_with_the_load_is_refused_by_page_and_api_alike(
    client: Any, workshop: Workshop, refused: Any
) -> None:
    assert refused(client) == ["test.readings"]
    assert workshop.records.listed() == ()
