"""Every workshop rule both ways: a wall it holds for, and one it looks at; limits, words, switches, added rules."""

import numpy as np
import pytest
from tests.wall.walls_of_the_notes import HOOP, S3, SM150, TH55

from polewright.errors import DesignError
from polewright.materials.ply import Ply
from polewright.wall.rules import SHIPPED, Finish, Rule, rulings, with_changes
from polewright.wall.stack import Stack, StackPly


def _like(ply, name, **changed):
    given = {"thickness": ply.thickness, "elastic": ply.elastic, "area_mass": ply.area_mass, **changed}
    return Ply(name, **given)


GUARD = _like(TH55, "guard", family="glass", is_woven=True, is_conductive=False)
GLASS = _like(TH55, "glass hoop", family="glass", is_conductive=False)
METAL = Finish(has_aluminium_clamp=True)
AXIAL, BIAS = StackPly(SM150, 0.0, 5), np.pi / 4.0

BOTH_WAYS = [
    ("least-wall", S3, Stack((StackPly(TH55, HOOP), StackPly(SM150, 0.0, 2), StackPly(TH55, HOOP))), Finish(), None),
    (
        "around-both-sides",
        S3,
        Stack((StackPly(SM150, 0.0, 2), StackPly(TH55, HOOP, 2), StackPly(SM150, 0.0, 3))),
        Finish(),
        None,
    ),
    ("around-both-sides", S3, Stack((AXIAL, StackPly(TH55, HOOP))), Finish(), None),
    ("no-bare-axial", S3, Stack((StackPly(TH55, HOOP), AXIAL)), Finish(), 1),
    ("no-bare-axial", S3, Stack((AXIAL, StackPly(TH55, HOOP))), Finish(), 0),
    ("woven-skin", Stack((AXIAL, StackPly(GUARD, 0.0))), S3, Finish(), 2),
    ("sanding", Stack((AXIAL, StackPly(TH55, HOOP, 2))), S3, Finish(sanding=0.03e-3), 2),
    (
        "balance",
        Stack((StackPly(SM150, BIAS), StackPly(SM150, -BIAS))),
        Stack((StackPly(SM150, BIAS), AXIAL)),
        Finish(),
        None,
    ),
    ("block", S3, Stack((StackPly(TH55, HOOP), StackPly(SM150, 0.0, 9), StackPly(TH55, HOOP))), Finish(), 1),
    (
        "neighbours",
        Stack((AXIAL, StackPly(SM150, BIAS), StackPly(TH55, HOOP))),
        Stack((AXIAL, StackPly(TH55, HOOP))),
        Finish(),
        0,
    ),
    ("whole-turns", S3, Stack((StackPly(TH55, HOOP), StackPly(SM150, 0.0, 4.5), StackPly(TH55, HOOP))), Finish(), 1),
    ("carbon-on-aluminium", Stack((AXIAL, StackPly(GLASS, HOOP))), S3, METAL, 2),
]


def only(name, **changed):
    """The one rule, switched on."""
    rules = with_changes({name: {"is_on": True, **changed}})
    return tuple(r for r in rules if r.id == name)


@pytest.mark.parametrize(("name", "good", "bad", "finish", "layer"), BOTH_WAYS)
def test_every_rule_holds_for_one_wall_and_looks_at_another(name, good, bad, finish, layer):
    (holds,), (looks,) = (rulings(stack, finish=finish, rules=only(name)) for stack in (good, bad))
    assert holds.holds
    assert not looks.holds
    assert looks.layer == layer
    assert looks.rule.reason
    assert looks.rule.remedy


def test_no_shipped_rule_is_left_untested():
    assert {name for name, *_ in BOTH_WAYS} | {"seams-apart", "loose-joint"} == {r.id for r in SHIPPED}


def test_a_wall_alone_says_nothing_of_its_joints():
    assert rulings(S3, rules=only("loose-joint")) == ()


@pytest.mark.parametrize(
    ("starts", "holds"),
    [((0.0, 2.0, 4.0), True), ((0.0, 0.1, 3.0), False), ((6.2, 0.05, 3.0), False), ((0.0, 2.0 * np.pi), False)],
)
def test_seams_apart_counts_round_the_clock(starts, holds):
    (ruling,) = rulings(S3, finish=Finish(starts=starts), rules=only("seams-apart"))
    assert ruling.holds is holds


def test_seams_are_not_judged_where_no_start_is_known():
    assert rulings(S3, rules=only("seams-apart")) == ()
    assert rulings(S3, finish=Finish(starts=(0.0,)), rules=only("seams-apart")) == ()


def test_two_hoops_of_the_same_ply_share_the_sanding():
    (one,) = rulings(S3, finish=Finish(sanding=0.03e-3), rules=only("sanding"))
    (two,) = rulings(Stack((AXIAL, StackPly(TH55, HOOP, 2))), finish=Finish(sanding=0.03e-3), rules=only("sanding"))
    assert one.value == pytest.approx(0.03 / 0.0585, rel=1e-9)
    assert two.value == pytest.approx(one.value / 2.0, rel=1e-9)


def test_a_weave_is_balanced_by_itself_and_counts_as_around():
    weave = Stack((StackPly(GUARD, BIAS), AXIAL, StackPly(GUARD, 0.0)))
    said = {r.rule.id: r.holds for r in rulings(weave)}
    assert said["balance"]
    assert said["around-both-sides"]
    assert said["no-bare-axial"]


def test_a_block_continues_over_flags_of_the_same_angle():
    parted = Stack((StackPly(SM150, 0.0, 5), StackPly(TH55, 0.0, 4), StackPly(SM150, 0.0, 2)))
    (ruling,) = rulings(parted, rules=only("block"))
    assert ruling.value == pytest.approx(parted.thickness, rel=1e-12)


def test_steps_of_angle_are_taken_the_short_way():
    (ruling,) = rulings(
        Stack((StackPly(SM150, np.deg2rad(80.0)), StackPly(SM150, np.deg2rad(-80.0)))), rules=only("neighbours")
    )
    assert ruling.value == pytest.approx(np.deg2rad(20.0), rel=1e-9)


def test_a_workshop_moves_a_limit_words_and_a_switch():
    rules = with_changes({"least-wall": {"limit": 0.001, "remedy": "ask Ada"}, "woven-skin": {"is_on": False}})
    said = rulings(S3, rules=rules)
    least = next(r for r in said if r.rule.id == "least-wall")
    assert (least.holds, least.rule.remedy) == (False, "ask Ada")
    assert "woven-skin" not in {r.rule.id for r in said}
    assert "neighbours" not in {r.rule.id for r in said}


def test_a_limit_on_the_spot_holds():
    (ruling,) = rulings(S3, rules=only("least-wall", limit=S3.thickness))
    assert ruling.holds


def test_a_workshop_adds_a_rule_for_one_prepreg():
    rules = with_changes(
        {"thin-hoop-block": {"judge": "block", "ply": "TH55", "limit": 0.1e-3, "title": "No thick hoop block"}}
    )
    said = {r.rule.id: r for r in rulings(Stack((StackPly(TH55, HOOP, 2), AXIAL)), rules=rules)}
    assert said["block"].holds
    assert not said["thin-hoop-block"].holds
    assert said["thin-hoop-block"].value == pytest.approx(2.0 * TH55.thickness)
    assert said["thin-hoop-block"].rule.reason == said["block"].rule.reason
    assert said["thin-hoop-block"].rule.title == "No thick hoop block"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"lest-wall": {"limit": 1.0}}, r"want\.known_rule_or_judge"),
        ({"mine": {"judge": "no-such"}}, r"rules\[mine\]\.judge.*want\.one"),
    ],
)
def test_unknown_rules_are_refused_by_name(changes, words):
    with pytest.raises(DesignError, match=words):
        with_changes(changes)


def test_a_rule_without_judge_is_refused():
    with pytest.raises(DesignError, match=r"want\.one"):
        rulings(S3, rules=(Rule("own", "Own", "because", "do"),))


@pytest.mark.parametrize("finish", [{"sanding": -1.0}, {"sanding": float("nan")}, {"starts": (0.0, float("inf"))}])
def test_impossible_finish_is_refused(finish):
    with pytest.raises(DesignError):
        Finish(**finish)
