"""Joints, hands, slips, wind, margins and whole batches against hand-derived answers."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from polewright.errors import DesignError, NotConverged
from polewright.pole import (
    Bench,
    Clamped,
    Foot,
    Hands,
    Joint,
    Lifted,
    Pole,
    State,
    Tube,
    bent,
    bent_small,
    contact,
    droop_split,
    flex,
    grip,
    heft,
    lay_out,
)

GRAVITY = 9.80665


def rigid_chain(*, clearance=0.0, stiffness=np.inf, sections=5):
    tube = Tube.uniform(bore=0.028, outside=0.030, length=1.0, bending=1e13, mass_per_length=0.0, shear=1e15)
    return Pole((tube,) * sections, (Joint(overlap=0.2, clearance=clearance, stiffness=stiffness),) * (sections - 1))


@pytest.mark.parametrize("clearance", [0.1e-3, 0.04], ids=["small rotation", "large rotation"])
def test_rock_of_a_chain_of_five_sections_is_a_polygon(verified, clearance):
    """Every joint tilts by c/(2 L); links: 0.9 to the first joint, then 0.8 apart, 0.9 from the last to the tip."""
    pole = rigid_chain(clearance=clearance)
    b = bent(pole, State.out(pole, support=Clamped(), gravity=0.0, tip_force=[0.0, -1.0]))
    tilt = clearance / 0.4
    links = np.array([0.9, 0.8, 0.8, 0.8, 0.9])
    turns = tilt * np.arange(5)
    case = f"rock of five sections, tilt {tilt:g}"
    verified(
        "pole", f"{case}, droop", "polygon by hand", links @ np.sin(turns), -b.z[-1], 1e-7, unit="m", kind="closed form"
    )
    verified(
        "pole", f"{case}, reach", "polygon by hand", links @ np.cos(turns), b.x[-1], 1e-7, unit="m", kind="closed form"
    )


@pytest.mark.parametrize("load", [1.0, 200.0], ids=["small rotation", "large rotation"])
def test_springs_of_a_chain_of_five_sections_turn_as_their_moments_say(verified, load):
    """Turns found by going round: moment of the load about each joint, over k, until nothing moves."""
    pole = rigid_chain(stiffness=500.0)
    b = bent(pole, State.out(pole, support=Clamped(), gravity=0.0, tip_force=[0.0, -load]))
    links, turns = np.array([0.9, 0.8, 0.8, 0.8, 0.9]), np.zeros(5)
    for _ in range(2000):
        x = np.cumsum(links * np.cos(turns))
        turns[1:] = 0.5 * turns[1:] + 0.5 * np.cumsum(load * (x[-1] - x[:-1]) / 500.0)
    verified(
        "pole",
        f"springs of five sections, {load:g} N, droop",
        "polygon by hand",
        links @ np.sin(turns),
        -b.z[-1],
        1e-6,
        unit="m",
        kind="closed form",
    )


def test_contact_forces_of_a_weightless_pole_by_hand():
    """Tip force P at a from the mouth: back = -(P a + P L/20)/(0.9 L), front = P - back."""
    tube = Tube.uniform(bore=0.028, outside=0.030, length=1.0, bending=1e6, mass_per_length=0.0)
    pole = Pole((tube, tube), (Joint(overlap=0.2),))
    found = contact(bent_small(pole, State(drawn=[0.8], support=Clamped(), tip_force=[0.0, -10.0])))
    back = -(10.0 * 0.8 + 10.0 * 0.01) / 0.18
    assert found.back[0] == pytest.approx(back, rel=1e-9)
    assert found.front[0] == pytest.approx(10.0 - back, rel=1e-9)
    assert found.couple[0] == pytest.approx(-8.0 / 0.18, rel=1e-9)


def test_contact_forces_of_a_level_heavy_pole_by_moments_about_the_back_contact():
    """front 0.9 L = w L 0.45 L + w a (0.95 L + a/2); both together carry w (L + a)."""
    w, a, L = 3.0, 0.8, 0.2
    tube = Tube.uniform(bore=0.028, outside=0.030, length=1.0, bending=1e9, mass_per_length=w / GRAVITY)
    found = contact(bent_small(Pole((tube, tube), (Joint(overlap=L),)), State(drawn=[a], support=Clamped())))
    front = (w * L * 0.45 * L + w * a * (0.95 * L + a / 2)) / (0.9 * L)
    assert found.front[0] == pytest.approx(front, rel=1e-9)
    assert found.front[0] + found.back[0] == pytest.approx(w * (L + a), rel=1e-9)


def test_a_joint_without_overlap_has_no_contacts_to_report(stepped):
    pole = stepped((1.0, 1.0), (10.0, 10.0), (0.1, 0.1))
    with pytest.raises(DesignError, match=r"want\.above_zero_nothing_holds_joint_s"):
        contact(bent(pole, State(drawn=[1.0], support=Clamped())))


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.lists(st.floats(0.1, 1.45), min_size=4, max_size=4), st.floats(-1.5, 1.5), st.floats(0.0, 3.0), st.booleans())
def test_the_parts_of_the_droop_add_up_in_any_state(reedlight, drawn, lean, head, clamped):
    pole = reedlight()
    state = State(drawn=drawn, lean=lean, head_mass=head, support=Clamped(0.3) if clamped else Bench())
    for b in (bent(pole, state), bent_small(pole, state)):
        split = droop_split(b)
        parts = np.concatenate([split.section, split.play, split.spring, [split.shear, split.root]])
        assert parts.sum() == pytest.approx(split.total, abs=1e-10)
        assert split.total == pytest.approx(b.tip_droop, abs=1e-12)


def test_the_parts_of_a_small_droop_are_castiglianos(stepped):
    """Built in, tip load 1: spans by (a3 - b3)/(3 EI), the joint by a2/k."""
    pole = stepped((1.0, 2.0), (1.0, 4.0), (0.0, 0.0), stiffness=5.0)
    split = droop_split(bent_small(pole, State(drawn=[1.0], support=Clamped(), tip_force=[0.0, -1.0])))
    assert_allclose(split.section, [1.0 / 3.0, 26.0 / 12.0], rtol=1e-9)
    assert_allclose(split.spring, [1.0 / 5.0], rtol=1e-12)
    assert split.play[0] == 0.0


def test_droop_of_any_place_can_be_split(reedlight):
    pole = reedlight()
    b = bent(pole, State.out(pole, support=Foot(), lean=0.9))
    split = droop_split(b, at=4.0)
    parts = split.section.sum() + split.play.sum() + split.spring.sum() + split.shear + split.root
    assert parts == pytest.approx(split.total, abs=1e-10)
    with pytest.raises(DesignError, match=r"want\.from_first_support_tip"):
        droop_split(bent(pole, State.out(pole, support=Clamped(1.0))), at=0.2)


def test_ten_per_cent_on_a_section_saves_what_its_share_says(reedlight):
    """First order: share x 0.1/1.1."""
    pole = reedlight()
    state = State.out(pole)
    share = flex(pole, state).section[3]
    stiffer = list(pole.tubes)
    stiffer[3] = replace(stiffer[3], bending=1.1 * stiffer[3].bending)
    saved = 1.0 - flex(replace(pole, tubes=tuple(stiffer)), state).flex / flex(pole, state).flex
    assert saved == pytest.approx(share * 0.1 / 1.1, rel=0.15)


def test_hands_hold_the_weight_and_its_moment():
    """Rigid pole, level: moment about the front hand = weight times (balance - front)."""
    pole = Pole(
        (Tube.uniform(bore=0.028, outside=0.030, length=4.0, bending=1e9, mass_per_length=0.25, shear=1e15),), (), 0.5
    )
    state = State(drawn=[], support=Hands(0.2, 1.2))
    g = grip(bent(pole, state))
    assert g.moment == pytest.approx((1.0 * (2.0 - 1.2) + 0.5 * (4.0 - 1.2)) * GRAVITY, rel=1e-7)
    assert g.rear_across + g.front_across == pytest.approx(1.5 * GRAVITY, rel=1e-12)
    assert grip(bent(pole, replace(state, support=Clamped()))).rear_moment == pytest.approx(4.0 * GRAVITY, rel=1e-7)
    assert abs(g.along) < 1e-9


def test_felt_mass_is_inertia_about_the_rear_hand():
    """Uniform rod of 1 kg and 3 m: m L2/3 about its butt, over the square of the hands' distance."""
    h = heft(
        Pole((Tube.uniform(length=3.0, bending=1.0, mass_per_length=1 / 3, bore=0.0, outside=1e-9),), ()),
        State(drawn=[]),
    )
    assert (h.mass, h.balance, h.carry_moment) == pytest.approx((1.0, 1.5, 1.5), rel=1e-12)
    assert h.felt_mass(0.0, 0.5) == pytest.approx(3.0 / 0.25, rel=1e-12)
    assert h.felt_mass(1.5, 2.0) == pytest.approx(0.75 / 0.25, rel=1e-12)
    with pytest.raises(DesignError, match=r"want\.further_from_butt_than_rear_hand"):
        h.felt_mass(1.0, 1.0)


def test_a_tip_on_the_ground_carries_weight_until_it_leaves():
    pole = Pole((Tube.uniform(bore=0.028, outside=0.030, length=3.0, bending=1000.0, mass_per_length=0.3),), ())
    grounded = bent(pole, State(drawn=[], support=Lifted(0.0, 1.0, "grounded")))
    assert grounded.reactions[-1].upright > 0.0
    with pytest.raises(DesignError, match=r"want\.free_tip_has_left_ground"):
        bent(pole, State(drawn=[], support=Lifted(0.0, 1.0, "grounded"), tip_force=[0.0, 20.0]))


def test_a_head_on_a_smooth_wall_balances_like_a_ladder():
    """Rigid pole, level push H = W/(2 tan lean)."""
    pole = Pole(
        (Tube.uniform(bore=0.028, outside=0.030, length=5.0, bending=1e9, mass_per_length=0.3, shear=1e15),), ()
    )
    b = bent(pole, State(drawn=[], support=Foot(), lean=1.0))
    assert -b.reactions[1].level == pytest.approx(0.3 * 5.0 * GRAVITY / (2.0 * np.tan(1.0)), rel=1e-6)
    dragged = bent(pole, State(drawn=[], support=Foot(friction=0.4, slide="up"), lean=1.0)).reactions[1]
    assert dragged.upright == pytest.approx(0.4 * dragged.level, rel=1e-9)


@pytest.mark.parametrize(("lean", "push"), [(0.6, 12.0), (1.0, 5.0), (1.2, 2.5)])
def test_a_stuck_head_drags_what_the_moments_about_the_foot_ask(lean, push):
    """Rigid pole, upright wall: drag = (W cos(lean)/2 - push sin(lean))/cos(lean), up on the head."""
    pole = Pole(
        (Tube.uniform(bore=0.028, outside=0.030, length=5.0, bending=1e9, mass_per_length=0.3, shear=1e15),), ()
    )
    weight = 0.3 * 5.0 * GRAVITY
    b = bent(pole, State(drawn=[], support=Foot(friction=9.0, slide="stuck", push=push), lean=lean))
    head, foot = b.reactions[1], b.reactions[0]
    assert head.level == pytest.approx(-push, rel=1e-12)
    assert head.upright == pytest.approx((0.5 * weight * np.cos(lean) - push * np.sin(lean)) / np.cos(lean), rel=1e-6)
    assert (head.level + foot.level, head.upright + foot.upright) == pytest.approx((0.0, weight), abs=1e-9)
    assert b.z[-1] == pytest.approx(5.0 * np.sin(lean), rel=1e-9)


def test_a_stuck_head_between_the_sliding_ones_is_held_and_beyond_them_it_slides(reedlight):
    """Pushed as hard as a head that slides down or up needs, friction is just used up; between, it holds."""
    pole, lean = reedlight(clearance=0.0), 1.0

    def held(support):
        return bent(pole, State.out(pole, support=support, lean=lean)).reactions[1]

    down, up = (-held(Foot(slide=way, friction=0.3)).level for way in ("down", "up"))
    middle = held(Foot(friction=0.3, slide="stuck", push=0.5 * (down + up)))
    assert abs(middle.upright) < 0.3 * 0.5 * (down + up)
    for push, words in (
        (0.9 * down, r"want\.push_or_friction_sliding_down"),
        (1.1 * up, r"want\.push_or_friction_sliding_up \(.*friction 0\.\d"),
    ):
        with pytest.raises(DesignError, match=words):
            held(Foot(friction=0.3, slide="stuck", push=push))
    with pytest.raises(DesignError, match=r"want\.push_sliding_down"):
        held(Foot(slide="stuck"))


def test_a_head_pushed_up_a_wall_that_jams_it_is_refused_with_the_friction_it_needs(plain):
    pole = plain(5.0, 900.0, 0.3)
    with pytest.raises(DesignError, match=r"want\.below_at_this_lean_or_steeper"):
        bent(pole, State(drawn=[], support=Foot(slide="up"), lean=np.deg2rad(10.0)))
    with pytest.raises(NotConverged, match=r"want\.balance_pushed_up \(friction 1\.5, most 1\.55"):
        bent(pole, State(drawn=[], support=Foot(slide="up", friction=1.5), lean=1.0))
    with pytest.raises(NotConverged, match=r"want\.balance_with_less_push \(push 300"):
        bent(pole, State(drawn=[], support=Foot(slide="stuck", push=300.0, friction=50.0), lean=1.0))
    with pytest.raises(DesignError, match=r"stuck"):
        Foot(push=3.0)


def test_the_layout_sums_walls_masses_and_joints(reedlight):
    pole = reedlight()
    mesh = lay_out(pole, np.array(pole.full_draw))
    k = np.argmin(np.abs(mesh.node - 1.5))  # S4 inside S5
    assert_allclose(mesh.ei[k], 1039.5 + 1275.5, rtol=1e-12)
    assert_allclose(mesh.mu[k], 0.1234 + 0.1321, rtol=1e-12)
    assert_allclose(mesh.dia[k], 0.03286, rtol=1e-12)
    assert_allclose(mesh.node[mesh.joint_node], [5.9, 4.45, 3.0, 1.55], atol=1e-12)
    assert mesh.comp.sum() == pytest.approx(4.0 / 9000.0)


def test_a_tapered_tube_bends_as_its_stations_say():
    """EI straight from 10 at the butt to 2 at the tip, tip load: integral of (L - s)2/EI by quadrature."""
    pole = Pole(
        (
            Tube(
                length=1.0,
                station=[0.0, 1.0],
                bending=[10.0, 2.0],
                axial=[1e9, 1e9],
                shear=[1e15, 1e15],
                mass_per_length=[0.0, 0.0],
                bore=[0.0, 0.0],
                outside=[0.03, 0.02],
            ),
        ),
        (),
    )
    s = np.linspace(0.0, 1.0, 200001)
    expected = np.trapezoid((1.0 - s) ** 2 / (10.0 - 8.0 * s), s)
    b = bent_small(pole, State(drawn=[], support=Clamped(), tip_force=[0.0, -1.0]))
    assert b.tip_droop == pytest.approx(expected, rel=1e-6)
