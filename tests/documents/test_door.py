"""What no document may hold; each fault is told once, with its field, what stands there and what would be right."""

import copy
import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from polewright.answers.bench import bench_answer
from polewright.documents.files import DocumentError, document_from, document_of
from polewright.words.reports.check import evaluate as check

SMALL = Path(__file__).parents[1] / "workshop" / "small-pole.toml"


def small() -> dict[str, Any]:
    return tomllib.loads(SMALL.read_text(encoding="utf-8"))


def between(quantity: str, least: float, most: float) -> str:
    return f"want.between (least bound.{quantity} (value {least}), most bound.{quantity} (value {most}))"


def put(plain: Any, path: tuple[str | int, ...], value: Any) -> Any:
    changed = copy.deepcopy(plain)
    holder = changed
    for step in path[:-1]:
        holder = holder[step]
    holder[path[-1]] = value
    return changed


def refused(plain: Any) -> list[tuple[str, str, str]]:
    with pytest.raises(DocumentError) as caught:
        document_of(plain)
    return [(field, value, str(want)) for field, value, want in caught.value.faults]


SWITCH = "want.number_or_text"
NEWER = "want.known_version (most 1)"
KNOWN = (
    "document",
    "schema_version",
    "name",
    "maker",
    "note",
    "brief",
    "setting",
    "tip_fitting_g",
    "materials",
    "mandrels",
    "sections",
    "joints",
)
FIBRE = ("materials", 0, "fibre")
ONE_FAULT = [
    ((*FIBRE, "E1_GPa"), 0, ("materials[0].fibre.E1_GPa", "0", "limit.ge (limit bound.modulus (value 10000000.0))")),
    (
        (*FIBRE, "Yt_ref_MPa"),
        -1.0,
        ("materials[0].fibre.Yt_ref_MPa", "-1.0", "limit.gt (limit bound.stress (value 0.0))"),
    ),
    (
        ("materials", 0, "resin", "Tg_dry_C"),
        1e9,
        ("materials[0].resin.Tg_dry_C", "1000000000.0", "limit.le (limit bound.temperature (value 673.15))"),
    ),
    (("materials", 0, "resin"), 5, ("materials[0].resin", "5", "want.text_in_quotes")),
    (("joints", 0, "pivot_pct"), True, ("joints[0].pivot_pct", "True", "want.number")),
    (("materials", 0, "void_pct"), True, ("materials[0].void_pct", "True", SWITCH)),
    (("name",), "Reed\nlight", ("name", r"'Reed\nlight'", "want.one_line")),
    (("sections", 0, "mandrel"), "bar\x1b[31m", ("sections[0].mandrel", r"'bar\x1b[31m'", "want.one_line")),
    (("note",), "bell \x07", ("note", r"'bell \x07'", "want.one_line")),
    (("maker",), "\ud800", ("maker", r"'\ud800'", "want.utf8")),
    (
        ("sections", 0, "stack", 0, "angle_deg"),
        0.7854,
        ("sections[0].stack[0].angle_deg", "0.7854", f"want.degrees (angle {math.radians(45)})"),
    ),
    (("brief",), {"clamp_hold_N": 0}, ("brief.clamp_hold_N", "0", "limit.ge (limit bound.force (value 1.0))")),
    (("brief",), {"droop": [{"out": 1e300, "at_most_mm": 5}]}, ("brief.droop[0].out", "1e+300", "want.whole_number")),
    (("joints", 0, "pivot_pct"), "", ("joints[0].pivot_pct", "''", "want.number")),
    (
        ("materials", 0, "price_per_m2"),
        "",
        ("materials[0].price_per_m2", "''", "want.number_in_unit (spellings /m2, /yd2)"),
    ),
    (
        ("sections", 0, "length_mm"),
        "3 furlong",
        ("sections[0].length_mm", "'3 furlong'", "want.number_in_unit (spellings mm, cm, m, µm, km, in, ft, yd, thou)"),
    ),
    (("Maker",), "Quillbeck", ("Maker", "", "want.field_spelled (name maker)")),
    (("my pole",), 1, ("my pole", "", f"want.known_field (choices {KNOWN})")),
    (("schema_version",), 9, ("schema_version", "9", NEWER)),
    (("schema_version",), None, ("schema_version", "", "want.missing_version (version 1)")),
]


@pytest.mark.parametrize(("path", "value", "fault"), ONE_FAULT, ids=[case[2][0] for case in ONE_FAULT])
def test_one_wrong_value_is_one_fault_at_its_own_field(path, value, fault):
    assert refused(put(small(), path, value)) == [fault]


def test_a_table_that_lacks_fields_is_not_also_reported_to_be_text():
    assert refused(put(small(), ("materials", 0, "resin"), {"E_GPa": 3.2, "nu": 0.35, "density_kg_m3": 1200.0})) == [
        ("materials[0].resin.cte_1e6_K", "", "want.missing")
    ]


def test_a_misspelt_field_of_a_fibre_keeps_its_name():
    plain = small()
    plain["materials"][0]["fibre"]["E11_GPa"] = plain["materials"][0]["fibre"].pop("E1_GPa")
    assert ("materials[0].fibre.E11_GPa", "", "want.field_spelled (name E1_GPa)") in refused(plain)


def test_words_of_a_note_may_go_over_several_lines():
    plain = small() | {"note": "rolled in May\nsanded in June"}
    assert document_of(plain).note == "rolled in May\nsanded in June"


@pytest.mark.parametrize(
    ("figure", "value", "want"),
    [
        ("E1_GPa", 1e9, between("modulus", 1e8, 1e12)),
        ("thickness_mm", 1e300, between("length", 1e-5, 3e-3)),
        ("resin_content_pct", -5.0, between("share", 0.1, 0.8)),
        ("Xt_MPa", 0.0, between("stress", 1e6, 1e10)),
    ],
)
def test_a_given_figure_is_one_that_a_ply_can_have(figure, value, want):
    plain = put(small(), ("materials", 0, "given"), [{"figure": figure, "value": value, "kind": "measured"}])
    assert refused(plain) == [("materials[0].given[0].value", f"{value!r}", want)]


IN_PLACE = [
    (("materials", 0, "roll_width_mm"), 20.0, ("materials[0].roll_width_mm is 20: want.roll_width_of_turn",)),
    (
        ("joints", 0, "proud_mm"),
        5000.0,
        ("joints[0].proud_mm is bound.length (value 5.0): want.below_shorter_tube (shorter 1.2)",),
    ),
    (("setting",), {"prop_mm": 3000}, ("setting.prop_mm", "want.prop_below_length (length 2.21999", "reach.all")),
    (
        ("setting",),
        {"rules": [{"id": "blocks"}]},
        ("setting.rules[0].id is 'blocks': want.known_rule_or_judge", "block"),
    ),
    (("setting",), {"rules": [{"id": "ours", "judge": "no"}]}, ("setting.rules[0].judge is 'no': want.one ", "block")),
]


@pytest.mark.parametrize(("path", "value", "words"), IN_PLACE, ids=[case[2][0].split()[0] for case in IN_PLACE])
def test_what_the_core_refuses_is_reported_with_its_place_in_the_document(path, value, words):
    with pytest.raises(DocumentError) as caught:
        check(document_of(put(small(), path, value)))
    (fault,) = caught.value.faults
    for word in words:
        assert word in str(fault)


def test_of_very_many_faults_the_first_are_reported_and_the_rest_counted():
    plain = put(small(), ("mandrels",), [{"id": f"bar {i}"} for i in range(80)])
    with pytest.raises(DocumentError) as caught:
        document_of(plain, where="pole.toml")
    told = caught.value.sentence().splitlines()
    assert len(caught.value.faults) == 80
    assert len(told) == 51
    assert told[0] == "pole.toml: mandrels[0].profile: want.missing"
    assert told[-1] == "pole.toml: ... (+30)"


RECORD = {
    "document": "test-record",
    "schema_version": 1,
    "serial": "R2-001",
    "test": {
        "kind": "tip load",
        "readings": [{"load_g": 500, "reading_mm": 100.0}, {"load_g": 1000, "reading_mm": 160.0}],
    },
}


def test_a_prop_beyond_the_pole_is_reported_as_the_tests_own():
    with pytest.raises(DocumentError, match=r"test\.prop_mm is .*want\.prop_below_length"):
        bench_answer(document_of(put(RECORD, ("test", "prop_mm"), 4000)), document_of(small()))


def test_a_field_is_spelt_as_the_kind_of_test_has_it():
    assert refused(put(RECORD, ("test", "prop"), 900)) == [("test.prop", "", "want.field_spelled (name prop_mm)")]


def test_a_clock_position_in_radians_is_refused():
    assert refused(put(RECORD, ("test", "readings", 0, "clock_deg"), 3.1416)) == [
        ("test.readings[0].clock_deg", "3.1416", f"want.degrees (angle {math.pi})")
    ]


def test_a_mandrel_place_out_of_order_is_reported_alone():
    profile = [{"at_mm": at, "diameter_mm": 20.0} for at in [0.0, 1700.0] * 50]
    assert refused(put(small(), ("mandrels", 0, "profile"), profile)) == [
        ("mandrels[0]", "", "want.rising_profile (before 1.7, place 3)")
    ]


@pytest.mark.parametrize(("is_json", "kind"), [(True, "JSON"), (False, "TOML")])
def test_a_text_that_breaks_off_is_told_by_its_kind(is_json, kind):
    with pytest.raises(DocumentError) as refused:
        document_from('{"document": ', is_json=is_json)
    ((field, _, want),) = refused.value.faults
    assert (field, want.code, want.values["kind"]) == ("file", "want.whole_text", kind)
