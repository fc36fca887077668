"""Solid stiffness and thermal strain of plies in tube axes: along, around, through, and the three shears.

Component order everywhere: 0 along (or fibre), 1 around (or across), 2 through, 3 around-through (23),
4 along-through (13), 5 along-around (12); shear strains are engineering strains.
"""

import numpy as np

from polewright.arrays import FloatArray
from polewright.materials.ply import Elastic

__all__ = ["ply_strain", "ply_stress", "solid_heat", "solid_stiffness"]


def _normal_stiffness(elastic: Elastic) -> FloatArray:
    """Own-axes stiffness of the three normal strains, (..., 3, 3) [Pa]."""
    nu21 = elastic.nu12 * elastic.E2 / elastic.E1
    nu31 = elastic.nu13 * elastic.E3 / elastic.E1
    nu32 = elastic.nu23 * elastic.E3 / elastic.E2
    own = np.empty((*elastic.E1.shape, 3, 3))
    own[..., 0, 0] = (1.0 - elastic.nu23 * nu32) * elastic.E1
    own[..., 1, 1] = (1.0 - elastic.nu13 * nu31) * elastic.E2
    own[..., 2, 2] = (1.0 - elastic.nu12 * nu21) * elastic.E3
    own[..., 0, 1] = own[..., 1, 0] = (nu21 + nu31 * elastic.nu23) * elastic.E1
    own[..., 0, 2] = own[..., 2, 0] = (nu31 + nu21 * nu32) * elastic.E1
    own[..., 1, 2] = own[..., 2, 1] = (nu32 + elastic.nu12 * nu31) * elastic.E2
    return np.asarray(own / elastic.compliance_determinant[..., None, None])


def solid_stiffness(elastic: Elastic, angle: FloatArray) -> FloatArray:
    """Stiffness of each ply in tube axes, turned by `angle` [rad] from the axis toward the hoop, (..., 6, 6) [Pa].

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.24 (own axes); rotation of the stiffness tensor
    about the ply's normal.
    """
    own = _normal_stiffness(elastic)
    c, s = np.cos(angle), np.sin(angle)
    c2, s2, cs = c * c, s * s, c * s
    q11, q22, q12 = own[..., 0, 0], own[..., 1, 1], own[..., 0, 1]
    q13, q23, q66 = own[..., 0, 2], own[..., 1, 2], elastic.G12
    out = np.zeros((*np.broadcast_shapes(c.shape, elastic.E1.shape), 6, 6))
    mixed = q12 + 2.0 * q66
    out[..., 0, 0] = c2 * c2 * q11 + 2.0 * c2 * s2 * mixed + s2 * s2 * q22
    out[..., 1, 1] = s2 * s2 * q11 + 2.0 * c2 * s2 * mixed + c2 * c2 * q22
    out[..., 0, 1] = out[..., 1, 0] = c2 * s2 * (q11 + q22 - 4.0 * q66) + (c2 * c2 + s2 * s2) * q12
    out[..., 0, 2] = out[..., 2, 0] = c2 * q13 + s2 * q23
    out[..., 1, 2] = out[..., 2, 1] = s2 * q13 + c2 * q23
    out[..., 2, 2] = own[..., 2, 2]
    out[..., 0, 5] = out[..., 5, 0] = cs * (c2 * (q11 - mixed) + s2 * (mixed - q22))
    out[..., 1, 5] = out[..., 5, 1] = cs * (s2 * (q11 - mixed) + c2 * (mixed - q22))
    out[..., 2, 5] = out[..., 5, 2] = cs * (q13 - q23)
    out[..., 5, 5] = c2 * s2 * (q11 + q22 - 2.0 * q12) + (c2 - s2) ** 2 * q66
    out[..., 3, 3] = c2 * elastic.G23 + s2 * elastic.G13
    out[..., 4, 4] = s2 * elastic.G23 + c2 * elastic.G13
    out[..., 3, 4] = out[..., 4, 3] = cs * (elastic.G13 - elastic.G23)
    return out


def solid_heat(elastic: Elastic, angle: FloatArray) -> FloatArray:
    """Free thermal strain of each ply in tube axes per kelvin, (..., 6) [1/K]; angle (...,) [rad].

    Source
    ------
    Rotation of the strain tensor diag(alpha1, alpha2, alpha3) about the ply's normal.
    """
    c, s = np.cos(angle), np.sin(angle)
    out = np.zeros((*np.broadcast_shapes(c.shape, elastic.alpha1.shape), 6))
    out[..., 0] = c * c * elastic.alpha1 + s * s * elastic.alpha2
    out[..., 1] = s * s * elastic.alpha1 + c * c * elastic.alpha2
    out[..., 2] = elastic.alpha3
    out[..., 5] = 2.0 * c * s * (elastic.alpha1 - elastic.alpha2)
    return out


def ply_stress(stress: FloatArray, angle: FloatArray) -> FloatArray:
    """Stress (..., 6) [Pa] in tube axes seen in ply axes 1, 2, 3, 23, 13, 12; angle (...,) [rad].

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.75, with the two shears through the ply.
    """
    return _turned(stress, angle, 1.0)


def ply_strain(strain: FloatArray, angle: FloatArray) -> FloatArray:
    """Strain (..., 6) in tube axes seen in ply axes 1, 2, 3, 23, 13, 12, engineering shears; angle (...,) [rad].

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.75 with half the engineering shears.
    """
    return _turned(strain, angle, 2.0)


def _turned(six: FloatArray, angle: FloatArray, shear: float) -> FloatArray:
    """A symmetric tensor turned by `angle`; `shear` is 2 where the shears are engineering strains."""
    c, s = np.cos(angle), np.sin(angle)
    along, around, twist = six[..., 0], six[..., 1], six[..., 5] / shear
    out = np.empty(np.broadcast_shapes(six.shape, (*c.shape, 6)))
    out[..., 0] = c * c * along + s * s * around + 2.0 * c * s * twist
    out[..., 1] = s * s * along + c * c * around - 2.0 * c * s * twist
    out[..., 2] = six[..., 2]
    out[..., 3] = c * six[..., 3] - s * six[..., 4]
    out[..., 4] = s * six[..., 3] + c * six[..., 4]
    out[..., 5] = shear * (c * s * (around - along) + (c * c - s * s) * twist)
    return out
