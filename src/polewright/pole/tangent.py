"""The tangent of the bent line: what each element adds to the balance, and how places shift with turns and forces.

Source
------
As `elastica`: the second derivative of its potential.
"""

from typing import NamedTuple

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled_inside
from polewright.pole.elastica import D_A, D_B, D_M, N_A, N_B, N_M, WEIGHT, Heading, Posture, tilt, tilt_slope
from polewright.pole.layout import Mesh

__all__ = ["shifts", "tangent"]


class _Element(NamedTuple):
    """One element's part in the balance: gradient and second derivative of the potential.

    a, m, b: to the rotation of its start, middle and end; all [N m].
    """

    a: float
    m: float
    b: float
    aa: float
    am: float
    ab: float
    mm: float
    mb: float
    bb: float


@compiled_inside
def _element(
    h: float,
    turns: tuple[float, float, float],
    walls: tuple[FloatArray, FloatArray, FloatArray],
    force: tuple[FloatArray, FloatArray],
    heading: Heading,
    e: int,
    small: bool,
) -> _Element:
    """One element's part in the balance.

    turns [rad] of start, middle and end; walls: EI, EA and S (n, 3) at Gauss points; force (n, 3) level and up.
    """
    ga, gm, gb = 0.0, 0.0, 0.0
    aa, am, ab, mm, mb, bb = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    for g in range(3):
        na, nm, nb, da, dm, db = N_A[g], N_M[g], N_B[g], D_A[g] / h, D_M[g] / h, D_B[g] / h
        c, s, ei = heading.cos[e, g], heading.sin[e, g], walls[0][e, g]
        bend = ei * (da * turns[0] + dm * turns[1] + db * turns[2])
        a, b = 1.0 / walls[1][e, g], 1.0 / walls[2][e, g]
        N, Q = force[0][e, g] * c + force[1][e, g] * s, force[1][e, g] * c - force[0][e, g] * s
        pull = -Q if small else -Q * (1.0 + a * N) + b * Q * N
        stiff = 0.0 if small else N + (b - a) * (Q * Q - N * N)
        w = WEIGHT[g] * h
        ga += w * (bend * da + pull * na)
        gm += w * (bend * dm + pull * nm)
        gb += w * (bend * db + pull * nb)
        aa += w * (ei * da * da + stiff * na * na)
        am += w * (ei * da * dm + stiff * na * nm)
        ab += w * (ei * da * db + stiff * na * nb)
        mm += w * (ei * dm * dm + stiff * nm * nm)
        mb += w * (ei * dm * db + stiff * nm * nb)
        bb += w * (ei * db * db + stiff * nb * nb)
    return _Element(ga, gm, gb, aa, am, ab, mm, mb, bb)


@compiled_inside
def _of_unit(
    mesh: Mesh, heading: Heading, fx: FloatArray, fz: FloatArray, unit: FloatArray, e: int, j: int, small: bool
) -> tuple[float, float, float]:
    """Change of an element's gradient (start, middle, end) by unit load j of `unit` (n, 3, m, 3)."""
    ga, gm, gb = 0.0, 0.0, 0.0
    for g in range(3):
        c, s = heading.cos[e, g], heading.sin[e, g]
        a, b = 1.0 / mesh.ea[e, g], 1.0 / mesh.gs[e, g]
        N, Q = fx[e, g] * c + fz[e, g] * s, fz[e, g] * c - fx[e, g] * s
        d1, d2 = unit[e, g, j, 0] * c + unit[e, g, j, 1] * s, unit[e, g, j, 1] * c - unit[e, g, j, 0] * s
        change = -unit[e, g, j, 2] - (d2 if small else d2 + (a - b) * (d2 * N + Q * d1))
        w = WEIGHT[g] * mesh.h[e] * change
        ga += w * N_A[g]
        gm += w * N_M[g]
        gb += w * N_B[g]
    return ga, gm, gb


@compiled_inside
def tangent(
    mesh: Mesh,
    p: Posture,
    heading: Heading,
    fx: FloatArray,
    fz: FloatArray,
    unit: FloatArray,
    slack: float,
    small: bool,
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray, int]:
    """Element equations with the middle and the joint eliminated.

    fx, fz (n, 3) [N] inside the pole; slack [N m] as elsewhere; unit (n, 3, m, 3) [N/N]:
    force inside (level, up) and couple per length [N m/m/N] that come with each of m unit loads. Gives the node
    equations (diag (n + 1,), off (n,), rhs (n + 1, 1 + m)), what is needed to find middle and joint again (`inner`
    (n, 6), `own` (n, 2, 1 + m)), and how many middles are unstable.
    """
    n, m = mesh.h.size, unit.shape[2]
    diag, off, rhs = np.zeros(n + 1), np.zeros(n), np.zeros((n + 1, 1 + m))
    inner, own = np.zeros((n, 6)), np.zeros((n, 2, 1 + m))
    negative = 0
    for e in range(n):
        start = p.node[e] + tilt(p.mom[e], mesh.comp[e], mesh.play[e], slack)
        turns = (start, p.mid[e], p.node[e + 1])
        k = _element(mesh.h[e], turns, (mesh.ei, mesh.ea, mesh.gs), (fx, fz), heading, e, small)
        negative += k.mm < 0.0
        A, B, D = k.aa - k.am**2 / k.mm, k.ab - k.am * k.mb / k.mm, k.bb - k.mb**2 / k.mm
        joint = mesh.comp[e] > 0.0 or mesh.play[e] > 0.0
        give = tilt_slope(p.mom[e], mesh.comp[e], mesh.play[e], slack) if joint else 0.0
        share = 1.0 / (1.0 + A * give)
        negative += share < 0.0
        for c in range(1 + m):
            a, middle, b = _of_unit(mesh, heading, fx, fz, unit, e, c - 1, small) if c > 0 else (k.a, k.m, k.b)
            held = 0.0 if c > 0 else p.mom[e]
            ga, gb = a - k.am / k.mm * middle, b - k.mb / k.mm * middle
            own[e, 0, c], own[e, 1, c] = middle, ga + held
            rhs[e, c] += share * (ga + held) - held
            rhs[e + 1, c] += gb - give * share * B * (ga + held)
        diag[e] += share * A
        diag[e + 1] += D - give * share * B * B
        off[e] = share * B
        inner[e, 0], inner[e, 1], inner[e, 2] = k.mm, k.am, k.mb
        inner[e, 3], inner[e, 4], inner[e, 5] = A, B, give
    return diag, off, rhs, inner, own, negative


@compiled_inside
def shifts(
    mesh: Mesh,
    heading: Heading,
    fx: FloatArray,
    fz: FloatArray,
    unit: FloatArray,
    anchor: int,
    small: bool,
    x: FloatArray,
    start: FloatArray,
    mid: FloatArray,
) -> FloatArray:
    """Change (n + 1, cols, 2) of the nodes' places with each column of turns, and of unit forces in columns 1..m.

    Parameters
    ----------
    fx, fz : (n, 3) [N] inside the pole, level and up.
    unit : (n, 3, m, 3) [N/N] and [N m/m/N] inside the pole with each unit force.
    anchor : the node that stays.
    x, start, mid : (n + 1 or n, cols) [rad] turns of nodes, starts and middles of the elements.

    Returns
    -------
    [m] level and up, for each column: of its turns, and of a unit of force.
    """
    n, cols = mesh.h.size, x.shape[1]
    out = np.zeros((n + 1, cols, 2))
    for e in range(n):
        for j in range(cols):
            out[e + 1, j, 0], out[e + 1, j, 1] = out[e, j, 0], out[e, j, 1]
        for g in range(3):
            a, b = 1.0 / mesh.ea[e, g], 1.0 / mesh.gs[e, g]
            c, s = heading.cos[e, g], heading.sin[e, g]
            N, Q = fx[e, g] * c + fz[e, g] * s, fz[e, g] * c - fx[e, g] * s
            along, across = (0.0, 1.0) if small else ((a - b) * Q, 1.0 + (a - b) * N)
            w = WEIGHT[g] * mesh.h[e]
            for j in range(cols):
                dt = N_A[g] * start[e, j] + N_M[g] * mid[e, j] + N_B[g] * x[e + 1, j]
                da, dc = along * dt, across * dt
                if 1 <= j < cols - 1:
                    da += a * (unit[e, g, j - 1, 0] * c + unit[e, g, j - 1, 1] * s)
                    dc += b * (unit[e, g, j - 1, 1] * c - unit[e, g, j - 1, 0] * s)
                out[e + 1, j, 0] += w * (da * c - dc * s)
                out[e + 1, j, 1] += w * (da * s + dc * c)
    for j in range(cols):
        for i in range(2):
            start_at = out[anchor, j, i]
            for e in range(n + 1):
                out[e, j, i] -= start_at
    return out
