"""Tests of tubes and poles drawn by a seed: arrangements, repeats, loads and gauges in any company, bad ones too.

`bench` evaluates each as it stands, in SI; what it refuses is kept by field and code.
"""

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np

from polewright import bench
from tests.kept.drawn import Draw
from tests.kept.figures import Place
from tests.kept.refused import refusal_of
from tests.kept.whole import places_in

COUNT = 30
"""Tests of each kind."""
BAD = 0.15
"""Chance that a figure of a test is one that no bench has."""


def _gauges(draw: Draw) -> bench.Gauges:
    return bench.Gauges(**draw.some(0.5, span=1e-3, load_share=0.01, reading=2e-5, reading_share=5e-3, gravity=0.001))


def _masses(draw: Draw) -> Any:
    masses = np.sort(draw.choice([0.0, 0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.5], draw.randint(2, 7), replace=False))
    return masses if draw.uniform() > BAD else draw.of(masses[:1], np.full(3, 0.5), masses - 1.0, masses * 1e5)


def _read(draw: Draw, masses: Any, columns: int, give: float) -> Any:
    scatter = draw.of(0.0, 1e-6, 2e-5, 4e-4)
    rows = give * masses[:, None] * 9.8 + scatter * draw.standard_normal((masses.size, columns)) + draw.of(0.0, 2e-3)
    return rows if draw.uniform() > BAD else draw.of(-rows, rows[:-1], rows * np.nan, np.full(rows.shape, 1e-3))


def _bend(draw: Draw, *, inset: float | None = None) -> bench.BendTest:
    span, masses = draw.between(0.3, 1.6), _masses(draw)
    arrangement = draw.of("middle", "two loads", "two loads, arc", "tip")
    own = draw.of(0.0, 0.02, 0.3, 0.49, 0.6) * span if inset is None else inset
    return bench.BendTest(
        span=span, masses=masses, readings=_read(draw, masses, draw.of(1, 1, 3), draw.of(1e-4, 3e-4)), inset=own,
        arrangement=arrangement, outside=draw.of(0.0, 0.02, 0.05), gauges=_gauges(draw),
    )  # fmt: skip


def _shear(draw: Draw) -> dict[str, Any]:
    return draw.some(0.5, shear=bench.within(draw.of(2e3, 6e4, 3e5), draw.of(0.0, 1e3, 2e4)))


def _clock(draw: Draw) -> bench.ClockTest:
    count, masses = draw.of(4, 5, 6, 8, 12), _masses(draw)
    clock = np.arange(count) * 2.0 * np.pi / count + draw.of(0.0, 0.3)
    lobes = 1.0 + draw.of(0.0, 0.01, 0.05) * np.cos(2.0 * clock - 0.6)
    rows = _read(draw, masses, count, 2e-4).T
    if rows.shape == (count, masses.size):
        rows = rows * lobes[:, None] + draw.of(0.0, 3e-4) * np.cos(clock - 1.0)[:, None]
    return bench.ClockTest(span=draw.between(0.5, 1.5), clock=clock, masses=masses, readings=rows, gauges=_gauges(draw))


def _tip(draw: Draw) -> bench.TipTest:
    masses = _masses(draw)
    rows = _read(draw, masses, draw.of(1, 2, 2, 3), draw.of(0.004, 0.02)).T
    some = draw.some(0.5, play=draw.of(0.0, 0.004, -1e-3), gauges=_gauges(draw))
    return bench.TipTest(reach=draw.between(2, 8), masses=masses, readings=rows, **some)


def _tap(draw: Draw) -> bench.TapTest:
    outside, length = draw.of(0.02, 0.04), draw.between(0.8, 2.0)
    tone = draw.of(60.0, 140.0, 400.0, 2e6) * (1.0 + 0.002 * draw.standard_normal(draw.of(1, 3, 6)))
    return bench.TapTest(
        length=length, mass=draw.between(0.08, 0.4), outside=outside, bore=draw.of(0.9, 0.95, 0.92, 0.0, 1.0) * outside,
        frequencies=tone, **draw.some(0.5, frequency_share=0.01, length_standard=2e-3, mass_standard=1e-3),
    )  # fmt: skip


def _bent(draw: Draw) -> object:
    return bench.bending_stiffness(_bend(draw), **_shear(draw))


def _over_spans(draw: Draw) -> object:
    return bench.stiffness_of_spans([_bend(draw, inset=0.1) for _ in range(draw.of(2, 3))])


def _round(draw: Draw) -> object:
    return bench.clock_fit(_clock(draw), **_shear(draw))


def _tapped(draw: Draw) -> object:
    return bench.tap_stiffness(_tap(draw), shear=bench.within(draw.of(3e3, 6e4, 3e5), draw.of(0.0, 2e3)))


KINDS: dict[str, Callable[[Draw], object]] = {
    "bend": _bent, "spans": _over_spans, "clock": _round, "tip": lambda draw: bench.tip_flex(_tip(draw)),
    "tap": _tapped,
}  # fmt: skip


def drawn_tests() -> dict[str, Place]:
    """Every test of every kind in full, or what is refused of it."""
    found: dict[str, Place] = {}
    for k, (kind, evaluate) in enumerate(KINDS.items()):
        for number in range(COUNT):
            seed, answers = 100 * k + number, list[object]()
            asked: Callable[[], object] = partial(_evaluated, evaluate, seed, answers)
            found |= refusal_of(f"{kind} {number}", asked)
            found |= {f"{kind} {number}: {place}": value for place, value in places_in(answers)}
    return found


def _evaluated(evaluate: Callable[[Draw], object], seed: int, answers: list[object]) -> None:
    answers.append(evaluate(Draw(seed)))
