"""One cured ply: its constants in its own axes, its strength, and what it is made of.

Axes: 1 along the fibre (warp of a weave), 2 across it in the ply, 3 through the ply.
"""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.errors import DesignError

__all__ = ["Elastic", "Ply", "Strength"]

_HUGE = 1e60    # beyond it, and below its inverse, fourth powers leave the range of a float


@dataclass(frozen=True, slots=True, eq=False)
class Elastic:
    """Orthotropic constants of one ply, or of many: every field has the same broadcast shape.

    Young's and shear moduli in [Pa], Poisson's ratios [-], thermal expansions [1/K], density [kg/m3].
    """

    E1: FloatArray
    E2: FloatArray
    E3: FloatArray
    G12: FloatArray
    G13: FloatArray
    G23: FloatArray
    nu12: FloatArray
    nu13: FloatArray
    nu23: FloatArray
    alpha1: FloatArray
    alpha2: FloatArray
    alpha3: FloatArray
    density: FloatArray

    def __post_init__(self) -> None:
        names = [f.name for f in fields(self)]
        wide = np.broadcast_arrays(*(np.asarray(getattr(self, n), dtype=np.float64) for n in names))
        for name, array in zip(names, wide, strict=True):
            object.__setattr__(self, name, array)
        freeze(self, names)
        self._refuse_impossible()

    def _refuse_impossible(self) -> None:
        for f in fields(self):
            if not np.all(np.isfinite(getattr(self, f.name))):
                raise DesignError(f.name, "not a number", "a finite number")
        for name in ("E1", "E2", "E3", "G12", "G13", "G23", "density"):
            if np.any(getattr(self, name) <= 0.0):
                raise DesignError(name, float(np.min(getattr(self, name))), "a number above zero")
        for name, stiff, soft in (("nu12", self.E1, self.E2), ("nu13", self.E1, self.E3), ("nu23", self.E2, self.E3)):
            ratio = getattr(self, name)
            if np.any(ratio**2 >= stiff / soft):
                raise DesignError(name, float(ratio.flat[np.argmax(ratio**2 * soft / stiff)]),
                                  "below the square root of the ratio of the two moduli")
        if np.any(self.compliance_determinant <= 0.0):
            raise DesignError("nu12, nu13, nu23", "together impossible",
                              "Poisson's ratios that store positive energy in every strain")

    @property
    def compliance_determinant(self) -> FloatArray:
        """[-] 1 - nu12 nu21 - nu23 nu32 - nu13 nu31 - 2 nu21 nu32 nu13; positive for any real material.

        Source
        ------
        R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.49.
        """
        nu21, nu31, nu32 = (self.nu12 * self.E2 / self.E1, self.nu13 * self.E3 / self.E1, self.nu23 * self.E3 / self.E2)
        return np.asarray(1.0 - self.nu12 * nu21 - self.nu23 * nu32 - self.nu13 * nu31
                          - 2.0 * nu21 * nu32 * self.nu13)

    @classmethod
    def unidirectional(cls, *, E1: ArrayLike, E2: ArrayLike, G12: ArrayLike, nu12: ArrayLike, nu23: ArrayLike = 0.45,
                       alpha1: ArrayLike = 0.0, alpha2: ArrayLike = 0.0, density: ArrayLike = 1500.0) -> "Elastic":
        """A ply that is alike in every direction across its fibre: E3 = E2, G13 = G12, G23 = E2/(2(1 + nu23)).

        Units as the class: [Pa], [-], [1/K], [kg/m3]; any broadcastable shapes.
        """
        E2, nu23 = np.asarray(E2, float), np.asarray(nu23, float)
        if np.any(nu23 <= -1.0):
            raise DesignError("nu23", float(np.min(nu23)), "a number above -1")
        return cls(E1=np.asarray(E1, float), E2=E2, E3=E2, G12=np.asarray(G12, float), G13=np.asarray(G12, float),
                   G23=E2 / (2.0 * (1.0 + nu23)), nu12=np.asarray(nu12, float), nu13=np.asarray(nu12, float),
                   nu23=nu23, alpha1=np.asarray(alpha1, float), alpha2=np.asarray(alpha2, float),
                   alpha3=np.asarray(alpha2, float), density=np.asarray(density, float))

    @classmethod
    def isotropic(cls, *, E: float, nu: float, alpha: float = 0.0, density: float = 1500.0) -> "Elastic":
        """The same in every direction, as a metal: E [Pa], nu [-], alpha [1/K], density [kg/m3]."""
        return cls.unidirectional(E1=E, E2=E, G12=E / (2.0 * (1.0 + nu)), nu12=nu, nu23=nu, alpha1=alpha,
                                  alpha2=alpha, density=density)


@dataclass(frozen=True, slots=True, eq=False)
class Strength:
    """Strength of one ply, or of many, as positive numbers in [Pa]; each field the same broadcast shape.

    Xt, Xc along the fibre in tension and push; Yt, Yc across it; S in-plane shear.
    """

    Xt: FloatArray
    Xc: FloatArray
    Yt: FloatArray
    Yc: FloatArray
    S: FloatArray

    def __post_init__(self) -> None:
        names = [f.name for f in fields(self)]
        wide = np.broadcast_arrays(*(np.asarray(getattr(self, n), dtype=np.float64) for n in names))
        for name, array in zip(names, wide, strict=True):
            if not np.all(np.isfinite(array) & (array > 0.0)):
                raise DesignError(name, "not above zero", "a finite strength above zero")
            if np.any((array < 1.0 / _HUGE) | (array > _HUGE)):
                furthest = float(array.flat[np.argmax(np.abs(np.log(array)))])
                raise DesignError(name, furthest, "a strength that a ply can have")
            object.__setattr__(self, name, array)
        freeze(self, names)

    def scaled(self, *, Xt: float, Xc: float, Yt: float, Yc: float, S: float) -> "Strength":
        """The same strengths, each times its own factor [-], as for design values."""
        return Strength(Xt=self.Xt * Xt, Xc=self.Xc * Xc, Yt=self.Yt * Yt, Yc=self.Yc * Yc, S=self.S * S)


@dataclass(frozen=True, slots=True, eq=False)
class Ply:
    """One cured ply as the workshop buys it; the constants of `elastic` and `strength` are single numbers.

    thickness [m] cured; area_mass [kg/m2] of the prepreg; price [currency/m2];
    `family` is the fibre family ("carbon", "glass", "aramid", ...); `strength` are lab means, `design` the
    knocked-down values to design with; either may be unknown (None).
    """

    name: str
    thickness: float
    elastic: Elastic
    area_mass: float
    family: str = "carbon"
    is_woven: bool = False
    is_conductive: bool = True
    price: float = 0.0
    strength: Strength | None = None
    design: Strength | None = None

    def __post_init__(self) -> None:
        for name in ("thickness", "area_mass"):
            value = getattr(self, name)
            if not (np.isfinite(value) and value > 0.0):
                raise DesignError(f"{self.name}.{name}", value, "a number above zero")
        if not (np.isfinite(self.price) and self.price >= 0.0):
            raise DesignError(f"{self.name}.price", self.price, "zero or more")
