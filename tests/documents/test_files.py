import json
import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.documents.design import Design
from polewright.documents.files import DocumentError, document_from, document_of, dump_json, dump_toml, load

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").rglob("*.toml"))


def small_design() -> dict:
    return {
        "document": "pole-design",
        "schema_version": 1,
        "name": "Two tubes",
        "materials": [{"id": "ud", "prepreg": "ud_sm_150"}],
        "mandrels": [{"id": "m", "profile": [{"at_mm": 0, "diameter_mm": 26.9}, {"at_mm": 2000, "diameter_mm": 26.9}]}],
        "sections": [{"length_mm": 1500, "mandrel": "m", "stack": [{"prepreg": "ud", "angle_deg": 0, "turns": 4}]}],
    }


def faults(plain: dict) -> dict[str, str]:
    with pytest.raises(DocumentError) as caught:
        document_of(plain)
    return {fault[0]: str(fault) for fault in caught.value.faults}


def test_there_are_examples():
    assert len(EXAMPLES) >= 4


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_example_reads_and_round_trips_as_toml_and_json(path):
    document = load(path)
    assert document_from(dump_toml(document)) == document
    assert document_from(dump_json(document), is_json=True) == document
    assert document_from(dump_toml(document)).content_hash() == document.content_hash()


@settings(max_examples=40, derandomize=True, deadline=None)
@given(st.floats(1.0, 3000.0), st.floats(-90.0, 90.0).filter(lambda a: abs(a) > 1.6), st.floats(0.1, 20.0))
def test_any_numbers_in_range_round_trip(length, angle, turns):
    plain = small_design()
    plain["sections"][0]["length_mm"] = length
    plain["sections"][0]["stack"] = [{"prepreg": "ud", "angle_deg": angle, "turns": turns}]
    design = document_of(plain)
    assert document_from(dump_toml(design)) == design
    assert document_from(dump_json(design), is_json=True) == design


def test_text_with_a_unit_is_read():
    plain = small_design()
    plain["sections"][0]["length_mm"] = "1,5 m"
    assert document_of(plain).sections[0].length_mm == pytest.approx(1500.0)
    plain["sections"][0]["length_mm"] = "60 in"
    assert document_of(plain).sections[0].length_mm == pytest.approx(1524.0)


def test_missing_field_is_named():
    plain = small_design()
    del plain["sections"][0]["mandrel"]
    assert "sections[0].mandrel" in faults(plain)


def test_misspelt_field_is_named_with_the_right_spelling():
    plain = small_design()
    plain["sections"][0]["lenght_mm"] = plain["sections"][0].pop("length_mm")
    said = faults(plain)
    assert said["sections[0].lenght_mm"] == "sections[0].lenght_mm: want.field_spelled (name length_mm)"
    assert "sections[0].length_mm" in said


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (-1500, "limit.ge (limit bound.length (value 0.001))"),
        (1e9, "limit.le (limit bound.length (value 30.0))"),
        (float("nan"), "finite"),
        (float("inf"), "finite"),
        ("long", "number"),
        (True, "number"),
        (None, "number"),
        ([], "number"),
        ("1,500", "comma"),
    ],
)
def test_absurd_length_is_refused_with_a_remedy(value, words):
    plain = small_design()
    plain["sections"][0]["length_mm"] = value
    assert words in faults(plain)["sections[0].length_mm"]


@pytest.mark.parametrize(
    ("value", "degrees"), [("1,5708", 90), ("0.7854", 45), (1.5708, 90), (0.7854, 45), (-0.7854, -45), (0.5236, 30)]
)
def test_angle_in_radians_is_caught(value, degrees):
    plain = small_design()
    plain["sections"][0]["stack"][0]["angle_deg"] = value
    said = faults(plain)["sections[0].stack[0].angle_deg"]
    assert f"want.degrees (angle {math.radians(degrees)})" in said


@pytest.mark.parametrize("angle", [0.5, 1.0, 1.5, -1.0, 0.0, "0.7854 rad", 90])
def test_small_angles_in_degrees_and_named_radians_are_read(angle):
    plain = small_design()
    plain["sections"][0]["stack"][0]["angle_deg"] = angle
    got = document_of(plain).sections[0].stack[0].angle_deg
    assert got == pytest.approx(45.0, abs=1e-3) if angle == "0.7854 rad" else got == angle


@pytest.mark.parametrize("version", [2, 99, 0, -1, "1", 1.5, True])
def test_other_version_is_refused(version):
    plain = small_design() | {"schema_version": version}
    assert "schema_version" in faults(plain)


def test_missing_version_and_kind_are_refused():
    plain = small_design()
    del plain["schema_version"]
    assert "schema_version" in faults(plain)
    del plain["document"]
    assert "pole-design" in faults(plain)["document"]


def test_every_fault_is_reported_at_once():
    plain = small_design()
    plain["sections"][0]["length_mm"] = -1
    plain["sections"][0]["stack"][0]["turns"] = 0
    plain["colour"] = "red"
    assert set(faults(plain)) == {"sections[0].length_mm", "sections[0].stack[0].turns", "colour"}


def test_truncated_and_binary_files_are_refused(tmp_path):
    whole = json.dumps(small_design())
    for name, data in (
        ("a.json", whole[:60].encode()),
        ("b.toml", b'name = "x'),
        ("c.toml", b"\xff\xfe\x00"),
        ("d.json", b"[1, 2]"),
        ("e.json", b""),
        ("f.json", b"[" * 100000),
    ):
        path = tmp_path / name
        path.write_bytes(data)
        with pytest.raises(DocumentError) as caught:
            load(path)
        assert name in caught.value.sentence()
    with pytest.raises(DocumentError):
        load(tmp_path / "absent.toml")
    with pytest.raises(DocumentError):
        load(tmp_path)


def test_hash_changes_with_content_and_not_with_spelling():
    design = document_of(small_design())
    assert isinstance(design, Design)
    other = small_design()
    other["sections"][0]["length_mm"] = "1.5 m"
    assert document_of(other).content_hash() == design.content_hash()
    other["sections"][0]["length_mm"] = 1501
    assert document_of(other).content_hash() != design.content_hash()


def test_same_id_twice_and_joint_count_are_refused():
    plain = small_design()
    plain["materials"].append(plain["materials"][0])
    assert "want.id_of_its_own" in faults(plain)["materials"]
    plain = small_design()
    plain["joints"] = [{"overlap_mm": 200}]
    with pytest.raises(DocumentError, match=r"want\.joint_between_sections \(joints 1, sections 1\)"):
        document_of(plain)


@pytest.mark.parametrize("is_json", [True, False])
def test_whole_number_of_thousands_of_digits_is_refused_with_a_message(is_json):
    digits = "1" * 5000
    text = (
        f'{{"document": "pole-design", "schema_version": 1, "tip_fitting_g": {digits}}}'
        if is_json
        else f'document = "pole-design"\nschema_version = 1\ntip_fitting_g = {digits}\n'
    )
    with pytest.raises(DocumentError, match=r"want\.shorter_whole_number"):
        document_from(text, is_json=is_json)


def test_long_value_is_cut_in_the_message():
    assert len(faults(small_design() | {"tip_fitting_g": "x" * 5000})["tip_fitting_g"]) < 200
    assert len(faults(small_design() | {"document": "x" * 5000})["document"]) < 200


def test_wrong_kind_of_table_is_reported_without_names_of_the_program():
    plain = small_design()
    plain["mandrels"], plain["materials"] = [3], [{"id": "ud", "fibre": {"E1_GPa": 3}, "prepreg": {"x": 1}}]
    told = faults(plain)
    assert told["mandrels[0]"] == "mandrels[0] is 3: want.table_of_fields"
    assert not any(word in text for word in ("constrained-str", "instance", "is dict") for text in told.values())
