"""Limits asked of whole poles alone, droops at other loads and reaches and the lowest swing: a pole judged by them.

They stand outside the bounds of the search. Both are better for every section that is stiffer and lighter, so a pole
whose walls stand for left-out ones that agree with it to `slack` misses a limit for all of them when it misses by
more than MARGIN slacks, the play of joints at the least of its slice. Such a pole says nothing of the least aim; one
that misses by less counts with its bound.
"""

from dataclasses import dataclass

import numpy as np

from polewright.find.brief import Brief
from polewright.find.found import FoundPole

__all__ = ["Miss", "miss_of", "most_flex"]

MARGIN = 3.0
LOOSE = 1.02
"""Room left in the flex that a swing allows at most, for the bent balance that the pole swings about."""


@dataclass(frozen=True, slots=True)
class Miss:
    """The first limit that a pole misses, and whether every pole that it stands for misses it too."""

    limit: str
    is_sure: bool


def miss_of(pole: FoundPole, *, slack: float, play: float) -> Miss | None:
    """The first limit missed, None if all are met; play [m] : droop that tighter joints would save at most."""
    brief = pole.brief
    for wish in brief.droops:
        droop = pole.droop_at(wish.tip_mass, wish.out)
        if droop > wish.droop_at_most:
            return Miss(_name(wish.out), droop - play > wish.droop_at_most * (1.0 + MARGIN * slack))
    if brief.swing_at_least > 0.0 and (swing := pole.swing) < brief.swing_at_least:
        return Miss("swing", swing < brief.swing_at_least * (1.0 - MARGIN * slack))
    return None


def _name(out: int) -> str:
    return "droop with another load" if out == 0 else f"droop with {out} drawn out"


def most_flex(brief: Brief) -> float:
    """[m/N] most flex of any pole that swings as fast as is asked: 1/(omega^2 tip mass), inf without such a wish.

    The tip mass on the pole's own spring alone swings faster than with the pole's mass besides.

    Source
    ------
    Rayleigh's principle: S. Timoshenko, Vibration Problems in Engineering, 2nd ed., 1937, ch. I.
    """
    if brief.swing_at_least == 0.0:
        return np.inf
    return LOOSE / ((2.0 * np.pi * brief.swing_at_least) ** 2 * brief.swing_mass)
