"""A prepreg or mandrel by another name: all that name it follow, and no figure moves."""

import pytest

from polewright.documents.files import DocumentError
from polewright.words.reports.check import evaluate as check
from polewright.workshop import Edits, add_rule, demo_designs, edited, rename_mandrel, rename_prepreg, set_field


@pytest.fixture(scope="module")
def reedlight():
    return next(design for design in demo_designs() if design.name == "Reedlight 7")


def figures(design):
    report = check(design)
    return report.pole, [(s.number, s.mass_g, s.bending_EI_N_m2, s.outside_butt_mm) for s in report.sections]


def test_every_ply_rule_and_spread_follows_a_prepreg(reedlight):
    known = add_rule(reedlight, {"judge": "block", "title": "Ours", "limit": "0.9", "ply": "SM150"})
    known = set_field(
        known,
        "setting.spreads",
        [{"figure": "E1", "between": "lot", "material": "SM150", "values": [120.0, 121.0, 119.0, 122.0]}],
    )
    named = rename_prepreg(known, 0, " SM150, lot B17 ")
    assert "SM150" not in {w.prepreg for s in named.sections for w in s.stack} | {m.id for m in named.materials}
    assert named.setting.rules[0].ply == "SM150, lot B17"
    assert named.setting.spreads[0].material == "SM150, lot B17"
    assert figures(named) == figures(known)
    assert rename_prepreg(named, 0, "SM150") == known


def test_every_section_follows_a_mandrel(reedlight):
    named = rename_mandrel(reedlight, 1, "bar two")
    assert named.mandrels[1].id == "bar two"
    assert named.sections[1].mandrel == "bar two"
    assert figures(named) == figures(reedlight)
    assert rename_mandrel(named, 1, reedlight.mandrels[1].id) == reedlight


def test_the_name_it_has_is_no_change_and_all_are_edits_by_name(reedlight):
    assert rename_prepreg(reedlight, 0, "SM150") == reedlight
    assert rename_mandrel(reedlight, 0, reedlight.mandrels[0].id) == reedlight
    assert edited(reedlight, "rename_prepreg", material=0, name="A") == rename_prepreg(reedlight, 0, "A")
    assert edited(reedlight, "rename_mandrel", mandrel=0, name="A") == rename_mandrel(reedlight, 0, "A")


def test_a_name_is_undone_like_any_edit(reedlight):
    edits = Edits(reedlight).with_edit(rename_prepreg(reedlight, 0, "A"))
    assert edits.undone().now == reedlight


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("", r"want\.still_empty"),
        ("  ", r"want\.still_empty"),
        ("x" * 81, r"want\.at_most_characters \(limit 80\)"),
        ("a\x07b", r"want\.printable_characters"),
    ],
)
def test_a_name_that_cannot_be_is_refused(reedlight, name, says):
    for rename in (rename_prepreg, rename_mandrel):
        with pytest.raises(DocumentError, match=says):
            rename(reedlight, 0, name)


def test_a_name_that_is_taken_and_a_thing_that_is_not_there_are_refused(reedlight):
    with pytest.raises(DocumentError, match=r"want\.own_name_on_shelf"):
        rename_prepreg(reedlight, 0, "TH55")
    with pytest.raises(DocumentError, match=r"want\.own_name_on_rack"):
        rename_mandrel(reedlight, 0, reedlight.mandrels[1].id)
    with pytest.raises(DocumentError, match=r"want\.no_such_prepreg"):
        rename_prepreg(reedlight, 9, "A")
    with pytest.raises(DocumentError, match=r"want\.no_such_mandrel"):
        rename_mandrel(reedlight, 9, "A")
