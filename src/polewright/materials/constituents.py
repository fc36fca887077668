"""Fibre and resin as the micromechanics sees them: their constants alone, one set or many."""

from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.entries import Fibre, Resin
from polewright.materials.numbers import above_zero, fit_each_other, keep_numbers

__all__ = ["FibreConstants", "ResinConstants"]

# Transverse Poisson's ratio of a carbon, aramid or plant fibre itself, hardly ever measured: between 0.1 and 0.4 it
# moves E2 of a ply by 1 % and alpha2 by 2 %, but G23 by up to 8 %.
ASSUMED_NU23 = 0.25


def _checked(value: Any, above: tuple[str, ...]) -> None:
    for name in above:
        above_zero(name, getattr(value, name))
    keep_numbers(value, [f.name for f in fields(value)])
    fit_each_other(**{f.name: getattr(value, f.name) for f in fields(value)})


def _shape(value: Any) -> tuple[int, ...]:
    return np.broadcast_shapes(*(getattr(value, f.name).shape for f in fields(value)))


@dataclass(frozen=True, slots=True, eq=False)
class FibreConstants:
    """A transversely isotropic fibre, one or a batch (any broadcastable shapes).

    E1, E2, G12 [Pa]; nu12, nu23 [-] of the fibre itself; alpha1, alpha2 [1/K]; density [kg/m3].
    """

    E1: FloatArray
    E2: FloatArray
    G12: FloatArray
    nu12: FloatArray
    nu23: FloatArray
    alpha1: FloatArray
    alpha2: FloatArray
    density: FloatArray

    def __post_init__(self) -> None:
        _checked(self, ("E1", "E2", "G12", "density"))
        if np.any(np.abs(self.nu23) >= 1.0):
            raise DesignError("fibre nu23", float(np.max(np.abs(self.nu23))), Message("want.between_1_1"))
        if np.any(self._room <= 0.0):
            raise DesignError("fibre nu12", float(np.max(np.abs(self.nu12))), Message("want.possible_fibre_ratios"))

    @property
    def shape(self) -> tuple[int, ...]:
        """Common shape of all constants."""
        return _shape(self)

    @property
    def _room(self) -> FloatArray:
        return np.asarray(1.0 - self.nu23 - 2.0 * self.nu12**2 * self.E2 / self.E1)

    @property
    def bulk(self) -> FloatArray:
        """[Pa] plane-strain bulk modulus K23 = E2 / (2 (1 - nu23 - 2 nu12² E2/E1)), same shape as the constants.

        Source
        ------
        Z. Hashin, Analysis of Properties of Fiber Composites With Anisotropic Constituents, J. Appl. Mech. 46, 1979:
        constants of transversely isotropic bodies.
        """
        return np.asarray(self.E2 / (2.0 * self._room))

    @property
    def G23(self) -> FloatArray:
        """[Pa] E2 / (2 (1 + nu23)), alike in every direction across the fibre."""
        return np.asarray(self.E2 / (2.0 * (1.0 + self.nu23)))

    @classmethod
    def of(cls, fibre: Fibre) -> "FibreConstants":
        """The constants of a fibre; unless stated, its own nu23 is nu12 for glass and mineral, assumed for the others.

        (The nu23 listed with a fibre is the one to give to its ply.)
        """
        nu23 = (
            fibre.own_nu23 if fibre.own_nu23 is not None else (fibre.nu12 if fibre.is_alike_all_round else ASSUMED_NU23)
        )
        wanted = (fibre.E1, fibre.E2, fibre.G12, fibre.nu12, nu23, fibre.alpha1, fibre.alpha2, fibre.density)
        return cls(*(np.asarray(v, float) for v in wanted))


@dataclass(frozen=True, slots=True, eq=False)
class ResinConstants:
    """An isotropic resin, one or a batch: E [Pa], nu [-], alpha [1/K], density [kg/m3]."""

    E: FloatArray
    nu: FloatArray
    alpha: FloatArray
    density: FloatArray

    def __post_init__(self) -> None:
        _checked(self, ("E", "density"))
        if np.any((self.nu <= -1.0) | (self.nu >= 0.5)):
            raise DesignError("resin nu", float(np.max(self.nu)), Message("want.above_1_below_0_5"))

    @property
    def shape(self) -> tuple[int, ...]:
        """Common shape of all constants."""
        return _shape(self)

    @property
    def G(self) -> FloatArray:
        """[Pa] shear modulus E / (2 (1 + nu)), same shape as the constants."""
        return np.asarray(self.E / (2.0 * (1.0 + self.nu)))

    @property
    def bulk(self) -> FloatArray:
        """[Pa] plane-strain bulk modulus E / (2 (1 + nu) (1 - 2 nu)), same shape as the constants."""
        return np.asarray(self.E / (2.0 * (1.0 + self.nu) * (1.0 - 2.0 * self.nu)))

    @classmethod
    def of(cls, resin: Resin) -> "ResinConstants":
        """The constants of a library resin."""
        return cls(*(np.asarray(v, float) for v in (resin.E, resin.nu, resin.alpha, resin.density)))
