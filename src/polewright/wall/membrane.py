"""Thin-wall tier: stiffness of a closed tube from the membrane stiffness of every layer at its own radius.

A closed tube cannot curl: the wall's own bending stiffness takes no part, and the compliance that counts is that of
the membrane with the hoop resultant free. The free plate's compliance (the inverse of A, B and D together) lets the
wall curl and reads EA about a fifth low on an unsymmetric wall.
"""

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import finite, one_of
from polewright.materials.ply import Elastic
from polewright.wall.stack import Wall

__all__ = [
    "BEAM_LOADS",
    "TubeStiffness",
    "Twist",
    "beam_stiffness",
    "free_plate_axial",
    "reduced_stiffness",
    "rotated_stiffness",
    "tube_flexibility",
    "tube_stiffness",
]

Twist = Literal["free", "held"]
BEAM_LOADS = ("axial force", "shear force x", "shear force y", "torque", "moment x", "moment y")


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
    angle = finite("angle", angle, want=Message("want.finite_angle"), most=1e12)
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
    turned = np.empty((*shear.shape, 3, 3))
    turned[..., 0, 0], turned[..., 1, 1], turned[..., 2, 2] = along, around, shear
    turned[..., 0, 1] = turned[..., 1, 0] = mixed
    turned[..., 0, 2] = turned[..., 2, 0] = along_shear
    turned[..., 1, 2] = turned[..., 2, 1] = around_shear
    return turned


def _weighted(layers: FloatArray, weight: FloatArray) -> FloatArray:
    total: FloatArray = np.einsum("...n,...nij->...ij", weight, layers)
    return total


def beam_stiffness(flexibility: FloatArray, *, twist: Twist = "free") -> TubeStiffness:
    """Stiffness as a beam of a tube of given flexibility (*case, 6, 6) in the order of `BEAM_LOADS`.

    `twist` says whether an off-axis wall may twist as it stretches, and stretch as it twists. Bending leaves the
    shear angle free and shear is taken where the moment is zero: an off-axis wall couples the two.

    Parameters
    ----------
    flexibility : [1/N] stretch, transverse shear; [1/(N m2)] twist, bending, of one metre; couplings [1/(N m)].

    Raises
    ------
    DesignError : not six by six, not finite, or a diagonal that is not above zero.
    """
    one_of("twist", twist, get_args(Twist))
    f = finite("flexibility", flexibility, want=Message("want.tube_s_own_6_6"), most=1e150)
    if f.ndim < 2 or f.shape[-2:] != (6, 6) or np.any(np.diagonal(f, axis1=-2, axis2=-1) <= 0.0):
        raise DesignError(
            "flexibility", Message("given.figures", shape=str(f.shape)), Message("want.tube_s_own_6_6_positive")
        )
    pair = f[..., 0, 0] * f[..., 3, 3] - f[..., 0, 3] ** 2
    free = twist == "free"
    return TubeStiffness(
        axial=1.0 / f[..., 0, 0] if free else f[..., 3, 3] / pair,
        bending=1.0 / f[..., 4, 4],
        twist=1.0 / f[..., 3, 3] if free else f[..., 0, 0] / pair,
        shear=1.0 / f[..., 1, 1],
        coupling=f[..., 0, 3] / f[..., 0, 0],
    )


def tube_flexibility(wall: Wall) -> FloatArray:
    """Flexibility of the tube as a beam by thin-wall lamination theory, (*case, 6, 6), every layer at its own radius.

    Strains of the beam (axial strain, shear angles, twist [1/m], curvatures [1/m]) from its loads in the order of
    `BEAM_LOADS`, SI units; a moment "x" puts the side x in tension. Each wall element stretches by e along, shears by
    the twist times r, and is free around; in bending it stretches by the curvature times r cos(clock), shears by the
    shear angle, and is free around. The energies of those strains, with the hoop strain condensed out, are inverted.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).

    Source
    ------
    Derived from membrane equilibrium of a closed tube: hoop resultant zero, shear flow V sin(clock) / (pi R). Limit of
    the exact layered cylinder as wall over radius goes to zero.
    """
    layers = rotated_stiffness(wall.elastic, wall.angle)
    inner, outer = wall.edges[..., :-1], wall.edges[..., 1:]
    first = np.pi * (outer**2 - inner**2)  # 2 pi r dr
    second = 2.0 * np.pi / 3.0 * (outer**3 - inner**3)  # 2 pi r^2 dr
    third = np.pi / 2.0 * (outer**4 - inner**4)  # 2 pi r^3 dr
    by_radius, by_square, by_cube = (_weighted(layers, w) for w in (first, second, third))
    stretch = _hoop_free(by_radius, by_square, by_cube, by_radius, by_square, by_radius)
    bend = _hoop_free(by_cube, by_square, by_radius, by_cube, by_square, by_cube) / 2.0
    ends, sides = np.linalg.inv(stretch), np.linalg.inv(bend)
    out = np.zeros((*wall.bore.shape, 6, 6))
    out[..., 0::3, 0::3] = ends
    for shear, moment, sign in ((1, 5, -1.0), (2, 4, 1.0)):
        out[..., moment, moment], out[..., shear, shear] = sides[..., 0, 0], sides[..., 1, 1]
        out[..., shear, moment] = out[..., moment, shear] = sign * sides[..., 0, 1]
    return out


def _hoop_free(
    along: FloatArray,
    cross: FloatArray,
    turn: FloatArray,
    along_hoop: FloatArray,
    turn_hoop: FloatArray,
    hoop: FloatArray,
) -> FloatArray:
    """(*case, 2, 2) stiffness of stretch and shear with the hoop strain free; each sum comes with its own weight."""
    out = np.empty((*along.shape[:-2], 2, 2))
    lean, skew = along_hoop[..., 0, 1], turn_hoop[..., 1, 2]
    out[..., 0, 0] = along[..., 0, 0] - lean**2 / hoop[..., 1, 1]
    out[..., 1, 1] = turn[..., 2, 2] - skew**2 / hoop[..., 1, 1]
    out[..., 0, 1] = out[..., 1, 0] = cross[..., 0, 2] - lean * skew / hoop[..., 1, 1]
    return out


def tube_stiffness(wall: Wall, *, twist: Twist = "free") -> TubeStiffness:
    """Stiffness of the tube as a beam, by thin-wall lamination theory with every layer at its own radius.

    EA = 2 pi sum(Q r dr), EI = pi sum(Q r^3 dr), GJ = 2 pi sum(Q66 r^3 dr), shear pi sum(Q66 r dr), about half the
    area's; each through the compliance of its sum with the hoop resultant free. `twist` says whether an off-axis wall
    may twist as it stretches (and stretch as it twists): free is a pole in the hand, held can double EA. Bending
    leaves the shear angle free and shear is taken where the moment is zero: an off-axis wall couples bending with
    transverse shear, not with twist. The shear stiffness is good to about 4 % for a thin balanced
    wall; a thick unbalanced one (wall over radius 0.07) can be 16 % off.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).

    Returns
    -------
    TubeStiffness, each field (*case,): EA [N], EI [N m2], GJ [N m2], shear [N], coupling [1/m].

    Source
    ------
    As `tube_flexibility`.
    """
    return beam_stiffness(tube_flexibility(wall), twist=twist)


def free_plate_axial(wall: Wall) -> FloatArray:
    """EA [N], (*case,), as the wall's free-plate compliance would have it: for comparison, never for design.

    2 pi R / a11 of the inverse of A, B and D together, about the middle of the wall of radius R. It lets the wall curl
    as it stretches, which a closed tube cannot, so that an unsymmetric wall reads low.

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eqs. 4.22 to 4.24 for A, B and D.
    """
    layers = rotated_stiffness(wall.elastic, wall.angle)
    middle = (wall.bore + wall.total_thickness) / 2.0
    z = wall.edges - middle[..., None]
    a, b, d = (_weighted(layers, np.diff(z**k, axis=-1) / k) for k in (1, 2, 3))
    plate = np.concatenate([np.concatenate([a, b], axis=-1), np.concatenate([b, d], axis=-1)], axis=-2)
    scale = np.where(np.arange(6) < 3, 1.0, wall.total_thickness[..., None])
    # curvatures are taken times the wall, so that the inverse is well scaled
    scaled = plate / (scale[..., :, None] * scale[..., None, :])
    return np.asarray(2.0 * np.pi * middle / np.linalg.inv(scaled)[..., 0, 0])
