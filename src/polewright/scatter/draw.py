"""Which points to try: a scrambled quasi-random design, in replicates that are independent of each other."""

from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["Plan", "points_of"]

MOST_INPUTS = 20_000
_HALF_STEP = 2.0**-31  # the points lie on a lattice of 2^-30; from its middle no chance is ever 0 or 1


@dataclass(frozen=True, slots=True)
class Plan:
    """How many poles are tried, and the seed that fixes them all.

    `poles` is rounded up to 8 to 15 replicates of a power of two each: the replicates are independent, and what they
    differ by is the sampling uncertainty.
    """

    poles: int = 2048
    seed: int = 1

    def __post_init__(self) -> None:
        if not 64 <= self.poles <= 2**24:
            raise DesignError("poles", self.poles, Message("want.between_64_16_million"))
        if not 0 <= self.seed < 2**63:
            raise DesignError("seed", self.seed, Message("want.whole_number_from_zero_up"))

    @property
    def power(self) -> int:
        """Points of a replicate as a power of two."""
        return int(np.floor(np.log2(self.poles / 8.0) + 1e-12))

    @property
    def replicates(self) -> int:
        """Independent replicates, at least 8 and at most 15 or one more after rounding up."""
        return int(np.ceil(self.poles / 2**self.power))

    @property
    def size(self) -> int:
        """Poles in all, after rounding up."""
        return int(self.replicates * 2**self.power)


def points_of(plan: Plan, inputs: int, *, stream: int = 0) -> FloatArray:
    """Chances between 0 and 1 [-], (n_replicate, n, n_input), each replicate a scrambled Sobol' net of its own.

    `stream` sets designs of one seed apart.

    Source
    ------
    A. B. Owen, Scrambled net variance for integrals of smooth functions, Annals of Statistics 25, 1997;
    S. Joe, F. Y. Kuo, Constructing Sobol' sequences with better two-dimensional projections, SIAM J. Sci. Comput. 30,
    2008.
    """
    if inputs > MOST_INPUTS:
        raise DesignError("inputs", inputs, Message("want.at_most_fewer_plies_or_fewer", most_inputs=MOST_INPUTS))
    n = 2**plan.power
    if inputs == 0:
        return np.empty((plan.replicates, n, 0))
    from scipy.stats import qmc  # half a second and 55 MB, for those who draw copies alone

    made = [
        qmc.Sobol(inputs, scramble=True, bits=30, rng=np.random.default_rng([plan.seed, stream, r])).random_base2(
            plan.power
        )
        for r in range(plan.replicates)
    ]
    return np.asarray(made) + _HALF_STEP
