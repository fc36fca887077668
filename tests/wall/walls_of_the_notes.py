"""Plies and walls of the workshop notes' reference pole, and isotropic tubes, for the tests of what happens round."""

import numpy as np

from polewright.materials.ply import Elastic, Ply, Strength
from polewright.wall.stack import Stack, StackPly, Wall

HOOP = np.pi / 2.0


def _ud(name, thickness, density, E1, E2, G12, nu12, alpha1, alpha2, area):
    elastic = Elastic.unidirectional(
        E1=E1 * 1e9,
        E2=E2 * 1e9,
        G12=G12 * 1e9,
        nu12=nu12,
        alpha1=alpha1 * 1e-6,
        alpha2=alpha2 * 1e-6,
        density=density * 1e3,
    )
    return Ply(name, thickness * 1e-3, elastic, area_mass=area * 1e-3)


SM150 = _ud("SM150", 0.1476, 1.540, 132.7, 7.61, 3.44, 0.264, 0.13, 41.6, 227.3)
TH55 = _ud("TH55", 0.0585, 1.516, 122.9, 7.14, 3.13, 0.271, 0.24, 44.5, 88.7)

BORE = 0.02693
S3 = Stack((StackPly(TH55, HOOP), StackPly(SM150, 0.0, 5), StackPly(TH55, HOOP)))
BURIED = Stack(
    (StackPly(SM150, 0.0, 2), StackPly(TH55, HOOP, 2), StackPly(SM150, 0.0, 3))
)  # both hoops between axial plies
AXIAL = Stack((StackPly(SM150, 0.0, 6),))
LEAN = Stack((StackPly(SM150, np.pi / 4, 1), StackPly(TH55, 0.3, 1), StackPly(SM150, 0.0, 2)))  # unbalanced

CARBON_STRENGTH = {"Xt": 1880e6, "Xc": 900e6, "Yt": 40e6, "Yc": 160e6, "S": 75e6}


def strength_of(wall, **changed):
    values = {**CARBON_STRENGTH, **changed}
    return Strength(**{name: np.full(wall.angle.shape[-1], value) for name, value in values.items()})


def isotropic(radius, thickness, *, E=70e9, nu=0.3, layers=1):
    """A metal tube of mid-wall radius and thickness [m]."""
    return Wall(
        bore=np.asarray(2.0 * radius - thickness),
        angle=np.zeros(layers),
        thickness=np.full(layers, thickness / layers),
        elastic=Elastic.isotropic(E=E, nu=nu),
    )
