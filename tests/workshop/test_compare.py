"""What changed between two revisions is named field by field, also among sections, plies and joints of like shape."""

import copy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.workshop import changes

JOINT = {"overlap_mm": 200.0, "proud_mm": 35.0, "stiffness_kN_m_rad": 9.0, "centring": "mouth", "clamp_g": 45.0}
HOOP = {"prepreg": "TH55", "angle_deg": 90.0, "turns": 1.0}


def axial(turns: float) -> dict[str, Any]:
    return {"prepreg": "SM150", "angle_deg": 0.0, "turns": turns}


def section(bar: str, turns: float) -> dict[str, Any]:
    return {"length_mm": 1650.0, "mandrel": bar, "stack": [dict(HOOP), axial(turns), dict(HOOP)]}


def pole() -> dict[str, Any]:
    """Five sections, all but the first rolled alike, joints all alike."""
    bars = ("M23", "M25", "M27", "M29", "M31")
    return {
        "name": "Reedlight 7",
        "sections": [section(bar, 4.0 if i == 0 else 5.0) for i, bar in enumerate(bars)],
        "joints": [dict(JOINT) for _ in range(4)],
        "mandrels": [{"id": bar} for bar in bars],
    }


def told(before: dict[str, Any], after: dict[str, Any]) -> list[tuple[str, Any, Any]]:
    return [(c.field, c.before, c.after) for c in changes(before, after)]


def test_joints_that_were_alike_are_named_each_with_the_field_that_changed():
    after = pole()
    after["joints"][0]["overlap_mm"] = 230.0
    after["joints"][1]["overlap_mm"] = 230.0
    after["joints"][2]["clamp_g"] = 50.0
    assert told(pole(), after) == [
        ("joints[0].overlap_mm", 200.0, 230.0),
        ("joints[1].overlap_mm", 200.0, 230.0),
        ("joints[2].clamp_g", 45.0, 50.0),
    ]


def test_sections_rolled_alike_are_named_each_with_its_ply():
    after = pole()
    for i, turns in ((1, 6.0), (2, 6.0), (3, 4.0)):
        after["sections"][i]["stack"][1]["turns"] = turns
    assert told(pole(), after) == [
        (f"sections[{i}].stack[1].turns", 5.0, turns) for i, turns in ((1, 6.0), (2, 6.0), (3, 4.0))
    ]


def test_hoops_that_were_alike_are_reported_each_by_its_own_change():
    after = pole()
    after["sections"][0]["stack"][0]["turns"] = 2.0
    after["sections"][0]["stack"][2]["angle_deg"] = 45.0
    assert told(pole(), after) == [
        ("sections[0].stack[0].turns", 1.0, 2.0),
        ("sections[0].stack[2].angle_deg", 90.0, 45.0),
    ]


def test_a_section_taken_out_is_one_section_gone_while_the_others_keep_their_changes():
    after = pole()
    del after["sections"][1], after["joints"][1]
    after["sections"][3]["length_mm"] = 1700.0  # the butt, which was section 5
    assert told(pole(), after) == [
        ("sections[1]", section("M25", 5.0), None),
        ("sections[3].length_mm", 1650.0, 1700.0),
        ("joints[3]", JOINT, None),
    ]


def test_a_ply_put_in_beside_its_like_is_the_one_that_came():
    after = pole()
    after["sections"][0]["stack"][1:2] = [axial(1.0), axial(4.5)]
    assert told(pole(), after) == [("sections[0].stack[1]", None, axial(1.0)), ("sections[0].stack[2].turns", 4.0, 4.5)]


def test_a_mandrel_is_known_by_its_name_and_not_by_its_likeness():
    before, after = (
        {"mandrels": [{"id": name, "material": "steel", "cte_1e6_K": 12.0} for name in names]}
        for names in (("M23", "M25"), ("M25", "M27"))
    )
    assert [(c.field, (c.before or c.after)["id"]) for c in changes(before, after)] == [
        ("mandrels[0]", "M23"),
        ("mandrels[1]", "M27"),
    ]


def test_a_mandrel_that_got_another_name_is_reported_as_that():
    before, after = (
        {"mandrels": [{"id": name, "cte_1e6_K": 12.0} for name in names]}
        for names in (("M23", "M25"), ("M23", "M25 new"))
    )
    assert told(before, after) == [("mandrels[1].id", "M25", "M25 new")]


@pytest.mark.parametrize("count", [3, 400])  # 400 are too many to be matched by likeness
def test_own_readings_are_reported_place_by_place(count):
    before, after = ({"values": [100.0 + i + (shift if i % 2 else 0.0) for i in range(count)]} for shift in (0.0, 0.25))
    assert told(before, after) == [(f"values[{i}]", 100.0 + i, 100.25 + i) for i in range(1, count, 2)]


edit = st.tuples(
    st.integers(0, 3),
    st.sampled_from(["overlap_mm", "proud_mm", "stiffness_kN_m_rad", "clamp_g"]),
    st.floats(1.0, 999.0),
)


@given(edits=st.lists(edit, min_size=1, max_size=6, unique_by=lambda e: e[:2]))
@settings(max_examples=150, derandomize=True, deadline=None)
def test_whatever_fields_of_like_joints_change_those_are_reported_and_no_other(edits):
    before = pole()
    after = copy.deepcopy(before)
    for i, field, value in edits:
        after["joints"][i][field] = value
    wanted = {(f"joints[{i}].{field}", JOINT[field], value) for i, field, value in edits if JOINT[field] != value}
    assert set(told(before, after)) == wanted


def rebuilt(before: Any, found: list[Any]) -> Any:
    """The older list with the changes of whole entries made: those gone taken out, those come put in."""
    left = [item for i, item in enumerate(before) if not any(c.field == f"l[{i}]" and c.after is None for c in found)]
    for change in sorted((c for c in found if c.before is None), key=lambda c: int(c.field[2:-1])):
        left.insert(int(change.field[2:-1]), change.after)
    return left


@given(before=st.lists(st.sampled_from("abc"), max_size=6), after=st.lists(st.sampled_from("abc"), max_size=6))
@settings(max_examples=200, derandomize=True, deadline=None)
def test_changes_lead_from_the_older_list_to_the_newer(before, after):
    found = list(changes({"l": before}, {"l": after}))
    half = rebuilt(before, [c for c in found if c.before is None or c.after is None])
    for c in found:
        if c.before is not None and c.after is not None:
            assert half[int(c.field[2:-1])] == c.before
            half[int(c.field[2:-1])] = c.after
    assert half == after


def fewest(before: str, after: str) -> int:
    """How few words must go, come or change to make one list of the other: the distance of Levenshtein."""
    if not before or not after:
        return len(before) + len(after)
    last = fewest(before[:-1], after[:-1]) + (before[-1] != after[-1])
    return min(last, fewest(before[:-1], after) + 1, fewest(before, after[:-1]) + 1)


@given(before=st.text("abcd", max_size=5), after=st.text("abcd", max_size=5))
@settings(max_examples=200, derandomize=True, deadline=None)
def test_as_little_has_changed_as_can_have(before, after):
    assert len(changes({"l": list(before)}, {"l": list(after)})) == fewest(before, after)


def test_a_list_within_a_list_is_matched_by_all_that_it_holds():
    kept, gone, come = ["a", "b", "c"], ["p", "q"], ["x", "y", "z"]
    assert told({"l": [gone, kept]}, {"l": [kept, come]}) == [("l[0]", gone, None), ("l[1]", None, come)]


def test_one_word_is_less_of_a_change_than_two_figures_far_from_what_they_were():
    was, other, same = ({"m": m, "a": a, "b": b} for m, a, b in (("A", 10, 20), ("A", 1000, 2000), ("B", 10, 20)))
    assert told({"l": [was]}, {"l": [other, same]}) == [("l[0]", None, other), ("l[1].m", "A", "B")]


def test_nothing_has_changed_between_two_that_are_alike():
    assert told(pole(), pole()) == []
    assert told({"a": []}, {"a": []}) == []


@pytest.mark.parametrize("other", [None, "ab", 3.0, {"a": 1}])
def test_a_list_in_place_of_something_else_is_one_change(other):
    assert told({"l": other}, {"l": ["a", "b"]}) == [("l", other, ["a", "b"])]
    assert told({"l": ["a", "b"]}, {"l": other}) == [("l", ["a", "b"], other)]
