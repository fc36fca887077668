"""How tubes bend in an overlap may be chosen in the design; every figure of the pole follows it."""

import pytest
from tests.documents.test_example_poles import EXAMPLES

from polewright.answers.check import check_design as check
from polewright.answers.find.finder import Finder
from polewright.answers.scatter_problem import problem_of
from polewright.answers.service import in_service
from polewright.documents.design import Design
from polewright.documents.files import document_of, dump_toml, load
from polewright.documents.values import workpiece
from polewright.words.reader import Reader


def chosen(**setting: str) -> Design:
    plain = load(EXAMPLES / "reedlight-7.toml").plain()
    return document_of(plain | {"setting": plain["setting"] | setting})


@pytest.fixture(scope="module")
def touching() -> Design:
    return chosen(overlaps="touching")


def test_a_file_without_the_choice_goes_on_bending_as_one(touching):
    plain = load(EXAMPLES / "reedlight-7.toml")
    assert plain.setting.overlaps == "glued"
    assert check(plain).reaches == check(chosen(overlaps="glued")).reaches
    assert "overlaps" not in dump_toml(plain)
    assert 'overlaps = "touching"' in dump_toml(touching)


def test_touching_overlaps_droop_more_in_the_check_of_the_pole(touching):
    glued = check(chosen())
    for soft, stiff in zip(check(touching).reaches, glued.reaches, strict=True):
        if soft.out:
            most = 1.04 if soft.out == soft.joints else 1.08  # a section pushed in lies in a long overlap
            assert 1.005 < soft.droop_loaded / stiff.droop_loaded < most
            assert soft.balance == pytest.approx(stiff.balance, rel=1e-9)


def test_scatter_and_a_warm_pole_bend_as_the_design_says(touching):
    assert problem_of(touching).build.overlaps == "touching"
    assert in_service(touching, workpiece(touching), 60.0).pole.overlaps == "touching"


def test_the_assumptions_say_how_overlaps_bend(touching):
    for design, code in ((chosen(), "glued"), (touching, "touching")):
        said = [m for m in check(design).assumptions if m.code.startswith("assumption.pole")]
        assert [m.values["overlaps"] for m in said] == [code]
        assert Reader().say(f"assumption.overlaps.{code}") in Reader().text(said[0])


def test_another_word_is_refused_by_its_field():
    with pytest.raises(Exception, match=r"setting\.overlaps"):
        chosen(overlaps="loose")


def test_find_says_that_it_lets_overlaps_bend_as_one(touching):
    for design, told in ((chosen(), False), (touching, True)):
        notes = [note.code for note in Finder(design)._notes(None)]
        assert ("find.note.overlaps" in notes) == told
