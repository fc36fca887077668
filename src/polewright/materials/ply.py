"""One cured ply: its constants in its own axes, its strength, and what it is made of.

Axes: 1 along the fibre (warp of a weave), 2 across it in the ply, 3 through the ply.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, frozen_array
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, finite, fit_each_other, from_zero

__all__ = ["Elastic", "Ply", "Strength"]

_MODULI = ("E1", "E2", "E3", "G12", "G13", "G23", "density")


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
        _keep_alike(self, _MODULI)
        self._refuse_impossible()

    def _refuse_impossible(self) -> None:
        for name, stiff, soft in (("nu12", self.E1, self.E2), ("nu13", self.E1, self.E3), ("nu23", self.E2, self.E3)):
            ratio = getattr(self, name)
            if np.any(ratio**2 >= stiff / soft):
                raise DesignError(
                    name,
                    float(ratio.flat[np.argmax(ratio**2 * soft / stiff)]),
                    Message("want.below_root_of_moduli_ratio"),
                )
        if np.any(self.compliance_determinant <= 0.0):
            raise DesignError(
                "nu12, nu13, nu23", Message("given.together_impossible"), Message("want.positive_strain_energy")
            )

    @property
    def compliance_determinant(self) -> FloatArray:
        """[-] 1 - nu12 nu21 - nu23 nu32 - nu13 nu31 - 2 nu21 nu32 nu13; positive for any real material.

        Source
        ------
        R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.49.
        """
        nu21, nu31, nu32 = (self.nu12 * self.E2 / self.E1, self.nu13 * self.E3 / self.E1, self.nu23 * self.E3 / self.E2)
        return np.asarray(1.0 - self.nu12 * nu21 - self.nu23 * nu32 - self.nu13 * nu31 - 2.0 * nu21 * nu32 * self.nu13)

    @classmethod
    def unidirectional(
        cls,
        *,
        E1: ArrayLike,
        E2: ArrayLike,
        G12: ArrayLike,
        nu12: ArrayLike,
        nu23: ArrayLike = 0.45,
        alpha1: ArrayLike = 0.0,
        alpha2: ArrayLike = 0.0,
        density: ArrayLike = 1500.0,
    ) -> "Elastic":
        """A ply that is alike in every direction across its fibre: E3 = E2, G13 = G12, G23 = E2/(2(1 + nu23)).

        Units as the class: [Pa], [-], [1/K], [kg/m3]; any broadcastable shapes.

        Source
        ------
        Isotropy across the fibre: the shear modulus of an isotropic solid, in that plane alone.
        """
        E2, nu23, G12, nu12 = above_zero("E2", E2), finite("nu23", nu23), above_zero("G12", G12), finite("nu12", nu12)
        if np.any(nu23 <= -1.0):
            raise DesignError("nu23", float(np.min(nu23)), Message("want.number_above_1"))
        fit_each_other(E2=E2, nu23=nu23)
        return cls(
            E1=above_zero("E1", E1),
            E2=E2,
            E3=E2,
            G12=G12,
            G13=G12,
            G23=E2 / (2.0 * (1.0 + nu23)),
            nu12=nu12,
            nu13=nu12,
            nu23=nu23,
            alpha1=finite("alpha1", alpha1),
            alpha2=finite("alpha2", alpha2),
            alpha3=finite("alpha2", alpha2),
            density=above_zero("density", density),
        )

    @classmethod
    def isotropic(
        cls, *, E: ArrayLike, nu: ArrayLike, alpha: ArrayLike = 0.0, density: ArrayLike = 1500.0
    ) -> "Elastic":
        """The same in every direction, as a metal: E [Pa], nu [-], alpha [1/K], density [kg/m3].

        Any broadcastable shapes.
        """
        E, nu = above_zero("E", E), finite("nu", nu)
        if np.any((nu <= -1.0) | (nu >= 0.5)):
            raise DesignError("nu", float(nu.flat[np.argmax(np.abs(nu - 0.25))]), Message("want.above_1_below_0_5"))
        fit_each_other(E=E, nu=nu)
        return cls.unidirectional(
            E1=E, E2=E, G12=E / (2.0 * (1.0 + nu)), nu12=nu, nu23=nu, alpha1=alpha, alpha2=alpha, density=density
        )


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
        _keep_alike(self, [f.name for f in fields(self)], want=Message("want.finite_strength_above_zero"))

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
            above_zero(f"{self.name}.{name}", getattr(self, name), most=1e30)
        from_zero(f"{self.name}.price", self.price)


def _keep_alike(value: Elastic | Strength, above: Sequence[str], *, want: Message | None = None) -> None:
    """Every field as a read-only array of one common shape, those of `above` above zero.

    Raises
    ------
    DesignError : a field that is no number or not above zero, or fields of shapes that do not fit.
    """
    names = [f.name for f in fields(value)]
    given = ((n, getattr(value, n)) for n in names)
    wanted = want or Message("want.number_above_zero")
    arrays = [above_zero(n, v, want=wanted) if n in above else finite(n, v) for n, v in given]
    if any(array.shape != arrays[0].shape for array in arrays):
        fit_each_other(**dict(zip(names, arrays, strict=True)))
        arrays = list(np.broadcast_arrays(*arrays))
    for name, array in zip(names, arrays, strict=True):
        object.__setattr__(value, name, frozen_array(array))
