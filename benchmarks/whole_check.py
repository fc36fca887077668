"""One whole evaluation of Reedlight 7 beside a general boundary-value solver on the same pole, and a cold start."""

import subprocess
import sys
import time
from pathlib import Path

import numpy as np
from scipy.integrate import solve_bvp

from polewright.documents.check import check
from polewright.documents.files import load
from polewright.documents.pole_figures import bench_state
from polewright.documents.values import workpiece
from polewright.pole.beam import bent
from polewright.pole.layout import lay_out

EXAMPLE = Path(__file__).parents[1] / "examples" / "reedlight-7.toml"


def best_of(times: int, call) -> float:
    """Shortest of several runs [s]."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        spent.append(time.perf_counter() - start)
    return min(spent)


def by_general_solver(pole, state) -> float:
    """Tip droop [m] of the clamped pole, joints rigid, by scipy's boundary-value solver on elastica with stepped EI."""
    mesh = lay_out(pole, state.drawn)
    length = mesh.node[-1]
    middle = 0.5 * (mesh.node[:-1] + mesh.node[1:])
    weight = np.interp
    lumps = [(s, m) for s, m in zip(mesh.node, mesh.lump, strict=True) if m > 0.0]

    def beyond(s):
        grid = np.concatenate([mesh.node[:1], mesh.node[1:]])
        line = np.concatenate([[0.0], np.cumsum(mesh.h * mesh.mu.mean(axis=1))])
        own = (line[-1] - weight(s, grid, line)) * state.gravity
        hung = sum(np.where(s <= at + 1e-12, m, 0.0) for at, m in lumps) * state.gravity
        return own + hung + state.head_mass * state.gravity

    def rhs(s, y):
        ei = mesh.ei.mean(axis=1)[np.clip(np.searchsorted(middle, s), 0, middle.size - 1)]
        return np.vstack([y[1], beyond(s) * np.cos(y[0]) / ei, np.sin(y[0])])

    s = np.linspace(0.0, length, 400)
    found = solve_bvp(rhs, lambda a, b: np.array([a[0], b[1], a[2]]), s, np.zeros((3, s.size)), tol=1e-5,
                      max_nodes=20000)
    return -float(found.y[2, -1])


def main(quick: bool = False) -> None:
    """Print the table."""
    design = load(EXAMPLE)
    check(design)
    work = workpiece(design)
    state = bench_state(design, work.pole, len(work.pole.joints), head=0.5)
    bent(work.pole, state)
    rounds = 3 if quick else 30
    whole = best_of(rounds, lambda: check(design))
    one = best_of(rounds, lambda: bent(work.pole, state))
    general = best_of(1 if quick else 3, lambda: by_general_solver(work.pole, state))
    print(f"{'whole check, all reaches, both theories':48}{whole * 1e3:9.2f} ms")
    print(f"{'one bent state, large deflection':48}{one * 1e3:9.3f} ms")
    print(f"{'baseline: scipy solve_bvp, one state':48}{general * 1e3:9.2f} ms")
    print(f"{'ratio, baseline over one bent state':48}{general / one:9.1f}")
    command = [str(Path(sys.executable).parent / "polewright"), "check", str(EXAMPLE)]
    cold = best_of(1 if quick else 3, lambda: subprocess.run(command, check=True, capture_output=True))
    bare = best_of(3, lambda: subprocess.run([sys.executable, "-c", "import numpy"], check=True))
    print(f"{'polewright check from a cold start':48}{cold:9.2f} s")
    print(f"{'baseline: python -c import numpy':48}{bare:9.2f} s")


if __name__ == "__main__":
    main(quick="--quick" in sys.argv)
