"""Newton's method on the bent line: one correction, and corrections until the pole is in balance."""

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.pole.elastica import Loads, Pins, Posture, force_beyond, heading_of, line, node_loads
from polewright.pole.layout import Mesh
from polewright.pole.sweep import inside_turns, sweep
from polewright.pole.tangent import shifts, tangent

__all__ = ["move", "newton", "solved", "step", "unit_forces"]

Correction = tuple[FloatArray, FloatArray, FloatArray, FloatArray, int]

_LARGEST_TURN = 0.6  # [rad] most that one iteration may turn a node
_CLOSE = 1e-9  # [rad] last correction; the next would be its square


@compiled_inside
def unit_forces(pins: Pins, n: int) -> FloatArray:
    """Force inside each element (n, 3, m, 3) [N/N] from a unit of each unknown force: level, up, and no couple."""
    unit = np.zeros((n, 3, pins.node.size, 3))
    for j in range(pins.node.size):
        for e in range(pins.anchor, pins.node[j]):
            for g in range(3):
                unit[e, g, j, 0], unit[e, g, j, 1] = pins.d[j, 0], pins.d[j, 1]
    return unit


@compiled_inside
def solved(a: FloatArray, b: FloatArray) -> FloatArray:
    """Answer x (m,) of a x = b, by elimination with row exchange; a (m, m) small, b (m,), each entry of any unit [any].

    A singular matrix gives numbers that are not finite.
    """
    m = b.size
    a, x = a.copy(), b.copy()
    for k in range(m):
        top = k
        for r in range(k + 1, m):
            if abs(a[r, k]) > abs(a[top, k]):
                top = r
        for c in range(m):
            a[k, c], a[top, c] = a[top, c], a[k, c]
        x[k], x[top] = x[top], x[k]
        for r in range(k + 1, m):
            f = a[r, k] / a[k, k]
            for c in range(k, m):
                a[r, c] -= f * a[k, c]
            x[r] -= f * x[k]
    for k in range(m - 1, -1, -1):
        for c in range(k + 1, m):
            x[k] -= a[k, c] * x[c]
        x[k] /= a[k, k]
    return x


@compiled_inside
def _negatives(a: FloatArray) -> int:
    """How many eigenvalues of a small symmetric matrix are below zero, by Jacobi's rotations."""
    m = a.shape[0]
    b, size, count = np.zeros((m, m)), np.zeros(m), 0
    for i in range(m):
        size[i] = np.sqrt(abs(a[i, i]) + 1e-300)
    for i in range(m):
        for j in range(m):
            b[i, j] = 0.5 * (a[i, j] + a[j, i]) / (size[i] * size[j])
    for _ in range(30):
        for p in range(m):
            for q in range(p + 1, m):
                if abs(b[p, q]) > 1e-300:
                    turn = 0.5 * np.arctan2(2.0 * b[p, q], b[q, q] - b[p, p])
                    c, s = np.cos(turn), np.sin(turn)
                    for j in range(m):
                        b[p, j], b[q, j] = c * b[p, j] - s * b[q, j], s * b[p, j] + c * b[q, j]
                    for j in range(m):
                        b[j, p], b[j, q] = c * b[j, p] - s * b[j, q], s * b[j, p] + c * b[j, q]
    for i in range(m):
        count += b[i, i] < 0.0
    return count


@compiled_inside
def _border(
    pins: Pins,
    p: Posture,
    places: FloatArray,
    shift: FloatArray,
    x: FloatArray,
    rhs: FloatArray,
    root: float,
    follow: FloatArray,
    small: bool,
) -> tuple[FloatArray, FloatArray]:
    """Equations of the turning anchor (last) and of the m unknown forces: matrix and right-hand side.

    `root` is the anchor's own stiffness once all other nodes are eliminated.
    """
    m, n = pins.node.size, places.shape[0] - 1
    size = m + (1 if pins.turning else 0)
    a, b = np.zeros((size, size)), np.zeros(size)
    turn = pins.root if small else p.node[n]
    c, s = np.cos(turn), np.sin(turn)
    for j in range(m):
        k = pins.node[j]
        for i in range(size + 1):
            col = i if i <= m else m + 1
            if pins.kind[j] == 0:
                value = -(pins.c[j, 0] * shift[k, col, 0] + pins.c[j, 1] * shift[k, col, 1])
            else:
                across = -follow[0] * s - follow[1] * c if pins.kind[j] == 1 else follow[0] * c - follow[1] * s
                value = (1.0 if col == j + 1 else 0.0) - (0.0 if small else across * x[n, col])
            if i == 0:
                b[j] -= value
            else:
                a[j, i - 1] = value
        if pins.kind[j] == 0:
            b[j] += pins.c[j, 0] * places[k, 0] + pins.c[j, 1] * places[k, 1] - pins.at[j]
        else:
            target = follow[0] * c - follow[1] * s if pins.kind[j] == 1 else follow[0] * s + follow[1] * c
            b[j] -= p.lam[j] - target
    if pins.turning:
        b[m] = -rhs[pins.anchor, 0]
        for j in range(m):
            a[m, j] = rhs[pins.anchor, j + 1]
        a[m, m] = root
    return a, b


@compiled_inside
def _held(a: FloatArray, kind: NDArray[np.int64], turning: bool) -> tuple[int, int]:
    """(unstable directions in the border, constraints): rows of following forces are left out."""
    m = kind.size
    keep, size = np.zeros(a.shape[0], np.int64), 0
    for j in range(a.shape[0]):
        if j >= m or kind[j] == 0:
            keep[size] = j
            size += 1
    b = np.zeros((size, size))
    for i in range(size):
        for j in range(size):
            b[i, j] = a[keep[i], keep[j]]
    return _negatives(b), size - (1 if turning else 0)


@compiled
def step(mesh: Mesh, loads: Loads, pins: Pins, p: Posture, slack: float, small: bool) -> Correction:
    """One correction of a posture.

    Turns of nodes (n + 1,) and middles (n,) [rad], joint moments (n + 1,) [N m], unknown forces (m,) [N]; and the count
    of unstable directions.
    """
    n, m = mesh.h.size, pins.node.size
    px, pz = node_loads(loads, pins, p.lam)
    fx, _ = force_beyond(mesh, loads.qx, px, pins.anchor)
    fz, _ = force_beyond(mesh, loads.qz, pz, pins.anchor)
    unit = unit_forces(pins, n)
    heading = heading_of(mesh, p, pins.root, slack, small)
    diag, off, rhs, inner, own, negative = tangent(mesh, p, heading, fx, fz, unit, slack, small)
    x, more = sweep(diag, off, rhs, pins.anchor)
    mom, start, mid = inside_turns(x, inner, own)
    negative += more
    factor = np.zeros(m + 2)
    factor[0] = 1.0
    size = m + (1 if pins.turning else 0)
    if size > 0:
        places = line(mesh, heading, fx, fz, pins.anchor, pins.root, small)
        shift = shifts(mesh, heading, fx, fz, unit, pins.anchor, small, x, start, mid)
        a, b = _border(pins, p, places, shift, x, rhs, diag[pins.anchor], loads.follow, small)
        found = solved(a, b)
        factor[1 : m + 1] = found[:m]
        if pins.turning:
            factor[m + 1] = found[m]
        unstable, held = _held(a, pins.kind, pins.turning)
        negative += unstable - held
    d_node, d_mid, d_mom = np.zeros(n + 1), np.zeros(n), np.zeros(n + 1)
    for c in range(m + 2):
        for k in range(n + 1):
            d_node[k] += factor[c] * x[k, c]
        for k in range(n):
            d_mid[k] += factor[c] * mid[k, c]
            d_mom[k] += factor[c] * mom[k, c]
    return d_node, d_mid, d_mom, factor[1 : m + 1], negative


@compiled_inside
def _add(to: FloatArray, part: float, more: FloatArray) -> None:
    for k in range(to.size):
        to[k] += part * more[k]


@compiled_inside
def _largest(a: FloatArray) -> float:
    """Largest size; NaN if there is one."""
    most = 0.0
    for value in a:
        if np.isnan(value):
            return np.nan
        most = max(most, abs(value))
    return most


@compiled_inside
def _into_play(mesh: Mesh, mom: FloatArray, part: float, more: FloatArray, slack: float) -> bool:
    """Add to the joints' moments, in place; whether one lost hold of its play and is caught within it.

    Pressed to one side a joint gives nothing more, within its play it is a hinge: a step from the one to beyond the
    other would go to and fro for ever.
    """
    caught = False
    for k in range(mom.size):
        old = mom[k]
        mom[k] += part * more[k]
        if mesh.play[k] > 0.0 and abs(old) >= slack and (mom[k] if old > 0.0 else -mom[k]) < slack:
            mom[k] = 0.5 * slack if old > 0.0 else -0.5 * slack
            caught = True
    return caught


@compiled_inside
def move(mesh: Mesh, p: Posture, correction: Correction, slack: float, small: bool) -> tuple[float, bool]:
    """Move a posture by a correction, in place, a large one in part: largest turn of a node [rad], and `_into_play`.

    A correction that is no number moves nothing.
    """
    d_node, d_mid, d_mom, d_lam, _ = correction
    largest = _largest(d_node)
    if not np.isfinite(largest):
        return largest, False
    part = 1.0 if small else min(1.0, _LARGEST_TURN / max(largest, 1e-300))
    _add(p.node, part, d_node)
    _add(p.mid, part, d_mid)
    caught = _into_play(mesh, p.mom, part, d_mom, slack)
    _add(p.lam, part, d_lam)
    return largest, caught


@compiled_inside
def newton(
    mesh: Mesh, loads: Loads, pins: Pins, p: Posture, slack: float, small: bool, most: float
) -> tuple[bool, int, int]:
    """Correct a posture in place until it is in balance: (in balance, iterations, unstable directions).

    Parameters
    ----------
    slack : [N m] moment within which a joint may lie anywhere in its play.
    small : small-deflection theory.
    most : [-] corrections tried; a float, and `small` handed on, because the compiler would build this once more for
        every whole number and truth value written in a call.
    """
    negative, tries = 0, int(most)
    for k in range(tries):
        correction = step(mesh, loads, pins, p, slack, small)
        negative = correction[4]
        largest, caught = move(mesh, p, correction, slack, small)
        if not np.isfinite(largest):
            return False, k + 1, negative
        if not caught and largest < _CLOSE:
            return True, k + 1, negative
    return False, tries, negative
