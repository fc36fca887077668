"""When a ply breaks by Hashin and Rotem: the fibre by its own stress alone, the resin by stress across it and shear."""

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.materials.ply import Strength
from polewright.wall.criteria import Mode, Reserve, linear_mode, modes_reserve

__all__ = ["hashin_rotem_reserve"]


def hashin_rotem_reserve(load: ArrayLike, strength: Strength, *, cure: ArrayLike = (0.0, 0.0, 0.0)) -> Reserve:
    """Load multiplier by the criterion of Hashin and Rotem, plane stress.

    fibre: s1/Xt = 1 or -s1/Xc = 1, no part of it by shear;
    matrix: (s2/Yt)^2 + (s12/S)^2 = 1 for s2 >= 0, (s2/Yc)^2 + (s12/S)^2 = 1 for s2 < 0.

    Parameters
    ----------
    load : (*case, 3) [Pa] in ply axes 11, 22, 12, or (*case, 6), of which those three are used.
    strength : [Pa] fields that broadcast against (*case,); lab means or design values, as the caller chooses.
    cure : [Pa] as `load`, constant.

    Returns
    -------
    Reserve, (*case,).

    Source
    ------
    Z. Hashin, A. Rotem, A fatigue failure criterion for fiber reinforced materials, J. Composite Materials 7, 1973,
    448-464, its static form.
    """
    modes = (
        ("fibre_tension", linear_mode(1.0 / strength.Xt, 0)),
        ("fibre_compression", linear_mode(-1.0 / strength.Xc, 0)),
        ("matrix_tension", _matrix(strength.Yt, strength.S, 1.0)),
        ("matrix_compression", _matrix(strength.Yc, strength.S, -1.0)),
    )
    return modes_reserve(load, strength, modes, cure=cure)


def _matrix(across: FloatArray, shear: FloatArray, sign: float) -> Mode:
    """The resin on one side: strengths (*case,) [Pa] across and in shear; sign 1.0 pulled, -1.0 pushed."""
    return Mode(
        square=lambda a, b: np.asarray(a[..., 1] * b[..., 1] / across**2 + a[..., 5] * b[..., 5] / shear**2),
        linear=lambda s: np.zeros(s.shape[:-1]),
        where=lambda s: np.asarray(sign * s[..., 1]),
    )
