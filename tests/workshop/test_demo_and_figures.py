"""The demo workshop goes in once and whole; figures are computed once for what a design says."""

import threading

import pytest

from polewright.answers.check import check_draft
from polewright.documents.files import DocumentError, dump_toml
from polewright.errors import DesignError
from polewright.workshop import Workshop, demo_designs, schema_kinds, schema_of, set_field, set_turns
from polewright.workshop.demo import load_demo
from polewright.workshop.figures import Figures


@pytest.fixture
def shipped(tmp_path, design):
    folder = tmp_path / "demo"
    folder.mkdir()
    for name in ("Reedlight 2", "Tallreed 3"):
        (folder / f"{name}.toml").write_text(dump_toml(set_field(design, "name", name)), encoding="utf-8")
    (folder / "readme.md").write_text("not a pole", encoding="utf-8")
    return folder


def test_the_demo_goes_in_once(workshop, shipped):
    assert load_demo(workshop.store, workshop._clock, shipped) == ("reedlight-2", "tallreed-3")
    assert load_demo(workshop.store, workshop._clock, shipped) == ()
    assert [card.slug for card in workshop.designs.all()] == ["reedlight-2", "tallreed-3"]
    assert [entry.document.material.id for entry in workshop.shelf.materials()] == ["axial"]
    assert [entry.document.mandrel.id for entry in workshop.shelf.mandrels()] == ["bar 20", "bar 24"]


def test_what_a_person_made_of_a_demo_pole_stays(workshop, shipped, design):
    mine = set_turns(design, 0, 1, 9)
    workshop.designs.start(mine)
    assert load_demo(workshop.store, workshop._clock, shipped) == ("tallreed-3",)
    assert workshop.designs.open("reedlight-2").saved.design == mine


def test_a_demo_with_a_fault_goes_in_not_at_all(workshop, shipped):
    (shipped / "Zander.toml").write_text('document = "pole-design"', encoding="utf-8")
    with pytest.raises(DocumentError, match=r"Zander\.toml"):
        load_demo(workshop.store, workshop._clock, shipped)
    assert workshop.designs.all() == ()


def test_the_shipped_demo_loads_into_an_empty_workshop(workshop):
    assert len(workshop.load_demo()) == len(demo_designs())
    assert workshop.load_demo() == ()


def test_figures_are_computed_once_for_what_a_design_says(design):
    asked = []

    def check(each):
        asked.append(each)
        return len(asked)

    figures = Figures(check, most=2)
    other, third = set_turns(design, 0, 1, 7), set_turns(design, 0, 1, 8)
    assert [figures.of_draft(each) for each in (design, other, design, set_turns(other, 0, 1, 6))] == [1, 2, 1, 1]
    figures.of_draft(third)
    assert figures.of_draft(design) == 1, "used lately, so still known"
    assert figures.of_draft(other) == 4, "longest unused, so forgotten and computed again"


def test_a_design_that_cannot_be_computed_is_asked_again(design):
    def refuse(_):
        raise DesignError("sections", None, "too fat")

    figures = Figures(refuse)
    for _ in range(2):
        with pytest.raises(DesignError):
            figures.of_draft(design)


def test_figures_may_be_asked_by_many_at_once(design):
    figures = Figures(lambda each: each.sections[0].stack[1].turns, most=3)
    found, designs = [], [set_turns(design, 0, 1, turns) for turns in range(1, 9)]

    def person():
        found.append([figures.of_draft(each) for each in designs])

    people = [threading.Thread(target=person) for _ in range(4)]
    for each in people:
        each.start()
    for each in people:
        each.join()
    assert found == [[float(turns) for turns in range(1, 9)]] * 4


def test_the_workshop_checks_a_design_through_its_memory(workshop, design):
    asked = []

    def check(each):
        asked.append(each)
        return check_draft(each)

    with Workshop(workshop.store, check=check) as other:
        assert other.check(design) is other.check_draft(design)
        assert other.check(design).name == "Reedlight 2"
    assert len(asked) == 1


def test_a_finished_design_fits_and_a_draft_says_what_does_not(workshop, design):
    fat = set_turns(design, 0, 1, 40)
    found = workshop.check_draft(fat).misfits
    assert [(field, want.code) for field, _, want in found] == [("sections[0].outside", "want.below_bore_of_next")]
    with pytest.raises(DocumentError) as refused:
        workshop.check(fat)
    assert tuple(refused.value.faults) == found


@pytest.mark.slow
def test_every_kind_of_document_has_a_schema_that_its_documents_meet(design):
    import jsonschema

    for kind in schema_kinds():
        jsonschema.Draft202012Validator.check_schema(schema_of(kind))
    jsonschema.validate(design.plain(), schema_of("pole-design"))


def test_the_workshop_is_copied_and_knows_when(workshop, design, tmp_path):
    workshop.designs.start(design)
    assert workshop.last_good_copy() is None
    archive = workshop.back_up(tmp_path / "copy.zip")
    assert workshop.last_good_copy() == archive.made_at


def test_a_section_that_does_not_go_in_counts_as_one_without_play(workshop, design):
    fat = workshop.check_draft(set_turns(design, 0, 1, 40))
    assert fat.joints[0].clearance_at_overlap < 0.0
    assert fat.joints[0].play == 0.0
