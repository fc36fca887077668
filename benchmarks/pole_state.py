"""One state of a six-section pole, its swings, and ten thousand poles, beside a general boundary-value solver.

Run: python benchmarks/pole_state.py [--quick]
"""

import sys
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from scipy.integrate import solve_bvp

from polewright.pole import Bench, Joint, Pole, PoleBatch, State, Tube, bent, bent_tips, droop_split, modes

GRAVITY = 9.80665
BENDING = (416.0, 658.0, 834.7, 1039.5, 1275.5, 1550.0)
MASS = (0.0809, 0.1059, 0.1147, 0.1234, 0.1321, 0.1410)


def pole_of_six() -> Pole:
    tubes = tuple(Tube.uniform(length=1.65, bending=e, mass_per_length=m) for e, m in zip(BENDING, MASS, strict=True))
    return Pole(tubes, (Joint(overlap=0.2, proud=0.035, stiffness=9000.0, clearance=0.4e-3, mass=0.045),) * 5, 0.06)


def best(call: Callable[[], object], rounds: int) -> float:
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times)


def by_general_solver(pole: Pole, state: State) -> float:
    """Tip droop on trestles by scipy.integrate.solve_bvp: the stretches between changes, six unknowns each.

    Lumps and joints enter as jumps; the play as a given tilt. Tolerance 1e-5, chosen so that the tip agrees to 0.1 mm.
    """
    mesh_of = bent(pole, state, pieces=1)  # its nodes are the places where the pole changes
    mesh, n = mesh_of.mesh, mesh_of.mesh.h.size
    tilt = mesh.play * np.sign(mesh_of.posture.mom)
    lump = mesh.lump.copy()
    lump[-1] += state.head_mass
    prop = int(np.argmin(np.abs(mesh.node - 1.0)))
    ei, mu, h = mesh.ei[:, 1], mesh.mu[:, 1], mesh.h

    def rates(_s: np.ndarray, y: np.ndarray) -> np.ndarray:
        x, _, th, across, up, m = y.reshape(n, 6, -1).transpose(1, 0, 2)
        out = np.stack([np.cos(th), np.sin(th), m / ei[:, None], 0.0 * x, 0.0 * x + mu[:, None] * GRAVITY,
                        np.sin(th) * across - np.cos(th) * up], axis=1)
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


def main(quick: bool) -> None:
    pole = pole_of_six()
    state = State.out(pole, head_mass=0.6, support=Bench())
    b = bent(pole, state)
    rounds = 3 if quick else 200
    one, swing = best(lambda: bent(pole, state), rounds), best(lambda: modes(b), rounds)
    split = best(lambda: droop_split(b), rounds)
    general = best(lambda: by_general_solver(pole, state), 1 if quick else 3)
    apart = abs(by_general_solver(pole, state) - b.tip_droop)
    cases = 50 if quick else 10_000
    rng = np.random.default_rng(1)
    batch = PoleBatch.of([pole] * cases, state.drawn)
    batch = replace(batch, bending=batch.bending * rng.uniform(0.95, 1.05, batch.bending.shape))
    many = best(lambda: bent_tips(batch, state), 1 if quick else 3)
    print(f"{'what':<58}{'time':>12}{'general solver is slower by':>30}")
    print(f"{'general boundary-value solver, the same state':<58}{general * 1e3:>9.2f} ms{1:>30}")
    for what, seconds, worth in (("one state of six sections, large deflection", one, 1),
                                 ("droop by cause", split, 0), ("three swings about it", swing, 0),
                                 (f"{cases} scattered poles, large deflection, two threads", many, cases)):
        ratio = f"{general * worth / seconds:.0f}" if worth else ""
        print(f"{what:<58}{seconds * 1e3:>9.2f} ms{ratio:>30}")
    print(f"tip of the two solvers apart by {apart * 1e6:.1f} micrometres")


if __name__ == "__main__":
    main("--quick" in sys.argv[1:])
