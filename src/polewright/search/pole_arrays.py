"""What the loops of the whole-pole search work on: the chain of bars and walls, a branch, where the search stands."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.search.option_table import IntArray

__all__ = ["BINS", "FIGURES", "Chain", "Stack", "Trail"]

FIGURES = ("droop", "flex", "mass", "cost", "carry")
BINS = 4


class Chain(NamedTuple):
    """What may follow what: a node is a section on one bar that slides in one next bar, or stands last.

    walls of node i are rows first[i] to first[i + 1]: (EI, kg/m, cost a metre of flag, tilt of its joint, least tilt
    of any wall it stands for); after node i come `follow` rows link[i] to link[i + 1].
    """

    walls: FloatArray  # (n_wall, 5)
    first: IntArray  # (n_node + 1,)
    bin: IntArray  # (n_wall,) of its EI within its node
    share: FloatArray  # (n_wall,) where its EI lies between the ends of its bin, 0 to 1
    ends: FloatArray  # (n_node, BINS, 3) least and most EI and least kg/m in each bin, below zero where it is empty
    most: FloatArray  # (n_section,) EI that no wall of that section exceeds
    is_last: NDArray[np.bool_]  # (n_node,)
    link: IntArray  # (n_node + 1,)
    follow: IntArray
    clamp: float
    fitting: float
    flag_extra: float
    give: float  # [rad/(N m)] of a joint
    grid: FloatArray  # (n_section, 4) least and most moment about the butt end of each section [kg m], and mass [kg]


class Trail(NamedTuple):
    """State of a branch, section by section: figures so far (n + 1, 5 + n_further), moment about the pole's butt and
    mass ahead (n + 1, 2), EI of the section before (n + 1,).
    """

    figures: FloatArray
    ahead: FloatArray
    stiff: FloatArray


class Stack(NamedTuple):
    """Where branch and bound stands: may be kept and gone on with.

    depth (1,), -1 when done; children of each level: wall and node (n, room, 2), order by bound; many, next (n,);
    tally (2,) poles evaluated and excluded; best (1,) value of the aim; least (1,) least bound excluded; path of the
    best (n, 2); figures of the best (5 + n_further,); leaf (1,) bound of a whole pole that waits to be judged, inf
    when none does.
    """

    depth: IntArray
    children: IntArray  # (n_section, room, 2)
    bound: FloatArray  # (n_section, room) of the aim
    many: IntArray  # (n_section,)
    next: IntArray  # (n_section,)
    tally: IntArray  # (2,)
    best: FloatArray  # (1,)
    least: FloatArray  # (1,)
    path: IntArray  # (n_section, 2)
    figures: FloatArray  # (5 + n_further,)
    leaf: FloatArray  # (1,)
    trail: Trail
