"""Edits give new designs, checked anew, and name the field where they cannot."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.documents.files import DocumentError, load
from polewright.workshop import (
    add_ply,
    changes,
    edited,
    move_ply,
    remove_ply,
    retype_ply,
    rotate_ply,
    set_field,
    set_turns,
)

HOOP = {"prepreg": "axial", "angle_deg": 90.0, "turns": 1.0}


def lay_up(design, section=0):
    return [(ply.angle_deg, ply.turns) for ply in design.sections[section].stack]


def test_a_ply_is_put_in_moved_turned_and_taken_out(design):
    assert lay_up(design) == [(90, 2), (0, 6), (90, 2)]
    more = add_ply(design, 0, 1, {"prepreg": "axial", "angle_deg": 45, "turns": 1})
    assert lay_up(more) == [(90, 2), (45, 1), (0, 6), (90, 2)]
    moved = move_ply(more, 0, 1, 3)
    assert lay_up(moved) == [(90, 2), (0, 6), (90, 2), (45, 1)]
    turned = rotate_ply(moved, 0, 3, -45)
    assert lay_up(turned)[3] == (-45, 1)
    assert lay_up(set_turns(turned, 0, 3, 2.5))[3] == (-45, 2.5)
    assert remove_ply(turned, 0, 3) == design
    assert lay_up(more, 1) == lay_up(design, 1)


def test_a_value_may_be_typed_with_its_unit_or_a_decimal_comma(design):
    assert set_turns(design, 0, 1, "2,5").sections[0].stack[1].turns == 2.5
    assert set_field(design, "sections[1].length_mm", "1.65 m").sections[1].length_mm == 1650.0


def test_a_material_is_one_that_the_design_lists(design):
    listed = set_field(design, "materials[0].id", "axial")
    assert retype_ply(listed, 0, 0, "axial") == design
    with pytest.raises(
        DocumentError,
        match=r"sections\[0\]\.stack\[0\]\.prepreg is 'glass': want\.material_of_design \(choices \('axial',\)\)",
    ):
        retype_ply(design, 0, 0, "glass")


@pytest.mark.parametrize(
    ("edit", "field"),
    [
        (lambda d: rotate_ply(d, 0, 1, 95), "sections[0].stack[1].angle_deg"),
        (lambda d: rotate_ply(d, 0, 1, 1.5708), "sections[0].stack[1].angle_deg"),
        (lambda d: rotate_ply(d, 0, 1, float("nan")), "sections[0].stack[1].angle_deg"),
        (lambda d: set_turns(d, 1, 2, -1), "sections[1].stack[2].turns"),
        (lambda d: set_turns(d, 2, 0, 1), "sections[2]"),
        (lambda d: set_turns(d, -1, 0, 1), "sections[-1]"),
        (lambda d: set_turns(d, 0, 3, 1), "sections[0].stack[3]"),
        (lambda d: move_ply(d, 0, 1, 3), "sections[0].stack[3]"),
        (lambda d: add_ply(d, 0, 4, HOOP), "sections[0].stack[4]"),
        (lambda d: add_ply(d, 0, 0, {**HOOP, "angel": 3}), "sections[0].stack[0].angel"),
        (lambda d: set_field(d, "sections[9].length_mm", 1), "sections[9].length_mm"),
        (lambda d: set_field(d, "sections[0][0]", 1), "sections[0][0]"),
        (lambda d: set_field(d, "sections[0].length_mm.x", 1), "sections[0].length_mm.x"),
        (lambda d: set_field(d, "sektions", []), "sektions"),
        (lambda d: set_field(d, "setting.room_c", 21), "setting.room_c"),
        (lambda d: set_field(d, "joints[0].overlap_mm", None), "joints[0].overlap_mm"),
        (lambda d: set_field(d, "joints", []), "document"),
        (lambda d: set_field(d, "document", "brief"), "document"),
        (lambda d: set_field(d, "name", ""), "name"),
        (lambda d: set_field(d, "a b", 1), "a b"),
        (lambda d: set_field(d, "", 1), "field"),
        (lambda d: edited(d, "melt", section=0), "edit"),
        (lambda d: edited(d, "rotate_ply", section=0), "rotate_ply"),
    ],
)
def test_an_edit_that_cannot_be_names_the_field_and_leaves_the_design(design, edit, field):
    before = design.plain()
    with pytest.raises(DocumentError) as fault:
        edit(design)
    assert field in [each[0] for each in fault.value.faults]
    assert design.plain() == before


def test_a_misspelt_field_is_reported_the_right_spelling(design):
    with pytest.raises(DocumentError, match=r"want\.field_spelled"):
        set_field(design, "setting.room_c", 21)


def test_a_section_keeps_its_last_ply(design):
    one = remove_ply(remove_ply(design, 0, 2), 0, 0)
    with pytest.raises(DocumentError, match=r"want\.one_ply_left"):
        remove_ply(one, 0, 0)


def test_an_optional_field_is_set_and_taken_out_again(design):
    wished = set_field(design, "brief.mass_at_most_g", 700)
    assert wished.brief.mass_at_most_g == 700.0
    assert set_field(wished, "brief.mass_at_most_g", None) == design


def test_an_edit_by_its_name_is_the_edit(design):
    assert edited(design, "rotate_ply", section=0, ply=1, angle_deg=10) == rotate_ply(design, 0, 1, 10)


small = load(__file__.replace("test_edits.py", "small-pole.toml"))
angle = st.integers(-90, 90).map(float)


@given(at=st.integers(0, 3), deg=angle, turns=st.floats(0.25, 20))
@settings(max_examples=60, derandomize=True, deadline=None)
def test_a_ply_put_in_and_taken_out_leaves_the_same_design(at, deg, turns):
    more = add_ply(small, 1, at, {"prepreg": "axial", "angle_deg": deg, "turns": turns})
    assert remove_ply(more, 1, at) == small
    assert more.content_hash() != small.content_hash()


@given(ply=st.integers(0, 2), to=st.integers(0, 2))
@settings(max_examples=20, derandomize=True, deadline=None)
def test_a_ply_moved_there_and_back_leaves_the_same_design(ply, to):
    assert move_ply(move_ply(small, 0, ply, to), 0, to, ply) == small


@given(at=st.integers(0, 3), deg=angle)
@settings(max_examples=40, derandomize=True, deadline=None)
def test_a_ply_put_in_is_one_change_and_not_a_shift_of_all_that_follow(at, deg):
    more = add_ply(small, 0, at, {"prepreg": "axial", "angle_deg": deg, "turns": 0.75})
    (change,) = changes(small.plain(), more.plain())
    assert change.before is None
    assert change.after["angle_deg"] == deg
    assert change.field == f"sections[0].stack[{at}]"
