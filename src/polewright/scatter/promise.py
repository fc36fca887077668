"""How often a copy misses what was promised, with what the sampling leaves open."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.conventions.confidence import CONFIDENCE
from polewright.errors import DesignError

__all__ = ["Chance", "Method", "Miss", "Promise", "chance_of", "misses", "passed"]

Method = Literal["exact", "wilson"]


@dataclass(frozen=True, slots=True)
class Promise:
    """A limit on one figure, in the figure's SI unit: at most, or at least; origin: who set it, as a code."""

    figure: str
    limit: float
    is_least: bool = False
    origin: str = ""

    def __post_init__(self) -> None:
        if not np.isfinite(self.limit):
            raise DesignError(f"promise {self.figure}", self.limit, Message("want.finite_limit"))


@dataclass(frozen=True, slots=True)
class Chance:
    """A chance [-] as seen, and the interval that holds the true one with `confidence` [-]."""

    value: float
    low: float
    high: float
    confidence: float


@dataclass(frozen=True, slots=True)
class Miss:
    """How many copies of how many missed a promise (None: any of them), and the chance of it."""

    promise: Promise | None
    missed: int
    of: int
    chance: Chance


def chance_of(hits: int, of: int, *, confidence: float = CONFIDENCE, method: Method = "exact") -> Chance:
    """The chance [-] behind `hits` in `of` independent trials, with the interval that holds it by `confidence` [-].

    "exact" covers at least as often as it claims; "wilson" about as often, and is narrower.

    Source
    ------
    C. J. Clopper, E. S. Pearson, The use of confidence or fiducial limits, Biometrika 26, 1934;
    E. B. Wilson, Probable inference, the law of succession, and statistical inference, J. Am. Stat. Assoc. 22, 1927.
    """
    if not (0 <= hits <= of and of > 0):
        raise DesignError("hits", Message("given.of", hits=hits, of=of), Message("want.between_none_all_at_least_one"))
    if not 0.0 < confidence < 1.0:
        raise DesignError("confidence", confidence, Message("want.between_0_1"))
    from scipy.special import betaincinv, ndtri  # 14 MB and a tenth of a second: only who asks pays

    seen, tail = hits / of, (1.0 - confidence) / 2.0
    if method == "exact":
        low = float(betaincinv(hits, of - hits + 1, tail)) if hits > 0 else 0.0
        high = float(betaincinv(hits + 1, of - hits, 1.0 - tail)) if hits < of else 1.0
        return Chance(seen, low, high, confidence)
    z2 = float(ndtri(1.0 - tail)) ** 2
    middle = (seen + z2 / (2.0 * of)) / (1.0 + z2 / of)
    half = np.sqrt(z2) / (1.0 + z2 / of) * np.sqrt(seen * (1.0 - seen) / of + z2 / (4.0 * of * of))
    low = 0.0 if hits == 0 else max(middle - float(half), 0.0)
    return Chance(seen, low, 1.0 if hits == of else min(middle + float(half), 1.0), confidence)


def _kept(values: FloatArray, names: Sequence[str], promise: Promise) -> FloatArray:
    if promise.figure not in names:
        raise DesignError("promise.figure", repr(promise.figure), Message("want.one", choices=tuple(names)))
    own = values[..., list(names).index(promise.figure)]
    return np.asarray(own >= promise.limit if promise.is_least else own <= promise.limit)


def passed(values: FloatArray, names: Sequence[str], promises: Sequence[Promise]) -> FloatArray:
    """1 for every copy that keeps all promises, else 0: (...) [-]; values (..., n_figure) [SI unit of the figure]."""
    kept = np.ones(values.shape[:-1], dtype=bool)
    for promise in promises:
        kept &= _kept(values, names, promise).astype(bool)
    return kept.astype(np.float64)


def misses(
    values: FloatArray, names: Sequence[str], promises: Sequence[Promise], *, confidence: float = CONFIDENCE
) -> tuple[Miss, ...]:
    """How often each promise is missed, and last, how often any is; values (..., n_figure) [SI unit of the figure].

    The interval is that of independent copies; a quasi-random design is at least as even, so it is on the wide side.
    """
    rows: list[Miss] = []
    of = int(np.prod(values.shape[:-1]))
    for promise in promises:
        missed = of - int(np.sum(_kept(values, names, promise)))
        rows.append(Miss(promise, missed, of, chance_of(missed, of, confidence=confidence)))
    missed = of - int(np.sum(passed(values, names, promises)))
    return (*rows, Miss(None, missed, of, chance_of(missed, of, confidence=confidence)))
