"""The bench by command: loads as a balance reads them, readings round the clock, and a list that always ends."""

import json
from datetime import UTC, datetime

import pytest
from tests.said import said

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


ADDED = {
    "spans": (["section=3", "span_mm=1.4 m", "second_span_mm=500"],
              ["500=1.00", "2500=2.40", "second_readings: 500=0", "second_readings: 2500=0.083"]),
    "torsion": (["section=3", "length_mm=1.2 m", "arm_mm=200", "lever_mm=150"], ["5 N=0", "25 N=14.4 mm"]),
    "ring": (["section=3", "width_mm=20"], ["500=0", "2 kg=0.115"]),
    "tap": (["section=3", "length_mm=600", "mass_g=68.8", "outside_mm=28.64", "bore_mm=26.93"], ["758 Hz", "759.5"]),
    "own": (["prop_mm=1 m"], ["390", "376 @ 180"]),
    "swing": (["load_g=540"], ["10=18.5 s", "10=18.6"]),
    "pull": (["joint=2", "surface=soapy"], ["190 N", "194", "192"]),
    "proof": (["load_g=12 N", "time_s=12", "set_mm=1", "creak=no"], []),
    "sight": (["tapped=yes"], ["crush=3 @ 250 mm # scratch alone", "bow=2 # paired"]),
}  # fmt: skip


@pytest.mark.parametrize("code", ADDED)
def test_every_further_test_is_kept_by_command_with_its_uncertainty(polewright, reedlight, code):
    fields, readings = ADDED[code]
    words = [word for text in fields for word in ("--set", text)]
    words += [word for text in readings for word in ("--reading", text)]
    done = polewright("bench", "add", reedlight, code, "--serial", "R7-1", *words, "--json")
    assert done.returncode == 0, done.stderr
    result = json.loads(done.stdout)
    assert result["verdict"] in ("agrees", "reads low", "reads high", "cannot tell", "passes")
    assert code == "sight" or result["uncertainty"] > 0.0
    told = polewright("bench", "add", reedlight, code, "--serial", "R7-1", *words)
    assert told.returncode == 0, told.stderr
    listed = polewright("bench", "list")
    assert listed.returncode == 0
    assert len(listed.stdout.splitlines()) == 2


def test_the_standing_of_a_pole_is_told_by_command(polewright, reedlight):
    def keep(code):
        fields, readings = ADDED[code]
        words = [word for text in fields for word in ("--set", text)]
        words += [word for text in readings for word in ("--reading", text)]
        assert polewright("bench", "add", reedlight, code, "--serial", "R7-1", *words).returncode == 0

    keep("own")
    keep("sight")
    told = polewright("bench", "standing", reedlight).stdout
    assert said("bench.standing.not_proved") in told
    assert said("bench.standing.no_proof") in told
    keep("proof")
    assert said("bench.standing.sound") in polewright("bench", "standing", reedlight, "--serial", "R7-1").stdout
    assert polewright("bench", "standing", reedlight, "--serial", "other").stdout == ""


def test_a_clock_that_is_no_angle_is_refused_by_the_document(polewright, reedlight):
    fields = ("--set", "section=3", "--set", "span_mm=1.4 m", "--serial", "S3")
    done = polewright("bench", "add", reedlight, "bend", *fields, "--reading", "500=1 @ noon", "--reading", "900=2")
    assert done.returncode == 2
    assert "noon" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_row_that_lacks_a_column_is_refused(polewright, reedlight):
    done = polewright("bench", "add", reedlight, "swing", "--serial", "R7-1", "--set", "load_g=540", "--reading", "10")
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert said("want.row_of_columns") in done.stderr


def test_lots_given_by_command_are_kept_with_every_kind(polewright, reedlight, tmp_path):
    store, lots = tmp_path / "lots.db", ("--lot", "B17", "--lot", "C3")
    own = ("--serial", "S3", *lots, "--store", store)
    loads = ("--reading", "500 g=1.00 mm", "--reading", "2500 g=2.40 mm")
    section = ("--section", "3", "--span", "1.4 m")
    measured = ("--set", "section=3", "--set", "mass_g=200 g", "--set", "outside_mm=28 mm")
    tip = ("--reading", "250 g=10 mm", "--reading", "750 g=200 mm")
    for words in (
        ("tube", reedlight, *section, *loads),
        ("pole", reedlight, *tip),
        ("add", reedlight, "tube", *measured),
    ):
        done = polewright("bench", *words, *own)
        assert done.returncode == 0, done.stderr
    with open_workshop(store) as workshop:
        assert [entry.record.lots for entry in workshop.records.listed()] == [("B17", "C3")] * 3
