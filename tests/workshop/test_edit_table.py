"""The table of edits: each row has its function, arguments, text and an example that works."""

from inspect import signature

import pytest
from tests.said import said

from polewright.documents.files import DocumentError
from polewright.documents.stock import MaterialDocument
from polewright.units import to
from polewright.words import default_reader
from polewright.workshop import EDITS, EditKind, demo_designs, edited, open_workshop


@pytest.fixture(scope="module")
def reed():
    return next(design for design in demo_designs() if design.name == "Reedlight 7")


@pytest.fixture
def workshop(tmp_path):
    with open_workshop(tmp_path / "w.sqlite") as made:
        made.load_demo()
        material = next(design for design in demo_designs() if design.name == "Reedlight 7").materials[0]
        made.shelf.keep(MaterialDocument(material=material.model_copy(update={"lot": "L9"})))
        yield made


@pytest.mark.parametrize("kind", EDITS.values(), ids=EDITS)
def test_the_arguments_are_those_of_the_function(kind: EditKind) -> None:
    takes = list(signature(kind.apply).parameters.values())[1:]
    assert {each.name for each in takes} == {each.name for each in kind.arguments}
    without_default = {each.name for each in takes if each.default is each.empty}
    assert {each.name for each in kind.arguments if each.is_needed} <= without_default


@pytest.mark.parametrize("kind", EDITS.values(), ids=EDITS)
def test_each_edit_has_a_text(kind: EditKind) -> None:
    assert said(f"edit.{kind.name}")


@pytest.mark.parametrize("kind", EDITS.values(), ids=EDITS)
def test_the_arguments_have_names_for_a_person(kind: EditKind) -> None:
    fields = [each for argument in kind.caller_arguments for each in (argument, *argument.fields)]
    missing = [each.name for each in fields if not default_reader().has(f"field.{each.name}")]
    assert not missing


@pytest.mark.slow
@pytest.mark.parametrize("kind", EDITS.values(), ids=EDITS)
def test_the_example_changes_the_demo_pole(kind: EditKind, workshop, reed) -> None:
    design = reed
    for name in (*(first for each in kind.after for first in (*EDITS[each].after, each)), kind.name):
        before, design = design, workshop.edited(design, name, **EDITS[name].example)
    assert design != before


@pytest.mark.parametrize("kind", EDITS.values(), ids=EDITS)
def test_an_argument_too_many_is_refused_by_the_name_of_the_edit(kind: EditKind, reed) -> None:
    with pytest.raises(DocumentError) as fault:
        edited(reed, kind.name, **kind.example, further=1)
    assert fault.value.faults[0][0] == kind.name
    assert fault.value.faults[0][2].code == "want.arguments"


def test_a_flex_wish_takes_the_flex_of_the_pole_as_it_is(workshop, reed) -> None:
    wish = workshop.edited(reed, "add_flex_wish").brief.droop[-1]
    flex = to(workshop.check(reed).reaches[-1].added_droop, "mm/100 g")
    assert wish.wanted_mm_per_100g == pytest.approx(flex, abs=0.051)


def test_an_entry_that_does_not_lie_on_the_shelf_is_refused(workshop, reed) -> None:
    lying = next(each.number for each in workshop.shelf.materials() if each.document.material.lot == "L9")
    workshop.shelf.take_off(lying)
    with pytest.raises(DocumentError) as fault:
        workshop.edited(reed, "take_stock", entry=lying)
    assert fault.value.faults[0][2].code == "want.entry_on_shelf_now"
    gone = next(entry.number for entry in workshop.shelf.history() if entry.gone)
    back = workshop.shelf.put_back(gone).number
    assert workshop.edited(reed, "take_stock", entry=back).materials[0].lot == "L9"


@pytest.mark.parametrize("place", [-1, 1])
def test_a_wish_that_is_not_there_is_refused(reed, place: int) -> None:
    with pytest.raises(DocumentError) as fault:
        edited(edited(reed, "set_field", path="brief.droop", value=[]), "remove_wish", place=place)
    assert fault.value.faults[0][2].code == "want.no_such_place"


@pytest.mark.parametrize(("end", "place"), [("bore", 0), ("skin", 3)])
def test_a_ply_goes_to_the_bore_or_the_skin_by_end(reed, end: str, place: int) -> None:
    ply = {"prepreg": "SM150", "angle_deg": 30, "turns": 1}
    assert edited(reed, "add_ply", section=0, end=end, ply=ply) == edited(reed, "add_ply", section=0, at=place, ply=ply)


@pytest.mark.parametrize("where", [{}, {"end": "middle"}, {"end": "bore", "at": 0}])
def test_a_ply_without_one_place_is_refused(reed, where: dict[str, object]) -> None:
    with pytest.raises(DocumentError) as fault:
        edited(reed, "add_ply", section=0, ply={"prepreg": "SM150", "angle_deg": 30, "turns": 1}, **where)
    ((field, given, want),) = fault.value.faults
    assert (field, given, want.code) == ("end", repr(where["end"]) if where else "", "want.bore_skin_or_place")


def test_a_pole_stays_a_pole(reed) -> None:
    with pytest.raises(DocumentError) as fault:
        edited(reed, "set_field", path="document", value="mandrel")
    ((field, given, want),) = fault.value.faults
    assert (field, given, want.code) == ("document", "'mandrel'", "want.document_stays_pole")
