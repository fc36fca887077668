"""The pole in the hands: balance, carry moment, what each hand holds, and how heavy it feels to raise."""

from dataclasses import dataclass

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.pole.beam import Bent
from polewright.pole.elastica import WEIGHT
from polewright.pole.layout import GAUSS, lay_out
from polewright.pole.pole import Pole
from polewright.pole.state import State

__all__ = ["Grip", "Heft", "grip", "heft"]


@dataclass(frozen=True, slots=True)
class Heft:
    """Mass and where it lies, along the straight pole.

    mass [kg] ready to work, head, hose and what hangs from the head included; balance [m] from the butt; carry moment
    mass x balance [kg m]; inertia [kg m2] about the butt.
    """

    mass: float
    balance: float
    inertia: float

    @property
    def carry_moment(self) -> float:
        """[kg m] mass times the distance of the balance point from the butt."""
        return self.mass * self.balance

    def felt_mass(self, rear: float, front: float) -> float:
        """[kg] mass that the front hand feels when it starts to raise the pole about the rear hand.

        Moment of inertia about the rear hand over the square of the distance between the hands.

        Source
        ------
        Balance of moments about the rear hand, a = (angular acceleration) x distance.
        """
        if not front > rear:
            raise DesignError("front", front, Message("want.further_from_butt_than_rear_hand", rear=rear))
        about = self.inertia - self.mass * self.balance**2 + self.mass * (self.balance - rear) ** 2
        return about / (front - rear) ** 2


def heft(pole: Pole, state: State) -> Heft:
    """Mass, balance and inertia of a pole in a state.

    Source
    ------
    Sums over tubes, clamps, fittings, hose and head; Gauss quadrature of tapered tubes.
    """
    mesh = lay_out(pole, state.drawn)
    at = mesh.node[:-1, None] + GAUSS * mesh.h[:, None]
    part = WEIGHT * mesh.h[:, None] * (mesh.mu + state.hose)
    lump = mesh.lump.copy()
    lump[-1] += state.head_mass + state.hanging
    mass = float(part.sum() + lump.sum())
    if mass == 0.0:
        raise DesignError("mass", mass, Message("want.above_zero_pole_without_mass_has"))
    first = float((part * at).sum() + lump @ mesh.node)
    second = float((part * at**2).sum() + lump @ mesh.node**2 + (WEIGHT * mesh.h[:, None] * mesh.rot).sum())
    return Heft(mass, first / mass, second)


@dataclass(frozen=True, slots=True)
class Grip:
    """What the two places that hold the pole do to it.

    rear_across, front_across [N] square to the root axis, positive up for a level pole; along [N] taken by the rear
    hand, positive towards the tip; moment [N m] that the two hands hold together about the front hand, positive if it
    keeps the tip up; each hand's own turning moment is zero for a pole held by two hands (they do not twist), the whole
    moment for one built in at a single grip (`rear_moment`).
    """

    rear_across: float
    front_across: float
    along: float
    moment: float
    rear_moment: float


def grip(b: Bent) -> Grip:
    """Hand forces of a bent pole held at one or two places, from its reactions.

    Source
    ------
    Balance of forces and moments; two hands hold but do not turn the pole.
    """
    c, s = np.cos(b.state.lean), np.sin(b.state.lean)
    rear = b.reactions[0]
    across = float(rear.upright * c - rear.level * s)
    along = float(rear.level * c + rear.upright * s)
    if len(b.reactions) == 1:
        return Grip(across, 0.0, along, rear.moment, rear.moment)
    front = b.reactions[1]
    far = front.station - rear.station
    return Grip(across, float(front.upright * c - front.level * s), along, float(-across * far), 0.0)
