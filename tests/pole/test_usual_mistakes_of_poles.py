"""Where models of a pole go wrong: each has its test."""

from dataclasses import replace

import numpy as np
import pytest

from polewright.pole import (
    Bench,
    Clamped,
    Hands,
    Joint,
    Pole,
    State,
    Tube,
    bent,
    bent_small,
    contact,
    droop_split,
    heavy_column_length,
    heft,
    modes,
    self_buckling_factor,
)

GRAVITY = 9.80665


@pytest.mark.parametrize("lean", [20.0, 60.0, 85.0])
def test_a_leaning_pole_past_its_self_buckling_length_still_rests(plain, chain, lean):
    length = 1.25 * heavy_column_length(10.0, 0.1 * GRAVITY)
    pole = plain(length, 10.0, 0.1)
    b = bent(pole, State(drawn=[], support=Clamped(), lean=np.radians(lean)))
    links = chain(length=length, bending=10.0, mass=0.1, tip_mass=0.0, lean=np.radians(lean), links=300)
    for gravity in np.linspace(0.0, GRAVITY, 60)[1:]:  # the branch that starts straight
        links.pull *= gravity / links.g
        links.g = gravity
        links.settle()
    x, z = links.tip_place()
    assert self_buckling_factor(pole, State(drawn=[], support=Clamped(), lean=np.pi / 2)) < 1.0
    assert (b.x[-1], b.z[-1]) == pytest.approx((x, z), abs=1e-3 * length)


def test_droop_is_across_the_root_axis_and_the_tip_is_plumb(reedlight):
    pole = reedlight()
    b = bent(pole, State.out(pole, support=Clamped(), lean=1.0))
    x, z = b.tip
    assert b.tip_droop == pytest.approx(x * np.sin(1.0) - z * np.cos(1.0), rel=1e-12)
    assert np.hypot(x, z) < 7.45
    assert x > 7.45 * np.cos(1.0)  # it has sagged outward of the straight line


def test_an_upright_pole_past_buckling_bends_to_the_side_it_is_let_fall(plain):
    length = 1.1 * heavy_column_length(10.0, 0.1 * GRAVITY)
    state = State(drawn=[], support=Clamped(), lean=np.pi / 2)
    right, left = (bent(plain(length, 10.0, 0.1), state, side=s) for s in (1.0, -1.0))
    assert right.buckled
    assert right.x[-1] > 0.3 * length
    assert left.x[-1] == pytest.approx(-right.x[-1], rel=1e-6)


def test_between_two_hands_the_root_turns(reedlight):
    """The root turns by M a / (3 EI) more than a clamp at the front hand, M the moment there, small deflections."""
    pole = reedlight(clearance=0.0)
    held = bent_small(pole, State.out(pole, support=Hands(0.0, 1.0), gravity=0.0, tip_force=[0.0, -1.0]))
    clamped = bent_small(pole, State.out(pole, support=Clamped(1.0), gravity=0.0, tip_force=[0.0, -1.0]))
    turn = 6.45 * 1.0 / (3.0 * 1275.5)
    assert held.tip_droop - clamped.tip_droop == pytest.approx(turn * 6.45, rel=1e-4)
    assert held.tip_droop > 1.1 * clamped.tip_droop


def test_tilt_is_gap_over_overlap_and_the_swing_is_twice_that():
    """Rigid tubes: tilt c/L with both ends loose, c/(2 L) with a centred mouth; kink at the middle of the overlap."""
    for centring, tilt in (("none", 0.5e-3 / 0.25), ("mouth", 0.25e-3 / 0.25)):
        joint = Joint(overlap=0.25, clearance=0.5e-3, centring=centring)
        pole = Pole(
            (Tube.uniform(bore=0.028, outside=0.030, length=1.0, bending=1e12, mass_per_length=0.1, shear=1e15),) * 2,
            (joint,),
        )
        down, up = (bent(pole, State.out(pole, support=Clamped(), gravity=g)).z[-1] for g in (GRAVITY, -GRAVITY))
        assert -down == pytest.approx((1.0 - 0.125) * np.sin(tilt), rel=1e-6)
        assert up - down == pytest.approx(2.0 * (1.0 - 0.125) * np.sin(tilt), rel=1e-6)


def test_touching_tubes_bend_more_than_glued_ones_by_hand():
    """Equal tubes, pure tip moment by a pair of forces far away: 2/3 of L/EI in the overlap against 1/2."""
    tube = Tube.uniform(bore=0.028, outside=0.030, length=1.0, bending=100.0, mass_per_length=0.0, shear=1e15)
    pole = Pole((tube, tube), (Joint(overlap=0.3),))
    state = State(drawn=[0.7], support=Clamped(), gravity=0.0, tip_force=[0.0, -1.0])
    glued, touching = (bent_small(pole, state, joint_model=m, pieces=128).tip_droop for m in ("glued", "touching"))
    # arm of the tip force at s: 1.7 - s; overlap from 0.7 to 1.0, x = (s - 0.7)/0.3
    s = np.linspace(0.7, 1.0, 2001)
    x = (s - 0.7) / 0.3
    more = np.trapezoid((1.7 - s) ** 2 * ((x**2 + (1 - x) ** 2) / 100.0 - 1.0 / 200.0), s)
    assert touching - glued == pytest.approx(more, rel=1e-5)


@pytest.mark.parametrize("seed", range(30))
def test_a_touching_overlap_does_not_hang_on_the_number_of_pieces_at_any_pivot(seed):
    """Two to four tubes, joints that give at a pivot anywhere: 16 pieces within 0.02 % of 2 048."""
    rng = np.random.default_rng(seed)
    stiff, tubes = 10 ** rng.uniform(0.8, 1.6), []
    for i in range(int(rng.integers(2, 5))):
        stiff *= rng.uniform(1.3, 3.5)
        at = 0.020 + 0.003 * i
        tubes.append(
            Tube.uniform(
                length=rng.uniform(0.8, 1.7),
                bending=stiff,
                mass_per_length=0.08,
                bore=at,
                outside=at + 0.002,
                shear=1e5,
            )
        )
    joints = tuple(
        Joint(overlap=rng.uniform(0.08, 0.3), pivot=rng.uniform(0.0, 1.0), stiffness=10 ** rng.uniform(2.5, 4.0))
        for _ in tubes[1:]
    )
    pole = Pole(tuple(tubes), joints)
    state = State.out(pole, support=Clamped(), tip_force=[0.0, -3.0])
    coarse, usual, fine = (bent_small(pole, state, joint_model="touching", pieces=n).tip_droop for n in (16, 32, 2048))
    assert coarse == pytest.approx(fine, rel=2e-5)
    assert usual == pytest.approx(fine, rel=2e-5)


def test_the_overlap_weighs_both_tubes_and_loads_its_contacts(reedlight):
    pole = reedlight()
    state = State.out(pole, support=Clamped())
    b = bent(pole, state)
    assert -b.loads.pz.sum() - (b.mesh.h[:, None] * [5 / 18, 8 / 18, 5 / 18] * b.loads.qz).sum() == pytest.approx(
        GRAVITY * pole.mass, rel=1e-12
    )
    assert heft(pole, state).mass == pytest.approx(pole.mass, rel=1e-12)
    light = replace(pole.tubes[0], mass_per_length=np.zeros(2))
    weightless = contact(bent(replace(pole, tubes=(light, *pole.tubes[1:])), state))
    weighing = contact(b)
    # both contacts carry the force across at the mouth and the buried 0.2 m of S1
    end = np.argmin(np.abs(b.station - b.mesh.mouth[1]))
    assert weighing.front[0] + weighing.back[0] == pytest.approx(
        -b.across[end, 1] + 0.2 * 0.0809 * GRAVITY * np.cos(b.rotation[end, 0]), rel=1e-3
    )
    assert weightless.front[0] < weighing.front[0]


def test_weight_pulls_down_a_hanging_hose_adds_and_order_matters(reedlight):
    pole = reedlight()
    bare = bent(pole, State.out(pole)).tip_droop
    hanging = bent(pole, State.out(pole, hanging=0.3)).tip_droop
    head = bent(pole, State.out(pole, head_mass=0.3)).tip_droop
    assert bare > 0.0
    assert hanging == pytest.approx(head, rel=1e-12)
    assert hanging > 1.5 * bare
    thin = bent(pole, State(drawn=[1.45, 1.45, 0.035, 0.035])).tip_droop
    thick = bent(pole, State(drawn=[0.035, 0.035, 1.45, 1.45])).tip_droop
    assert thick > 2.0 * thin


def test_swings_of_a_heavy_drooped_pole_against_a_chain_of_links(plain, chain):
    """Length close to twice self-buckling load: the straight pole's frequency would be far off."""
    pole, lean = plain(5.0, 10.0, 0.1), 0.9
    b = bent(pole, State(drawn=[], support=Clamped(), lean=lean, head_mass=0.05))
    found = modes(b, count=2).frequency
    links = chain(length=5.0, bending=10.0, mass=0.1, tip_mass=0.05, lean=lean, links=240)
    final = links.pull.copy()
    for part in np.linspace(0.0, 1.0, 40)[1:]:
        links.pull = part * final
        links.settle()
    straight = modes(bent(pole, State(drawn=[], support=Clamped(), gravity=0.0, head_mass=0.05)), count=1).frequency[0]
    assert found == pytest.approx(links.frequencies(2), rel=5e-3)
    assert abs(found[0] / straight - 1.0) > 0.1


def test_the_propped_pole_is_another_structure(reedlight):
    pole = reedlight()
    b = bent(pole, State.out(pole, support=Bench()))
    free, propped = modes(b, count=1).frequency[0], modes(b, count=1, head="pinned").frequency[0]
    assert propped > 3.5 * free


def test_the_two_theories_differ_by_what_the_large_one_adds(reedlight):
    """Small deflection overstates a level pole, the arm of the weight shortens; it understates a steep one."""
    pole = reedlight()
    state = State.out(pole, head_mass=0.5)
    small, large = bent_small(pole, state), bent(pole, state)
    assert 0.0 < small.tip_droop - large.tip_droop < 0.03 * small.tip_droop
    steep = State.out(pole, head_mass=2.0, lean=1.35, support=Clamped())
    assert bent(pole, steep).tip_droop > 1.1 * bent_small(pole, steep).tip_droop  # weight acts along the bent pole
    for b in (small, large):
        split = droop_split(b)
        parts = split.section.sum() + split.play.sum() + split.spring.sum() + split.shear + split.root
        assert parts == pytest.approx(b.tip_droop, rel=1e-10)
