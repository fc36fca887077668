"""A refusal in words: the field by its name, counted from 1, its bound in the reader's unit."""

import pytest
from pydantic import BaseModel

from polewright.codes import Message
from polewright.documents.files import KINDS
from polewright.documents.hold import Holding
from polewright.documents.plain_checks import models_in
from polewright.errors import DesignError
from polewright.words import Reader, fault_text, field_name

READER = Reader()


def fields_of(model: type[BaseModel], found: dict[type[BaseModel], None]) -> dict[type[BaseModel], None]:
    if model not in found:
        found[model] = None
        for field in model.model_fields.values():
            for part in models_in(field.annotation):
                fields_of(part, found)
    return found


@pytest.mark.parametrize("kind", [*KINDS, "hold"])
def test_every_field_of_a_document_has_a_name(kind: str) -> None:
    parts = fields_of(KINDS.get(kind, Holding), {})
    missing = {name for part in parts for name in part.model_fields if not READER.has(f"field.{name}")}
    assert not missing


@pytest.mark.parametrize(
    ("path", "parts"),
    [
        ("sections[3].stack[0].angle_deg", (("item.sections", 4), ("item.stack", 1), ("field.angle_deg", None))),
        ("joints[1].overlap_mm", (("item.joints", 2), ("field.overlap_mm", None))),
        ("brief.droop[0].at_most_mm", (("item.droop", 1), ("field.at_most_mm", None))),
        ("materials[1].id", (("item.materials", 2), ("field.id", None))),
        ("setting.room_C", (("field.setting", None), ("field.room_C", None))),
        ("brief.swing_at_least_Hz", (("field.swing_at_least_Hz", None),)),
    ],
)
@pytest.mark.parametrize("language", ["en", "x-marked"])
def test_a_path_is_named_step_by_step_and_counted_from_1(path: str, parts: tuple, language: str) -> None:
    reader = Reader(language)
    expected = [
        reader.say(code) if number is None else reader.say(code, number=number, following=number + 1)
        for code, number in parts
    ]
    assert field_name(reader, path) == ", ".join(expected)


def test_a_joint_is_named_by_both_its_sections() -> None:
    assert "2/3" in field_name(READER, "joints[1].overlap_mm")


def test_a_field_of_a_form_that_appears_several_times_has_its_number() -> None:
    name = READER.say("field.reading_mm")
    assert field_name(READER, "reading_mm-2") == READER.say("item.of_form", name=name, number=3)


@pytest.mark.parametrize("option", ["--if", "shape of the pole", "file x.toml"])
def test_what_is_no_path_stays_as_it_is(option: str) -> None:
    assert field_name(READER, option) == option


def test_an_unknown_name_is_read_without_unit_and_underscores() -> None:
    assert field_name(READER, "lenght_mm") == "lenght"
    assert field_name(READER, "tip_load") == "tip load"


@pytest.mark.parametrize("field", ["setting.ring_N_mm", "sections[1].wall_in", "time_min"])
def test_an_unknown_name_that_ends_in_no_clear_unit_is_read_as_it_is(field: str) -> None:
    name = field.rsplit(".", 1)[-1].replace("_", " ")
    assert field_name(READER, field).endswith(name)


@pytest.mark.parametrize(("system", "unit"), [("metric", "mm"), ("inch", "in")])
def test_a_number_is_asked_for_in_the_unit_of_its_field(system: str, unit: str) -> None:
    reader = Reader("en", system)
    wanted = fault_text(reader, "sections[0].length_mm", "'x'", Message("want.number_such_as")).want
    assert wanted == reader.say("want.number_in", unit=unit)
    plain = fault_text(reader, "sections[0].stack[0].turns", "'x'", Message("want.number_such_as")).want
    assert plain == reader.say("want.plain_number_such_as")


@pytest.mark.parametrize(("system", "bound"), [("metric", "30\u202f000\u00a0mm"), ("inch", "in")])
def test_a_bound_is_shown_in_the_unit_of_the_reader(system: str, bound: str) -> None:
    want = Message("limit.le", limit=Message("bound.length", value=30.0))
    assert bound in fault_text(Reader("en", system), "brief.reach_at_least_mm", "4e7", want).says


def test_nothing_typed_is_shown_to_be_empty_and_no_value_is_left_out() -> None:
    want = Message("want.still_empty")
    name = READER.say("field.name")
    empty = READER.say("given.empty")
    assert fault_text(READER, "name", "''", want).says == READER.say(
        "refusal.field_value_want", field=name, value=empty, want=want
    )
    assert fault_text(READER, "name", None, want).says == READER.say("refusal.field_want", field=name, want=want)


def test_a_refusal_of_a_file_says_the_file_and_the_path_in_it() -> None:
    fault = DesignError("sections[0].length_mm", "-5", Message("want.above_zero"))
    assert "sections[0].length_mm" not in READER.refusal(fault)
    fault.where = "pole.toml"
    assert READER.refusal(fault).startswith("pole.toml: ")
    assert "(sections[0].length_mm)" in READER.refusal(fault)
