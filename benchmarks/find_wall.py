"""One wall: the exact front against a plain C loop that only evaluates, and against a general optimiser.

Prints, for growing options and plies, sets of plies in all, seconds of the exact search on the clock and of all
processors together, orders of the sets that were gone through, members of the front and, where the C loop is short
enough to run, its seconds and the ratio (search over C loop; below 1 the search is faster). Then how often differential
evolution misses the stiffest wall under limits in ten times the time of the search, and by how much.
"""

import argparse
import ctypes
import math
import resource
import subprocess
import tempfile
import time
from pathlib import Path

import numpy as np
from scipy.optimize import differential_evolution

from polewright.materials.ply import Elastic, Ply
from polewright.search import Option, Options, Rules, best_walls, candidates_in_all
from polewright.search.option_table import FIGURES, wall_figures
from polewright.search.packing import shelf_of

# thickness mm, density g/cm3, E1, E2, G12 GPa, nu12, price
SHELF = {
    "SM150": (0.1476, 1.540, 132.7, 7.61, 3.44, 0.264, 31.0),
    "SM100": (0.1003, 1.534, 130.2, 7.49, 3.36, 0.266, 27.0),
    "IM125": (0.1203, 1.551, 172.0, 7.46, 3.51, 0.263, 58.0),
    "HM125": (0.1188, 1.571, 225.7, 6.53, 3.30, 0.264, 118.0),
    "TH55": (0.0585, 1.516, 122.9, 7.14, 3.13, 0.271, 33.0),
    "EG150": (0.1167, 1.890, 37.9, 10.8, 3.25, 0.274, 9.0),
}

C_LOOP = r"""
#include <math.h>
typedef struct { int k, n; const double *t, *q, *rho, *price; double r0; double best; long count; } Job;
static void grow(Job *j, int from, int depth, double r, const double *below) {
  for (int k = from; k < j->k; k++) {
    double s[16], ro = r + j->t[k];
    double a = M_PI * (ro*ro - r*r), c = 2*M_PI/3 * (ro*ro*ro - r*r*r), f = M_PI/2 * (ro*ro*ro*ro - r*r*r*r);
    const double *q = j->q + 6*k;
    s[0] = below[0] + q[0]*f; s[1] = below[1] + q[1]*f; s[2] = below[2] + q[2]*f;
    s[3] = below[3] + q[3]*c; s[4] = below[4] + q[4]*c; s[5] = below[5] + q[5]*a;
    s[6] = below[6] + j->rho[k]*a; s[7] = below[7] + j->price[k]*a;
    double x = s[0] - s[1]*s[1]/s[2], y = s[5] - s[4]*s[4]/s[2], z = s[3] - s[1]*s[4]/s[2];
    double ei = 0.5*(x - z*z/y);
    double score = ei/1000 - s[6] - s[7]/100;
    if (score > j->best) j->best = score;
    j->count++;
    if (depth + 1 < j->n) grow(j, k, depth + 1, ro, s);
  }
}
long evaluate(int k, int n, const double *t, const double *q, const double *rho, const double *price, double r0,
              double *best) {
  Job j = {k, n, t, q, rho, price, r0, -1e300, 0};
  double zero[16] = {0};
  grow(&j, 0, 0, r0, zero);
  *best = j.best;
  return j.count;
}
"""


RULED = {
    "hoops innermost and outermost": {"hoop_inside": True, "hoop_outside": True},
    "blocks of 0.4 mm at most": {"block": 0.4e-3},
    "a hoop innermost, neighbours within 69 degrees": {"hoop_inside": True, "neighbours": 1.2},
    "least hoop bending stiffness": {"least_ring": 0.05},
}


def options(count: int, most: int, order: str, **rules: float) -> Options:
    shelf = []
    for name, (t, rho, e1, e2, g, nu, price) in SHELF.items():
        elastic = Elastic.unidirectional(E1=e1 * 1e9, E2=e2 * 1e9, G12=g * 1e9, nu12=nu, density=rho * 1e3)
        shelf.append(Ply(name, t * 1e-3, elastic, area_mass=rho * t, price=price))
    plies = [
        Option(p, np.deg2rad(a), is_pair=0.0 < a < 90.0)
        for a in (0.0, 90.0, 45.0, 20.0, 10.0, 30.0, 60.0)
        for p in shelf
    ]
    return Options(tuple(plies[:count]), most, 0.0269, order=order, rules=Rules(**rules))


def c_loop(case: Options) -> tuple[float, int]:
    """Seconds and walls of one pass of the plain loop on one core, pairs as one layer."""
    shelf = shelf_of(case, prune=True)
    with tempfile.TemporaryDirectory() as folder:
        source, library = Path(folder) / "plain.c", Path(folder) / "plain_loop.so"
        source.write_text(C_LOOP, encoding="utf-8")
        subprocess.run(
            ["gcc", "-O3", "-march=native", "-shared", "-fPIC", str(source), "-o", str(library), "-lm"], check=True
        )
        run = ctypes.CDLL(str(library)).evaluate
        run.restype = ctypes.c_long
        arrays = [
            np.ascontiguousarray(a)
            for a in (
                shelf.thickness,
                shelf.stiffness.mean(axis=1) * shelf.layers[:, None] ** 0,
                shelf.content[:, 0],
                shelf.content[:, 1],
            )
        ]
        arrays[1] = np.ascontiguousarray(np.where(shelf.layers[:, None] == 1, shelf.stiffness[:, 0], arrays[1]))
        pointers = [a.ctypes.data_as(ctypes.c_void_p) for a in arrays]
        best = ctypes.c_double()
        start = time.perf_counter()
        count = run(len(case.plies), case.most, *pointers, ctypes.c_double(shelf.radius), ctypes.byref(best))
        return time.perf_counter() - start, count


def timed(case: Options, threads: int = 2) -> tuple[float, object]:
    start = time.perf_counter()
    front = best_walls(case, threads=threads)
    return time.perf_counter() - start, front


def growth(cases: list[tuple[int, int, str]], c_limit: int) -> None:
    print(
        f"{'options':>7} {'plies':>5} {'order':>7} {'sets of plies':>16} {'search s':>9} {'processor s':>11} "
        f"{'orders':>13} {'front':>6} {'C loop s':>9} {'search / C':>10}"
    )
    for count, most, order in cases:
        case = options(count, most, order)
        work = time.process_time()
        seconds, front = timed(case)
        work = time.process_time() - work
        assert front.certificate.is_complete
        orders = front.certificate.ledgers[1].in_all
        total = candidates_in_all(case)
        plain, ratio = "", ""
        if total <= c_limit:
            loop, walls = c_loop(case)
            assert walls == total
            plain, ratio = f"{loop:.3f}", f"{seconds / loop:.2f}"
        print(
            f"{count:7d} {most:5d} {order:>7} {total:16,d} {seconds:9.3f} {work:11.3f} {orders:13,d} {len(front):6d} "
            f"{plain:>9} {ratio:>10}",
            flush=True,
        )


def misses(count: int, most: int, trials: int) -> None:
    """Differential evolution, slot by slot: the stiffest wall no heavier and no dearer than a member of the front."""
    case = options(count, most, "any")
    seconds, front = timed(case)
    shelf = shelf_of(case, prune=True)
    rng, missed, short, out = np.random.default_rng(5), 0, [], np.empty(FIGURES)
    for trial, member in enumerate(rng.choice(len(front), trials)):
        exact, mass, cost = (float(f[member]) for f in (front.bending, front.mass, front.cost))
        until = time.perf_counter() + 10.0 * seconds

        def score(slots: np.ndarray, mass: float = mass, cost: float = cost, exact: float = exact) -> float:
            recipe = np.rint(slots).astype(np.int64)
            recipe = recipe[recipe < count]
            if recipe.size == 0:
                return 0.0
            wall_figures(shelf, recipe, recipe.size, out)
            over = max(out[2] / mass - 1.0 - 1e-9, 0.0) + max(out[3] / cost - 1.0 - 1e-9, 0.0)
            return float(-out[0] / exact + 10.0 * over + (0.1 if over > 0.0 else 0.0))

        found = differential_evolution(
            score,
            [(-0.49, count + 0.49)] * most,
            integrality=np.ones(most, bool),
            seed=trial,
            maxiter=100_000,
            tol=0.0,
            atol=0.0,
            polish=False,
            callback=lambda *_, until=until: time.perf_counter() > until,
        )
        gap = 1.0 + found.fun
        missed += gap > 1e-7
        short.append(max(gap, 0.0))
    print(
        f"\ndifferential evolution, {count} options up to {most} plies, ten times {seconds:.2f} s: misses the "
        f"stiffest wall under {missed} of {trials} pairs of limits on mass and cost, "
        f"by {100 * np.mean(short):.2f} % on average, {100 * np.max(short):.2f} % at most"
    )


def main(quick: bool = False) -> None:
    best_walls(options(3, 2, "listed"), threads=1)
    best_walls(options(3, 2, "any"), threads=1)
    if quick:
        growth([(6, 4, "listed"), (6, 4, "any")], 10**6)
        misses(6, 3, 1)
        return
    cases = [
        (12, 6, "listed"),
        (25, 6, "listed"),
        (25, 8, "listed"),
        (40, 8, "listed"),
        (40, 10, "listed"),
        (12, 6, "any"),
        (25, 6, "any"),
        (25, 8, "any"),
        (30, 9, "any"),
        (40, 10, "any"),
    ]
    growth(cases, math.comb(33, 8))
    for words, rules in RULED.items():
        seconds, front = timed(options(25, 8, "any", **rules))
        print(f"25 options, 8 plies, any order, {words}: {seconds:.3f} s, {len(front)} members")
    misses(25, 6, 8)
    print(f"most memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6:.2f} GB")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    main(parser.parse_args().quick)
