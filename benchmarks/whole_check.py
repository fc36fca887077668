"""One whole evaluation of Reedlight 7 beside a general boundary-value solver on the same pole, and a cold start."""

import subprocess
import sys
from pathlib import Path

from benchmarks._beside import best, by_general_solver
from polewright.answers.trestles import bench_state
from polewright.documents.files import load
from polewright.documents.values import workpiece
from polewright.pole.beam import bent
from polewright.words.reports.check import evaluate as check
from polewright.workshop import edited

EXAMPLE = Path(__file__).parents[1] / "examples" / "reedlight-7.toml"


def main(quick: bool = False) -> None:
    """Print the table."""
    design = load(EXAMPLE)
    check(design)
    work = workpiece(design)
    state = bench_state(design, work.pole, len(work.pole.joints), head=0.5)
    bent(work.pole, state)
    rounds = 3 if quick else 30
    walls = iter(
        [
            edited(design, "set_field", path="sections[3].stack[1].angle_deg", value=f"{20 + 0.5 * k}")
            for k in range(rounds)
        ]
    )
    slides = iter([edited(design, "set_field", path="joints[0].overlap_mm", value=f"{201 + k}") for k in range(rounds)])
    wall, slid = best(lambda: check(next(walls)), rounds), best(lambda: check(next(slides)), rounds)
    whole = best(lambda: check(design), rounds)
    one = best(lambda: bent(work.pole, state), rounds)
    general = best(lambda: by_general_solver(work.pole, state), 1 if quick else 3)
    for what, took in (
        ("after a ply was turned: a wall never seen", wall),
        ("after a joint was changed: walls known", slid),
        ("asked again: bent poles known", whole),
    ):
        print(f"{'whole check ' + what:58}{took * 1e3:9.2f} ms")
    print(f"{'one bent state, large deflection':58}{one * 1e3:9.3f} ms")
    print(f"{'baseline: scipy solve_bvp, one state':58}{general * 1e3:9.2f} ms")
    print(f"{'ratio, baseline over one bent state':58}{general / one:9.1f}")
    command = [str(Path(sys.executable).parent / "polewright"), "check", str(EXAMPLE)]
    cold = best(lambda: subprocess.run(command, check=True, capture_output=True), 1 if quick else 3)
    bare = best(lambda: subprocess.run([sys.executable, "-c", "import numpy"], check=True), 3)
    print(f"{'polewright check from a cold start':58}{cold:9.2f} s")
    print(f"{'baseline: python -c import numpy':58}{bare:9.2f} s")


if __name__ == "__main__":
    main(quick="--quick" in sys.argv)
