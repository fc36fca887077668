"""Readings drawn as a bench would give them: every gauge off by chance, as much as the record says it may be."""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.random import Generator
from scipy.stats import binom

from polewright.answers.bench import bench_answer
from polewright.answers.bench_answer import BenchAnswer
from polewright.bench.record import Gauges
from polewright.documents.design import Design
from polewright.documents.files import document_of

DRAWS = 400
CLAIMED = 0.95  # of 100: what a published interval says of itself
DOUBT = 1e-3  # chance that an honest interval covers more seldom than the bound


def answer_of(design: Design, test: dict[str, Any]) -> BenchAnswer:
    plain = {"document": "test-record", "schema_version": 1, "serial": "D-1", "test": test}
    return bench_answer(document_of(plain), design)


class Bench:
    """A bench whose common gauges are off by chance: one scale, one dial, gravity, and a span as it really is."""

    def __init__(self, rng: Generator) -> None:
        gauges = Gauges()
        self.rng = rng
        self.dial = 1.0 + gauges.reading_share * rng.standard_normal()
        self.gravity = 9.80665 + gauges.gravity * rng.standard_normal()

    def span(self, told: float, standard: float = 5e-4) -> float:
        return told + standard * float(self.rng.standard_normal())

    def masses(self, told: Any, load_u_g: float) -> Any:
        """What hung there really [kg]: the scale is off by one share of all loads, `load_u_g` of their difference."""
        share = load_u_g * 1e-3 / float(np.ptp(told))
        return np.asarray(told) * (1.0 + share * self.rng.standard_normal())

    def read(self, droop: Any, standard: float) -> Any:
        """[m] as read by a dial of this standard uncertainty."""
        return np.asarray(droop) * self.dial + standard * self.rng.standard_normal(np.shape(droop))


def covering(design: Design, draw: Callable[[Generator], tuple[dict[str, Any], float]], seed: int) -> int:
    """How many of `DRAWS` intervals hold the truth; `draw` gives a test and the true figure, in SI."""
    rng, hits = np.random.default_rng(seed), 0
    for _ in range(DRAWS):
        test, truth = draw(rng)
        measured = answer_of(design, test).measured
        assert measured is not None
        hits += bool(abs(measured.value - truth) <= measured.expanded)
    return hits


def least() -> int:
    """The fewest that intervals covering 95 of 100 hold in `DRAWS`, but for a chance of `DOUBT`."""
    return int(binom.ppf(DOUBT, DRAWS, CLAIMED))
