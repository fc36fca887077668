"""What can still be added to a part-built wall: for every branch of the one-wall search, the completions that no other
completion beats, whatever the thickness reached so far.
"""

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.search.option_table import Frame, IntArray, Shelf, write

__all__ = ["binomials", "frame_of"]

MOST_KEPT = 600
"""Completions kept a branch; where there would be more, the branch is gone into instead."""


@compiled_inside
def _own(shelf: Shelf, k: int, bound: FloatArray, line: FloatArray) -> None:
    """One option laid on a wall of thickness x: gain as a cubic in x, least mass and cost as lines in x."""
    t, r = shelf.thickness[k], shelf.radius
    big = r + t
    for c in range(line.size):
        line[c] = 0.0
    if shelf.is_bending:
        scale = shelf.along[k] * np.pi / 4.0
        line[0] = scale * (big**4 - r**4)
        line[1] = scale * 4.0 * (big**3 - r**3)
        line[2] = scale * 6.0 * (big**2 - r**2)
        line[3] = scale * 4.0 * t
    else:
        line[0] = shelf.along[k] * np.pi * (big**2 - r**2)
        line[1] = shelf.along[k] * np.pi * 2.0 * t
    for content in range(2):
        line[4 + 2 * content] = shelf.content[k, content] * np.pi * t * (2.0 * r + t)
        line[5 + 2 * content] = 2.0 * np.pi * t * bound[content]


@compiled_inside
def _outward(line: FloatArray, t: float, out: FloatArray) -> None:
    """The same completion pushed outward by a ply of thickness t below it."""
    out[0] = line[0] + t * (line[1] + t * (line[2] + t * line[3]))
    out[1] = line[1] + t * (2.0 * line[2] + 3.0 * t * line[3])
    out[2] = line[2] + 3.0 * t * line[3]
    out[3] = line[3]
    for content in range(2):
        out[4 + 2 * content] = line[4 + 2 * content] + t * line[5 + 2 * content]
        out[5 + 2 * content] = line[5 + 2 * content]


@compiled_inside
def _ends(line: FloatArray, thickest: float, out: FloatArray) -> None:
    """Eight numbers that order completions for every wall from 0 to the thickest: the Bernstein coefficients of the
    gain (a cubic is no less than another if its coefficients are no less), mass and cost at both ends.
    """
    h = thickest
    out[0] = line[0]
    out[1] = line[0] + line[1] * h / 3.0
    out[2] = line[0] + 2.0 * line[1] * h / 3.0 + line[2] * h * h / 3.0
    out[3] = line[0] + h * (line[1] + h * (line[2] + h * line[3]))
    for content in range(2):
        out[4 + 2 * content] = -line[4 + 2 * content]
        out[5 + 2 * content] = -line[4 + 2 * content] - h * line[5 + 2 * content]


@compiled_inside
def _kept(lines: FloatArray, n: int, thickest: float) -> IntArray:
    """Rows that no other row equals or beats in all eight numbers."""
    ends = np.empty((n, 8))
    for p in range(n):
        _ends(lines[p], thickest, ends[p])
    order = np.argsort(-ends[:n, 3], kind="mergesort")
    kept, count = np.empty(n, np.int64), 0
    for p in order:
        beaten = False
        for q in range(count - 1, -1, -1):
            other = ends[kept[q]]
            worse = False
            for c in range(8):
                if other[c] < ends[p, c]:
                    worse = True
                    break
            if not worse:
                beaten = True
                break
        if not beaten:
            kept[count] = p
            count += 1
    return kept[:count]


@compiled_inside
def _both(without: FloatArray, with_k: FloatArray, own: FloatArray, t: float, lines: FloatArray) -> int:
    """Completions without option k and those with it, which lie further out by its thickness and have its own line."""
    n = len(without)
    _copied(without, lines)
    for p in range(with_k.shape[0]):
        _outward(with_k[p], t, lines[n])
        for c in range(own.size):
            lines[n, c] += own[c]
        n += 1
    return n


@compiled_inside
def _copied(rows: FloatArray, to: FloatArray) -> FloatArray:
    """The rows written over the first of others."""
    for p in range(rows.shape[0]):
        write(rows[p], to[p])
    return to


@compiled
def _build(
    shelf: Shelf, outer: int, most: int, thickest: float, most_kept: int
) -> tuple[FloatArray, IntArray, IntArray]:
    """Completions of at most s plies of options k and up, for every s and k, the fixed outermost ply on top."""
    size = shelf.thickness.size
    least = np.array([np.min(shelf.content[:, 0]), np.min(shelf.content[:, 1])])
    pool, used = np.empty((4096, 8)), 0
    start, count = np.zeros((most + 1, size + 1), np.int64), np.full((most + 1, size + 1), -1, np.int64)
    base, own = np.zeros(8), np.empty(8)
    if outer >= 0:
        _own(shelf, outer, shelf.content[outer], base)
    lines = np.empty((2 * most_kept + 1, 8))
    for s in range(most + 1):
        for k in range(size, -1, -1):
            if s == 0 or k == size:
                write(base, lines[0])
                n = 1
            elif count[s, k + 1] < 0 or count[s - 1, k] < 0:
                continue
            else:
                _own(shelf, k, shelf.content[k] if shelf.is_listed else least, own)
                with_k = pool[start[s - 1, k] : start[s - 1, k] + count[s - 1, k]]
                n = _both(
                    pool[start[s, k + 1] : start[s, k + 1] + count[s, k + 1]], with_k, own, shelf.thickness[k], lines
                )
            keep = _kept(lines, n, thickest)
            if keep.size > most_kept:
                continue
            while used + keep.size > pool.shape[0]:
                wider = np.empty((2 * pool.shape[0], 8))
                pool = _copied(pool[:used], wider)
            start[s, k], count[s, k] = used, keep.size
            for p in keep:
                write(lines[p], pool[used])
                used += 1
    return pool[:used].copy(), start, count


def binomials(size: int, most: int) -> IntArray:
    """(size + most + 1, most + 1) of n over r, int64; the caller has made sure that they fit."""
    table = np.zeros((size + most + 1, most + 1), np.int64)
    table[:, 0] = 1
    for n in range(1, size + most + 1):
        table[n, 1:] = table[n - 1, 1:] + table[n - 1, :-1]
    return table


def frame_of(shelf: Shelf, inner: int, outer: int, most: int, *, most_kept: int = MOST_KEPT) -> Frame:
    """The frame of one pair of fixed faces (-1: free) with at most `most` plies between, and its completions."""
    size = shelf.thickness.size
    if shelf.prune:
        thickest = (most + 2) * float(shelf.thickness.max())
        pool, start, count = _build(shelf, outer, most, thickest, most_kept)
    else:
        pool, start = np.zeros((1, 8)), np.zeros((most + 1, size + 1), np.int64)
        count = np.full((most + 1, size + 1), -1, np.int64)
    return Frame(inner, outer, most, pool, start, count, binomials(size, most))
