"""How the pole swings about the shape it hangs in: frequencies, shapes, settling, and whether strokes wake it.

Small swings about the balance with its true tangent (the weight's own stiffening or softening included), masses at
their true places: tubes, clamps, fittings, head, hose. Each round takes a movement, lets its inertia act as loads on
the bent pole, and finds the movement those loads would hold: the eigenvalues of that flexibility are 1/omega^2.

Source
------
Lanczos' method on the flexibility, with the kinetic energy as inner product: B. N. Parlett, The Symmetric Eigenvalue
Problem, SIAM, 1998, ch. 13 and 15.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.comfort import STROKES
from polewright.errors import DesignError, NotConverged
from polewright.pole.beam import Bent
from polewright.pole.elastica import WEIGHT, Pins
from polewright.pole.lanczos import lanczos

__all__ = ["Modes", "is_near_strokes", "modes", "settling_time"]

Head = Literal["free", "pinned", "sliding"]
_ROUNDS = 14


@dataclass(frozen=True, slots=True, eq=False)
class Modes:
    """Lowest swings of a pole about its balance.

    frequency (n_mode,) [Hz], rising; station (n,) [m]; x, z (n_mode, n) movement of each station level and up [m],
    scaled so that the largest is 1 m.
    """

    frequency: FloatArray
    station: FloatArray
    x: FloatArray
    z: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("frequency", "station", "x", "z"))


def _held(b: Bent, head: Head) -> Pins:
    """The supports of the state, without drag, and the head on the glass besides if told so."""
    p = b.pins._replace(d=np.where(b.pins.kind[:, None] == 0, b.pins.c, b.pins.d))
    if head == "free":
        return p
    c, s = np.cos(b.state.lean), np.sin(b.state.lean)
    way = np.array([-s, c]) if head == "pinned" else np.array([1.0, 0.0])
    return p._replace(
        node=np.append(p.node, b.station.size - 1),
        kind=np.append(p.kind, 0),
        d=np.vstack([p.d, way]),
        c=np.vstack([p.c, way]),
        at=np.append(p.at, 0.0),
    )


def _weights(b: Bent) -> FloatArray:
    """(size,) mass behind each number of a movement: [kg] at Gauss points and nodes, rotary inertia [kg m2]."""
    width = WEIGHT * b.mesh.h[:, None]
    nodes = b.mesh.lump.copy()
    nodes[-1] += b.state.head_mass + b.state.hanging
    inside, turn = width * (b.mesh.mu + b.state.hose), width * b.mesh.rot
    return np.concatenate([np.repeat(inside.ravel(), 2), np.repeat(nodes, 2), turn.ravel()])


def _start(b: Bent) -> FloatArray:
    """A movement that wakes every mode: across the axis, growing along the pole."""
    c, s = np.cos(b.state.lean), np.sin(b.state.lean)
    far = (b.station - b.station[0]) / (b.station[-1] - b.station[0])
    n = far.size - 1
    flat = np.zeros(11 * n + 2)
    flat[: 6 * n].reshape(n, 3, 2)[:] = (0.5 * (far[:-1] + far[1:]))[:, None, None] ** 2 * (-s + 0.1 * c, c + 0.1 * s)
    flat[6 * n : 8 * n + 2].reshape(n + 1, 2)[:] = far[:, None] * (-s, c)
    return flat


def modes(b: Bent, *, count: int = 3, head: Head = "free") -> Modes:
    """The lowest frequencies and shapes of a pole about its balance.

    Parameters
    ----------
    count : how many, 1 to 8.
    head : "free"; "pinned", come to rest on the glass and not slipping: held across the root axis; "sliding", held
        square to an upright glass and free along it.

    Raises
    ------
    DesignError : small-deflection shape given, no mass. NotConverged : the balance is not stable.

    Source
    ------
    Module text.
    """
    if b.small:
        raise DesignError("shape", Message("given.small_deflections"), Message("want.one_found_with_true_rotations_by"))
    if not 1 <= count <= 8:
        raise DesignError("count", count, Message("want.n_1_8"))
    weight = _weights(b)
    if not np.any(weight > 0.0):
        raise DesignError("mass", 0.0, Message("want.above_zero_somewhere_what_weighs_nothing"))
    basis, ritz = _lanczos(b, _held(b, head), weight, max(_ROUNDS, 3 * count), alone=count == 1)
    value, vector = np.linalg.eigh(ritz)
    order = np.argsort(-np.abs(value))[:count]
    if np.any(value[order] < 0.0):
        raise NotConverged("modes", Message("given.balance_that_not_stable"), Message("want.state_which_pole_rests"))
    keep = [k for k in order if value[k] > 1e-12 * np.max(np.abs(value))]
    n = b.station.size - 1
    shape = (vector[:, keep].T @ basis)[:, 6 * n : 6 * n + 2 * n + 2].reshape(len(keep), n + 1, 2)
    shape /= np.max(np.linalg.norm(shape, axis=2), axis=1)[:, None, None]
    return Modes(1.0 / (2.0 * np.pi * np.sqrt(value[keep])), b.station, shape[:, :, 0], shape[:, :, 1])


def _lanczos(b: Bent, pins: Pins, weight: FloatArray, rounds: int, *, alone: bool) -> tuple[FloatArray, FloatArray]:
    """As `lanczos`, for a pole in balance; refused where the supports hold it twice over."""
    force = (b.inside.fx, b.inside.fz)
    basis, ritz, finite = lanczos(b.mesh, pins, b.posture, force, b.loads.follow, weight, _start(b), rounds, alone)
    if not finite:
        raise NotConverged("modes", Message("given.held_twice_over"), Message("want.head_that_not_held_where_wall"))
    return basis, ritz


def settling_time(frequency: float, *, damping: float, left: float = 0.05) -> float:
    """[s] until a swing has died down to the part `left` of its first size.

    ln(1/left) / (2 pi f z), damping ratio z well below one.

    Source
    ------
    Free decay of a lightly damped oscillator: S. P. Timoshenko, Vibration Problems in Engineering, 2nd ed., 1937, ch.
    I.
    """
    for name, value in (("frequency", frequency), ("damping", damping)):
        if not (np.isfinite(value) and value > 0.0):
            raise DesignError(name, value, Message("want.above_zero"))
    if not 0.0 < left < 1.0:
        raise DesignError("left", left, Message("want.between_0_1"))
    return float(np.log(1.0 / left) / (2.0 * np.pi * frequency * damping))


def is_near_strokes(frequency: float, *, strokes: tuple[float, float] = STROKES) -> bool:
    """Whether a swing [Hz] lies among the rates at which a brush is worked [Hz]: then every stroke feeds it."""
    return strokes[0] <= frequency <= strokes[1]
