"""The composite cylinder assemblage: every fibre in its own sleeve of resin, sleeves of all sizes filling the space.

Exact for axial modulus, axial Poisson's ratio, axial shear and plane-strain bulk modulus; for shear across the fibre
only bounds exist, and the generalised self-consistent model lies between them.
"""

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.materials.constituents import FibreConstants, ResinConstants

__all__ = [
    "axial_modulus",
    "axial_poisson",
    "axial_shear",
    "bulk",
    "bulk_bounds",
    "transverse_shear",
    "transverse_shear_bounds",
]


def _give(fibre: FibreConstants, resin: ResinConstants, vf: FloatArray) -> FloatArray:
    """[1/Pa] how far fibre and sleeve part under a unit misfit of their lateral strains."""
    return np.asarray((1.0 - vf) / fibre.bulk + vf / resin.bulk + 1.0 / resin.G)


def axial_modulus(fibre: FibreConstants, resin: ResinConstants, vf: ArrayLike) -> FloatArray:
    """E1 [Pa] = Vf Ef + Vm Em + 4 Vf Vm (nuf - num)² / (Vm/Kf + Vf/Km + 1/Gm); any broadcastable shapes.

    Source
    ------
    Z. Hashin, B. W. Rosen, The Elastic Moduli of Fiber-Reinforced Materials, J. Appl. Mech. 31, 1964; in this form
    R. Hill, Theory of Mechanical Properties of Fibre-Strengthened Materials: I, J. Mech. Phys. Solids 12, 1964.
    """
    vf = np.asarray(vf, float)
    apart = fibre.nu12 - resin.nu
    return np.asarray(vf * fibre.E1 + (1.0 - vf) * resin.E + 4.0 * vf * (1.0 - vf) * apart**2 / _give(fibre, resin, vf))


def axial_poisson(fibre: FibreConstants, resin: ResinConstants, vf: ArrayLike) -> FloatArray:
    """nu12 [-] = Vf nuf + Vm num + Vf Vm (nuf - num)(1/Km - 1/Kf) / (Vm/Kf + Vf/Km + 1/Gm).

    Any broadcastable shapes.

    Source
    ------
    R. Hill, Theory of Mechanical Properties of Fibre-Strengthened Materials: I, J. Mech. Phys. Solids 12, 1964.
    """
    vf = np.asarray(vf, float)
    apart, softer = fibre.nu12 - resin.nu, 1.0 / resin.bulk - 1.0 / fibre.bulk
    return np.asarray(
        vf * fibre.nu12 + (1.0 - vf) * resin.nu + vf * (1.0 - vf) * apart * softer / _give(fibre, resin, vf)
    )


def axial_shear(fibre: FibreConstants, resin: ResinConstants, vf: ArrayLike) -> FloatArray:
    """G12 [Pa] = Gm (Gf (1 + Vf) + Gm Vm) / (Gf Vm + Gm (1 + Vf)); any broadcastable shapes.

    Source
    ------
    Z. Hashin, B. W. Rosen, The Elastic Moduli of Fiber-Reinforced Materials, J. Appl. Mech. 31, 1964.
    """
    vf = np.asarray(vf, float)
    vm = 1.0 - vf
    return np.asarray(resin.G * (fibre.G12 * (1.0 + vf) + resin.G * vm) / (fibre.G12 * vm + resin.G * (1.0 + vf)))


def bulk(fibre: FibreConstants, resin: ResinConstants, vf: ArrayLike) -> FloatArray:
    """Plane-strain bulk modulus K23 [Pa] = Km + Vf (Kf - Km)(Km + Gm) / (Km + Gm + Vm (Kf - Km)).

    Any broadcastable shapes; equals Hill's lower bound where the fibre is the stiffer one.

    Source
    ------
    R. Hill, Theory of Mechanical Properties of Fibre-Strengthened Materials: I, J. Mech. Phys. Solids 12, 1964.
    """
    vf = np.asarray(vf, float)
    return _between(resin.bulk, fibre.bulk, vf, helper=resin.bulk + resin.G)


def bulk_bounds(fibre: FibreConstants, resin: ResinConstants, vf: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Lowest and highest K23 [Pa] any arrangement of parallel fibres can have; any broadcastable shapes.

    Source
    ------
    R. Hill, J. Mech. Phys. Solids 12, 1964; for anisotropic fibre Z. Hashin, J. Appl. Mech. 46, 1979.
    """
    vf = np.asarray(vf, float)
    one = _between(resin.bulk, fibre.bulk, vf, helper=resin.bulk + resin.G)
    other = _between(fibre.bulk, resin.bulk, 1.0 - vf, helper=fibre.bulk + fibre.G23)
    return np.minimum(one, other), np.maximum(one, other)


def transverse_shear_bounds(
    fibre: FibreConstants, resin: ResinConstants, vf: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Lowest and highest G23 [Pa] of parallel fibres placed without order; any broadcastable shapes.

    Holds where one of fibre and resin is the stiffer both in bulk and in shear across the fibre.

    Source
    ------
    Z. Hashin, On Elastic Behaviour of Fibre Reinforced Materials of Arbitrary Transverse Phase Geometry,
    J. Mech. Phys. Solids 13, 1965; for anisotropic fibre Z. Hashin, J. Appl. Mech. 46, 1979.
    """
    vf = np.asarray(vf, float)

    def helper(K: FloatArray, G: FloatArray) -> FloatArray:
        return np.asarray(2.0 * G * (K + G) / (K + 2.0 * G))

    one = _between(resin.G, fibre.G23, vf, helper=helper(resin.bulk, resin.G))
    other = _between(fibre.G23, resin.G, 1.0 - vf, helper=helper(fibre.bulk, fibre.G23))
    return np.minimum(one, other), np.maximum(one, other)


def transverse_shear(fibre: FibreConstants, resin: ResinConstants, vf: ArrayLike) -> FloatArray:
    """G23 [Pa] of the generalised self-consistent (three-phase) model: the positive root of A x² + 2 B x + C = 0.

    x = G23/Gm; eta = 3 - 4 nu of plane strain, written 1 + 2 G/K for a transversely isotropic fibre.
    Any broadcastable shapes.

    Source
    ------
    R. M. Christensen, K. H. Lo, Solutions for Effective Shear Properties in Three Phase Sphere and Cylinder Models,
    J. Mech. Phys. Solids 27, 1979, pp. 315-330 (erratum 34, 1986, p. 639).
    """
    c = np.asarray(vf, float)
    g = fibre.G23 / resin.G
    ef, em = 1.0 + 2.0 * fibre.G23 / fibre.bulk, 1.0 + 2.0 * resin.G / resin.bulk
    near = 3.0 * c * (1.0 - c) ** 2 * (g - 1.0) * (g + ef)
    far = g * em - ef
    thick, soft = g + ef + far * c**3, g * em + (g - 1.0) * c + 1.0
    A = near + (g * em + ef * em - far * c**3) * (c * em * (g - 1.0) - (g * em + 1.0))
    B = -near + 0.5 * soft * ((em - 1.0) * (g + ef) - 2.0 * far * c**3) + 0.5 * c * (em + 1.0) * (g - 1.0) * thick
    C = near + soft * thick
    return np.asarray(resin.G * (-B - np.sqrt(B**2 - A * C)) / A)


def _between(ground: FloatArray, inclusion: FloatArray, share: FloatArray, *, helper: FloatArray) -> FloatArray:
    """P [Pa] = P0 + c (P1 - P0) h / (h + (1 - c)(P1 - P0)), h the ground's own resistance to a lone inclusion."""
    more = inclusion - ground
    return np.asarray(ground + share * more * helper / (helper + (1.0 - share) * more))
