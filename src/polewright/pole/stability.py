"""How much a straight pole bears before it bends aside: under its own weight, and pushed at the head.

The straight pole is unstable once the second derivative of its potential has a negative direction; counting those
(Sylvester's law of inertia) at rising loads brackets the first one as closely as wanted. Bending, shear and joint
springs count; play does not: a loose joint holds nothing until its play is taken up.

Source
------
Sylvester's law of inertia for the second derivative of the potential energy of `elastica`.
"""

from dataclasses import replace

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.pole.correct import step
from polewright.pole.elastica import Loads, posture
from polewright.pole.hold import loads_of, pins_of, stops_of
from polewright.pole.layout import JointModel, lay_out
from polewright.pole.pole import Pole
from polewright.pole.settle import without_play
from polewright.pole.state import State

__all__ = ["buckling_factor", "heavy_column_length", "push_limit", "self_buckling_factor", "sway_multiplier"]

# cube of the length over EI/w at which a clamped heavy column buckles: (3/2)^2 j^2, j first zero of J(-1/3)
HEAVY_COLUMN = 7.837347
_MOST = 1e12


def _sum(a: Loads, b: Loads, factor: float) -> Loads:
    """Loads a + factor b."""
    return Loads(*(x + factor * y for x, y in zip(a, b, strict=True)))


def _first_unstable(
    pole: Pole, state: State, constant: State | None, joint_model: JointModel | None, pieces: int
) -> float:
    """The least factor on the loads of `state`, besides those of `constant`, at which the straight pole is unstable."""
    length = pole.tubes[-1].length + float(np.sum(state.drawn))
    stops = stops_of(state, length)
    mesh = without_play(lay_out(pole, state.drawn, stops=stops, pieces=pieces, joint_model=joint_model))
    pins, grow = pins_of(state, mesh), loads_of(state, mesh, float(stops[0]))
    rest = _sum(grow, grow, -1.0) if constant is None else loads_of(constant, mesh, float(stops[0]))
    straight = posture(mesh.h.size, pins.node.size, pins.root)

    def is_unstable(factor: float) -> bool:
        return bool(step(mesh, _sum(rest, grow, factor), pins, straight, 1e-300, False)[4] > 0)

    if is_unstable(0.0):
        return 0.0
    low, high = 0.0, 1e-6
    while not is_unstable(high):
        low, high = high, 4.0 * high
        if high > _MOST:
            return float("inf")
    while high - low > 1e-12 * high:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if is_unstable(middle) else (middle, high)
    return 0.5 * (low + high)


def buckling_factor(pole: Pole, state: State, *, joint_model: JointModel | None = None, pieces: int = 32) -> float:
    """By how much [-] all loads of a state may grow before the straight pole bends aside; inf if never.

    Below 1 the pole as it stands has already bent aside. For a leaning pole what acts along it counts.

    Source
    ------
    Module text.
    """
    return _first_unstable(pole, state, None, joint_model, pieces)


def self_buckling_factor(pole: Pole, state: State, *, joint_model: JointModel | None = None, pieces: int = 32) -> float:
    """The same [-] for weight alone: pole, head, hose; tip force and wind left out.

    Source
    ------
    Module text.
    """
    bare = replace(state, tip_force=np.zeros(2), following=False, wind=None)
    return _first_unstable(pole, bare, None, joint_model, pieces)


def push_limit(pole: Pole, state: State, *, joint_model: JointModel | None = None, pieces: int = 32) -> float:
    """[N] push at the tip along the pole, its direction fixed, under which the straight pole bends aside.

    On top of its weight in the state given; 0 if the weight alone is too much.

    Source
    ------
    Module text.
    """
    bare = replace(state, tip_force=np.zeros(2), following=False, wind=None)
    push = replace(bare, gravity=0.0, tip_force=np.array([-1.0, 0.0]))
    return _first_unstable(pole, push, bare, joint_model, pieces)


def heavy_column_length(bending: float, weight_per_length: float) -> float:
    """[m] length at which a uniform upright column, EI [N m2] and w [N/m], buckles under its own weight.

    (7.8373 EI / w)^(1/3)

    Source
    ------
    A. G. Greenhill, Determination of the greatest height consistent with stability that a vertical pole or mast can be
    made, Proc. Cambridge Phil. Soc. 4, 1881, 65-73.
    """
    for name, value in (("bending", bending), ("weight_per_length", weight_per_length)):
        if not (np.isfinite(value) and value > 0.0):
            raise DesignError(name, value, Message("want.above_zero"))
    return float((HEAVY_COLUMN * bending / weight_per_length) ** (1.0 / 3.0))


def sway_multiplier(factor: float) -> float:
    """How much more an upright pole sways than without its weight [-]: 1/(1 - 1/factor), by its self-buckling factor.

    Raises
    ------
    DesignError : a factor of 1 or less: the pole does not stand.

    Source
    ------
    S. P. Timoshenko, J. M. Gere, Theory of Elastic Stability, 2nd ed., 1961, ch. 1 (amplification near buckling); with
    factor = (Lcr/L)^3 for a uniform heavy column.
    """
    if not factor > 1.0:
        raise DesignError("factor", factor, Message("want.above_1_pole_does_not_stand"))
    return 1.0 / (1.0 - 1.0 / factor)
