"""From fibre and resin to the constants of a unidirectional ply, by stated models.

Along the fibre: the rule of mixtures, or the cylinder assemblage's exact result. Across it and in shear:
`square_root` (the form of the shipped prepreg table), `halpin_tsai` (xi 2 across, 1 in shear) or `cylinders`
(composite cylinder assemblage; exact but for G23, which is the generalised self-consistent value).
All use the fibre's transverse constants, not its axial modulus. Voids thin the resin along the fibre and take part in
thickness and density; across the fibre they are left out.
"""

from collections.abc import Callable, Mapping
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.materials import cylinders
from polewright.materials.constituents import FibreConstants, ResinConstants
from polewright.materials.content import cured_density, refuse_unpackable
from polewright.materials.expansion import ExpansionModel, ply_expansion
from polewright.materials.frozen_map import FrozenMap
from polewright.materials.numbers import finite, fit_each_other, one_of
from polewright.materials.ply import Elastic

__all__ = ["Model", "axial_modulus", "halpin_tsai", "ply_elastic", "square_root"]

Model = Literal["square_root", "halpin_tsai", "cylinders"]


def axial_modulus(fibre: FibreConstants, resin: ResinConstants, vf: ArrayLike, void: ArrayLike = 0.0) -> FloatArray:
    """E1 [Pa] = Vf E1f + (1 - Vf - void) Em, the rule of mixtures; any broadcastable shapes.

    Source
    ------
    W. Voigt's mixture bound; R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 3.7.
    """
    vf = np.asarray(vf, float)
    return np.asarray(vf * fibre.E1 + (1.0 - vf - np.asarray(void, float)) * resin.E)


def square_root(of_resin: ArrayLike, of_fibre: ArrayLike, vf: ArrayLike) -> FloatArray:
    """P [Pa] = Pm / (1 - sqrt(Vf) (1 - Pm/Pf)) for a transverse or shear modulus; any broadcastable shapes.

    Lies above the rule of mixtures, which no real ply does, where sqrt(Vf) < 1/(Pf/Pm - 1): by some 3 % across aramid
    and the stiffest carbons, whose transverse modulus is at most twice the resin's.

    Source
    ------
    C. C. Chamis, Simplified Composite Micromechanics Equations for Hygral, Thermal, and Mechanical Properties,
    NASA TM-83320, 1983.
    """
    pm, pf = np.asarray(of_resin, float), np.asarray(of_fibre, float)
    return np.asarray(pm / (1.0 - np.sqrt(vf) * (1.0 - pm / pf)))


def halpin_tsai(of_resin: ArrayLike, of_fibre: ArrayLike, vf: ArrayLike, *, xi: float) -> FloatArray:
    """P [Pa] = Pm (1 + xi eta Vf) / (1 - eta Vf), eta = (Pf/Pm - 1)/(Pf/Pm + xi); any broadcastable shapes.

    xi is 2 for the modulus across round fibres and 1 for axial shear (where it is the cylinder assemblage's result).

    Source
    ------
    J. C. Halpin, J. L. Kardos, The Halpin-Tsai Equations: A Review, Polymer Engineering and Science 16, 1976.
    """
    pm, ratio, vf = (
        np.asarray(of_resin, float),
        np.asarray(of_fibre, float) / np.asarray(of_resin, float),
        np.asarray(vf, float),
    )
    eta = (ratio - 1.0) / (ratio + xi)
    return np.asarray(pm * (1.0 + xi * eta * vf) / (1.0 - eta * vf))


def ply_elastic(
    fibre: FibreConstants,
    resin: ResinConstants,
    vf: ArrayLike,
    *,
    void: ArrayLike = 0.0,
    nu23: ArrayLike | None = None,
    model: Model = "square_root",
    expansion: ExpansionModel | None = None,
) -> Elastic:
    """Constants of a unidirectional ply of fibre share vf and void share void [-]; any broadcastable shapes.

    nu23 [-] as measured for the ply sets G23 = E2/(2(1 + nu23)); None takes it from the model's E2 and the plane-strain
    bulk modulus of the cylinder assemblage. `expansion` None pairs square_root with itself and the others with the
    exact cylinders. With a fibre that is the resin the ply is the resin, in every model (but for the square-root
    expansion across the fibre, which then reads some percent high).

    Raises
    ------
    DesignError : shares that cannot be packed, an unknown model, constants that no material can have.

    Source
    ------
    The functions of `MODELS` and `ply_expansion`, each with its own; G23 from isotropy across the fibre.
    """
    refuse_unpackable(vf, void)
    vf, void = np.asarray(vf, float), np.asarray(void, float)
    fit_each_other(fibre=fibre.shape, resin=resin.shape, fibre_share=vf, void_share=void)
    one_of("model", model, MODELS)
    c = MODELS[model](fibre, resin, vf, void)
    nu23 = c.nu23 if nu23 is None else finite("nu23", nu23)
    fit_each_other(nu23=nu23, ply=c.E1)
    alpha1, alpha2 = ply_expansion(
        fibre, resin, vf, void=void, model=expansion or ("square_root" if model == "square_root" else "cylinders")
    )
    return Elastic.unidirectional(
        E1=c.E1,
        E2=c.E2,
        G12=c.G12,
        nu12=c.nu12,
        nu23=nu23,
        alpha1=alpha1,
        alpha2=alpha2,
        density=cured_density(vf, fibre_density=fibre.density, resin_density=resin.density, void=void),
    )


class _Constants(NamedTuple):
    """E1, E2, G12 [Pa], nu12, nu23 [-] of the ply, any broadcastable shapes."""

    E1: FloatArray
    E2: FloatArray
    G12: FloatArray
    nu12: FloatArray
    nu23: FloatArray


def _mixed_poisson(fibre: FibreConstants, resin: ResinConstants, vf: FloatArray) -> FloatArray:
    return np.asarray(vf * fibre.nu12 + (1.0 - vf) * resin.nu)


def _closed(
    fibre: FibreConstants, resin: ResinConstants, vf: FloatArray, void: FloatArray, E2: FloatArray, G12: FloatArray
) -> _Constants:
    """Rule of mixtures along the fibre; nu23 that makes E2 agree with the plane-strain bulk modulus."""
    E1, nu12 = axial_modulus(fibre, resin, vf, void), _mixed_poisson(fibre, resin, vf)
    K = cylinders.bulk(fibre, resin, vf)
    nu23 = 1.0 - E2 / (2.0 * K) - 2.0 * nu12**2 * E2 / E1
    return _Constants(E1, E2, G12, nu12, np.asarray(nu23))


def _by_square_root(fibre: FibreConstants, resin: ResinConstants, vf: FloatArray, void: FloatArray) -> _Constants:
    return _closed(fibre, resin, vf, void, square_root(resin.E, fibre.E2, vf), square_root(resin.G, fibre.G12, vf))


def _by_halpin_tsai(fibre: FibreConstants, resin: ResinConstants, vf: FloatArray, void: FloatArray) -> _Constants:
    return _closed(
        fibre, resin, vf, void, halpin_tsai(resin.E, fibre.E2, vf, xi=2.0), halpin_tsai(resin.G, fibre.G12, vf, xi=1.0)
    )


def _by_cylinders(fibre: FibreConstants, resin: ResinConstants, vf: FloatArray, void: FloatArray) -> _Constants:
    """The assemblage as solid, then thinned along the fibre by the voids' share of the resin."""
    E1 = cylinders.axial_modulus(fibre, resin, vf)
    nu12, K = cylinders.axial_poisson(fibre, resin, vf), cylinders.bulk(fibre, resin, vf)
    G23 = cylinders.transverse_shear(fibre, resin, vf)
    m = 1.0 + 4.0 * K * nu12**2 / E1
    E2, nu23 = 4.0 * K * G23 / (K + m * G23), (K - m * G23) / (K + m * G23)
    return _Constants(
        np.asarray(E1 - void * resin.E), np.asarray(E2), cylinders.axial_shear(fibre, resin, vf), nu12, np.asarray(nu23)
    )


MODELS: Mapping[str, Callable[[FibreConstants, ResinConstants, FloatArray, FloatArray], _Constants]] = FrozenMap(
    {"square_root": _by_square_root, "halpin_tsai": _by_halpin_tsai, "cylinders": _by_cylinders}
)
