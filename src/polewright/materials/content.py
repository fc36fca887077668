"""How much fibre, resin and air: shares by volume and mass, cured thickness, density, and what bleeds away."""

import math

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, finite, fit_each_other, from_zero

__all__ = [
    "PACKING_LIMIT",
    "cured_density",
    "cured_thickness",
    "fibre_share_of_thickness",
    "fibre_volume_share",
    "lot_resin_share",
    "prepreg_area_mass",
    "refuse_unpackable",
    "resin_share_after_bleed",
    "resin_share_of",
]

# Parallel round fibres as close as they go: each in the middle of six.
PACKING_LIMIT = math.pi / (2.0 * math.sqrt(3.0))


def refuse_unpackable(vf: ArrayLike, void: ArrayLike = 0.0) -> None:
    """Refuse fibre and void shares [-] that cannot be, any broadcastable shapes.

    Raises
    ------
    DesignError : a share is negative or no number, fibre lies above the hexagonal packing limit 0.9069, or fibre and
        voids together leave no room.
    """
    vf, void = (
        from_zero(name, v, want=Message("want.share_of_volume"))
        for name, v in (("fibre share", vf), ("void share", void))
    )
    fit_each_other(fibre_share=vf, void_share=void)
    if np.any(vf > PACKING_LIMIT):
        raise DesignError(
            "fibre share", float(np.max(vf)), Message("want.at_most_hexagonal_packing", limit=PACKING_LIMIT)
        )
    if np.any(vf + void > 1.0):
        raise DesignError("void share", float(np.max(void)), Message("want.fibre_and_voids_at_most_1"))


def fibre_volume_share(
    resin_share: ArrayLike, *, fibre_density: ArrayLike, resin_density: ArrayLike, void: ArrayLike = 0.0
) -> FloatArray:
    """Fibre share of the cured volume [-] from the resin share of the mass [-]; any broadcastable shapes.

    Vf = (1 - void) (wf/rho_f) / (wf/rho_f + wr/rho_r), wf = 1 - wr; densities [kg/m3], void [-] by volume.

    Raises
    ------
    DesignError : a share outside 0 to 1, a density not above zero, or a fibre share above the packing limit.

    Source
    ------
    Conservation of mass and volume (ASTM D3171 gives the same relation).
    """
    wr, v = _share("resin share", resin_share), _share("void share", void)
    rho_f, rho_r = above_zero("fibre density", fibre_density), above_zero("resin density", resin_density)
    fit_each_other(resin_share=wr, void_share=v, fibre_density=rho_f, resin_density=rho_r)
    fibre, resin = (1.0 - wr) / rho_f, wr / rho_r
    vf = np.asarray((1.0 - v) * fibre / (fibre + resin))
    refuse_unpackable(vf, v)
    return vf


def resin_share_of(
    vf: ArrayLike, *, fibre_density: ArrayLike, resin_density: ArrayLike, void: ArrayLike = 0.0
) -> FloatArray:
    """Resin share of the mass [-] from the fibre share of the volume [-]: the way back; any broadcastable shapes.

    wr = Vm rho_r / (Vm rho_r + Vf rho_f), Vm = 1 - Vf - void; densities [kg/m3].

    Raises
    ------
    DesignError : shares that cannot be packed.

    Source
    ------
    Conservation of mass and volume.
    """
    refuse_unpackable(vf, void)
    vf, v = np.asarray(vf, float), np.asarray(void, float)
    if np.any(vf + (1.0 - vf - v) <= 0.0):
        raise DesignError("void share", 1.0, Message("want.less_than_whole_ply"))
    rho_f, rho_r = above_zero("fibre density", fibre_density), above_zero("resin density", resin_density)
    fit_each_other(fibre_share=vf, void_share=v, fibre_density=rho_f, resin_density=rho_r)
    resin = (1.0 - vf - v) * rho_r
    return np.asarray(resin / (resin + vf * rho_f))


def cured_thickness(fibre_area_mass: ArrayLike, *, vf: ArrayLike, fibre_density: ArrayLike) -> FloatArray:
    """Cured thickness [m] of a ply of fibre areal mass [kg/m2] at fibre share vf [-]; any broadcastable shapes.

    t = FAW / (rho_f Vf), density [kg/m3].

    Raises
    ------
    DesignError : areal mass or fibre share not above zero.

    Source
    ------
    Conservation of mass.
    """
    faw, vf = above_zero("fibre areal mass", fibre_area_mass), above_zero("fibre share", vf)
    refuse_unpackable(vf)
    rho_f = above_zero("fibre density", fibre_density)
    fit_each_other(fibre_areal_mass=faw, fibre_share=vf, fibre_density=rho_f)
    return np.asarray(faw / (rho_f * vf))


def fibre_share_of_thickness(
    thickness: ArrayLike, *, fibre_area_mass: ArrayLike, fibre_density: ArrayLike
) -> FloatArray:
    """Fibre share [-] of a ply measured at `thickness` [m]: FAW / (rho_f t), the way back; any broadcastable shapes.

    Raises
    ------
    DesignError : thickness not above zero, or thinner than its fibre can be packed.

    Source
    ------
    Conservation of mass.
    """
    t, faw = above_zero("thickness", thickness), above_zero("fibre areal mass", fibre_area_mass)
    rho_f = above_zero("fibre density", fibre_density)
    fit_each_other(thickness=t, fibre_areal_mass=faw, fibre_density=rho_f)
    vf = np.asarray(faw / (rho_f * t))
    refuse_unpackable(vf)
    return vf


def cured_density(
    vf: ArrayLike, *, fibre_density: ArrayLike, resin_density: ArrayLike, void: ArrayLike = 0.0
) -> FloatArray:
    """Density [kg/m3] of the cured ply, voids weighing nothing; shares [-], any broadcastable shapes."""
    refuse_unpackable(vf, void)
    vf, v = np.asarray(vf, float), np.asarray(void, float)
    rho_f, rho_r = above_zero("fibre density", fibre_density), above_zero("resin density", resin_density)
    fit_each_other(fibre_share=vf, void_share=v, fibre_density=rho_f, resin_density=rho_r)
    return np.asarray(vf * rho_f + (1.0 - vf - v) * rho_r)


def prepreg_area_mass(fibre_area_mass: ArrayLike, resin_share: ArrayLike) -> FloatArray:
    """Areal mass [kg/m2] of the prepreg, fibre and resin: FAW / (1 - wr); any broadcastable shapes."""
    wr, faw = _share("resin share", resin_share), above_zero("fibre areal mass", fibre_area_mass)
    fit_each_other(resin_share=wr, fibre_areal_mass=faw)
    return np.asarray(faw / (1.0 - wr))


def lot_resin_share(area_mass: ArrayLike, *, fibre_area_mass: ArrayLike) -> FloatArray:
    """Resin share [-] of a lot from the weighed areal mass [kg/m2] of a cut square, fibre areal mass as ordered.

    wr = 1 - FAW / total; any broadcastable shapes.

    Raises
    ------
    DesignError : the square weighs less than its fibre should.

    Source
    ------
    Conservation of mass.
    """
    total, faw = finite("areal mass", area_mass), above_zero("fibre areal mass", fibre_area_mass)
    fit_each_other(areal_mass=total, fibre_areal_mass=faw)
    if np.any(total < faw):
        raise DesignError("areal mass", float(np.min(total)), Message("want.at_least_fibre_area_mass"))
    return np.asarray(1.0 - faw / total)


def resin_share_after_bleed(resin_share: ArrayLike, bleed: ArrayLike) -> FloatArray:
    """Resin share [-] left when `bleed` [-] of the prepreg's mass runs off as resin; any broadcastable shapes.

    wr' = (wr - b) / (1 - b).

    Raises
    ------
    DesignError : more bleeds than there is resin.

    Source
    ------
    Conservation of mass.
    """
    want = Message("want.less_than_resin_there")
    wr, b = _share("resin share", resin_share), from_zero("bleed", bleed, want=want)
    fit_each_other(resin_share=wr, bleed=b)
    if np.any(b >= wr):
        raise DesignError("bleed", float(np.max(b)), want)
    return np.asarray((wr - b) / (1.0 - b))


def _share(name: str, value: ArrayLike) -> FloatArray:
    want = Message("want.share_from_0_below_1_36")
    share = from_zero(name, value, want=want)
    if np.any(share >= 1.0):
        raise DesignError(name, float(np.max(share)), want)
    return share
