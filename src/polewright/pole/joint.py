"""What presses in a telescopic joint: the inner tube held by the outer one near both ends of their overlap."""

from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.pole.beam import Bent
from polewright.pole.layout import node_at

__all__ = ["Contact", "contact"]

ARM = 0.9


@dataclass(frozen=True, slots=True, eq=False)
class Contact:
    """Forces of the outer on the inner tube, across it, positive a quarter turn anticlockwise from the tip's way (up).

    front (n_joint,) [N] near the outer mouth, back (n_joint,) [N] near the inner butt; couple (n_joint,) [N] the plain
    M / (0.9 L) for the moment at the outer mouth; mouth_moment (n_joint,) [N m]. Joints numbered from the tip.
    """

    front: FloatArray
    back: FloatArray
    couple: FloatArray
    mouth_moment: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("front", "back", "couple", "mouth_moment"))


def _buried_weight(b: Bent, joint: int, start: int, end: int) -> float:
    """[N] across the pole of all that lies inside the outer tube between two nodes, hose left out."""
    tubes = b.pole.tubes[: joint + 1]
    at = 0.5 * (b.station[start:end] + b.station[start + 1 : end + 1])
    lengths = np.diff(b.station[start : end + 1])
    mass = np.zeros_like(at)
    for i, tube in enumerate(tubes):
        own = at - b.mesh.butt[i]
        there = (own >= 0.0) & (own <= tube.length)
        mass += np.where(there, np.interp(own, tube.station, tube.mass_per_length), 0.0)
    turn = 0.5 * (b.rotation[start:end, 1] + b.rotation[start + 1 : end + 1, 0])
    return float(b.state.gravity * np.sum(mass * lengths * np.cos(turn)))


def contact(b: Bent, *, arm: float = ARM) -> Contact:
    """Contact forces of every joint from the balance of the inner tube's buried part.

    It carries the moment M and the force Q at the outer mouth and its own weight W across, and is held at two places
    `arm` times the overlap L apart, as far from either end:

        back = (M + Q (1 - arm) L / 2) / (arm L) + W / 2,   front = W - Q - back

    Parameters
    ----------
    arm : [-] distance of the two contacts over the overlap; 0.9 by default, for pressure spread over a length at each
        end.

    Raises
    ------
    DesignError : a joint without overlap: two contacts there cannot hold a moment.

    Source
    ------
    Balance of forces and moments; M/(0.9 L) is the workshop's own rule for its couple.
    """
    if not 0.0 < arm <= 1.0:
        raise DesignError("arm", arm, Message("want.above_0_at_most_1"))
    joints = len(b.pole.joints)
    front, back, couple, moment = np.zeros(joints), np.zeros(joints), np.zeros(joints), np.zeros(joints)
    for j in range(joints):
        butt, mouth = b.mesh.butt[j], b.mesh.mouth[j + 1]
        overlap = mouth - butt
        if overlap < 1e-6:
            raise DesignError(f"joints[{j}].overlap", overlap, Message("want.above_zero_nothing_holds_joint_s"))
        start, end = node_at(b.station, butt), node_at(b.station, mouth)
        M, Q, W = b.moment[end, 1], b.across[end, 1], _buried_weight(b, j, start, end)
        moment[j], couple[j] = M, M / (arm * overlap)
        back[j] = (M + 0.5 * (1.0 - arm) * overlap * Q) / (arm * overlap) + 0.5 * W
        front[j] = W - Q - back[j]
    return Contact(front, back, couple, moment)
