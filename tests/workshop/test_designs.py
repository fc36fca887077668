"""Poles as a person works on them: begin, save, go back, compare, take out and bring in, unsaved work."""

import json
import math
from datetime import timedelta

import pytest
from tests.said import said

from polewright.documents.files import DocumentError, document_from, dump_json, dump_toml
from polewright.errors import DesignError, StockError
from polewright.store import Absent, Overtaken
from polewright.store.content import Content
from polewright.workshop import Edits, address_of, set_turns


def test_a_new_pole_has_its_name_as_address_and_itself_as_first_revision(workshop, design):
    saved = workshop.designs.start(design, note="begun", who="Ann")
    assert (saved.slug, saved.card.number, saved.card.parent) == ("reedlight-2", 1, None)
    assert saved.design == design
    assert saved.card.content_hash == design.content_hash()
    (card,) = workshop.designs.all()
    assert (card.name, card.latest, card.has_draft) == ("Reedlight 2", saved.card, False)


def test_the_hash_kept_is_the_documents_own(design):
    assert Content.of(design.plain()).hash == design.content_hash()


def test_saving_and_going_back_adds_revisions_and_changes_none(workshop, design):
    designs = workshop.designs
    first = designs.start(design)
    second = designs.save("reedlight-2", set_turns(design, 0, 1, 7), parent=1, note="one more", who="Bea")
    third = designs.go_back("reedlight-2", 1, parent=2, who="Ann")
    assert third.design == design
    assert third.card.content_hash == first.card.content_hash
    assert designs.revisions("reedlight-2") == (third.card, second.card, first.card)
    assert third.card.note == said("note.back_to", revision=1)
    assert designs.revision("reedlight-2", 2).design == second.design


def test_times_come_from_the_clock_that_the_workshop_was_given(workshop, design):
    first = workshop.designs.start(design).card.at
    later = workshop.designs.save("reedlight-2", set_turns(design, 0, 1, 7), parent=1).card.at
    assert later - first == timedelta(minutes=1)


def test_going_back_is_overtaken_like_any_other_change(workshop, design):
    workshop.designs.start(design)
    workshop.designs.save("reedlight-2", set_turns(design, 0, 1, 7), parent=1)
    with pytest.raises(Overtaken, match=r"want\.choose_revision") as fault:
        workshop.designs.go_back("reedlight-2", 1, parent=1)
    assert fault.value.latest == 2


def test_a_pole_started_from_another_is_independent_of_it(workshop, design):
    designs = workshop.designs
    designs.start(design)
    designs.save("reedlight-2", set_turns(design, 0, 1, 7), parent=1)
    copy = designs.start_from("reedlight-2", "Peerglass 2", number=1)
    assert copy.design == design.model_copy(update={"name": "Peerglass 2"})
    assert copy.card.note == said("note.begun_from", pole="Reedlight 2", revision=1)
    designs.save("peerglass-2", set_turns(copy.design, 0, 1, 9), parent=1)
    assert len(designs.revisions("reedlight-2")) == 2
    with pytest.raises(StockError, match=r"want\.name_of_new_pole"):
        designs.start_from("reedlight-2", "Peerglass 2")


def test_differences_of_two_revisions_name_the_fields(workshop, design):
    workshop.designs.start(design)
    workshop.designs.save("reedlight-2", set_turns(design, 1, 1, 8), parent=1)
    (change,) = workshop.designs.differences("reedlight-2", 1, 2)
    assert (change.field, change.before, change.after) == ("sections[1].stack[1].turns", 7.0, 8.0)


@pytest.mark.parametrize("is_json", [False, True])
def test_a_file_taken_out_brings_the_same_pole_in_elsewhere(workshop, design, is_json):
    workshop.designs.start(design)
    text = workshop.designs.take_out("reedlight-2", is_json=is_json)
    assert document_from(text, is_json=is_json) == design
    other = text.replace("Reedlight 2", "Reedlight 3")
    assert workshop.designs.bring_in_text(other, is_json=is_json).slug == "reedlight-3"


def test_a_file_brought_in_says_where_it_came_from(workshop, design, tmp_path):
    (tmp_path / "pole.json").write_text(dump_json(design), encoding="utf-8")
    assert workshop.designs.bring_in(tmp_path / "pole.json").card.note == said("note.from_file", file="pole.json")


def test_a_file_of_another_kind_is_not_opened_as_a_pole(workshop, tmp_path):
    (tmp_path / "brief.toml").write_text('document = "brief"\nschema_version = 1\nname = "B"\n[brief]\n', "utf-8")
    with pytest.raises(DocumentError, match=r"want\.document_kind"):
        workshop.designs.bring_in(tmp_path / "brief.toml")
    assert workshop.designs.all() == ()


def test_half_typed_work_survives_a_reload_with_its_faults(workshop, design):
    workshop.designs.start(design)
    typed = json.loads(dump_json(design))
    typed["sections"][0]["stack"][1]["turns"] = "7,x"
    workshop.designs.keep_draft("reedlight-2", typed, parent=1, who="Ann")
    pole = workshop.designs.open("reedlight-2")
    assert pole.draft.plain == typed
    assert pole.draft.design is None
    assert pole.draft.faults[0][0] == "sections[0].stack[1].turns"
    assert not pole.is_behind
    assert workshop.designs.all()[0].has_draft


def test_sound_unsaved_work_comes_back_as_a_design(workshop, design):
    workshop.designs.start(design)
    changed = set_turns(design, 0, 1, 7)
    workshop.designs.keep_draft("reedlight-2", changed.plain(), parent=1)
    assert workshop.designs.open("reedlight-2").draft.design == changed


def test_saving_is_the_end_of_the_draft(workshop, design):
    workshop.designs.start(design)
    workshop.designs.keep_draft("reedlight-2", {}, parent=1)
    workshop.designs.save("reedlight-2", set_turns(design, 0, 1, 7), parent=1)
    assert workshop.designs.open("reedlight-2").draft is None


def test_a_save_that_was_overtaken_leaves_the_draft_where_it_was(workshop, design):
    designs = workshop.designs
    designs.start(design)
    designs.save("reedlight-2", set_turns(design, 0, 1, 7), parent=1)
    mine = set_turns(design, 0, 1, 8)
    designs.keep_draft("reedlight-2", mine.plain(), parent=1)
    with pytest.raises(Overtaken):
        designs.save("reedlight-2", mine, parent=1)
    pole = designs.open("reedlight-2")
    assert pole.is_behind
    assert pole.draft.design == mine
    assert designs.save("reedlight-2", mine, parent=2).card.number == 3, "on top of theirs, having chosen"


@pytest.mark.parametrize(
    "plain", [{"tall": math.nan}, {"tall": math.inf}, {"name": "\ud800"}, {"name": "x" * 1_100_000}]
)
def test_a_draft_that_no_database_could_give_back_is_refused(workshop, design, plain):
    workshop.designs.start(design)
    with pytest.raises(DocumentError, match="draft"):
        workshop.designs.keep_draft("reedlight-2", plain, parent=1)


def test_a_draft_of_a_pole_or_revision_that_is_not_there_is_refused(workshop, design):
    with pytest.raises(Absent, match=r"want\.no_pole_yet"):
        workshop.designs.keep_draft("reedlight-2", {}, parent=1)
    workshop.designs.start(design)
    with pytest.raises(Absent, match=r"want\.kept_revision \(number 1\)"):
        workshop.designs.keep_draft("reedlight-2", {}, parent=2)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"who": "A" * 81}, r"who is given\.characters_long \(count 81\): want\.at_most_characters \(limit 80\)"),
        ({"note": "bell \x07"}, r"note is given\.sign \(sign 0007\): want\.printable_characters"),
        ({"who": "\x00"}, r"want\.printable_characters"),
        ({"note": "\ud800"}, r"want\.printable_characters"),
    ],
)
def test_notes_that_cannot_be_kept_or_printed_are_refused(workshop, design, fields, words):
    with pytest.raises(DesignError, match=words):
        workshop.designs.start(design, **fields)
    assert workshop.designs.all() == ()


def test_a_name_with_a_sign_that_cannot_be_printed_is_refused(workshop, design):
    with pytest.raises(DesignError, match=r"name is given\.sign \(sign 0001\): want\.printable_characters"):
        workshop.designs.start(design.model_copy(update={"name": "Reed\x01light"}))


@pytest.mark.parametrize(
    ("name", "address"),
    [
        ("Reedlight 7", "reedlight-7"),
        ("  Häftling  9,5 m ", "haftling-9-5-m"),
        ("Тростник 7", "тростник-7"),
        ("№ / ?", "no"),
        ("??", "pole"),
        ("a" * 80, "a" * 80),
        ("A_B", "a-b"),
    ],
)
def test_an_address_is_made_of_the_names_letters_and_figures(name, address):
    assert address_of(name) == address


def test_undo_and_redo_walk_the_same_designs_and_stop_at_both_ends(design):
    designs = [set_turns(design, 0, 1, turns) for turns in (6, 7, 8, 9)]
    edits = Edits(designs[0])
    for each in designs[1:]:
        edits = edits.with_edit(each)
    seen = [edits.now]
    for _ in range(5):
        edits = edits.undone()
        seen.append(edits.now)
    assert seen == [*reversed(designs), designs[0], designs[0]]
    for _ in range(5):
        edits = edits.redone()
    assert edits.now == designs[3]
    assert edits.undone().with_edit(design).redone().now == design, "a new edit ends what could be redone"
    assert edits.with_edit(designs[3]) is edits, "an edit that changes nothing is none"


def test_undo_remembers_no_more_steps_than_it_may(design):
    edits = Edits(design, most=3)
    for turns in range(7, 13):
        edits = edits.with_edit(set_turns(design, 0, 1, turns))
    for _ in range(9):
        edits = edits.undone()
    assert edits.now == set_turns(design, 0, 1, 9)


def test_toml_and_json_of_a_revision_say_the_same(workshop, design):
    workshop.designs.start(design)
    assert dump_toml(design) == workshop.designs.take_out("reedlight-2")
