"""Movements of a bent pole that are orthogonal in kinetic energy, and the flexibility between them, as compiled loops.

Source
------
Lanczos' method with full orthogonalisation: B. N. Parlett, The Symmetric Eigenvalue Problem, SIAM, 1998, ch. 13; the
eigenvalues of the small matrix by Jacobi's rotations, ch. 9.
"""

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.pole.elastica import WEIGHT, Pins, Posture
from polewright.pole.layout import Mesh
from polewright.pole.sway import movement

__all__ = ["lanczos"]

_SAME = 1e-13  # the lowest swing alone is found once a further round moves it by no more
_ROTATED = 1e-30  # squares beside the diagonal over squares on it, from which rotations stop


@compiled_inside
def _dot(a: FloatArray, b: FloatArray) -> float:
    total = 0.0
    for i in range(a.size):
        total += a[i] * b[i]
    return total


@compiled_inside
def _energy(u: FloatArray, weight: FloatArray) -> float:
    """Twice the kinetic energy of a movement (size,) at unit rate, by the mass behind each of its numbers (size,)."""
    total = 0.0
    for i in range(u.size):
        total += u[i] * weight[i] * u[i]
    return total


@compiled_inside
def _give(
    mesh: Mesh,
    pins: Pins,
    p: Posture,
    force: tuple[FloatArray, FloatArray],
    follow: FloatArray,
    weight: FloatArray,
    u: FloatArray,
) -> FloatArray:
    """(size,) the movement that the inertia of movement `u` (size,) would hold as loads on the bent pole."""
    n = mesh.h.size
    q, load, couple = np.empty((n, 3, 2)), np.empty((n + 1, 2)), np.empty((n, 3))
    for e in range(n):
        for g in range(3):
            i, width = 6 * e + 2 * g, mesh.h[e] * WEIGHT[g]
            q[e, g, 0], q[e, g, 1] = weight[i] / width * u[i], weight[i + 1] / width * u[i + 1]
            i = 8 * n + 2 + 3 * e + g
            couple[e, g] = weight[i] / width * u[i]
    for k in range(n + 1):
        i = 6 * n + 2 * k
        load[k, 0], load[k, 1] = weight[i] * u[i], weight[i + 1] * u[i + 1]
    # a swing keeps every joint pressed to its side of the play, even one that hangs loose: no slack
    found = movement(mesh, pins, p, force, follow, 1e-300, q, load, couple)
    out = np.empty(u.size)
    out[: 6 * n] = found.inside.reshape(6 * n)
    out[6 * n : 8 * n + 2] = found.nodes.reshape(2 * n + 2)
    out[8 * n + 2 :] = found.turn.reshape(3 * n)
    return out


@compiled_inside
def _top(matrix: FloatArray) -> float:
    """Largest size of an eigenvalue of a symmetric matrix (k, k)."""
    a = matrix.copy()
    n = a.shape[0]
    for _ in range(30):
        beside, on = 0.0, 0.0
        for i in range(n):
            on += a[i, i] * a[i, i]
            for j in range(i):
                beside += a[i, j] * a[i, j]
        if not beside > _ROTATED * on:
            break
        for i in range(n - 1):
            for j in range(i + 1, n):
                _rotate(a, i, j)
    most = 0.0
    for i in range(n):
        most = max(most, abs(a[i, i]))
    return most


@compiled_inside
def _rotate(a: FloatArray, i: int, j: int) -> None:
    """Turn rows and columns i and j of a symmetric matrix in place so that a[i, j] becomes zero."""
    if a[i, j] == 0.0:
        return
    ratio = (a[j, j] - a[i, i]) / (2.0 * a[i, j])
    t = (1.0 if ratio >= 0.0 else -1.0) / (abs(ratio) + np.sqrt(ratio * ratio + 1.0))
    c = 1.0 / np.sqrt(t * t + 1.0)
    s = t * c
    for k in range(a.shape[0]):
        left, right = a[k, i], a[k, j]
        a[k, i], a[k, j] = c * left - s * right, s * left + c * right
    for k in range(a.shape[0]):
        left, right = a[i, k], a[j, k]
        a[i, k], a[j, k] = c * left - s * right, s * left + c * right


@compiled
def lanczos(
    mesh: Mesh,
    pins: Pins,
    p: Posture,
    force: tuple[FloatArray, FloatArray],
    follow: FloatArray,
    weight: FloatArray,
    start: FloatArray,
    rounds: int,
    alone: bool,
) -> tuple[FloatArray, FloatArray, bool]:
    """Movements (k, size), orthogonal in kinetic energy; the flexibility between them (k, k); whether all is finite.

    Parameters
    ----------
    mesh, pins, p : the bent pole, its supports and its posture.
    force : (n, 3) each [N], level and up, inside the pole.
    follow : (2,) [N] the force that turns with the tip.
    weight : (size,) [kg] or [kg m2] mass behind each number of a movement: inside, nodes, turn, each flat.
    start : (size,) [m] or [rad] the first movement.
    rounds : how many movements at most.
    alone : the lowest swing is asked for and no other; no more rounds than it takes.

    Source
    ------
    Module text.
    """
    u = _give(mesh, pins, p, force, follow, weight, start)
    basis, ritz = np.empty((rounds, u.size)), np.zeros((rounds, rounds))
    top, done, finite = np.inf, 0, True
    first = np.sqrt(_energy(u, weight))
    for k in range(rounds):
        for _ in range(2 if k > 0 else 0):
            share = np.empty(k)
            for j in range(k):
                share[j] = _dot(weight * basis[j], u)
            for j in range(k):
                u -= share[j] * basis[j]
        size = np.sqrt(_energy(u, weight))
        if not size > 1e-11 * first:
            break
        basis[k] = u / size
        u = _give(mesh, pins, p, force, follow, weight, basis[k])
        done = k + 1
        finite = bool(np.all(np.isfinite(u)))
        if not finite:
            break
        first = np.sqrt(_energy(u, weight))
        for j in range(done):
            ritz[j, k] = _dot(weight * basis[j], u)
            ritz[k, j] = ritz[j, k]
        if alone and k > 0:
            last, top = top, _top(ritz[:done, :done])
            if k > 1 and abs(top - last) <= _SAME * top:
                break
    return basis[:done], ritz[:done, :done], finite and done > 0
