"""Small movements of a bent pole under small further loads: the tangent of its balance."""

from typing import NamedTuple

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.pole.correct import solved, unit_forces
from polewright.pole.elastica import INNER, N_A, N_B, N_M, Heading, Pins, Posture, force_beyond, heading_of
from polewright.pole.layout import Mesh
from polewright.pole.sweep import inside_turns, sweep
from polewright.pole.tangent import shifts, tangent

__all__ = ["Movement", "movement"]


class Movement(NamedTuple):
    """Small movement: inside (n, 3, 2) [m] and turn (n, 3) [rad] at Gauss points, nodes (n + 1, 2) [m]."""

    inside: FloatArray
    nodes: FloatArray
    turn: FloatArray


@compiled_inside
def _factors(
    pins: Pins, follow: FloatArray, root: float, tip_turn: float, shift: FloatArray, x: FloatArray, rhs: FloatArray
) -> FloatArray:
    """(m + 1,) how much of each unknown force and (last) of a turn of the anchor goes with the load, column m + 1."""
    m, n = pins.node.size, x.shape[0] - 1
    size = m + (1 if pins.turning else 0)
    a, b, out = np.zeros((size, size)), np.zeros(size), np.zeros(m + 1)
    c, s = np.cos(tip_turn), np.sin(tip_turn)
    for i in range(size + 1):
        col = i + 1 if i < m else (m + 2 if i < size else m + 1)
        for j in range(m):
            k = pins.node[j]
            if pins.kind[j] == 0:
                value = -(pins.c[j, 0] * shift[k, col, 0] + pins.c[j, 1] * shift[k, col, 1])
            else:
                across = -follow[0] * s - follow[1] * c if pins.kind[j] == 1 else follow[0] * c - follow[1] * s
                value = (1.0 if col == j + 1 else 0.0) - across * x[n, col]
            if i < size:
                a[j, i] = value
            else:
                b[j] = -value
        if pins.turning:
            value = root if col == m + 2 else rhs[pins.anchor, col]
            if i < size:
                a[m, i] = value
            else:
                b[m] = -value
    if size > 0:
        found = solved(a, b)
        for i in range(size):
            out[i] = found[i]
    return out


@compiled_inside
def _units(mesh: Mesh, pins: Pins, q: FloatArray, load: FloatArray, couple: FloatArray) -> FloatArray:
    """(n, 3, m + 1, 3) force and couple inside from a unit of each unknown force and, last, from the further loads."""
    n, m = mesh.h.size, pins.node.size
    unit, pinned = np.zeros((n, 3, m + 1, 3)), unit_forces(pins, n)
    level, _ = force_beyond(mesh, q[:, :, 0].copy(), load[:, 0].copy(), pins.anchor)
    up, _ = force_beyond(mesh, q[:, :, 1].copy(), load[:, 1].copy(), pins.anchor)
    for e in range(n):
        for g in range(3):
            for j in range(m):
                unit[e, g, j, 0], unit[e, g, j, 1] = pinned[e, g, j, 0], pinned[e, g, j, 1]
            unit[e, g, m, 0], unit[e, g, m, 1], unit[e, g, m, 2] = level[e, g], up[e, g], couple[e, g]
    return unit


@compiled
def movement(
    mesh: Mesh,
    pins: Pins,
    p: Posture,
    force: tuple[FloatArray, FloatArray],
    follow: FloatArray,
    slack: float,
    q: FloatArray,
    load: FloatArray,
    couple: FloatArray,
) -> Movement:
    """What small further loads do to a pole in balance.

    force: (n, 3) each, level and up, inside the pole; q (n, 3, 2) [N/m], load (n + 1, 2) [N], couple (n, 3) [N m/m].
    """
    n, m = mesh.h.size, pins.node.size
    fx, fz = force
    unit = _units(mesh, pins, q, load, couple)
    small = n < 0  # false, yet no written truth value, for which the compiler would build the next loops once more
    heading = heading_of(mesh, p, pins.root, slack, small)
    diag, off, rhs, inner, own, _ = tangent(mesh, p, heading, fx, fz, unit, slack, small)
    x, _ = sweep(diag, off, rhs, pins.anchor)
    _, start, mid = inside_turns(x, inner, own)
    shift = shifts(mesh, heading, fx, fz, unit, pins.anchor, small, x, start, mid)
    share = np.zeros(m + 3)
    share[m + 1] = 1.0
    found = _factors(pins, follow, diag[pins.anchor], p.node[n], shift, x, rhs)
    for j in range(m):
        share[j + 1] = found[j]
    share[m + 2] = found[m]
    inside, nodes, turn = np.zeros((n, 3, 2)), np.zeros((n + 1, 2)), np.zeros((n, 3))
    run = np.zeros((3, 2))
    for c in range(1, m + 3):
        for e in range(n + 1):
            nodes[e, 0] += share[c] * shift[e, c, 0]
            nodes[e, 1] += share[c] * shift[e, c, 1]
    for e in range(n):
        for g in range(3):
            for c in range(1, m + 3):
                turn[e, g] += share[c] * (N_A[g] * start[e, c] + N_M[g] * mid[e, c] + N_B[g] * x[e + 1, c])
            run[g, 0], run[g, 1] = _run(mesh, heading, e, g, fx[e, g], fz[e, g], turn[e, g], unit, share)
        for g in range(3):
            for c in range(2):
                inside[e, g, c] = nodes[e, c]
                for i in range(3):
                    inside[e, g, c] += mesh.h[e] * INNER[g, i] * run[i, c]
    return Movement(inside, nodes, turn)


@compiled_inside
def _run(
    mesh: Mesh, heading: Heading, e: int, g: int, fx: float, fz: float, dt: float, unit: FloatArray, share: FloatArray
) -> tuple[float, float]:
    """Change, level and up, of the line's direction at a Gauss point."""
    a, b = 1.0 / mesh.ea[e, g], 1.0 / mesh.gs[e, g]
    c, s = heading.cos[e, g], heading.sin[e, g]
    N, Q = fx * c + fz * s, fz * c - fx * s
    da, dc = (a - b) * Q * dt, (1.0 + (a - b) * N) * dt
    for j in range(unit.shape[2]):
        dx, dz = share[j + 1] * unit[e, g, j, 0], share[j + 1] * unit[e, g, j, 1]
        da += a * (dx * c + dz * s)
        dc += b * (dz * c - dx * s)
    return da * c - dc * s, da * s + dc * c
