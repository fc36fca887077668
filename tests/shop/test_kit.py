"""Kits: kit mass, pieces and their joints, pairs, and what is refused."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.errors import DesignError
from polewright.materials.ply import Elastic, Ply
from polewright.shop import CutRules, Flag, JointRules, joint_spans, piece_outlines, section_kit, spread_joints
from polewright.wall.stack import Stack, StackPly

PLY = Ply("plain", 0.00015, Elastic.isotropic(E=70e9, nu=0.3), 0.25)


def test_kit_of_section_3_weighs_what_the_notes_say(shop, verified):
    kit = shop.kits()[2]
    verified(
        "shop",
        "kit of section 3 without films",
        "workshop notes, printed to 0.1 g",
        201.4,
        kit.mass * 1e3,
        0.0,
        tolerance_abs=0.06,
        unit="g",
        kind="notes",
    )
    verified(
        "shop",
        "inner hoop of section 3",
        "workshop notes, two pieces of 6.9 g",
        13.8,
        kit.flags[0].mass * 1e3,
        0.0,
        tolerance_abs=0.11,
        unit="g",
        kind="notes",
    )
    assert kit.films == 5


def test_hoops_longer_than_the_roll_is_wide_are_two_pieces_with_joints_apart(shop):
    for kit in shop.kits():
        inner, axial, outer = kit.flags
        assert [len(f.pieces) for f in kit.flags] == [2, 1, 2]
        assert abs(inner.joints.mean() - outer.joints.mean()) >= 0.150 - 1e-9
        for flag in (inner, outer):
            assert all(np.ptp(p.outline[:, 0]) <= 0.990 + 1e-9 for p in flag.pieces)
        assert kit.notes == ()
        assert axial.joints.size == 0


def test_joints_keep_out_of_the_clamps(shop):
    rules = CutRules(zones=((0.70, 0.80), (0.86, 0.92)))
    kit = section_kit(shop.hooped(5), 0.027, 0.027, 1.65, rules=rules)
    places = [float(f.joints.mean()) - 0.035 for f in kit.flags if len(f.pieces) > 1]
    assert not kit.notes
    assert all(not (a < p < b) for p in places for a, b in rules.zones)
    assert abs(places[0] - places[1]) >= 0.150 - 1e-9


def test_a_rule_that_cannot_be_kept_is_shown_and_never_hidden(shop):
    kit = section_kit(shop.hooped(5), 0.027, 0.027, 1.65, rules=CutRules(zones=((0.0, 1.65),)))
    assert "cut.note.joint_under_clamp" in {note.code for note in kit.notes}
    assert all(len(f.pieces) >= 2 for f in (kit.flags[0], kit.flags[2]))


@pytest.mark.parametrize("zones", [((0.0, 1.65),), ((0.03, 1.72),), ((0.0, 0.4), (0.45, 1.0), (1.05, 1.72))])
def test_no_joint_is_put_beyond_the_flag_to_keep_a_rule(shop, zones):
    kit = section_kit(shop.hooped(5), 0.027, 0.027, 1.65, rules=CutRules(zones=zones))
    for flag in kit.flags:
        assert all(0.0 < joint < flag.flag.length for joint in flag.joints.ravel())
        assert all(piece.area > 0.001 for piece in flag.pieces)


def test_a_ply_wider_than_the_roll_round_the_tube_is_rolled_in_several_flags():
    kit = section_kit(Stack((StackPly(PLY, 0.0, 12.5),)), 0.040, 0.040, 1.0)
    assert [f.flag.turns for f in kit.flags] == [6.0, 6.5]
    assert all(f.flag.width_butt <= 0.990 for f in kit.flags)
    assert kit.flags[1].flag.diameter_butt == pytest.approx(0.040 + 12 * 0.00015)


def test_a_slightly_turned_ply_is_split_in_turns_and_not_along_the_whole_tube():
    # 2 degrees on 1.72 m needs 60 mm more across the roll than the width round the tube
    kit = section_kit(Stack((StackPly(PLY, np.radians(2), 7),)), 0.0425, 0.0425, 1.65)
    assert [f.flag.turns for f in kit.flags] == [3.0, 4.0]
    assert kit.films == 2


@pytest.mark.parametrize(("length", "flags"), [(0.5, [1.0, 2.0]), (1.2, [3.0])])
def test_a_turned_ply_is_pieced_only_where_its_joints_run_along_less_than_half_of_it(length, flags):
    # 3 turns of 0.29 m at 45 degrees: their joints run along as much of the tube
    stack = Stack((StackPly(PLY, np.radians(45), 3),))
    kit = section_kit(stack, 0.03, 0.03, length, rules=CutRules(roll_width=0.5))
    assert [f.flag.turns for f in kit.flags] == flags


def test_one_turn_wider_than_the_roll_is_refused_with_the_width_that_would_do():
    with pytest.raises(DesignError, match=r"plain\.roll_width.*want\.roll_width_of_turn \(least 0\.3\d\d"):
        section_kit(Stack((StackPly(PLY, 0.0, 1.0),)), 0.1, 0.1, 1.0, rules=CutRules(roll_width=0.2))


@settings(derandomize=True, deadline=None, max_examples=50)
@given(
    st.floats(-90.0, 90.0),
    st.floats(0.2, 1.2),
    st.floats(0.01, 0.06),
    st.floats(-0.004, 0.004),
    st.floats(0.3, 3.0),
    st.floats(0.5, 4.0),
)
def test_pieces_fill_the_flag_and_fit_the_roll_at_every_angle(degrees, roll, diameter, taper, length, turns):
    angle = np.radians(degrees)
    kit = section_kit(
        Stack((StackPly(PLY, angle, turns),)), diameter, diameter * 0.9 + taper, length, rules=CutRules(roll_width=roll)
    )
    for flag in kit.flags:
        assert sum(p.area for p in flag.pieces) == pytest.approx(flag.flag.area, rel=1e-9)
        for piece in flag.pieces:
            across = -piece.outline[:, 0] * np.sin(angle) + piece.outline[:, 1] * np.cos(angle)
            assert np.ptp(across) <= roll + 1e-9


def test_joints_of_a_bias_ply_run_along_its_fibre():
    flag = Flag(0.03, 0.03, 1e-4, 1.0, np.radians(-30), 1.7, 0.006)
    found = spread_joints([flag], [0.6], JointRules())
    spans = joint_spans(flag, found.cuts[0])
    assert len(found.cuts[0]) == 1
    assert np.ptp(spans[0]) == pytest.approx(flag.width_butt / np.tan(np.radians(30)), rel=1e-9)
    shared = piece_outlines(flag, found.cuts[0])[0]
    edges = np.diff(np.vstack([shared, shared[:1]]), axis=0)
    assert any(abs(np.degrees(np.arctan2(*e[::-1])) % 180 - 150) < 1e-6 for e in edges)


def test_opposite_single_turns_are_partners_and_others_are_not():
    def partners(*plies):
        return [f.partner for f in section_kit(Stack(plies), 0.03, 0.03, 0.5).flags]

    up, down = StackPly(PLY, np.radians(45)), StackPly(PLY, np.radians(-45))
    assert partners(up, down, StackPly(PLY, 0.0, 3)) == [2, 1, None]
    assert partners(up, down, up) == [2, 1, None]
    assert partners(up, up) == [None, None]
    assert partners(StackPly(PLY, np.radians(45), 2), StackPly(PLY, np.radians(-45), 2)) == [None, None]
    assert partners(StackPly(PLY, np.pi / 2), StackPly(PLY, -np.pi / 2)) == [None, None]


def test_labels_name_section_ply_and_piece(shop):
    assert [p.label for f in shop.kits()[2].flags for p in f.pieces] == ["S3-1a", "S3-1b", "S3-2", "S3-3a", "S3-3b"]
