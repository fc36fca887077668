"""How often poles keep the figures of their sheet: `python -m tests.sheet.promises [designs] [poles]` keeps the answer.

Poles drawn by a seed, each design with copies that no sheet has seen: independent points, another generator.
"""

import json
import sys
from collections.abc import Mapping
from pathlib import Path

import numpy as np
from tests.kept.drawn import drawn_pole

from polewright.answers.guaranteed import HomeSample, guarantee, home_sample, home_test
from polewright.answers.scatter_problem import problem_of
from polewright.arrays import FloatArray
from polewright.documents.design import Design
from polewright.errors import PolewrightError
from polewright.scatter import HomeFigure, Problem, home_figures_of
from polewright.sheet.home_rounding import home_rounding
from polewright.words import Reader

KEPT = Path(__file__).parent / "data" / "promises.json"
LOADS = (0.25, 0.75)
PIECE = 1000


def kept_by(design: Design, *, poles: int, seed: int) -> dict[str, float]:
    """Shares [-] of further poles of a design that keep the figures of its sheet, metric.

    least, most: of one figure, the worst and the best kept; most_before_rounding; together: all at once; level: that
    of each bound among the copies that made it.
    """
    sample = home_sample(design, home_test(design, LOADS))
    given = guarantee(sample, home_rounding(Reader()))
    bad = further(design, sample, poles=poles, seed=seed)
    published, bound = (signed(values, sample) for values in (given.published, given.bound))
    keeps, before = (bad <= limit + 1e-12 * np.abs(limit) for limit in (published, bound))
    alone, plain = keeps.mean(axis=0), before.mean(axis=0)
    varies = np.ptp(bad, axis=0) > 1e-9 * np.abs(bad).max(axis=0)  # a figure that no pole differs in is kept by all
    return {
        "least": float(alone.min()),
        "most_before_rounding": float(plain[varies].max()),
        "together": float(keeps.all(axis=1).mean()),
        "level": given.level,
        "figures": len(sample.figures),
    }


def signed(values: Mapping[HomeFigure, float], sample: HomeSample) -> FloatArray:
    """Figures in the order of the sample, larger worse."""
    return np.array([values[f] if f.is_most else -values[f] for f in sample.figures])


def further(design: Design, sample: HomeSample, *, poles: int, seed: int) -> FloatArray:
    """Figures of poles (n, n_figure), larger worse, of points drawn one by one."""
    whole = problem_of(design)
    problem = Problem(whole.build, whole.spreads, ())
    rng, found = np.random.Generator(np.random.Philox(seed)), []
    bare = Problem(problem.build, type(problem.spreads)(), ())
    nominal = home_figures_of(bare, sample.test, np.empty((1, 0)))[0]
    pairs = zip(sample.figures, nominal, strict=True)
    scale = np.array([sample.nominal[f] / n if f.kind == "swing" else 1.0 for f, n in pairs])
    for start in range(0, poles, PIECE):
        points = rng.uniform(1e-12, 1.0 - 1e-12, (min(PIECE, poles - start), problem.inputs))
        found.append(home_figures_of(problem, sample.test, points) * scale)
    values = np.concatenate(found)
    return np.where([f.is_most for f in sample.figures], values, -values)


def main() -> None:
    """Draw, count, keep."""
    designs, poles = (int(word) for word in (*sys.argv[1:], "50", "10000")[:2])
    rows: dict[str, dict[str, float]] = {}
    refused, number = [], 100
    while len(rows) < designs:
        name, number = f"drawn-{number}", number + 1
        try:
            rows[name] = kept_by(drawn_pole(name), poles=poles, seed=number)
        except (PolewrightError, ValueError) as fault:
            refused.append(f"{name}: {type(fault).__name__}")
            continue
        sys.stderr.write(f"{name} {rows[name]}\n")
    KEPT.parent.mkdir(exist_ok=True)
    kept = {"poles": poles, "refused": refused, "designs": rows}
    KEPT.write_text(json.dumps(kept, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
