"""Figures supposed for a check: all of a list at once, told in the name, refused by field where they cannot be."""

from pathlib import Path

import pytest

from polewright.answers.check import check_design
from polewright.codes import Message
from polewright.documents.files import DocumentError, load
from polewright.documents.paths import with_fields
from polewright.words.reports.check import evaluate as check

EXAMPLE = Path(__file__).parents[2] / "examples" / "reedlight-7.toml"


@pytest.fixture(scope="module")
def design():
    return load(EXAMPLE)


def test_nothing_supposed_is_the_design_itself(design):
    assert with_fields(design, []) is design


def test_a_list_without_a_number_means_all_of_it(design):
    supposed = with_fields(design, ["joints.overlap_mm=250", "sections.stack.turns = 2"])
    assert {j.overlap_mm for j in supposed.joints} == {250.0}
    assert {w.turns for s in supposed.sections for w in s.stack} == {2.0}
    assert supposed.name == design.name


def test_a_number_means_that_one_alone(design):
    supposed = with_fields(design, ["sections[4].stack[1].angle_deg = 10"])
    assert supposed.sections[4].stack[1].angle_deg == 10.0
    assert supposed.sections[3] == design.sections[3]


def test_a_supposed_design_is_checked_like_a_written_one(design):
    longer = check(with_fields(design, ["joints.overlap_mm=250"]))
    assert longer.pole.extended_mm == pytest.approx(7450.0 - 4 * 50.0)
    assert longer.design_hash != check(design).design_hash


def test_no_value_takes_an_optional_field_out(design):
    known = with_fields(design, ["joints.play_mrad=1.5"])
    assert check(known).joints[0].play_mrad == pytest.approx(1.5)
    assert with_fields(known, ["joints.play_mrad="]).joints == design.joints


def test_the_assumptions_tell_of_pivot_and_play(design):
    def assumed(*changes):
        return check_design(with_fields(design, list(changes))).assumptions

    mouth, middle, butt, own = (Message(f"assumption.pivot.{at}") for at in ("mouth", "middle", "butt", "own"))
    given = Message("assumption.pole_play", overlaps="glued", count=1, pivots=mouth)
    assert given in assumed("joints.pivot_pct=0", "joints[0].play_mrad=1")
    for pivot, where in (("50", middle), ("30", Message("assumption.pivot.at", share=0.3)), ("100", butt)):
        assert Message("assumption.pole", overlaps="glued", pivots=where) in assumed(f"joints.pivot_pct={pivot}")
    assert Message("assumption.pole", overlaps="glued", pivots=own) in assumed("joints[1].pivot_pct=0")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("joints.overlap_mm", "want.field_and_value"),
        ("=3", "want.path_of_field"),
        ("joints[7].overlap_mm=3", "want.place_in_list (most 3)"),
        ("joints.overlap=3", "joints[0].overlap: want.field_spelled"),
        ("joints.pivot_pct=140", "joints[0].pivot_pct is '140': limit.le"),
        ("joints.play_mrad=-1", "joints[0].play_mrad is '-1': "),
        ("joints=3", "joints is '3': want.list"),
        ("name.x=3", "want.field_of_design"),
        ("joints[0]=3", "joints[0] is '3'"),
        ("document=test-record", "document"),
    ],
)
def test_a_supposition_that_cannot_be_names_its_field(design, words, told):
    with pytest.raises(DocumentError) as refused:
        with_fields(design, [words])
    assert told in refused.value.sentence()


def test_a_wish_for_more_sections_out_than_there_are_is_refused(design):
    assert check(with_fields(design, ["brief.droop[0].out = 4"])).reaches
    with pytest.raises(DocumentError, match=r"brief\.droop\[0\]\.out is 5: want\.sections_out \(most 4\)"):
        check(with_fields(design, ["brief.droop[0].out = 5"]))


@pytest.mark.parametrize(
    ("words", "same"),
    [
        ("sections.coat_mm=50 µm", "sections.coat_mm=0.05"),
        ("joints.play_mrad=0.001 rad", "joints.play_mrad=1"),
        ("joints.pivot_pct=25 %", "joints.pivot_pct=25"),
        ("setting.test_load_g=0,5 kg", "setting.test_load_g=500"),
        ("setting.sanding_mm=0.002 in", "setting.sanding_mm=0.0508"),
        ("setting.seam_ridge_mm=0.05 mm", "setting.seam_ridge_mm=0.05"),
    ],
)
def test_small_figures_take_a_unit_of_their_own_too(design, words, same):
    one, other = (with_fields(design, [w]).model_copy(update={"name": ""}) for w in (words, same))
    assert one == other
