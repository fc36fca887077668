"""The workshop's rules changed, switched off and added: kept in the design, judged at once."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.answers.check import check_design
from polewright.codes import Message
from polewright.documents.files import DocumentError, document_from, dump_json, dump_toml
from polewright.units import from_
from polewright.wall.rules import SHIPPED
from polewright.words import default_reader
from polewright.words.findings import finding_text
from polewright.words.reports.check import evaluate as check
from polewright.workshop import (
    add_rule,
    demo_designs,
    edited,
    remove_rule,
    remove_section,
    rule_limit,
    rules_of,
    set_rule,
)

OWN = {"judge": "block", "title": "Not too much SM150", "limit": "0.6", "ply": "SM150"}


@pytest.fixture(scope="module")
def reedlight():
    return next(design for design in demo_designs() if design.name == "Reedlight 7")


def rule(design, name):
    return next(entry for entry in rules_of(design) if entry.rule.id == name)


def judged(design, rule):
    """What the check finds of a rule: verdict by the sections it names."""
    return {f.subjects.sections: f.verdict for f in findings(design, rule)}


def findings(design, rule):
    return [f for f in check_design(design).findings if f.kind == "rule" and f.subjects.rule == rule]


def test_every_shipped_rule_is_listed_as_it_came_with_reason_and_remedy(reedlight):
    listed = rules_of(reedlight)
    assert [entry.rule for entry in listed] == list(SHIPPED)
    assert all(entry.rule.reason and entry.rule.remedy and not entry.is_own and not entry.changed for entry in listed)


def test_a_tighter_limit_is_judged_at_once_on_the_walls_that_pass_it(reedlight):
    """Five turns of 0.1476 mm are 0.738 mm, four are 0.590: a limit of 0.7 mm parts section 1 from the others."""
    assert judged(reedlight, "block") == {(1, 2, 3, 4, 5): "holds"}
    tight = set_rule(reedlight, "block", "limit", "0.7 mm")
    assert judged(tight, "block") == {(1,): "holds", (2, 3, 4, 5): "look"}
    assert rule_limit(rule(tight, "block").rule) == (pytest.approx(0.7), "mm")
    assert rule(tight, "block").changed == ("limit",)


def test_a_rule_off_says_nothing_and_on_again_leaves_no_trace(reedlight):
    off = set_rule(reedlight, "woven-skin", "is_on", "off")
    assert judged(reedlight, "woven-skin") == {(1, 2, 3, 4, 5): "look"}
    assert judged(off, "woven-skin") == {}
    assert set_rule(off, "woven-skin", "is_on", "on") == reedlight


def test_a_rule_that_came_off_stays_off_while_its_limit_is_changed(reedlight):
    changed = set_rule(reedlight, "neighbours", "limit", "45")
    assert not rule(changed, "neighbours").rule.is_on
    assert judged(changed, "neighbours") == {}
    on = set_rule(changed, "neighbours", "is_on", "on")
    assert rule_limit(rule(on, "neighbours").rule) == (pytest.approx(45.0), "°")
    assert "look" in judged(on, "neighbours").values()


def test_the_least_wall_is_the_documents_own_field(reedlight):
    thick = set_rule(reedlight, "least-wall", "limit", "0,8")
    assert thick.setting.wall_least_mm == 0.8
    assert thick.setting.rules == ()
    assert rule(thick, "least-wall").changed == ("limit",)
    assert judged(thick, "least-wall") == {(1,): "look", (2, 3, 4, 5): "holds"}
    assert set_rule(thick, "least-wall", "limit", "") == reedlight


def test_words_are_the_workshops_own_until_they_are_emptied(reedlight):
    told = set_rule(set_rule(reedlight, "block", "reason", "ours split"), "block", "remedy", "a bias ply between")
    assert rule(told, "block").changed == ("reason", "remedy")
    assert finding_text(findings(told, "block")[0], default_reader()).reason == "ours split"
    back = set_rule(set_rule(told, "block", "reason", ""), "block", "remedy", " ")
    assert back == reedlight
    assert set_rule(reedlight, "block", "title", "No thick block of one angle") == reedlight


def test_a_joint_left_wide_by_a_section_taken_out_is_looked_at(reedlight):
    """0.4 mm of clearance, a tube of 1.71 mm and 0.4 mm more: 2.5 mm where 0.5 is the most that wet grit needs."""
    assert judged(reedlight, "loose-joint") == {(1, 2, 3, 4, 5): "holds"}
    gapped = remove_section(reedlight, 2)
    assert judged(gapped, "loose-joint") == {(2, 3): "look", (1, 2, 3, 4): "holds"}
    loose = next(f for f in findings(gapped, "loose-joint") if f.verdict == "look")
    tube = next(s for s in check(reedlight).sections if s.number == 3)
    fits = check(reedlight).joints
    wide = 2.0 * tube.wall_mm + fits[1].clearance_at_overlap_mm + fits[2].clearance_at_overlap_mm
    assert loose.value == pytest.approx(from_(wide, "mm"), abs=2e-5)
    assert loose.where == "joints[1]"
    assert loose.remedies == (Message("rule.remedy.loose_joint"),)
    assert judged(set_rule(gapped, "loose-joint", "limit", "3"), "loose-joint") == {(1, 2, 3, 4): "holds"}
    assert judged(set_rule(gapped, "loose-joint", "is_on", "off"), "loose-joint") == {}


def test_no_joint_of_the_demo_poles_is_a_loose_one_nor_one_of_a_pole_without_joints(reedlight):
    for design in demo_designs():
        assert set(judged(design, "loose-joint").values()) == {"holds"}
    one = reedlight
    for _ in range(4):
        one = remove_section(one, 0)
    assert judged(one, "loose-joint") == {}


def test_an_own_rule_on_joints_is_judged_like_the_shipped_one(reedlight):
    dry = add_rule(reedlight, {"judge": "loose-joint", "title": "Dry work", "limit": "0.3"})
    assert set(judged(dry, "dry-work").values()) == {"look"}
    assert len(judged(dry, "dry-work")) == 4
    assert rule(dry, "dry-work").is_least is False


def test_an_own_rule_judges_one_prepreg_alone_and_goes_again(reedlight):
    own = add_rule(reedlight, OWN)
    assert judged(own, "not-too-much-sm150") == {(1,): "holds", (2, 3, 4, 5): "look"}
    entry = rule(own, "not-too-much-sm150")
    assert entry.is_own
    assert entry.rule.reason == rule(own, "block").rule.reason
    looser = set_rule(own, "not-too-much-sm150", "limit", "0.75")
    assert judged(looser, "not-too-much-sm150") == {(1, 2, 3, 4, 5): "holds"}
    assert remove_rule(looser, "not-too-much-sm150") == reedlight
    thin = add_rule(reedlight, {**OWN, "ply": "TH55", "title": "Not too much TH55", "limit": "0.05"})
    assert judged(thin, "not-too-much-th55") == {(1, 2, 3, 4, 5): "look"}


def test_an_own_least_wall_shows_the_thinnest_of_its_walls(reedlight):
    own = add_rule(reedlight, {"judge": "least-wall", "title": "Stout wall", "limit": "0.9"})
    found = findings(own, "stout-wall")[0]
    assert found.value == pytest.approx(from_(min(s.wall_mm for s in check(own).sections), "mm"))
    assert rule(own, "stout-wall").is_least


def test_a_share_is_typed_as_a_share_or_in_per_cent(reedlight):
    half = set_rule(reedlight, "sanding", "limit", "52 %")
    assert half == set_rule(reedlight, "sanding", "limit", "0.52")
    assert judged(half, "sanding") == {(1, 2, 3, 4, 5): "holds"}


@pytest.mark.parametrize(
    ("edit", "field", "says"),
    [
        (
            lambda d: set_rule(d, "block", "limit", "-1"),
            "limit",
            r"want\.between \(least 0, most bound\.length \(value 0\.1\)\)",
        ),
        (lambda d: set_rule(d, "block", "limit", "thin"), "limit", r"want\.number_such_as"),
        (
            lambda d: set_rule(d, "block", "limit", "1e300"),
            "limit",
            r"want\.between \(least 0, most bound\.length \(value 0\.1\)\)",
        ),
        (lambda d: set_rule(d, "neighbours", "limit", "181"), "limit", r"want\.between"),
        (lambda d: set_rule(d, "sanding", "limit", "150 %"), "limit", r"want\.share_or_percent"),
        (lambda d: set_rule(d, "woven-skin", "limit", "1"), "limit", r"want\.no_limit_of_rule"),
        (lambda d: set_rule(d, "block", "title", "Whole turns"), "title", r"want\.own_name_of_rule"),
        (lambda d: set_rule(d, "block", "reason", "x" * 401), "reason", r"want\.at_most_characters \(limit 400\)"),
        (lambda d: set_rule(d, "block", "reason", "a\x07b"), "reason", r"want\.printable_characters"),
        (lambda d: set_rule(d, "block", "is_on", "maybe"), "is_on", r"want\.one"),
        (lambda d: set_rule(d, "block", "judge", "sanding"), "field", r"want\.one"),
        (lambda d: set_rule(d, "no-such", "limit", "1"), "rule", r"want\.one"),
        (lambda d: remove_rule(d, "block"), "rule", r"want\.shipped_rule_switched_off"),
        (lambda d: add_rule(d, {**OWN, "judge": "woven-skin"}), "judge", r"want\.one"),
        (lambda d: add_rule(d, {**OWN, "title": ""}), "title", r"want\.name_of_rule"),
        (lambda d: add_rule(d, {**OWN, "ply": "GW80"}), "ply", r"want\.one \(choices \('SM150', 'TH55'\)\)"),
        (lambda d: add_rule(d, {**OWN, "judge": "sanding"}), "ply", r"want\.every_prepreg"),
        (lambda d: set_rule(add_rule(d, OWN), "not-too-much-sm150", "title", ""), "title", r"want\.name_of_rule"),
    ],
)
def test_what_no_rule_can_be_is_refused_by_its_field(reedlight, edit, field, says):
    with pytest.raises(DocumentError, match=says) as fault:
        edit(reedlight)
    assert fault.value.faults[0][0] == field


def test_faults_of_a_new_rule_are_reported_together(reedlight):
    with pytest.raises(DocumentError) as fault:
        add_rule(reedlight, {"judge": "sanding", "title": "Least wall", "ply": "SM150", "limit": "x"})
    assert [each[0] for each in fault.value.faults] == ["title", "ply", "limit"]


def test_two_rules_of_one_name_in_letters_alone_get_two_ids(reedlight):
    both = add_rule(add_rule(reedlight, {**OWN, "title": "Ours!"}), {**OWN, "title": "Ours?"})
    assert [entry.rule.id for entry in rules_of(both) if entry.is_own] == ["ours", "ours-2"]


@settings(max_examples=25, derandomize=True, deadline=None)
@given(limit=st.floats(min_value=0.0, max_value=99.0), on=st.booleans(), name=st.text("abc xyz", min_size=1))
def test_changed_rules_survive_a_file_and_back(limit, on, name):
    design = next(d for d in demo_designs() if d.name == "Reedlight 7")
    design = set_rule(set_rule(design, "block", "limit", f"{limit} mm"), "whole-turns", "is_on", "on" if on else "off")
    design = design if not name.strip() else add_rule(design, {**OWN, "title": name})
    assert document_from(dump_toml(design)) == design
    assert document_from(dump_json(design), is_json=True) == design
    assert rule_limit(rule(design, "block").rule)[0] == pytest.approx(limit, rel=1e-12, abs=1e-15)


def test_all_are_edits_by_name(reedlight):
    assert edited(reedlight, "add_rule", rule=OWN) == add_rule(reedlight, OWN)
    assert edited(reedlight, "set_rule", rule="block", field="limit", value="1") == set_rule(
        reedlight, "block", "limit", "1"
    )
