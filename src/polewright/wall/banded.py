"""Symmetric positive definite systems in band form, factored and solved in place by compiled loops."""

import math

from polewright.arrays import FloatArray
from polewright.compiled import compiled

__all__ = ["factor", "solve"]


@compiled
def factor(band: FloatArray) -> None:
    """Cholesky factor in place; band (n, width + 1), band[i, width - d] holds row i, column i - d."""
    size, width = band.shape[0], band.shape[1] - 1
    for i in range(size):
        first = max(0, i - width)
        for j in range(first, i + 1):
            total = band[i, width - i + j]
            for k in range(max(first, j - width), j):
                total -= band[i, width - i + k] * band[j, width - j + k]
            band[i, width - i + j] = math.sqrt(total) if i == j else total / band[j, width]


@compiled
def solve(band: FloatArray, right: FloatArray) -> None:
    """Solve for one right-hand side (n,) in place by the factored band (n, width + 1); units [any] are the caller's."""
    size, width = band.shape[0], band.shape[1] - 1
    for i in range(size):
        for k in range(max(0, i - width), i):
            right[i] -= band[i, width - i + k] * right[k]
        right[i] /= band[i, width]
    for i in range(size - 1, -1, -1):
        right[i] /= band[i, width]
        for k in range(max(0, i - width), i):
            right[k] -= band[i, width - i + k] * right[i]
