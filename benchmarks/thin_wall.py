"""A million random walls through the thin tier, against a plain C loop compiled here and now.

The C loop (gcc -O3 -march=native) turns each ply by the plain formulas, the compiled kernel by their invariants, which
take half the products. The table gives the rate of the compiled kernel and of the plain array form, each over that of
the C loop.

    python benchmarks/thin_wall.py [--quick]
"""

import argparse
import ctypes
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from polewright.materials.ply import Elastic
from polewright.wall.membrane import tube_stiffness
from polewright.wall.membrane_kernel import stiffness_of_many
from polewright.wall.stack import Wall

LAYERS = 8
SOURCE = r"""
#include <math.h>
#include <stddef.h>
void many(const double *bore, const double *angle, const double *thick, const double *con, double *out, long n, long m)
{
    for (long i = 0; i < n; i++) {
        double inner = bore[i] / 2;
        double x1 = 0, y1 = 0, h1 = 0, g1 = 0, x3 = 0, y3 = 0, h3 = 0, g3 = 0, xs = 0, hs = 0;
        for (long k = 0; k < m; k++) {
            const double *r = con + 4 * (i * m + k);
            double e1 = r[0], e2 = r[1], g = r[2], nu = r[3], sc = 1 / (1 - nu * nu * e2 / e1);
            double q11 = e1 * sc, q22 = e2 * sc, q12 = nu * e2 * sc;
            double c = cos(angle[i * m + k]), s = sin(angle[i * m + k]);
            double c2 = c * c, s2 = s * s, cs = c * s, cr = s2 * c2, both = 2 * (q12 + 2 * g);
            double al = q11 * c2 * c2 + both * cr + q22 * s2 * s2, ho = q11 * s2 * s2 + both * cr + q22 * c2 * c2;
            double mi = (q11 + q22 - 4 * g) * cr + q12 * (s2 * s2 + c2 * c2);
            double sh = (q11 + q22 - 2 * q12 - 2 * g) * cr + g * (s2 * s2 + c2 * c2);
            double le = (q11 - q12 - 2 * g) * cs, ri = (q12 - q22 + 2 * g) * cs;
            double o = inner + thick[i * m + k], a2 = inner * inner, b2 = o * o;
            double w1 = (b2 - a2) / 2, w2 = (b2 * o - a2 * inner) / 3, w3 = (b2 * b2 - a2 * a2) / 4;
            x1 += al * w1; y1 += mi * w1; h1 += ho * w1; g1 += sh * w1;
            x3 += al * w3; y3 += mi * w3; h3 += ho * w3; g3 += sh * w3;
            xs += (le * c2 + ri * s2) * w2; hs += (le * s2 + ri * c2) * w2;
            inner = o;
        }
        double st = x1 - y1 * y1 / h1, ln = xs - y1 * hs / h1, tu = g3 - hs * hs / h1;
        double cu = x3 - y3 * y3 / h3, sk = xs - y3 * hs / h3, sl = g1 - hs * hs / h3, pi = 3.14159265358979323846;
        out[5 * i] = 2 * pi * (st - ln * ln / tu); out[5 * i + 1] = pi * (cu - sk * sk / sl);
        out[5 * i + 2] = 2 * pi * (tu - ln * ln / st); out[5 * i + 3] = pi * (sl - sk * sk / cu);
        out[5 * i + 4] = -ln / tu;
    }
}
"""


def random_walls(count: int, seed: int = 7) -> Wall:
    """Walls of eight turns, every turn of its own material, angle and thickness."""
    rng = np.random.default_rng(seed)
    shape = (count, LAYERS)
    elastic = Elastic.unidirectional(
        E1=rng.uniform(30e9, 300e9, shape),
        E2=rng.uniform(5e9, 12e9, shape),
        G12=rng.uniform(2.5e9, 6e9, shape),
        nu12=rng.uniform(0.2, 0.35, shape),
    )
    return Wall(
        bore=rng.uniform(0.01, 0.06, count),
        angle=rng.uniform(-np.pi / 2, np.pi / 2, shape),
        thickness=rng.uniform(0.03e-3, 0.3e-3, shape),
        elastic=elastic,
    )


def compiled(folder: Path) -> Callable[..., None]:
    """The C loop, compiled in `folder`."""
    source, library = folder / "many.c", folder / "many.so"
    source.write_text(SOURCE, encoding="ascii")
    gcc = shutil.which("gcc") or shutil.which("cc")
    if gcc is None:
        raise SystemExit("thin_wall: needs gcc or cc for its baseline")
    flags = ["-O3", "-march=native", "-shared", "-fPIC"]
    subprocess.run([gcc, *flags, str(source), "-o", str(library), "-lm"], check=True)
    loop = ctypes.CDLL(str(library)).many
    loop.restype = None
    return loop


def best(times: int, call: Callable[[], object]) -> float:
    """[s] the quickest of several calls, the first not counted."""
    call()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        taken.append(time.perf_counter() - start)
    return min(taken)


def main(quick: bool = False) -> None:
    count, times = (20_000, 2) if quick else (1_000_000, 5)
    wall = random_walls(count)
    e = wall.elastic
    constants = np.ascontiguousarray(np.stack([e.E1, e.E2, e.G12, e.nu12], axis=-1))
    ours, theirs = np.empty((count, 5)), np.empty((count, 5))
    with tempfile.TemporaryDirectory() as folder:
        loop = compiled(Path(folder))
        given = [a.ctypes.data_as(ctypes.c_void_p) for a in (wall.bore, wall.angle, wall.thickness, constants, theirs)]
        plain_c = best(times, lambda: loop(*given, ctypes.c_long(count), ctypes.c_long(LAYERS)))
    kernel = best(times, lambda: stiffness_of_many(wall.bore, wall.angle, wall.thickness, constants, ours))
    apart = float(np.max(np.abs(ours[:, :4] / theirs[:, :4] - 1.0)))
    few = random_walls(min(count, 20_000))
    arrays = best(2, lambda: tube_stiffness(few)) * count / len(few.bore)
    print(f"{count} random walls of {LAYERS} turns; kernel and C agree to {apart:.0e}")
    print(f"{'':24}{'walls a second':>16}{'rate over C':>14}")
    for name, taken in (("plain C loop", plain_c), ("compiled kernel", kernel), ("plain arrays", arrays)):
        print(f"{name:24}{count / taken:16,.0f}{plain_c / taken:14.2f}")


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--quick", action="store_true", help="few walls, to see that it runs")
    main(asked.parse_args().quick)
