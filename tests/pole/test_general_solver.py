"""Stepped poles beside solvers that share nothing with ours: a boundary-value solver, and Hermite beam elements."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import solve_bvp
from scipy.linalg import eigh

from polewright.pole import Bench, Clamped, State, bent, modes, push_limit, self_buckling_factor

GRAVITY = 9.80665


def random_build(seed):
    """Lengths, EI and mass per length, tip first; joint stiffness, tip mass and lean."""
    rng = np.random.default_rng(seed)
    n = int(rng.integers(2, 6))
    lengths, mass = rng.uniform(0.7, 1.8, n), rng.uniform(0.05, 0.2, n)
    bending = np.sort(rng.uniform(150.0, 1500.0, n))
    return (
        tuple(lengths),
        tuple(bending),
        tuple(mass),
        float(rng.choice([np.inf, 3000.0, 9000.0])),
        float(rng.uniform(0.0, 1.0)),
        float(rng.uniform(-1.2, 1.2)),
    )


def by_boundary_values(lengths, bending, mass, spring, tip_mass, lean, prop=None):
    """Place of the tip: x, z, turn, force up and moment of every piece at once, each mapped to 0..1.

    Built in at the butt, or with `prop` [m] pinned there and held across the lean at that place in the butt section.
    """
    lengths, bending, mass = (np.array(v[::-1]) for v in (lengths, bending, mass))
    spring_at = np.full(lengths.size - 1, spring)
    if prop is not None:
        lengths = np.concatenate([[prop, lengths[0] - prop], lengths[1:]])
        bending, mass = np.append(bending[0], bending), np.append(mass[0], mass)
        spring_at = np.append(np.inf, spring_at)
    n = lengths.size
    c, s = np.cos(lean), np.sin(lean)

    def rates(_, y):
        out = np.empty_like(y)
        for i in range(n):
            x, z, th, across, up, m = range(6 * i, 6 * i + 6)
            out[x], out[z] = lengths[i] * np.cos(y[th]), lengths[i] * np.sin(y[th])
            out[th] = lengths[i] * y[m] / bending[i]
            out[across] = 0.0
            out[up] = lengths[i] * mass[i] * GRAVITY
            out[m] = -lengths[i] * (np.cos(y[th]) * y[up] - np.sin(y[th]) * y[across])
        return out

    def ends(a, b):
        gaps = [a[0], a[1], a[5] if prop is not None else a[2] - lean]
        for i in range(n - 1):
            left, right = b[6 * i : 6 * i + 6], a[6 * i + 6 : 6 * i + 12]
            gaps += [
                right[0] - left[0],
                right[1] - left[1],
                right[2] - left[2] - left[5] / spring_at[i],
                right[5] - left[5],
            ]
            if prop is not None and i == 0:
                gaps += [c * left[1] - s * left[0], (right[3] - left[3]) * c + (right[4] - left[4]) * s]
            else:
                gaps += [right[3] - left[3], right[4] - left[4]]
        tip = b[-6:]
        return np.array([*gaps, tip[3], tip[4] + tip_mass * GRAVITY, tip[5]])

    at = np.linspace(0.0, 1.0, 6)
    guess = np.zeros((6 * n, at.size))
    start = np.concatenate([[0.0], np.cumsum(lengths)])
    for i in range(n):
        guess[6 * i] = (start[i] + lengths[i] * at) * c
        guess[6 * i + 1] = (start[i] + lengths[i] * at) * s
        guess[6 * i + 2] = lean
    found = solve_bvp(rates, ends, at, guess, tol=1e-7, max_nodes=20000)
    assert found.success
    return [found.sol(1.0)[6 * i : 6 * i + 3] for i in range(n)]


@pytest.mark.parametrize("seed", range(12))
def test_shape_of_random_stepped_poles_matches_a_boundary_value_solver(stepped, seed):
    lengths, bending, mass, spring, tip_mass, lean = random_build(seed)
    pole = stepped(lengths, bending, mass, stiffness=spring, tip_mass=tip_mass)
    prop = 0.6 if seed % 3 == 0 else None
    support = Clamped() if prop is None else Bench(prop)
    b = bent(pole, State.out(pole, support=support, lean=lean))
    other = by_boundary_values(lengths, bending, mass, spring, tip_mass, lean, prop)
    whole = sum(lengths)
    ends = np.cumsum(lengths[::-1]) if prop is None else np.concatenate([[prop], np.cumsum(lengths[::-1])])
    for end, (x, z, _) in zip(ends, other, strict=True):
        k = np.argmin(np.abs(b.station - end))
        assert_allclose((b.x[k], b.z[k]), (x, z), atol=1e-4 * whole)  # a tenth of the 0.1 % asked for


@pytest.mark.parametrize("seed", range(12))
def test_frequencies_of_random_stepped_poles_match_hermite_elements(stepped, bar, seed):
    lengths, bending, mass, spring, tip_mass, _ = random_build(seed)
    pole = stepped(lengths, bending, mass, stiffness=spring, tip_mass=tip_mass)
    b = bent(pole, State.out(pole, support=Clamped(), gravity=0.0))
    other = bar(lengths[::-1], bending[::-1], mass[::-1], lambda _: 0.0, spring=spring, tip_mass=tip_mass)
    expected = np.sqrt(eigh(other.stiffness, other.mass, eigvals_only=True)[:3]) / (2.0 * np.pi)
    assert_allclose(modes(b, count=3).frequency, expected, rtol=1e-3)


@pytest.mark.parametrize("seed", range(12))
def test_swings_of_upright_and_hanging_poles_match_hermite_elements_with_thrust(stepped, bar, seed):
    """Weight stiffens a hanging pole and softens a standing one."""
    lengths, bending, mass, spring, tip_mass, _ = random_build(seed)
    pole = stepped(lengths, bending, mass, stiffness=spring, tip_mass=tip_mass)
    for lean in (np.pi / 2, -np.pi / 2):
        state = State.out(pole, support=Clamped(), lean=lean)
        if lean > 0.0 and self_buckling_factor(pole, state) < 1.05:
            continue
        other = bar(
            lengths[::-1], bending[::-1], mass[::-1], _thrust(lengths, mass, tip_mass), spring=spring, tip_mass=tip_mass
        )
        expected = eigh(other.stiffness - np.sign(lean) * other.string, other.mass, eigvals_only=True)[:2]
        assert_allclose(modes(bent(pole, state), count=2).frequency, np.sqrt(expected) / (2 * np.pi), rtol=2e-3)


def _thrust(lengths, mass, tip_mass):
    ends = np.cumsum(lengths[::-1])

    def at(s):
        beyond = sum(
            m * max(0.0, min(e, ends[-1]) - max(e - a, s))
            for e, a, m in zip(ends, lengths[::-1], mass[::-1], strict=True)
        )
        return GRAVITY * (beyond + tip_mass)

    return at


@pytest.mark.parametrize("seed", range(12))
def test_buckling_of_random_stepped_poles_matches_hermite_elements(stepped, bar, seed):
    lengths, bending, mass, spring, tip_mass, _ = random_build(seed)
    pole = stepped(lengths, bending, mass, stiffness=spring, tip_mass=tip_mass)
    state = State.out(pole, support=Clamped(), lean=np.pi / 2)
    heavy = bar(lengths[::-1], bending[::-1], mass[::-1], _thrust(lengths, mass, tip_mass), spring=spring)
    pushed = bar(lengths[::-1], bending[::-1], mass[::-1], lambda _: 1.0, spring=spring)
    weight = 1.0 / eigh(heavy.string, heavy.stiffness, eigvals_only=True)[-1]
    push = 1.0 / eigh(pushed.string, pushed.stiffness, eigvals_only=True)[-1]
    assert self_buckling_factor(pole, state) == pytest.approx(weight, rel=1e-3)
    light = State.out(pole, support=Clamped(), lean=np.pi / 2, gravity=0.0)
    assert push_limit(pole, light) == pytest.approx(push, rel=1e-3)
