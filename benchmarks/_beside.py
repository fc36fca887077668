"""What benchmarks stand beside: the shortest of several runs, and a general boundary-value solver on a bent pole."""

import time
from collections.abc import Callable

import numpy as np
from scipy.integrate import solve_bvp

from polewright.pole import Pole, State, bent

__all__ = ["best", "by_general_solver"]

GRAVITY = 9.80665


def best(call: Callable[[], object], rounds: int) -> float:
    """Shortest of several runs [s]."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times)


def by_general_solver(pole: Pole, state: State) -> float:
    """Tip droop on trestles by scipy.integrate.solve_bvp: the stretches between changes, six unknowns each.

    Bending, shear and stretch; lumps and joint springs enter as jumps, the play as a given tilt. The places where the
    pole changes and what it has there are read from the pole's own layout; tolerance 1e-5.
    """
    laid = bent(pole, state, pieces=1)
    mesh, n = laid.mesh, laid.mesh.h.size
    tilt, lump = mesh.play * np.sign(laid.posture.mom), mesh.lump.copy()
    lump[-1] += state.head_mass
    prop = int(np.argmin(np.abs(mesh.node - state.support.distance)))
    ei, ea, gs, mu = (a[:, 1, None] for a in (mesh.ei, mesh.ea, mesh.gs, mesh.mu))
    h = mesh.h

    def rates(_s: np.ndarray, y: np.ndarray) -> np.ndarray:
        x, _, th, across, up, m = y.reshape(n, 6, -1).transpose(1, 0, 2)
        c, s = np.cos(th), np.sin(th)
        along, aside = 1.0 + (across * c + up * s) / ea, (up * c - across * s) / gs
        dx, dz = along * c - aside * s, along * s + aside * c
        out = np.stack([dx, dz, m / ei, 0.0 * x, 0.0 * x + mu * GRAVITY, dz * across - dx * up], axis=1)
        return (h[:, None, None] * out).reshape(6 * n, -1)

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        a, b = a.reshape(n, 6), b.reshape(n, 6)
        right, left, at = a[1:], b[:-1], np.arange(1, n)
        gaps = [
            right[:, 0] - left[:, 0],
            right[:, 1] - left[:, 1],
            right[:, 2] - left[:, 2] - tilt[at] - mesh.comp[at] * left[:, 5],
            right[:, 3] - left[:, 3],
            np.where(at == prop, left[:, 1], right[:, 4] - left[:, 4] - lump[at] * GRAVITY),
            right[:, 5] - left[:, 5],
        ]
        last = b[-1]
        return np.concatenate([*gaps, [a[0, 0], a[0, 1], a[0, 5], last[3], last[4] + lump[-1] * GRAVITY, last[5]]])

    at = np.linspace(0.0, 1.0, 5)
    guess = np.zeros((n, 6, at.size))
    guess[:, 0] = mesh.node[:-1, None] + h[:, None] * at
    found = solve_bvp(rates, ends, at, guess.reshape(6 * n, -1), tol=1e-5)
    return float(-found.sol(1.0)[6 * n - 5])
