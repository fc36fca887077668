"""Waves of a layered shell as compiled loops: how soft the wall is to each wave, and how bending joins neighbours.

Source
------
J. L. Sanders, Nonlinear theories for thin shells, Quarterly of Applied Mathematics 21, 1963; rotations freed.
"""

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside

__all__ = ["joined_waves", "softness"]

_ORDER = (0, 3, 4, 1, 2)  # u and the two rotations first, which are eliminated; v and w stay


@compiled_inside
def _strain(strain: FloatArray, a: float, b: float, curve: float) -> None:
    """Strains (8, 5) of unit waves of u, v, w and two rotations, into `strain`.

    a, b [1/m] wave numbers along and around; curve [1/m] of the mid-wall. Only entries that change are written.
    """
    strain[0, 0] = strain[2, 1] = strain[3, 3] = strain[5, 4] = strain[6, 2] = a
    strain[1, 1] = strain[2, 0] = strain[4, 4] = strain[5, 3] = strain[7, 2] = b
    strain[1, 2] = strain[7, 1] = curve
    strain[5, 0], strain[5, 1] = -b * curve / 2.0, a * curve / 2.0
    strain[6, 3] = strain[7, 4] = -1.0


@compiled_inside
def _softness_at(
    strain: FloatArray, force: FloatArray, energy: FloatArray, stiffness: FloatArray, out: FloatArray
) -> None:
    """Give of the wall to v and w (2, 2) [m2/N] into `out`; force (8, 5) and energy (5, 5) are written over.

    The inverse of the energy's Schur complement: u and the rotations find their own balance.
    """
    for i in range(8):
        for j in range(5):
            force[i, j] = 0.0
            for k in range(8):
                force[i, j] += stiffness[i, k] * strain[k, j]
    for i in range(5):
        for j in range(5):
            energy[i, j] = 0.0
            for k in range(8):
                energy[i, j] += strain[k, _ORDER[i]] * force[k, _ORDER[j]]
    for k in range(3):
        for i in range(k + 1, 5):
            f = energy[i, k] / energy[k, k]
            for j in range(k + 1, 5):
                energy[i, j] -= f * energy[k, j]
    cross = 0.5 * (energy[3, 4] + energy[4, 3])
    whole = energy[3, 3] * energy[4, 4] - cross * cross
    out[0, 0], out[1, 1] = energy[4, 4] / whole, energy[3, 3] / whole
    out[0, 1] = out[1, 0] = -cross / whole


@compiled
def softness(stiffness: FloatArray, radius: float, along: FloatArray, waves: FloatArray) -> FloatArray:
    """Give of the wall at unit line loads across it, (n_along, n_waves, 2, 2) [m2/N], order v, w.

    Travelling waves exp(i(a x + n phi)) of u, v, w and two rotations; first-order shear, curvature by Sanders. All but
    w are taken a quarter of a wave behind it, which leaves every term real, whatever the plies.

    Parameters
    ----------
    stiffness : (8, 8) membrane [N/m], bending [N m], shear through the wall [N/m].
    radius : [m] mid-wall.
    along : (n_along,) [1/m] axial wave numbers.
    waves : (n_waves,) [-] whole waves around the circumference.

    Source
    ------
    Module text.
    """
    out = np.empty((along.size, waves.size, 2, 2))
    strain, force, energy = np.zeros((8, 5)), np.empty((8, 5)), np.empty((5, 5))
    for i in range(along.size):
        for j in range(waves.size):
            _strain(strain, along[i], waves[j] / radius, 1.0 / radius)
            _softness_at(strain, force, energy, stiffness, out[i, j])
    return out


@compiled_inside
def _roots(soft: FloatArray) -> FloatArray:
    """Lower triangular roots of symmetric matrices (n_along, n_waves, 2, 2); not a number where there is none."""
    root = np.zeros_like(soft)
    for i in range(soft.shape[0]):
        for j in range(soft.shape[1]):
            root[i, j, 0, 0] = np.sqrt(soft[i, j, 0, 0])
            root[i, j, 1, 0] = soft[i, j, 1, 0] / root[i, j, 0, 0]
            root[i, j, 1, 1] = np.sqrt(soft[i, j, 1, 1] - root[i, j, 1, 0] ** 2)
    return root


@compiled
def joined_waves(
    stiffness: FloatArray, radius: float, along: FloatArray, waves: FloatArray, balanced: bool
) -> tuple[FloatArray, FloatArray]:
    """Waves joined by a push that varies as the cosine around the circumference.

    Every wave meets its two neighbours alone, so that the 1st, 3rd, 5th ... wave (the rows) meet the 2nd, 4th ... (the
    columns) and never each other: a table of half the size tells the whole.

    Parameters
    ----------
    stiffness, radius, along : as `softness`.
    waves : (n_waves,) [-] neighbours around the circumference, rising by one.
    balanced : whether wave n and wave -n move alike, so that `waves` runs from 0.

    Returns
    -------
    (n_along, n, m) [m2/N] matrices whose largest singular value is 1/(line force x along^2), and the roots
    (n_along, n_waves, 2, 2) that turn its vectors into v and w.

    Source
    ------
    Module text; the cosine couples wave n with n - 1 and n + 1 by a half each.
    """
    root, count = _roots(softness(stiffness, radius, along, waves)), waves.size
    joined = np.zeros((along.size, 2 * ((count + 1) // 2), 2 * (count // 2)))
    for i in range(along.size):
        for j in range(count - 1):
            for p in range(2):
                for q in range(2):
                    pair = 0.0
                    for k in range(2):
                        # wave 0 meets the even pair of waves 1 and -1, in w alone
                        share = 0.5 if j > 0 or not balanced else (0.0 if k == 0 else np.sqrt(0.5))
                        pair += root[i, j, k, p] * share * root[i, j + 1, k, q]
                    if j % 2 == 0:
                        joined[i, j + p, j + q] = pair
                    else:
                        joined[i, j + 1 + q, j - 1 + p] = pair
    return joined, root
