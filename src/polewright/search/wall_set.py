"""Walls gathered from the chunks of a one-wall search, and the best of them."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.conventions.rounding import significant
from polewright.search.option_table import FIGURES, NAMES, IntArray, KeptWalls, Shelf
from polewright.search.options import Options
from polewright.search.unbeaten import best_rows

__all__ = ["Walls", "best_of", "no_walls", "walls_of"]

_IN_ONE, _BITS = 7, 9


class Walls(NamedTuple):
    """Walls as numbers of their options, -1 beyond the last ply, and their figures."""

    recipe: NDArray[np.int16]  # (n, most)
    size: IntArray  # (n,)
    figures: FloatArray  # (n, FIGURES)


def no_walls(most: int) -> Walls:
    """None yet, of at most so many plies."""
    return Walls(np.zeros((0, most), np.int16), np.zeros(0, np.int64), np.zeros((0, FIGURES)))


def walls_of(found: KeptWalls, shelf: Shelf, most: int) -> Walls:
    """The walls that a chunk found."""
    n = int(found.used[0])
    size, recipe = found.size[:n].copy(), found.recipe[:n, :most].astype(np.int64)
    own = np.arange(recipe.shape[1]) < size[:, None]
    numbers = np.full((n, most), -1, np.int16)
    numbers[:, : recipe.shape[1]] = np.where(own, shelf.number[np.where(own, recipe, 0)], -1)
    return Walls(numbers, size, found.figures[:n].copy())


def best_of(options: Options, some: list[Walls]) -> Walls:
    """The walls that no other equals or beats in the figures wanted, by rising mass; of equals that of fewest plies and
    lowest numbers.
    """
    recipe, size, figures = (np.concatenate(parts) for parts in zip(*some, strict=True))
    order = _by_number(recipe, size)
    keep = order[_unbeaten(options, figures[order])]
    return Walls(recipe[keep], size[keep], figures[keep])


def _by_number(recipe: NDArray[np.int16], size: IntArray) -> IntArray:
    """Places by number of plies, then by the numbers of the options from the bore outward."""
    words = []
    for first in range(0, recipe.shape[1], _IN_ONE):
        word = np.zeros(len(recipe), np.int64)
        for column in recipe[:, first : first + _IN_ONE].T:
            word = (word << _BITS) + (column + 1)
        words.append(word)
    return np.asarray(np.lexsort((*words[::-1], size)), np.int64)


def _unbeaten(options: Options, figures: FloatArray) -> IntArray:
    """Rows of (n, FIGURES) that no other equals or beats in the figures wanted, the first of equals, by mass."""
    wanted = {f: significant(figures[:, NAMES.index(f)], options.digits) for f in options.figures}
    gain = wanted.pop(options.figures[0])
    mass, cost = (wanted.pop(f, np.zeros(len(gain))) for f in ("mass", "cost"))
    if not wanted:
        return best_rows(gain, mass, cost)
    score = np.column_stack([gain, -mass, -cost, *wanted.values()])
    order = np.lexsort(tuple(-score.T[::-1]))
    kept: list[int] = []
    for row in order:
        if not kept or not np.any(np.all(score[kept] >= score[row], axis=1)):
            kept.append(int(row))
    return np.array(sorted(kept, key=lambda r: (mass[r], cost[r])), np.int64)
