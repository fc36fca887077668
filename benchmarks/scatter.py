"""Ten thousand scattered copies of a six-section pole, large deflection each, beside a general boundary-value solver.

Run: python benchmarks/scatter.py [--quick]
"""

import os
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from scipy.integrate import solve_bvp

from polewright.documents.files import load
from polewright.documents.scatter_of import problem_of
from polewright.pole import Pole, State, bent
from polewright.scatter import Plan, Problem, Sample, copies_of, points_of, pole_of_copy, poles_drawn, sampled

HERE = Path(__file__).parent
WORKERS = 2
GRAVITY = 9.80665


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
        gaps = [right[:, 0] - left[:, 0], right[:, 1] - left[:, 1],
                right[:, 2] - left[:, 2] - tilt[at] - mesh.comp[at] * left[:, 5], right[:, 3] - left[:, 3],
                np.where(at == prop, left[:, 1], right[:, 4] - left[:, 4] - lump[at] * GRAVITY),
                right[:, 5] - left[:, 5]]
        last = b[-1]
        return np.concatenate([*gaps, [a[0, 0], a[0, 1], a[0, 5], last[3], last[4] + lump[-1] * GRAVITY, last[5]]])

    at = np.linspace(0.0, 1.0, 5)
    guess = np.zeros((n, 6, at.size))
    guess[:, 0] = mesh.node[:-1, None] + h[:, None] * at
    found = solve_bvp(rates, ends, at, guess.reshape(6 * n, -1), tol=1e-5)
    return float(-found.sol(1.0)[6 * n - 5])


def run(problem: Problem, poles: int, workers: int) -> tuple[float, Sample]:
    start = time.perf_counter()
    with ThreadPoolExecutor(workers) as on:
        sample = sampled(problem, Plan(poles), on=on)
    return time.perf_counter() - start, sample


def main(quick: bool) -> None:
    whole = problem_of(load(HERE.parent / "examples" / "peerglass-8.toml"))
    problem = Problem(whole.build, whole.spreads, whole.reaches[:1])
    poles, few = (128, 1) if quick else (10_000, 4)
    run(problem, 64, 1)
    seconds, sample = run(problem, poles, WORKERS)
    alone, _ = run(problem, poles, 1)
    start = time.perf_counter()
    points = points_of(Plan(poles), problem.inputs).reshape(-1, problem.inputs)
    points_in = time.perf_counter() - start
    start = time.perf_counter()
    copies = copies_of(problem, points)
    walls_in = time.perf_counter() - start
    reach, apart = problem.reaches[0], 0.0
    drawn = poles_drawn(problem, copies, reach).drawn
    start = time.perf_counter()
    for i in range(few):
        state = State(drawn=drawn[i], support=reach.support, head_mass=reach.head)
        tip = by_general_solver(pole_of_copy(problem, copies, i), state)
        apart = max(apart, abs(tip - sample.of(f"droop {reach.name}").reshape(-1)[i]))
    general = (time.perf_counter() - start) / few * sample.plan.size
    print(f"{sample.plan.size} copies of {len(problem.build.sections)} sections, {problem.inputs} inputs strayed")
    print(f"{'what':<62}{'time':>11}{'general solver is slower by':>30}")
    print(f"{f'general boundary-value solver, from {few} of them':<62}{general:>9.2f} s{1:>30}")
    for what, took in ((f"all copies, all figures, {WORKERS} threads", seconds),
                       ("all copies, all figures, one thread", alone), ("  of that: quasi-random points", points_in),
                       ("  of that: walls, nests and masses", walls_in)):
        ratio = "" if what.startswith("  ") else f"{general / took:.0f}"
        print(f"{what:<62}{took:>9.2f} s{ratio:>30}")
    print(f"tips of the two solvers apart by {apart * 1e6:.1f} micrometres at most")


if __name__ == "__main__":
    main("--quick" in sys.argv[1:])
