"""Whatever brings a design in or saves it: one that cannot be built is refused in words and nothing is kept."""

import pytest

from polewright.documents.design import Design
from polewright.documents.files import DocumentError, dump_json, dump_toml
from polewright.errors import PolewrightError


@pytest.fixture
def fat(design: Design) -> Design:
    """A pole whose first section does not go into the second."""
    plain = design.plain()
    plain["sections"][0]["stack"][1]["turns"] = 40
    return Design.model_validate(plain)


@pytest.fixture
def unruly(design: Design) -> Design:
    """A pole with a change to a rule that is none."""
    plain = design.plain()
    plain["setting"]["rules"] = [{"id": "no-such"}]
    return Design.model_validate(plain)


WAYS = [
    lambda designs, design, folder: designs.start(design),
    lambda designs, design, folder: designs.brought_in(design),
    lambda designs, design, folder: designs.bring_in_text(dump_toml(design)),
    lambda designs, design, folder: designs.bring_in_text(dump_json(design), is_json=True),
    lambda designs, design, folder: designs.bring_in(_written(design, folder)),
]


def _written(design, folder):
    path = folder / "pole.toml"
    path.write_text(dump_toml(design), "utf-8")
    return path


@pytest.mark.parametrize("way", WAYS)
def test_a_pole_that_cannot_be_built_is_not_started(workshop, fat, unruly, tmp_path, way):
    with pytest.raises(DocumentError, match=r"want\.below_bore_of_next"):
        way(workshop.designs, fat, tmp_path)
    with pytest.raises(PolewrightError, match=r"want\.known_rule_or_judge"):
        way(workshop.designs, unruly, tmp_path)
    assert workshop.designs.all() == ()


def test_a_revision_that_cannot_be_built_is_not_saved_but_may_wait_as_a_draft(workshop, design, fat):
    slug = workshop.designs.start(design).slug
    with pytest.raises(DocumentError, match=r"want\.below_bore_of_next"):
        workshop.designs.save(slug, fat, parent=1)
    with pytest.raises(DocumentError, match=r"want\.below_bore_of_next"):
        workshop.designs.brought_in(fat)
    assert [card.number for card in workshop.designs.revisions(slug)] == [1]
    assert workshop.designs.keep_draft(slug, fat.plain(), parent=1).design == fat


def test_a_design_brought_in_twice_is_one_revision_and_a_changed_one_a_further(workshop, design):
    first = workshop.designs.brought_in(design, note="once")
    assert workshop.designs.brought_in(design).card == first.card
    other = Design.model_validate({**design.plain(), "note": "changed"})
    assert workshop.designs.brought_in(other).card.number == 2
    assert workshop.designs.brought_in(design).card.number == 1
