"""One exact wall of ten plies under every load, alone and in a batch; budget 1 ms for the one.

Baseline in the same run: numpy's dense solve of as many unknowns as the wall's first wave has, for two right-hand
sides, which is what a plain implementation would spend on its linear algebra alone.
"""

import argparse
import os
import time
from collections.abc import Callable

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from polewright.materials.ply import Elastic
from polewright.wall.cylinder import exact_tube
from polewright.wall.membrane import tube_stiffness
from polewright.wall.stack import Wall
from polewright.wall.through import TubeLoads, tube_stress

PLIES, UNKNOWNS = 10, 3 * (10 * 7 + 1)
BUDGET = 1.0  # ms


def walls(n_case: int) -> Wall:
    """Ten plies of changing angle, bores of 20 to 60 mm."""
    elastic = Elastic.unidirectional(E1=132.7e9, E2=7.61e9, G12=3.44e9, nu12=0.264, alpha1=0.13e-6, alpha2=41.6e-6)
    angle = np.radians([90, 0, 0, 30, -30, 0, 0, 45, 0, 90])
    return Wall(
        bore=np.linspace(0.02, 0.06, n_case),
        angle=np.broadcast_to(angle, (n_case, PLIES)),
        thickness=np.full((n_case, PLIES), 0.12e-3),
        elastic=elastic,
    )


def best(work: Callable[[], object], repeats: int) -> float:
    """Least time of a call, in ms."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return 1e3 * min(times)


def main(quick: bool) -> None:
    one = walls(1)
    many = walls(20 if quick else 2000)
    repeats = 5 if quick else 300
    rng = np.random.default_rng(1)
    matrix, right = rng.standard_normal((UNKNOWNS, UNKNOWNS)), rng.standard_normal((UNKNOWNS, 2))
    baseline = best(lambda: np.linalg.solve(matrix, right), repeats)
    tube = exact_tube(one)
    loads = TubeLoads(axial=1.0, torque=1.0, moment=1.0, shear=1.0, inner_pressure=1.0, outer_pressure=1.0, rise=1.0)
    count = many.bore.size
    rows = (
        ("exact wall, ten plies, all loads, both faces", best(lambda: exact_tube(one), repeats)),
        ("its stress under seven loads at once", best(lambda: tube_stress(tube, loads, clock=0.3), repeats)),
        (f"exact walls in a batch of {count}, each", best(lambda: exact_tube(many), 3) / count),
        ("thin-wall stiffness of one wall", best(lambda: tube_stiffness(one), repeats)),
    )
    print(f"{'':46s} {'ms':>9s} {'/ dense solve':>14s}")
    print(f"{'baseline: numpy dense solve, ' + str(UNKNOWNS) + ' unknowns':46s} {baseline:9.4f} {1.0:14.2f}")
    for name, spent in rows:
        print(f"{name:46s} {spent:9.4f} {spent / baseline:14.2f}")
    print(f"budget for one exact wall {BUDGET:g} ms: {'kept' if rows[0][1] < BUDGET else 'missed'}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    main(parser.parse_args().quick)
