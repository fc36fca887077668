"""Ring, squeeze, wrinkling and strength of one wall, beside the plainest way to the same figure.

Run: python -m benchmarks around_the_wall [--quick]
"""

import sys

import numpy as np

from benchmarks._beside import best
from polewright.materials.ply import Elastic, Strength
from polewright.wall.criteria import hashin_reserve
from polewright.wall.limits import bending_limits
from polewright.wall.ring import ring_stiffness
from polewright.wall.squeeze import pad_pressure, plates_squeeze
from polewright.wall.stack import Wall
from polewright.wall.thick_ring import ring_response
from polewright.wall.thin_stress import CLOCK, thin_stress
from polewright.wall.through import TubeLoads
from polewright.wall.wrinkling import bending_wrinkle, push_wrinkle

ANGLES = np.radians([90, 0, 0, 0, 0, 0, 90])
THICKNESS = np.array([0.0585, *[0.1476] * 5, 0.0585]) * 1e-3
CARBON = Elastic.unidirectional(E1=132.7e9, E2=7.61e9, G12=3.44e9, nu12=0.264)
STRENGTH = Strength(Xt=1.8e9, Xc=0.9e9, Yt=40e6, Yc=160e6, S=75e6)


def wall_of(bore: float | np.ndarray, turned: float = 0.0) -> Wall:
    bore = np.asarray(bore)
    shape = (*bore.shape, ANGLES.size)
    return Wall(
        bore=bore,
        angle=np.broadcast_to(ANGLES + turned, shape),
        thickness=np.broadcast_to(THICKNESS, shape),
        elastic=CARBON,
    )


def main(quick: bool = False) -> None:
    rounds, cases = (1, 200) if quick else (7, 5000)
    wall, bores = wall_of(0.02693), np.linspace(0.015, 0.06, cases)
    stress = thin_stress(wall, TubeLoads(moment=100.0))
    states = stress.reshape(-1, 3)
    rows = [
        (
            "thin ring, a batch of walls",
            lambda: ring_stiffness(wall_of(bores)),
            cases,
            "one wall at a time",
            lambda: [ring_stiffness(wall_of(b)) for b in bores[:100]],
            100,
        ),
        (
            "solid ring, displacements and stresses",
            lambda: ring_response(wall, pad_pressure(wall, half_angle=0.12)),
            1,
            "thin ring",
            lambda: ring_stiffness(wall),
            1,
        ),
        (
            "plates to first failure",
            lambda: plates_squeeze(wall, STRENGTH, length=0.02),
            1,
            "thin ring",
            lambda: ring_stiffness(wall),
            1,
        ),
        ("wrinkling under push", lambda: push_wrinkle(wall), 1, "thin ring", lambda: ring_stiffness(wall), 1),
        (
            "wrinkling under bending, balanced wall",
            lambda: bending_wrinkle(wall),
            1,
            "the same unbalanced by a thousandth",
            lambda: bending_wrinkle(wall_of(0.02693, 1e-3)),
            1,
        ),
        (
            "all three ends of a bent wall",
            lambda: bending_limits(wall, STRENGTH),
            1,
            "thin ring",
            lambda: ring_stiffness(wall),
            1,
        ),
        (
            f"reserve of {len(CLOCK)} clock places x 7 plies x 2 faces",
            lambda: hashin_reserve(states, STRENGTH),
            len(states),
            "one stress state at a time",
            lambda: [hashin_reserve(s, STRENGTH) for s in states[:50]],
            50,
        ),
    ]
    print(f"{'what':<52}{'each':>12}   {'beside':<38}{'ratio':>9}")
    for what, call, count, other, plain, plain_count in rows:
        mine, theirs = best(call, rounds) / count, best(plain, rounds) / plain_count
        print(f"{what:<52}{mine * 1e6:>9.1f} us   {other:<38}{theirs / mine:>9.3g}")


if __name__ == "__main__":
    main("--quick" in sys.argv[1:])
