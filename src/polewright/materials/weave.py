"""A weave as a balanced 0/90 pair of unidirectional plies of the same fibre share, with its crimp knock-down.

In the plane: lamination theory, times the crimp factor. Through the ply: the same two plies stacked ever finer, so that
in-plane strains and through-ply stresses are common to both.
"""

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, fit_each_other
from polewright.materials.ply import Elastic

__all__ = ["cross_ply_modulus", "woven"]


def woven(ud: Elastic, *, crimp: ArrayLike = 1.0) -> Elastic:
    """Constants of the balanced weave made of `ud`, one or a batch; `crimp` [-] scales E1 = E2.

    nu12 and the expansions are those of the pair; G12 is the unidirectional one (crimp does not touch it);
    1/G13 = 1/G23 = the mean of both plies' 1/G; E3, nu13 = nu23 from the stack. nu31 is kept when crimp lowers E1.

    Raises
    ------
    DesignError : crimp is not above 0 and at most 1.

    Source
    ------
    In-plane: R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, ch. 4 (cross-ply laminate). Through the ply:
    N. J. Pagano, Exact Moduli of Anisotropic Laminates, in Mechanics of Composite Materials (G. P. Sendeckyj, ed.),
    1974; C. T. Sun, S. Li, Three-Dimensional Effective Elastic Constants for Thick Laminates, J. Composite Materials
    22, 1988.
    """
    want = Message("want.factor_above_0_at_most_1")
    crimp = above_zero("crimp", crimp, want=want)
    if np.any(crimp > 1.0):
        raise DesignError("crimp", float(np.max(crimp)), want)
    fit_each_other(constants=ud.E1, crimp=crimp)
    stack = _stacked(_stiffness(ud))
    give = np.linalg.inv(stack)
    E, E3 = 1.0 / give[..., 0, 0], np.asarray(1.0 / give[..., 2, 2], float)
    nu12, nu13 = -give[..., 0, 1] * E, -give[..., 0, 2] * E
    G_through = 2.0 / (1.0 / ud.G13 + 1.0 / ud.G23)
    alpha, alpha3 = _expansion(ud)
    return Elastic(
        E1=crimp * E,
        E2=crimp * E,
        E3=E3,
        G12=ud.G12,
        G13=G_through,
        G23=G_through,
        nu12=nu12,
        nu13=crimp * nu13,
        nu23=crimp * nu13,
        alpha1=alpha,
        alpha2=alpha,
        alpha3=alpha3,
        density=ud.density,
    )


def cross_ply_modulus(ud: Elastic) -> FloatArray:
    """Ex [Pa] of the balanced 0/90 pair before crimp, A - Q12²/A with A = (Q11 + Q22)/2; same shape as the constants.

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, ch. 4.
    """
    Q11, Q22, Q12 = _reduced(ud)
    A = (Q11 + Q22) / 2.0
    return np.asarray(A - Q12**2 / A)


def _reduced(ud: Elastic) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Plane-stress stiffness Q11, Q22, Q12 [Pa]."""
    nu21 = ud.nu12 * ud.E2 / ud.E1
    room = 1.0 - ud.nu12 * nu21
    return np.asarray(ud.E1 / room), np.asarray(ud.E2 / room), np.asarray(nu21 * ud.E1 / room)


def _stiffness(ud: Elastic) -> FloatArray:
    """Stiffness of the three direct strains, (..., 3, 3) [Pa]."""
    give = np.empty((*ud.E1.shape, 3, 3))
    give[..., 0, 0], give[..., 1, 1], give[..., 2, 2] = 1.0 / ud.E1, 1.0 / ud.E2, 1.0 / ud.E3
    give[..., 0, 1] = give[..., 1, 0] = -ud.nu12 / ud.E1
    give[..., 0, 2] = give[..., 2, 0] = -ud.nu13 / ud.E1
    give[..., 1, 2] = give[..., 2, 1] = -ud.nu23 / ud.E2
    return np.asarray(np.linalg.inv(give))


def _stacked(C: FloatArray) -> FloatArray:
    """Direct stiffness of equal shares of the ply and the ply turned by 90 degrees, (..., 3, 3) [Pa]."""
    out = np.empty_like(C)
    reduced = C - C[..., :, 2:3] * C[..., 2:3, :] / C[..., 2:3, 2:3]
    C33, side = C[..., 2, 2], (C[..., 0, 2] + C[..., 1, 2]) / 2.0
    out[..., 0, 0] = out[..., 1, 1] = (reduced[..., 0, 0] + reduced[..., 1, 1]) / 2.0 + side**2 / C33
    out[..., 0, 1] = out[..., 1, 0] = reduced[..., 0, 1] + side**2 / C33
    out[..., 0, 2] = out[..., 1, 2] = out[..., 2, 0] = out[..., 2, 1] = side
    out[..., 2, 2] = C33
    return out


def _expansion(ud: Elastic) -> tuple[FloatArray, FloatArray]:
    """(in-plane, through the ply) [1/K]: the two plies hold each other in the plane and are free through it."""
    Q11, Q22, Q12 = _reduced(ud)
    alpha = (ud.alpha1 * (Q11 + Q12) + ud.alpha2 * (Q22 + Q12)) / (Q11 + Q22 + 2.0 * Q12)
    along = Q11 * (alpha - ud.alpha1) + Q12 * (alpha - ud.alpha2)
    across = Q12 * (alpha - ud.alpha1) + Q22 * (alpha - ud.alpha2)
    return np.asarray(alpha), np.asarray(ud.alpha3 - ud.nu13 / ud.E1 * along - ud.nu23 / ud.E2 * across)
