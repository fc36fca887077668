"""Joint stiffness from the flex of the tip, beside finite elements and sums by hand."""

from math import inf

import numpy as np
import pytest
from numpy.testing import assert_allclose

from polewright.bench import Drawn, Estimate, Sleeve, exactly, joint_of_overlaps, joint_of_sleeve, stiffness_at
from polewright.errors import DesignError


def beam(length: float, bending: float) -> np.ndarray:
    """Stiffness of one straight beam element: deflection and slope at either end."""
    L = length
    return bending / L**3 * np.array(
        [[12, 6 * L, -12, 6 * L], [6 * L, 4 * L * L, -6 * L, 2 * L * L], [-12, -6 * L, 12, -6 * L],
         [6 * L, 2 * L * L, -6 * L, 4 * L * L]]
    )  # fmt: skip


def tip_flex_by_elements(*, k: float, bending: float, at: float, reach: float, sleeve: float, sleeve_bending: float):
    """Droop of the tip of a cantilever for a unit force there; a spring at `at`, a sleeve fast to it at both its ends.

    Nodes: root, sleeve start, joint below, joint above (same deflection, own slope), sleeve end, tip.
    """
    nodes = [0.0, at - sleeve / 2.0, at, at, at + sleeve / 2.0, reach]
    K = np.zeros((12, 12))

    def add(a: int, b: int, stiffness: np.ndarray) -> None:
        freedoms = [2 * a, 2 * a + 1, 2 * b, 2 * b + 1]
        K[np.ix_(freedoms, freedoms)] += stiffness

    for a, b in ((0, 1), (1, 2), (3, 4), (4, 5)):
        add(a, b, beam(nodes[b] - nodes[a], bending))
    add(1, 4, beam(sleeve, sleeve_bending))
    K[np.ix_([5, 7], [5, 7])] += k * np.array([[1.0, -1.0], [-1.0, 1.0]])
    same = np.eye(12)
    same[6] = same[4]  # one deflection on both sides of the joint
    same = np.delete(same, 6, axis=1)
    K = same.T @ K @ same
    force = same.T @ np.eye(12)[10]
    return float(force[2:] @ np.linalg.solve(K[2:, 2:], force[2:]))


@pytest.mark.parametrize("k", [900.0, 9000.0, 40000.0])
@pytest.mark.parametrize("sleeve_bending", [300.0, 3000.0, 1e6])
def test_the_stiffness_behind_a_sleeve_is_that_of_the_finite_elements(k, sleeve_bending):
    pole = {"k": k, "bending": 900.0, "at": 1.5, "reach": 4.0, "sleeve": 0.4}
    free = tip_flex_by_elements(**pole, sleeve_bending=0.0)
    sleeved = tip_flex_by_elements(**pole, sleeve_bending=sleeve_bending)
    sleeve = Sleeve(0.4, exactly(sleeve_bending), 0.4 / 900.0)
    found = joint_of_sleeve(exactly(free), exactly(sleeved), sleeve, arm_square=2.5**2)
    assert_allclose(found.estimate.value, k, rtol=1e-6)


def cantilever(overlap: float, *, scale: float = 1.0) -> Drawn:
    """By hand: EI 900 times `scale`, 4 m less what is pushed in beyond 0.2 m, a spring of 9000 at 0.2 m 1.5 m out."""
    reach = 4.0 - (overlap - 0.2)
    arm = reach - 1.5
    others = reach**3 / (3.0 * 900.0)
    spring = arm**2 / (9000.0 * (overlap / 0.2) ** 2)
    return Drawn(overlap, Estimate(scale * others + spring, 1e-6), others, arm**2)


@pytest.mark.parametrize("scale", [0.9, 1.0, 1.07])
def test_two_overlaps_give_the_stiffness_however_far_the_tubes_are_off(scale):
    found = joint_of_overlaps(cantilever(0.2, scale=scale), cantilever(0.4, scale=scale))
    assert_allclose(found.estimate.value, 9000.0, rtol=1e-9)
    other = joint_of_overlaps(cantilever(0.4, scale=scale), cantilever(0.2, scale=scale))
    assert_allclose(other.estimate.value, 36000.0, rtol=1e-9)


def test_the_uncertainty_is_that_of_readings_drawn_at_random():
    rng = np.random.default_rng(4)
    first, second = cantilever(0.2), cantilever(0.4)
    found = joint_of_overlaps(first, second)
    drawn = []
    for _ in range(2000):
        noisy = [
            Drawn(d.overlap, exactly(rng.normal(d.flex.value, d.flex.standard)), d.others, d.arm_square)
            for d in (first, second)
        ]
        drawn.append(joint_of_overlaps(*noisy).estimate.value)
    assert_allclose(found.estimate.standard, np.std(drawn), rtol=0.06)
    assert {share.name for share in found.budget} == {"free", "second"}


def test_a_sleeve_that_changes_nothing_and_overlaps_alike_are_refused():
    with pytest.raises(DesignError, match=r"want\.joint_gives"):
        joint_of_sleeve(exactly(0.02), exactly(0.02), Sleeve(0.4, exactly(1e4), 0.4 / 900.0), arm_square=6.0)
    with pytest.raises(DesignError, match=r"want\.other_overlap"):
        joint_of_overlaps(cantilever(0.2), cantilever(0.205))


def test_twice_the_overlap_is_four_times_as_stiff():
    assert stiffness_at(0.4, 9000.0, 0.2) == pytest.approx(36000.0)
    assert stiffness_at(0.2, inf, 0.1) == inf
