"""Kinds of record at the bench place: each has its form, keeps what was typed, and shows what it says."""

import re
from typing import Any

import pytest
from tests.said import said

from polewright.workshop import RECORD_KINDS, Workshop

REED = "/poles/reedlight-7"


def test_every_kind_has_a_form_with_its_fields_and_tables(client: Any) -> None:
    page = client.get(f"{REED}/bench").text
    forms = re.findall(r'<form class="test".*?</form>', page, re.S)
    assert len(forms) == len(RECORD_KINDS)
    for form, kind in zip(forms, RECORD_KINDS.values(), strict=True):
        assert f'name="kind" value="{kind.name}"' in form
        for field in kind.fields:
            assert f'id="{kind.code}-{field.name}"' in form
            assert said(f"place.bench.field.{kind.code}.{field.name}") in form
        assert form.count('<table class="readings') == len(kind.tables)
        for table in kind.tables:
            assert all(f'name="{table.prefix}{column.name}-0"' in form for column in table.columns)


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_a_tube_weighed_and_measured_is_kept_and_shown_with_its_causes(
    client: Any, workshop: Workshop, units: str
) -> None:
    work = workshop.check(workshop.designs.open("reedlight-7").saved.design)
    section = work.sections[3]
    mass, outside = section.mass * 0.9, section.outside_butt - 0.3e-3
    client.cookies["units"] = units
    typed = {
        "mass_g": f"{mass * 1e3:.2f} g",
        "outside_mm": f"{outside / 25.4e-3:.6f} in",
        "bore_mm": f"{section.bore_butt * 1e3:.3f} mm",
    }
    form = {"kind": "tube measured", "serial": "R7-1-S4", "section": "4", "length_mm": "", **typed}
    kept = client.post(f"{REED}/tests", data=form)
    assert kept.status_code == 303, kept.text
    (entry,) = workshop.records.listed(slug="reedlight-7")
    assert entry.record.test.mass_g == pytest.approx(mass * 1e3, abs=0.01)
    assert entry.record.test.outside_mm == pytest.approx(outside * 1e3, abs=1e-3)
    assert entry.record.test.length_mm is None
    page = client.get(f"{REED}/bench").text
    shown = page[page.index('id="tests-kept"') : page.index("<footer>")]
    assert said("bench.kind.tube", section=4) in shown
    assert said("bench.name.outside") in shown
    assert said("bench.name.bore") in shown
    assert said("bench.name.length") not in shown
    assert said("bench.verdict.reads_low") in shown
    unit = "mm" if units == "metric" else "in"
    number = outside * 1e3 if units == "metric" else outside / 25.4e-3
    assert f"{number:.{2 if units == 'metric' else 4}f} ±" in shown
    assert not re.search(r"\d (?:mm|g)\b" if units == "inch" else r"\d (?:in|oz)\b", shown.replace("\u00a0", " ")), unit
    again = client.get(f"{REED}/bench?correct={entry.number}").text
    assert f'name="corrects" value="{entry.number}"' in again
    assert re.search(r'name="mass_g" value="[\d.]+"', again)


def test_a_tube_without_its_mass_is_refused_at_the_field(client: Any) -> None:
    form = {"kind": "tube measured", "serial": "R7-1", "section": "4", "mass_g": "", "outside_mm": "40"}
    answer = client.post(f"{REED}/tests", data=form, headers={"accept": "application/json"})
    assert answer.status_code == 422
    assert [fault["field"] for fault in answer.json()["faults"]] == ["test.mass_g"]


def test_the_result_of_a_tube_is_had_from_the_api(client: Any, workshop: Workshop) -> None:
    record = {
        "document": "test-record",
        "schema_version": 1,
        "serial": "R7-1-S4",
        "test": {"kind": "tube measured", "section": 4, "mass_g": 250.0, "outside_mm": 44.0, "length_mm": 1500.0},
    }
    kept = client.post("/api/poles/reedlight-7/tests", json={"record": record})
    assert kept.status_code == 201, kept.text
    result = client.get(f"/api/tests/{kept.json()['number']}/result").json()
    assert (result["unit"], result["measured"]) == ("g", pytest.approx(250.0))
    assert [line["measured"] for line in result["further"]] == pytest.approx([44.0, 1500.0])
    assert result["causes"]


def test_a_joint_at_two_overlaps_is_kept_with_both_its_tables(client: Any, workshop: Workshop) -> None:
    rows = {"load_g-0": "100", "reading_mm-0": "0", "load_g-1": "300", "reading_mm-1": "199.551"}
    second = {
        "second_load_g-0": "100",
        "second_reading_mm-0": "0",
        "second_load_g-1": "300",
        "second_reading_mm-1": "188.931",
    }
    form = {"kind": "joint overlaps", "serial": "R7-1", "joint": "2", "prop_mm": "1 m", "overlap_mm": "10 in"}
    kept = client.post(f"{REED}/tests", data={**form, "second_overlap_mm": "350 mm", **rows, **second})
    assert kept.status_code == 303, kept.text
    test = {"readings": [(100.0, 0.0), (300.0, 199.551)], "second": [(100.0, 0.0), (300.0, 188.931)]}
    (entry,) = workshop.records.listed(slug="reedlight-7")
    assert {name: [(r.load_g, r.reading_mm) for r in getattr(entry.record.test, name)] for name in test} == test
    assert (entry.record.test.joint, entry.record.test.overlap_mm) == (2, pytest.approx(254.0))
    page = client.get(f"{REED}/bench").text
    assert said("bench.kind.overlaps", joint=2) in page
