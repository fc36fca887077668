"""The bench by command: loads as a balance reads them, readings round the clock, and a list that always ends."""

import json
from datetime import UTC, datetime

import pytest

from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.store.content import Content
from polewright.store.entries import add_bench_entry
from polewright.store.poles import pole_row
from polewright.workshop import open_workshop


@pytest.mark.parametrize(
    ("small", "large"),
    [("500 g", "2500 g"), ("4.903325 N", "24.516625 N"), ("0.5 kgf", "2.5 kgf"), ("0.5", "2.5 kg"),
     ("1.1023113 lb", "5.5115566 lb"), ("1.1023113 lbf", "5.5115566 lbf")],
)  # fmt: skip
def test_a_load_is_given_in_newtons_kilograms_or_pounds(polewright, reedlight, small, large):
    small = small if " " in small else f"{float(small) * 1e3:g}"
    fields = ("--set", "section=3", "--set", "span_mm=1.4 m", "--serial", "S3", "--json")
    readings = ("--reading", f"{small}=1.00 mm", "--reading", f"{large}=2.40 mm")
    done = polewright("bench", "add", reedlight, "bend", *fields, *readings)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["measured"] == pytest.approx(833.1, abs=0.1)


def test_a_load_that_is_no_load_is_refused_with_the_units_of_both(polewright, reedlight):
    fields = ("--set", "section=3", "--set", "span_mm=1.4 m", "--serial", "S3")
    done = polewright("bench", "add", reedlight, "bend", *fields, "--reading", "5 mm=1.00", "--reading", "900 g=2.40")
    assert done.returncode == 2
    assert "5 mm" in done.stderr
    assert all(unit in done.stderr for unit in ("kg", "lb", "N", "kgf", "lbf"))


def test_readings_round_the_clock_are_fitted_by_command(polewright, reedlight):
    words = ["bench", "add", reedlight, "bend", "--serial", "S3", "--set", "section=3", "--set", "span_mm=1.4 m"]
    for clock, bow in ((0, 0.3), (72, 0.09), (144, -0.24), (216, -0.24), (288, 0.09)):
        words += ["--reading", f"500={1.0 + bow} @ {clock}", "--reading", f"2500={2.4 + bow} @ {clock} deg"]
    result = json.loads(polewright(*words, "--json").stdout)
    assert {line["unit"] for line in result["further"]} == {"%", "N m²", "mm", "°"}
    assert result["measured"] == pytest.approx(833.1, abs=0.1)
    assert max(line["measured"] for line in result["further"] if line["unit"] == "mm") == pytest.approx(0.3, abs=0.01)
    mixed = polewright(*words[:10], "--reading", "50 N=1 @ 90", "--reading", "150 N=3 @ 270")
    assert mixed.returncode == 2
    assert "Traceback" not in mixed.stderr


def test_one_old_entry_that_cannot_be_evaluated_does_not_hide_the_others(polewright, reedlight, own_place):
    good = (
        "--serial",
        "S3",
        "--set",
        "section=3",
        "--set",
        "span_mm=1.4 m",
        "--reading",
        "500=1",
        "--reading",
        "2500=2.4",
    )
    assert polewright("bench", "add", reedlight, "bend", *good).returncode == 0
    design = load(reedlight)
    assert isinstance(design, Design)
    readings = [{"load_g": 500.0, "reading_mm": 2.05}, {"load_g": 2500.0, "reading_mm": 0.42}]
    test = {"kind": "two-load bend", "section": 3, "span_mm": 1400.0, "readings": readings}
    falling = {"document": "test-record", "schema_version": 1, "serial": "OLD-1", "test": test}
    with open_workshop(own_place / "workshop.sqlite") as workshop, workshop.store.writing() as session:
        add_bench_entry(
            session,
            Content.of(falling),
            serial="OLD-1",
            pole=pole_row(session, "reedlight-7"),
            revision=1,
            corrects=None,
            note="",
            who="",
            at=datetime(2020, 1, 1, tzinfo=UTC),
        )
    listed = polewright("bench", "list")
    assert listed.returncode == 0, listed.stderr
    assert len(listed.stdout.splitlines()) == 2
    assert "OLD-1" in listed.stdout
    assert "833." in listed.stdout
