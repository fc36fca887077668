"""One state of a six-section pole, its swings, and ten thousand poles, beside a general boundary-value solver.

Run: python -m benchmarks pole_state [--quick]
"""

import sys
from dataclasses import replace

import numpy as np

from benchmarks._beside import best, by_general_solver
from polewright.pole import Bench, Joint, Pole, PoleBatch, State, Tube, bent, bent_tips, droop_split, modes

BENDING = (416.0, 658.0, 834.7, 1039.5, 1275.5, 1550.0)
MASS = (0.0809, 0.1059, 0.1147, 0.1234, 0.1321, 0.1410)


def pole_of_six() -> Pole:
    tubes = tuple(
        Tube.uniform(bore=0.028, outside=0.030, length=1.65, bending=e, mass_per_length=m)
        for e, m in zip(BENDING, MASS, strict=True)
    )
    return Pole(tubes, (Joint(overlap=0.2, proud=0.035, stiffness=9000.0, clearance=0.4e-3, mass=0.045),) * 5, 0.06)


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
    for what, seconds, worth in (
        ("one state of six sections, large deflection", one, 1),
        ("droop by cause", split, 0),
        ("three swings about it", swing, 0),
        (f"{cases} scattered poles, large deflection, two threads", many, cases),
    ):
        ratio = f"{general * worth / seconds:.0f}" if worth else ""
        print(f"{what:<58}{seconds * 1e3:>9.2f} ms{ratio:>30}")
    print(f"tip of the two solvers apart by {apart * 1e6:.1f} micrometres")


if __name__ == "__main__":
    main("--quick" in sys.argv[1:])
