"""Edits as the page's script sends them: kept, refused in words, undone, saved, gone back from."""

import html
import re
from collections.abc import Callable
from math import pi
from typing import Any

import pytest
from tests.said import refused, said, sentence

from polewright.codes import Message
from polewright.words import default_reader
from polewright.words.faults import field_name
from polewright.workshop import Workshop

Send = Callable[..., Any]
TURNS = "sections[3].stack[1].turns"
ANGLE = "sections[3].stack[1].angle_deg"
DROOP = Message("scene.droop", droop=0.924)
GHOST = 'class="ghost"'
PREPREG = "sections[3].stack[1].prepreg"
MANDREL = "sections[3].mandrel"
OVERLAP = "joints[0].overlap_mm"
RACK = ("M23-A", "M25-A", "M27-A", "M29-A", "M31-A")
OF_DESIGN = ("document", "schema_version", "name", "maker", "note", "brief", "setting", "tip_fitting_g")
OF_DESIGN += ("materials", "mandrels", "sections", "joints")


def bound(kind: str, value: float) -> Message:
    """A figure of a refusal in SI, as the core gives it."""
    return Message(f"bound.{kind}", value=value)


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
    assert GHOST in text
    assert said("drawing.pole.ghost", name=said("scene.revision", revision=1), droop=DROOP) in text
    assert said("frame.not_saved", revision=1) in text


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
    ("path", "text", "field", "value", "want"),
    [
        (TURNS, "abc", TURNS, "'abc'", Message("want.plain_number_such_as")),
        (TURNS, "-1", TURNS, "'-1'", Message("limit.gt", limit=0.0)),
        (ANGLE, "120", ANGLE, "'120'", Message("limit.le", limit=bound("angle", pi / 2))),
        (TURNS, "", TURNS, Message("given.empty"), Message("want.figure_not_nothing")),
        (TURNS, "1e999", TURNS, "'1e999'", Message("want.power_of_ten", most=300)),
        (PREPREG, "XX99", PREPREG, "'XX99'", Message("want.one", choices=("SM150", "TH55"))),
        (OVERLAP, "9 m", OVERLAP, bound("length", 9.0), Message("want.below_shorter_tube", shorter=1.65)),
        (MANDREL, "none", MANDREL, "'none'", Message("want.one", choices=RACK)),
        ("sections[77].length_mm", "5", "sections[77].length_mm", None, Message("want.place_in_list", most=4)),
        ("no_such_field", "5", "no_such_field", None, Message("want.known_field", choices=OF_DESIGN)),
        ("__class__", "5", "__class__", None, Message("want.known_field", choices=OF_DESIGN)),
        ("", "5", "field", None, Message("want.path_of_field")),
    ],
)
def test_a_wrong_edit_is_refused_with_field_value_and_remedy(
    edit: Send, workshop: Workshop, path: str, text: str, field: str, value: Any, want: Message
) -> None:
    answer = edit(edit="set_field", path=path, text=text)
    assert answer.status_code == 422
    fault = answer.json()["faults"][0]
    assert fault["field"] == field
    assert fault["says"] == refused(field, value, want)
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
    assert said("frame.saved", revision=1) in edit(edit="undo").text
    assert figure(edit(edit="redo").text, said("headline.droop")) == before


@pytest.mark.slow
def test_a_saved_revision_is_the_ghost_no_longer(edit: Send, client: Any) -> None:
    edit(edit="set_field", path=TURNS, text="6")
    text = edit(edit="save").text
    assert said("frame.saved", revision=2) in text
    assert GHOST not in text


def test_unsaved_work_outlives_the_server(edit: Send, visit: Callable[..., Any], workshop: Workshop) -> None:
    edit(edit="set_field", path=TURNS, text="6")
    text = visit(workshop).get("/poles/reedlight-7/wall?section=4").text
    assert said("frame.not_saved", revision=1) in text
    assert f'data-path="{TURNS}" data-step="1" data-least="1" value="6"' in text


def test_going_back_makes_a_further_revision(edit: Send, client: Any, workshop: Workshop) -> None:
    first = workshop.designs.open("reedlight-7").saved.design
    edit(edit="set_field", path=TURNS, text="6")
    edit(edit="save")
    assert client.post("/poles/reedlight-7/revisions/1/return").status_code == 303
    now = workshop.designs.open("reedlight-7").saved
    assert (now.card.number, now.design) == (3, first)
    assert f"{field_name(default_reader(), TURNS)}: 6 → 5" in client.get("/poles/reedlight-7/revisions").text


def test_a_page_left_behind_by_another_window_is_reported(edit: Send) -> None:
    answer = edit(seen="0123456789abcdef", edit="set_field", path=TURNS, text="6")
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["says"] == sentence("want.page_as_it_is_now")


def test_unsaved_work_can_be_forgotten(edit: Send, client: Any, workshop: Workshop) -> None:
    edit(edit="set_field", path=TURNS, text="6")
    assert client.post("/poles/reedlight-7/forget").status_code == 303
    assert workshop.designs.open("reedlight-7").draft is None


def test_a_draft_that_cannot_be_built_leaves_a_way_out(client: Any, workshop: Workshop) -> None:
    plain = workshop.designs.open("reedlight-7").saved.design.plain()
    plain["sections"][3]["mandrel"] = "none"
    workshop.designs.keep_draft("reedlight-7", plain, parent=1)
    answer = client.get("/poles/reedlight-7/wall")
    assert answer.status_code == 422
    assert refused("sections[3].mandrel", "'none'", Message("want.one", choices=RACK)) in html.unescape(answer.text)
    client.post("/poles/reedlight-7/forget")
    assert client.get("/poles/reedlight-7/wall").status_code == 200


def test_a_draft_with_faults_is_reported_and_the_saved_revision_shown(client: Any, workshop: Workshop) -> None:
    plain = workshop.designs.open("reedlight-7").saved.design.plain()
    plain["tip_fitting_g"] = "heavy"
    workshop.designs.keep_draft("reedlight-7", plain, parent=1)
    text = client.get("/poles/reedlight-7/wall").text
    assert said("notice.draft_faults") in text
    assert refused("tip_fitting_g", "'heavy'", "want.number_such_as") in html.unescape(text)


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
    angle = "sections[3].stack[0].angle_deg"
    assert answer.json()["faults"][0]["says"] == refused(angle, "'1.5708'", "want.degrees", angle=pi / 2)
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    assert draft.design is not None
    assert draft.design.sections[3].stack[1].turns == 4.0
