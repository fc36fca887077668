"""Edits as the page's script sends them: kept, refused in words, undone, saved, gone back from."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from tests.said import said

from polewright.workshop import Workshop

Send = Callable[..., Any]
TURNS = "sections[3].stack[1].turns"
ANGLE = "sections[3].stack[1].angle_deg"


def figure(text: str, name: str) -> str:
    """One of the four figures with its change, as read on the page."""
    found = re.search(rf"<dt>{name}</dt><dd>(.*?)</dd>\s*<dd class=\"chg\">(.*?)</dd>", text, re.S)
    assert found is not None
    return re.sub(r"<[^>]+>", "", f"{found[1]} | {found[2]}")


def test_one_more_turn_is_stiffer_heavier_and_dearer(edit: Send) -> None:
    text = edit(edit="set_field", path=TURNS, text="6").text
    assert said("change.amount.less", by="#").split("#")[1] in figure(text, said("headline.droop"))
    assert said("change.amount.more", by="#").split("#")[1] in figure(text, said("headline.mass"))
    assert said("change.amount.more", by="#").split("#")[1] in figure(text, said("headline.cost"))
    assert "revision 1, dotted" in text
    assert "not saved" in text


def test_what_is_typed_may_carry_its_unit_or_a_decimal_comma(edit: Send, client: Any) -> None:
    assert edit(edit="set_field", path="joints[0].overlap_mm", text="22,5 cm").status_code == 200
    assert 'value="225"' in client.get("/poles/reedlight-7/pole").text


def test_a_bare_number_on_an_inch_page_is_in_inches(edit: Send, client: Any, workshop: Workshop) -> None:
    client.cookies["units"] = "inch"
    assert edit(edit="set_field", path="joints[0].overlap_mm", text="8").status_code == 200
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    assert draft.plain["joints"][0]["overlap_mm"] == pytest.approx(203.2, rel=1e-12)


@pytest.mark.parametrize(
    ("path", "text", "says"),
    [
        (TURNS, "9", "to slide in section 5; fewer turns"),
        (TURNS, "abc", "section 4, ply 2, turns is 'abc'"),
        (TURNS, "-1", "above 0"),
        (ANGLE, "120", "90° or less"),
        (TURNS, "", "turns is empty: a figure"),
        (TURNS, "1e999", "300"),
        ("sections[3].stack[1].prepreg", "XX99", "one of SM150, TH55"),
        ("joints[0].overlap_mm", "9 m", "shorter of the two"),
        ("sections[3].mandrel", "none", "one of M23-A"),
        ("sections[77].length_mm", "5", "no such place"),
        ("no_such_field", "5", "no such field"),
        ("__class__", "5", "no such field"),
        ("", "5", "path of a field"),
    ],
)
def test_a_wrong_edit_is_refused_with_field_value_and_remedy(
    edit: Send, client: Any, workshop: Workshop, path: str, text: str, says: str
) -> None:
    answer = edit(edit="set_field", path=path, text=text)
    assert answer.status_code == 422
    assert says in answer.json()["faults"][0]["says"]
    assert workshop.designs.open("reedlight-7").draft is None


@pytest.mark.parametrize(
    "form",
    [
        {},
        {"edit": "explode"},
        {"edit": "move_ply", "section": "3"},
        {"edit": "remove_ply", "section": "3", "ply": "x"},
        {"edit": "remove_ply", "section": "3", "ply": "77"},
        {"edit": "add_ply", "section": "99", "prepreg": "TH55", "angle_deg": "0"},
        {"edit": "remove_wish"},
    ],
)
def test_a_form_that_is_none_of_ours_is_refused(edit: Send, form: dict[str, str]) -> None:
    answer = edit(**form)
    assert answer.status_code == 422
    assert answer.json()["faults"]


def test_plies_are_added_moved_and_taken_out(edit: Send, workshop: Workshop) -> None:
    assert edit(edit="add_ply", section="3", prepreg="TH55", angle_deg="45", turns="1", end="bore").status_code == 200
    assert edit(edit="move_ply", section="3", ply="0", to="3").status_code == 200
    assert edit(edit="remove_ply", section="3", ply="0").status_code == 200
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    assert [w["angle_deg"] for w in draft.plain["sections"][3]["stack"]] == [0.0, 90.0, 45.0]


def test_undo_and_redo_walk_back_and_forth(edit: Send) -> None:
    before = figure(edit(edit="set_field", path=TURNS, text="6").text, said("headline.droop"))
    assert "saved" in edit(edit="undo").text.split("not saved")[0]
    assert figure(edit(edit="redo").text, said("headline.droop")) == before


def test_a_saved_revision_is_the_ghost_no_longer(edit: Send, client: Any) -> None:
    edit(edit="set_field", path=TURNS, text="6")
    text = edit(edit="save").text
    assert "revision 2 · saved" in text
    assert "dotted" not in text


def test_unsaved_work_outlives_the_server(edit: Send, visit: Callable[..., Any], workshop: Workshop) -> None:
    edit(edit="set_field", path=TURNS, text="6")
    text = visit(workshop).get("/poles/reedlight-7/wall?section=4").text
    assert "not saved" in text
    assert f'data-path="{TURNS}" data-step="1" data-least="1" value="6"' in text


def test_going_back_makes_a_further_revision(edit: Send, client: Any, workshop: Workshop) -> None:
    first = workshop.designs.open("reedlight-7").saved.design
    edit(edit="set_field", path=TURNS, text="6")
    edit(edit="save")
    assert client.post("/poles/reedlight-7/revisions/1/return").status_code == 303
    now = workshop.designs.open("reedlight-7").saved
    assert (now.card.number, now.design) == (3, first)
    assert "section 4, ply 2, turns: 6 → 5" in client.get("/poles/reedlight-7/revisions").text


def test_a_page_left_behind_by_another_window_is_told_so(edit: Send) -> None:
    answer = edit(seen="0123456789abcdef", edit="set_field", path=TURNS, text="6")
    assert answer.status_code == 422
    assert "another window" in answer.json()["faults"][0]["says"]


def test_unsaved_work_can_be_forgotten(edit: Send, client: Any, workshop: Workshop) -> None:
    edit(edit="set_field", path=TURNS, text="6")
    assert client.post("/poles/reedlight-7/forget").status_code == 303
    assert workshop.designs.open("reedlight-7").draft is None


def test_a_draft_that_cannot_be_built_leaves_a_way_out(client: Any, workshop: Workshop) -> None:
    plain = workshop.designs.open("reedlight-7").saved.design.plain()
    plain["sections"][3]["stack"][1]["turns"] = 9
    workshop.designs.keep_draft("reedlight-7", plain, parent=1)
    answer = client.get("/poles/reedlight-7/wall")
    assert answer.status_code == 422
    assert "mm to slide in section 5" in answer.text
    client.post("/poles/reedlight-7/forget")
    assert client.get("/poles/reedlight-7/wall").status_code == 200


def test_a_draft_with_faults_is_said_and_the_saved_revision_shown(client: Any, workshop: Workshop) -> None:
    plain = workshop.designs.open("reedlight-7").saved.design.plain()
    plain["tip_fitting_g"] = "heavy"
    workshop.designs.keep_draft("reedlight-7", plain, parent=1)
    text = client.get("/poles/reedlight-7/wall").text
    assert "Unsaved work has faults" in text
    assert "not shown: tip fitting is &#39;heavy&#39;: a number" in text


def test_a_wish_over_its_limit_is_the_figure_that_is_coloured(edit: Send) -> None:
    text = edit(edit="set_field", path="brief.mass_at_most_g", text="1.1 kg").text
    assert f'class="look"><dt>{said("headline.mass")}' in text
    assert said("headline.over", limit="1.100\u00a0kg") in text
    assert f'class="look"><dt>{said("headline.cost")}' not in text


def test_wishes_come_and_go(edit: Send, workshop: Workshop) -> None:
    edit(edit="add_wish")
    edit(edit="remove_wish", place="0")
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    assert [w["at_most_mm"] for w in draft.plain["brief"]["droop"]] == [1000.0]


def test_what_could_not_be_read_again_is_refused_as_it_is_typed(edit, workshop) -> None:
    """An angle in radians, kept as typed, would hide all unsaved work at the next look."""
    assert edit(edit="set_field", path="sections[3].stack[1].turns", text="4").status_code == 200
    answer = edit(edit="set_field", path="sections[3].stack[0].angle_deg", text="1.5708")
    assert answer.status_code == 422
    assert "looks like radians" in answer.json()["faults"][0]["says"]
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    assert draft.design is not None
    assert draft.design.sections[3].stack[1].turns == 4.0
