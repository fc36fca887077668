"""Thermal expansion of a ply from its fibre and resin, by stated models.

`square_root` is the form of the shipped prepreg table; `schapery` the common closed form, which takes the resin's own
swelling for the whole and reads about a tenth high across the fibre; `cylinders` is the exact answer for the composite
cylinder assemblage, and the one to use where cure stress matters.
"""

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.materials.constituents import FibreConstants, ResinConstants
from polewright.materials.content import refuse_unpackable
from polewright.materials.numbers import fit_each_other, one_of

__all__ = ["ExpansionModel", "ply_expansion"]

ExpansionModel = Literal["square_root", "schapery", "cylinders"]


def ply_expansion(
    fibre: FibreConstants,
    resin: ResinConstants,
    vf: ArrayLike,
    *,
    void: ArrayLike = 0.0,
    model: ExpansionModel = "cylinders",
) -> tuple[FloatArray, FloatArray]:
    """Expansion along and across the fibre, (alpha1, alpha2) [1/K], of fibre share vf and void share void [-].

    Any broadcastable shapes. Raises DesignError for shares that cannot be packed or a model that is not known.
    """
    refuse_unpackable(vf, void)
    one_of("expansion model", model, get_args(ExpansionModel))
    vf, void = np.asarray(vf, float), np.asarray(void, float)
    fit_each_other(fibre=fibre.shape, resin=resin.shape, fibre_share=vf, void_share=void)
    if model == "square_root":
        return _axial(fibre, resin, vf, void), _across_square_root(fibre, resin, vf, void)
    if model == "schapery":
        alpha1 = _axial(fibre, resin, vf, void)
        return alpha1, _across_schapery(fibre, resin, vf, alpha1)
    return _cylinders(fibre, resin, vf)


def _axial(fibre: FibreConstants, resin: ResinConstants, vf: FloatArray, void: FloatArray) -> FloatArray:
    """alpha1 [1/K] = sum of V E alpha / sum of V E: fibre and resin pull each other to one length.

    Source
    ------
    R. A. Schapery, Thermal Expansion Coefficients of Composite Materials Based on Energy Principles,
    J. Composite Materials 2, 1968: the axial result for equal Poisson's ratios.
    """
    stiff_fibre, stiff_resin = vf * fibre.E1, (1.0 - vf - void) * resin.E
    return np.asarray((stiff_fibre * fibre.alpha1 + stiff_resin * resin.alpha) / (stiff_fibre + stiff_resin))


def _across_square_root(fibre: FibreConstants, resin: ResinConstants, vf: FloatArray, void: FloatArray) -> FloatArray:
    """alpha2 [1/K] = alpha2f sqrt(Vf) + (1 - sqrt(Vf)) (1 + Vf num E1f/E1) alpham.

    Source
    ------
    C. C. Chamis, Simplified Composite Micromechanics Equations for Hygral, Thermal, and Mechanical Properties,
    NASA TM-83320, 1983.
    """
    root = np.sqrt(vf)
    E1 = vf * fibre.E1 + (1.0 - vf - void) * resin.E
    return np.asarray(fibre.alpha2 * root + (1.0 - root) * (1.0 + vf * resin.nu * fibre.E1 / E1) * resin.alpha)


def _across_schapery(fibre: FibreConstants, resin: ResinConstants, vf: FloatArray, alpha1: FloatArray) -> FloatArray:
    """alpha2 [1/K] = (1 + nuf) alpha2f Vf + (1 + num) alpham Vm - nu12 alpha1, nu12 by mixtures.

    Printed for isotropic phases; for carbon and aramid the fibre's transverse expansion stands in, as is usual.

    Source
    ------
    R. A. Schapery, Thermal Expansion Coefficients of Composite Materials Based on Energy Principles,
    J. Composite Materials 2, 1968.
    """
    nu12 = vf * fibre.nu12 + (1.0 - vf) * resin.nu
    return np.asarray(
        vf * (1.0 + fibre.nu12) * fibre.alpha2 + (1.0 - vf) * (1.0 + resin.nu) * resin.alpha - nu12 * alpha1
    )


def _cylinders(fibre: FibreConstants, resin: ResinConstants, vf: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(alpha1, alpha2) [1/K], exact for the composite cylinder assemblage.

    A fibre in its own sleeve of resin, warmed by one kelvin, free at the skin and along: the pressure p between them
    follows from equal displacement there, the common axial strain from no net force. The same as Levin's relation
    between expansion and effective compliance, and regular also where fibre and resin are alike.

    Source
    ------
    V. M. Levin, On the Coefficients of Thermal Expansion of Heterogeneous Materials, Mechanics of Solids 2, 1967;
    B. W. Rosen, Z. Hashin, Effective Thermal Expansion Coefficients and Specific Heats of Composite Materials,
    Int. J. Engng Sci. 8, 1970.
    """
    vm = 1.0 - vf
    give = vm / fibre.bulk + vf / resin.bulk + 1.0 / resin.G
    apart = fibre.nu12 - resin.nu
    misfit = fibre.alpha2 + fibre.nu12 * fibre.alpha1 - (1.0 + resin.nu) * resin.alpha
    push = 4.0 * vf * vm * apart / give
    alpha1 = (vf * fibre.E1 * fibre.alpha1 + vm * resin.E * resin.alpha + push * misfit) / (
        vf * fibre.E1 + vm * resin.E + push * apart
    )
    pressure_vf_over_vm = 2.0 * vf * (misfit - apart * alpha1) / give
    alpha2 = (
        resin.alpha - resin.nu * (alpha1 - resin.alpha) + pressure_vf_over_vm * (1.0 / resin.bulk + 1.0 / resin.G) / 2.0
    )
    return np.asarray(alpha1), np.asarray(alpha2)
