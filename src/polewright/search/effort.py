"""How long a one-wall search will take, told before it is begun."""

from dataclasses import dataclass, replace

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.search.options import GAINS, Options
from polewright.search.wall_front import best_walls, candidates_in_all

__all__ = ["Estimate", "estimate"]

LOOK = 2e-6
"""[s] for one set of plies or order that a bound or the figures settle, on a common desk machine; an order of
magnitude, for the words alone."""
_PROBE = 200_000
_MOST_TRIED = 4


@dataclass(frozen=True, slots=True)
class Estimate:
    """Sets of plies in all, those (and their orders) that will be gone into one by one, and seconds, roughly."""

    candidates: int
    looks: float
    seconds: float

    @property
    def words(self) -> str:
        """For a person."""
        if self.seconds < 2.0:
            time = "about a second"
        elif self.seconds < 120.0:
            time = f"about {self.seconds:.0f} seconds"
        elif self.seconds < 7200.0:
            time = f"about {self.seconds / 60.0:.0f} minutes"
        else:
            time = f"about {self.seconds / 3600.0:.0f} hours: fewer plies, fewer options or a listed order would help"
        return f"{self.candidates:,} sets of plies, {time}"


def _looks(options: Options) -> float:
    """Sets and orders that a search settled one by one; the branches cut off cost next to nothing."""
    sets, orders = best_walls(options, threads=1).certificate.ledgers
    excluded = dict(sets.excluded)
    branches = excluded["no completion of the branch is better than a wall found"]
    return float(sets.in_all - branches + orders.in_all)


def estimate(options: Options) -> Estimate:
    """What a search would be like, from the same search with fewer plies: its growth from ply to ply is carried on.

    Raises
    ------
    DesignError : more sets of plies than can be counted.
    """
    options = replace(options, bears=None)
    total = candidates_in_all(options)
    if total > 2**62:
        raise DesignError("most", options.most, Message("want.fewer_plies_or_options_sets_plies", total=float(total)))
    if any(f in GAINS for f in options.figures[1:]):
        looks = float(len(options.plies)) ** options.most if options.order == "any" else float(total)
        return Estimate(total, looks, looks * LOOK)
    sizes, looks_at = _small_cases(options)
    if sizes[-1] == options.most:
        return Estimate(total, looks_at[-1], looks_at[-1] * LOOK)
    growth = max(looks_at[-1] / max(looks_at[-2], 1.0), 1.0) if len(looks_at) > 1 else float(len(options.plies))
    looks = min(looks_at[-1] * growth ** (options.most - sizes[-1]), float(total) * float(np.prod(np.arange(1, 9))))
    return Estimate(total, looks, looks * LOOK)


def _small_cases(options: Options) -> tuple[list[int], list[float]]:
    """Plies at most and looks of searches with few plies, from one to four.

    Where the thinnest wall allowed needs more, the small cases are told without it: it only spares looks.
    """
    if _fewest(options) > _MOST_TRIED:
        options = replace(options, rules=replace(options.rules, least_wall=0.0))
    sizes: list[int] = []
    looks_at: list[float] = []
    for most in range(1, min(options.most, _MOST_TRIED) + 1):
        try:
            fewer = replace(options, most=most)
        except DesignError:
            continue  # a wall so thin breaks a rule
        if candidates_in_all(fewer) > _PROBE and len(sizes) >= 2:
            break
        sizes.append(most)
        looks_at.append(_looks(fewer))
    return sizes, looks_at


def _fewest(options: Options) -> int:
    """Plies that the thinnest wall allowed takes at least, 1 without such a rule."""
    thickest = max(o.thickness for o in options.plies)
    return max(int(np.ceil(options.rules.least_wall / thickest - 1e-9)), 1)
