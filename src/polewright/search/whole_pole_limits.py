"""Limits worked out on whole poles, droops and flexes at other loads and reaches and the swing: a pole judged by them.

The bounds of the search know them as sums that stand beside them (`further`). All but a flex that is too small are
better for every section that is stiffer and lighter, so a pole whose walls stand for left-out ones that agree with it
to `slack` misses a limit for all of them when it misses by more than MARGIN slacks, the play of joints at the least of
its slice. Such a pole says nothing of the least aim; one that misses by less counts with its bound.
"""

from dataclasses import dataclass

import numpy as np

from polewright.search.brief import Brief, FurtherDroop, FurtherFlex
from polewright.search.candidate import FoundPole

__all__ = ["Miss", "miss_of", "most_flex"]

MARGIN = 3.0
LOOSE = 1.02
"""Room left in the flex that a swing allows at most, for the bent balance that the pole swings about."""


@dataclass(frozen=True, slots=True)
class Miss:
    """The first limit that a pole misses.

    limit : "swing", the code of a figure, or "droop:3" or "flex:3" with three sections out, 0 for all. figure : its
    name among the further figures. by : by how much of it [-], of the square of a swing. is_sure : all poles that
    it stands for miss it too.
    """

    limit: str
    figure: str
    by: float
    is_sure: bool


def miss_of(pole: FoundPole, *, slack: float, play: float) -> Miss | None:
    """The first limit missed, None if all are met; play [m] : droop that tighter joints would save at most."""
    brief = pole.brief
    for name, wish in brief.further.items():
        missed = (
            _flex_miss(pole, name, wish, slack)
            if isinstance(wish, FurtherFlex)
            else _droop_miss(pole, name, wish, slack, play)
        )
        if missed is not None:
            return missed
    if brief.swing_at_least > 0.0 and (swing := pole.swing) < brief.swing_at_least:
        short = 1.0 - swing / brief.swing_at_least
        return Miss("swing", "swing", 2.0 * short, short > MARGIN * slack)
    return _figure_miss(pole)


def _figure_miss(pole: FoundPole) -> Miss | None:
    """Never sure: what the rows do not show of all walls that a wall stands for, one pole does not show either."""
    for limit in pole.brief.figures:
        over = limit.figure.value(pole) / limit.at_most - 1.0
        if over > 0.0:
            return Miss(limit.figure.code, limit.figure.code, over, False)
    return None


def _droop_miss(pole: FoundPole, name: str, wish: FurtherDroop, slack: float, play: float) -> Miss | None:
    droop = pole.droop_at(wish.tip_mass, wish.out)
    if droop <= wish.droop_at_most:
        return None
    sure = droop - play > wish.droop_at_most * (1.0 + MARGIN * slack)
    return Miss(f"droop:{wish.out}", name, droop / wish.droop_at_most - 1.0, sure)


def _flex_miss(pole: FoundPole, name: str, wish: FurtherFlex, slack: float) -> Miss | None:
    off = pole.flex_at(wish.tip_mass, wish.out) / wish.wanted - 1.0
    if abs(off) <= wish.within:
        return None
    return Miss(
        f"flex:{wish.out}", name, (off - wish.within) / (1.0 + wish.within), abs(off) > wish.within + MARGIN * slack
    )


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
