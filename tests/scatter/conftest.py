"""Small poles to scatter, and a problem whose answers are known in closed form."""

import numpy as np
import pytest

from polewright.materials.ply import Elastic, Ply
from polewright.pole import Bench, Joint
from polewright.scatter import Build, Content, Nest, Problem, Reach, Rolled, Spreads
from polewright.wall.stack import Stack, StackPly


def carbon(name: str = "SM150", thickness: float = 0.1476e-3) -> Ply:
    """Axial carbon of the workshop notes' reference pole."""
    return Ply(
        name,
        thickness,
        Elastic.unidirectional(E1=132.7e9, E2=7.61e9, G12=3.44e9, nu12=0.264, density=1540.0),
        area_mass=0.2273,
    )


def hoop() -> Ply:
    return Ply(
        "TH55",
        0.0585e-3,
        Elastic.unidirectional(E1=122.9e9, E2=7.14e9, G12=3.13e9, nu12=0.271, density=1516.0),
        area_mass=0.0887,
    )


def stack(axial: int) -> Stack:
    return Stack((StackPly(hoop(), np.pi / 2), StackPly(carbon(), 0.0, axial), StackPly(hoop(), np.pi / 2)))


BORES = (23.00e-3, 24.81e-3, 26.93e-3, 29.04e-3, 31.15e-3)


def reference_build(sections: int = 5) -> Build:
    """Reedlight 7 of the workshop notes, or its thin end."""
    rolled = tuple(Rolled(stack(4 if i == 0 else 5), 1.650, np.full(2, BORES[i])) for i in range(sections))
    joint = Joint(overlap=0.2, proud=0.035, stiffness=9000.0, clearance=0.4e-3, mass=0.045)
    return Build(
        rolled,
        (Nest(joint, closed=0.4e-3, drawn=0.4e-3),) * (sections - 1),
        tip_mass=0.06,
        contents={"SM150": Content(0.34, power=1.1), "TH55": Content(0.38, power=1.1)},
    )


def problem_with(spreads: Spreads, sections: int = 5, **reach: object) -> Problem:
    given = {"head": 0.0, "load": 0.5, "support": Bench(distance=1.0)} | reach
    return Problem(reference_build(sections), spreads, (Reach("all out", (1.0,) * (sections - 1), **given),))


@pytest.fixture(scope="session")
def reference() -> Build:
    return reference_build()
