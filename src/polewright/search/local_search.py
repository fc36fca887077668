"""Whole poles made better by hand, as it were: two walls changed at a time, bars as they are."""

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.search.option_table import IntArray
from polewright.search.pole_arrays import Chain, Trail
from polewright.search.pole_step import extend_trail
from polewright.search.span import Spans

__all__ = ["polish"]


@compiled_inside
def _merit(figures: FloatArray, aim: int, limits: FloatArray) -> float:
    """The aim of a pole that keeps to its limits; far above it where it does not, rising with the shortfall."""
    over = 0.0
    for f in range(figures.size):
        if figures[f] > limits[1, f]:
            over += (figures[f] - limits[1, f]) / abs(limits[1, f])
        elif figures[f] < limits[0, f]:
            over += (limits[0, f] - figures[f]) / abs(limits[0, f])
    return figures[aim] if over == 0.0 else 1e9 * (1.0 + over)


@compiled_inside
def _rolled_on(spans: Spans, chain: Chain, trail: Trail, low: int, high: int, path: IntArray, out: FloatArray) -> None:
    for k in range(low, high):
        extend_trail(spans, chain, trail, k, path[k, 1], out)


@compiled
def polish(spans: Spans, chain: Chain, aim: int, limits: FloatArray, path: IntArray, trail: Trail) -> float:
    """Change the walls of two sections at a time, bars as they are, while that makes a pole better; its merit.

    Parameters
    ----------
    aim : place of the figure to make least.
    limits : (2, n_figure) [SI unit of each figure] least and most.
    path : (n_section, 2) node and wall of each section, changed in place; trail follows it.

    Returns
    -------
    [SI unit of the aim] the pole's aim; 1e9 or more where it misses a limit.
    """
    sections = path.shape[0]
    out, better = np.empty(limits.shape[1] + 1), True
    _rolled_on(spans, chain, trail, 0, sections, path, out)
    best = _merit(trail.figures[sections], aim, limits)
    while better:
        better = False
        for a in range(sections):
            for b in range(a + 1, sections):
                first, second = path[a, 1], path[b, 1]
                _rolled_on(spans, chain, trail, 0, a, path, out)
                for v in range(chain.first[path[a, 0]], chain.first[path[a, 0] + 1]):
                    path[a, 1] = v
                    _rolled_on(spans, chain, trail, a, b, path, out)
                    for w in range(chain.first[path[b, 0]], chain.first[path[b, 0] + 1]):
                        path[b, 1] = w
                        _rolled_on(spans, chain, trail, b, sections, path, out)
                        merit = _merit(trail.figures[sections], aim, limits)
                        if merit < best * (1.0 - 1e-9):
                            best, first, second, better = merit, v, w, True
                path[a, 1], path[b, 1] = first, second
    _rolled_on(spans, chain, trail, 0, sections, path, out)
    return best
