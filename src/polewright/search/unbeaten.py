"""Rows of three figures that no other row equals or beats."""

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.compiled import compiled

__all__ = ["best_rows"]

IntArray = NDArray[np.int64]


@compiled
def _above(gain: FloatArray, order: IntArray, rank: IntArray, counts: NDArray[np.bool_]) -> IntArray:
    """Rows, in the order given, whose gain is above that of every earlier one that counts and is of no greater rank."""
    tree = np.full(rank.size + 1, -np.inf)
    kept, many = np.empty(order.size, np.int64), 0
    for p in range(order.size):
        row = order[p]
        best, at = -np.inf, rank[row] + 1
        while at > 0:
            best = max(best, tree[at])
            at -= at & -at
        if best >= gain[row]:
            continue
        kept[many] = row
        many += 1
        at = rank[row] + 1
        while counts[row] and at <= rank.size:
            tree[at] = max(tree[at], gain[row])
            at += at & -at
    return kept[:many]


def best_rows(
    gain: FloatArray, mass: FloatArray, cost: FloatArray, counts: NDArray[np.bool_] | None = None
) -> IntArray:
    """Rows that no other row equals or beats in all three, the first of equals; sorted by mass, cost, falling gain.

    gain, mass, cost : (n,) [N m2] or [N], [kg/m], [currency/m], or any others of which more, less and less is better.
    counts : (n,) rows that may beat others, if not all do.
    """
    gain = np.ascontiguousarray(gain)
    order = np.lexsort((-gain, cost, mass))
    _, rank = np.unique(cost, return_inverse=True)
    every = np.ones(gain.size, np.bool_) if counts is None else counts
    return np.asarray(_above(gain, order, rank, every), np.int64)
