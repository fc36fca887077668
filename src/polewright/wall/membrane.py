"""Thin-wall tier: stiffness of a closed tube from the membrane stiffness of every layer at its own radius.

A closed tube cannot curl: the wall's own bending stiffness takes no part, and the compliance that counts is that of
the membrane with the hoop resultant free. The free plate's compliance (the inverse of A, B and D together) lets the
wall curl and reads EA about a fifth low on an unsymmetric wall.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.materials.ply import Elastic
from polewright.wall.stack import Wall

__all__ = ["TubeStiffness", "reduced_stiffness", "rotated_stiffness", "tube_stiffness"]

Twist = Literal["free", "held"]


@dataclass(frozen=True, slots=True, eq=False)
class TubeStiffness:
    """Stiffness of a tube as a beam; every field is (*case,).

    axial: EA [N]; bending: EI [N m2]; twist: GJ [N m2]; shear: kappa G A [N]; axial and twist as `free` or `held`
    says of the other motion; coupling: extension-twist, twist per unit length from a unit axial strain [1/m].
    """

    axial: FloatArray
    bending: FloatArray
    twist: FloatArray
    shear: FloatArray
    coupling: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("axial", "bending", "twist", "shear", "coupling"))


def reduced_stiffness(elastic: Elastic) -> FloatArray:
    """Plane-stress stiffness of each ply in its own axes, (..., 3, 3) [Pa], order 11, 22, 12.

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.66.
    """
    nu21 = elastic.nu12 * elastic.E2 / elastic.E1
    scale = 1.0 / (1.0 - elastic.nu12 * nu21)
    stiffness = np.zeros(elastic.E1.shape + (3, 3))
    stiffness[..., 0, 0] = elastic.E1 * scale
    stiffness[..., 1, 1] = elastic.E2 * scale
    stiffness[..., 0, 1] = stiffness[..., 1, 0] = elastic.nu12 * elastic.E2 * scale
    stiffness[..., 2, 2] = elastic.G12
    return stiffness


def rotated_stiffness(elastic: Elastic, angle: FloatArray) -> FloatArray:
    """Plane-stress stiffness in tube axes, (..., 3, 3) [Pa], order along, around, shear; angle (...,) [rad].

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.85.
    """
    own = reduced_stiffness(elastic)
    q11, q22, q12, q66 = own[..., 0, 0], own[..., 1, 1], own[..., 0, 1], own[..., 2, 2]
    c, s = np.cos(angle), np.sin(angle)
    c2, s2, cs = c * c, s * s, c * s
    mixed = (q11 + q22 - 4.0 * q66) * s2 * c2 + q12 * (s2 * s2 + c2 * c2)
    along = q11 * c2 * c2 + 2.0 * (q12 + 2.0 * q66) * s2 * c2 + q22 * s2 * s2
    around = q11 * s2 * s2 + 2.0 * (q12 + 2.0 * q66) * s2 * c2 + q22 * c2 * c2
    shear = (q11 + q22 - 2.0 * q12 - 2.0 * q66) * s2 * c2 + q66 * (s2 * s2 + c2 * c2)
    along_shear = (q11 - q12 - 2.0 * q66) * cs * c2 + (q12 - q22 + 2.0 * q66) * cs * s2
    around_shear = (q11 - q12 - 2.0 * q66) * cs * s2 + (q12 - q22 + 2.0 * q66) * cs * c2
    rows = [along, mixed, along_shear, mixed, around, around_shear, along_shear, around_shear, shear]
    return np.stack(rows, axis=-1).reshape(shear.shape + (3, 3))


def _weighted(layers: FloatArray, weight: FloatArray) -> FloatArray:
    total: FloatArray = np.einsum("...n,...nij->...ij", weight, layers)
    return total


def tube_stiffness(wall: Wall, *, twist: Twist = "free") -> TubeStiffness:
    """Stiffness of the tube as a beam, by thin-wall lamination theory with every layer at its own radius.

    EA = 2 pi sum(Q r dr), EI = pi sum(Q r^3 dr), GJ = 2 pi sum(Q66 r^3 dr), each through the compliance of the
    3 x 3 sum with the hoop resultant free. `twist` says whether an off-axis wall may twist as it stretches (and
    stretch as it twists): free is a pole in the hand, held can double EA. Bending leaves the shear flow free: an
    off-axis wall couples bending with transverse shear, not with twist. Shear stiffness is pi sum(Q66 r dr), about
    half the area's.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).

    Returns
    -------
    TubeStiffness, each field (*case,).

    Source
    ------
    Derived from membrane equilibrium of a closed tube: hoop resultant zero, shear flow q = N_xs; energy of a unit
    curvature with axial strain kappa r cos(phi). Limit of the exact layered cylinder as wall over radius goes to zero.
    """
    layers = rotated_stiffness(wall.elastic, np.broadcast_to(wall.angle, wall.angle.shape))
    inner, outer = wall.edges[..., :-1], wall.edges[..., 1:]
    first = np.pi * (outer**2 - inner**2)                       # 2 pi r dr
    third = np.pi / 2.0 * (outer**4 - inner**4)                 # 2 pi r^3 dr
    second = 2.0 * np.pi / 3.0 * (outer**3 - inner**3)          # 2 pi r^2 dr
    stretch, bend, between = (_weighted(layers, w) for w in (first, third, second))
    # hoop resultant free: condense the hoop strain out of the axial-twist pair, each at its own radial weight
    hoop = stretch[..., 1, 1]
    axial = stretch[..., 0, 0] - stretch[..., 0, 1]**2 / hoop
    turning = bend[..., 2, 2] - between[..., 1, 2]**2 / hoop
    cross = between[..., 0, 2] - stretch[..., 0, 1] * between[..., 1, 2] / hoop
    free = twist == "free"
    bending = np.asarray(1.0 / np.linalg.inv(bend)[..., 0, 0] / 2.0, dtype=np.float64)
    return TubeStiffness(
        axial=axial - cross**2 / turning if free else axial, bending=bending,
        twist=turning - cross**2 / axial if free else turning,
        shear=(stretch[..., 2, 2] - stretch[..., 1, 2]**2 / hoop) / 2.0, coupling=-cross / turning)
