"""Overlaps whose tubes touch at their two ends: beside the energy of both tubes, and alike at any mesh and pivot."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad

from polewright.errors import DesignError
from polewright.pole import Clamped, Joint, Pole, PoleBatch, State, Tube, bent, bent_small, bent_tips

LOAD = 5.0  # [N] across at the tip


def pole_of(seed, **joint):
    """Three tubes of stiffnesses, overlaps and pivots by a seed."""
    draw = np.random.default_rng(seed)
    tubes = tuple(
        Tube.uniform(
            bore=0.02 + 0.003 * k, outside=0.022 + 0.003 * k, length=1.6, bending=float(draw.uniform(300.0, 1500.0)),
            shear=1e12, mass_per_length=0.09,
        )
        for k in range(3)
    )  # fmt: skip
    joints = tuple(
        Joint(overlap=float(draw.uniform(0.12, 0.35)), pivot=float(draw.uniform(0.0, 1.0)), stiffness=9e3, **joint)
        for _ in range(2)
    )
    return Pole(tubes, joints, tip_mass=0.05, overlaps="touching")


def held(pole, **others):
    return State(support=Clamped(), drawn=np.array(pole.full_draw), **others)


@pytest.mark.parametrize("seed", range(6))
def test_the_droop_of_touching_overlaps_is_the_energy_of_both_tubes(seed, verified):
    pole = pole_of(seed)
    end = pole.extended_length
    butts = np.array([end - 1.6 - 0.0, end - 1.6 - pole.full_draw[0], 0.0])
    stiff = [float(t.bending[0]) for t in pole.tubes]

    def give(at):  # 1/EI by the share of the moment that each tube of an overlap carries
        inside = [i for i in range(3) if butts[i] <= at <= butts[i] + 1.6]
        if len(inside) == 1:
            return 1.0 / stiff[inside[0]]
        inner, outer = inside
        x = (at - butts[inner]) / (butts[outer] + 1.6 - butts[inner])
        return x**2 / stiff[inner] + (1.0 - x) ** 2 / stiff[outer]

    edges = sorted({*butts, *(butts + 1.6)})
    bending = sum(quad(lambda at: LOAD * (end - at) ** 2 * give(at), a, b)[0] for a, b in pairwise(edges))
    turns = 0.0
    for j, joint in enumerate(pole.joints):
        mouth = butts[j + 1] + 1.6
        turns += LOAD * (end - (mouth - joint.pivot * joint.overlap)) ** 2 / 9e3
    found = bent_small(pole, held(pole, gravity=0.0, tip_force=np.array([0.0, -LOAD])))
    verified(
        "pole",
        f"touching overlaps, poles of three by seed {seed}, droop",
        "energy of both tubes, by quadrature",
        bending + turns,
        float(found.droop[-1]),
        2e-4,
        unit="m",
        kind="solver",
    )


@pytest.mark.parametrize("seed", range(4))
def test_touching_overlaps_are_converged_at_any_pivot(seed):
    pole = pole_of(seed)
    state = held(pole, head_mass=0.3)
    coarse, fine = (float(bent(pole, state, pieces=n).droop[-1]) for n in (32, 2000))
    assert coarse == pytest.approx(fine, rel=2e-4)


def test_a_pole_bends_by_its_own_choice_unless_told():
    pole = pole_of(1)
    state = held(pole, head_mass=0.3)
    own, told = (float(bent(pole, state, **how).droop[-1]) for how in ({}, {"joint_model": "touching"}))
    glued = float(bent(replace(pole, overlaps="glued"), state).droop[-1])
    assert own == told
    assert float(bent(pole, state, joint_model="glued").droop[-1]) == glued
    assert glued < 0.999 * own
    both = PoleBatch.of([pole, replace(pole, overlaps="glued")], state.drawn)
    assert bent_tips(both, state).droop == pytest.approx([own, glued], rel=1e-5)


def test_overlaps_of_another_kind_are_refused_by_name():
    with pytest.raises(DesignError, match="overlaps"):
        replace(pole_of(1), overlaps="loose")
