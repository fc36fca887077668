"""Ten thousand scattered copies of a six-section pole, large deflection each, beside a general boundary-value solver.

Run: python -m benchmarks scatter [--quick]
"""

import os
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from benchmarks._beside import by_general_solver
from polewright.answers.scatter_problem import problem_of
from polewright.documents.files import load
from polewright.pole import State
from polewright.scatter import Plan, Problem, Sample, copies_of, points_of, pole_of_copy, poles_drawn, sampled

HERE = Path(__file__).parent
WORKERS = 2


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
        apart = max(apart, abs(tip - sample.of(f"droop.{reach.name}").reshape(-1)[i]))
    general = (time.perf_counter() - start) / few * sample.plan.size
    print(f"{sample.plan.size} copies of {len(problem.build.sections)} sections, {problem.inputs} inputs strayed")
    print(f"{'what':<62}{'time':>11}{'general solver is slower by':>30}")
    print(f"{f'general boundary-value solver, from {few} of them':<62}{general:>9.2f} s{1:>30}")
    for what, took in (
        (f"all copies, all figures, {WORKERS} threads", seconds),
        ("all copies, all figures, one thread", alone),
        ("  of that: quasi-random points", points_in),
        ("  of that: walls, nests and masses", walls_in),
    ):
        ratio = "" if what.startswith("  ") else f"{general / took:.0f}"
        print(f"{what:<62}{took:>9.2f} s{ratio:>30}")
    print(f"tips of the two solvers apart by {apart * 1e6:.1f} micrometres at most")


if __name__ == "__main__":
    main("--quick" in sys.argv[1:])
