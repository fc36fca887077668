"""Thin-wall tier: how a tube's wall grows with heat, along, around and in twist."""

from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.wall.membrane import rotated_stiffness
from polewright.wall.stack import Wall

__all__ = ["Expansion", "free_expansion"]


@dataclass(frozen=True, slots=True, eq=False)
class Expansion:
    """Free thermal expansion of a wall, each (*case,): along and around [1/K], shear (twist) [1/K]."""

    along: FloatArray
    around: FloatArray
    shear: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("along", "around", "shear"))


def free_expansion(wall: Wall) -> Expansion:
    """Expansion of a free tube by membrane theory: strain = A^-1 sum(Q alpha t), every resultant zero.

    The wall is taken as one thickness at one radius, so bore and skin strain alike; the layered-cylinder solution
    tells them apart.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).

    Returns
    -------
    Expansion, each field (*case,) [1/K].

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eqs. 4.102 to 4.107, with the wall held flat.
    """
    stiffness = rotated_stiffness(wall.elastic, wall.angle)
    c, s = np.cos(wall.angle), np.sin(wall.angle)
    a1, a2 = wall.elastic.alpha1, wall.elastic.alpha2
    own = np.stack([a1 * c * c + a2 * s * s, a1 * s * s + a2 * c * c, 2.0 * (a1 - a2) * c * s], axis=-1)
    force = np.einsum("...nij,...nj,...n->...i", stiffness, own, wall.thickness)
    membrane = np.einsum("...nij,...n->...ij", stiffness, wall.thickness)
    strain = np.linalg.solve(membrane, force[..., None])[..., 0]
    return Expansion(along=strain[..., 0], around=strain[..., 1], shear=strain[..., 2])
