"""The tangent of the bent line solved: nodes eliminated toward the anchor, then what lies inside each element."""

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled_inside

__all__ = ["inside_turns", "sweep"]


@compiled_inside
def sweep(diag: FloatArray, off: FloatArray, rhs: FloatArray, anchor: int) -> tuple[FloatArray, int]:
    """Eliminate the nodes from both ends towards the anchor, in place.

    Parameters
    ----------
    diag, off : (n + 1,), (n,) [N m/rad] node equations.
    rhs : (n + 1, columns) [N m].

    Returns
    -------
    x (n + 1, columns + 1) [rad], the answer of each node to the negative of each right-hand side with the anchor held,
    and last to a unit turn of the anchor; and the number of unstable pivots.
    """
    n, cols, negative = off.size, rhs.shape[1], 0
    for k in range(n, anchor, -1):
        negative += diag[k] < 0.0
        f = off[k - 1] / diag[k]
        diag[k - 1] -= f * off[k - 1]
        for c in range(cols):
            rhs[k - 1, c] -= f * rhs[k, c]
    for k in range(anchor):
        negative += diag[k] < 0.0
        f = off[k] / diag[k]
        diag[k + 1] -= f * off[k]
        for c in range(cols):
            rhs[k + 1, c] -= f * rhs[k, c]
    x = np.zeros((n + 1, cols + 1))
    x[anchor, cols] = 1.0
    for k in range(anchor + 1, n + 1):
        for c in range(cols + 1):
            x[k, c] = -((rhs[k, c] if c < cols else 0.0) + off[k - 1] * x[k - 1, c]) / diag[k]
    for k in range(anchor - 1, -1, -1):
        for c in range(cols + 1):
            x[k, c] = -((rhs[k, c] if c < cols else 0.0) + off[k] * x[k + 1, c]) / diag[k]
    return x, negative


@compiled_inside
def inside_turns(x: FloatArray, inner: FloatArray, own: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Joint moments [N m], starts and middles [rad], (n, cols) each, with the turns x (n + 1, cols) [rad] of the nodes.

    Parameters
    ----------
    inner, own : (n, 6), (n, 2, cols - 1) what `tangent` kept of each element.
    """
    n, cols = inner.shape[0], x.shape[1]
    mom, start, mid = np.zeros((n, cols)), np.zeros((n, cols)), np.zeros((n, cols))
    for e in range(n):
        pivot, kam, kmb = inner[e, 0], inner[e, 1], inner[e, 2]
        A, B, give = inner[e, 3], inner[e, 4], inner[e, 5]
        for c in range(cols):
            gm, ga = (own[e, 0, c], own[e, 1, c]) if c < cols - 1 else (0.0, 0.0)
            mom[e, c] = -(ga + A * x[e, c] + B * x[e + 1, c]) / (1.0 + A * give)
            start[e, c] = x[e, c] + give * mom[e, c]
            mid[e, c] = -(gm + kam * start[e, c] + kmb * x[e + 1, c]) / pivot
    return mom, start, mid
