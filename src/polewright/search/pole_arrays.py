"""What the loops of the whole-pole search work on: the chain of bars and walls, a branch, where the search stands."""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.search.option_table import IntArray

__all__ = ["AHEAD_RANGE", "BIN", "BINS", "FIGURES", "FURTHER_ROW", "JOINT", "WALL", "Chain", "Stack", "Trail"]

FIGURES = ("droop", "flex", "mass", "cost", "carry")
BINS = 4

_LOAD = [("moment", "f8"), ("mass", "f8"), ("own", "f8"), ("always", "f8")]
"""What multiplies the moment ahead [kg m], the mass ahead [kg], a section's own mass [kg/m], and one."""

JOINT = np.dtype([("load", _LOAD), ("pull", "f8")])
"""Of one joint, over its stiffness: droop by loads, and flex."""

FURTHER_ROW = np.dtype(
    [
        ("shared", _LOAD),
        ("alone", _LOAD),
        ("joint", _LOAD),
        ("lever", "f8"),
        ("stiffer", "f8"),
        ("light", "f8"),
        ("heavy", "f8"),
        ("shift", "f8"),
        ("nested_alone", _LOAD),
        ("nested_shared", _LOAD),
    ]
)
"""One further figure of one section: loads over the EI of the overlap and of the section alone, and over the
stiffness of the joint; lever [m] of the tilt at its own mouth; EI [N m2] of the sections pushed in round it; light,
less so much over its own [kg/m]; heavy [m], times its own [kg/m]; shift, a constant; and the loads of the section
before that lies nested in it, over their EI without and with that of the one before it.
"""

WALL = np.dtype([("bending", "f8"), ("mass", "f8"), ("cost", "f8"), ("tilt", "f8"), ("least_tilt", "f8")])
"""EI [N m2], mass [kg/m], cost [currency] a metre of flag, tilt of its joint [rad] and the least tilt of any wall it
stands for.
"""

BIN = np.dtype([("softest", "f8"), ("stiffest", "f8"), ("lightest", "f8")])
"""Least and most EI [N m2] and least mass [kg/m] of the walls in one bin; below zero where it is empty."""

AHEAD_RANGE = np.dtype([("least_moment", "f8"), ("most_moment", "f8"), ("least_mass", "f8"), ("most_mass", "f8")])
"""Ends of the moment about the butt end of a section [kg m] and of the mass [kg] of all sections so far."""


class Chain(NamedTuple):
    """What may follow what: a node is a section on one bar that slides in one next bar, or stands last.

    walls of node i are rows first[i] to first[i + 1]; after node i come `follow` rows link[i] to link[i + 1].
    """

    walls: NDArray[Any]  # (n_wall,) of WALL
    first: IntArray  # (n_node + 1,)
    bin: IntArray  # (n_wall,) of its EI within its node
    share: FloatArray  # (n_wall,) where its EI lies between the ends of its bin, 0 to 1
    ends: NDArray[Any]  # (n_node, BINS) of BIN
    most: FloatArray  # (n_section,) EI that no wall of that section exceeds
    is_last: NDArray[np.bool_]  # (n_node,)
    link: IntArray  # (n_node + 1,)
    follow: IntArray
    clamp: float
    fitting: float
    flag_extra: float
    give: float  # [rad/(N m)] of a joint
    grid: NDArray[Any]  # (n_section,) of AHEAD_RANGE


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
