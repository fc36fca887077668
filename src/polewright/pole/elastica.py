"""The bent line of a stepped beam: large rotations, bending, shear and stretch, in the plane.

Between supports the force in the pole follows from the loads alone, so the one unknown field is the rotation; the
reactions of further supports are found with it. Total potential of a load that keeps its direction, over the length:

    P = integral of EI k2/2 - F.e1 - (F.e1)2/(2 EA) - (F.e2)2/(2 S)

with rotation t, curvature k = t', e1 and e2 along and across the turned section, F the force of all that lies nearer
the tip. Quadratic elements for t; three-point Gauss collocation for the positions, so that virtual work closes exactly.

Source
------
J. C. Simo, A finite strain beam formulation, part I, Comput. Methods Appl. Mech. Eng. 49, 1985, 55-70 (the beam); force
known by statics and rotation as sole unknown: Legendre transform of its energy in stretch and shear.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.pole.layout import GAUSS, Mesh

__all__ = ["Answered", "Loads", "Pins", "Posture", "answered", "line", "node_loads", "posture"]

_R15 = np.sqrt(15.0)
WEIGHT = np.array([5.0, 8.0, 5.0]) / 18.0
# integral from the element's start to each Gauss point of the quadratic through the three
INNER = np.array(
    [
        [5 / 36, 2 / 9 - _R15 / 15, 5 / 36 - _R15 / 30],
        [5 / 36 + _R15 / 24, 2 / 9, 5 / 36 - _R15 / 24],
        [5 / 36 + _R15 / 30, 2 / 9 + _R15 / 15, 5 / 36],
    ]
)
N_A = (1.0 - GAUSS) * (1.0 - 2.0 * GAUSS)
N_M = 4.0 * GAUSS * (1.0 - GAUSS)
N_B = GAUSS * (2.0 * GAUSS - 1.0)
D_A, D_M, D_B = 4.0 * GAUSS - 3.0, 4.0 - 8.0 * GAUSS, 4.0 * GAUSS - 1.0


class Loads(NamedTuple):
    """Loads that keep their direction, and a tip force that follows the tip."""

    qx: FloatArray  # (n, 3) [N/m]
    qz: FloatArray  # (n, 3) [N/m]
    px: FloatArray  # (n + 1,) [N]
    pz: FloatArray  # (n + 1,) [N]
    follow: FloatArray  # (2,) [N] along and across the tip


class Pins(NamedTuple):
    """What holds the pole: an anchor node, and further rows of unknown forces.

    kind 0: force of unknown size along (dx, dz) at a node, whose place in direction (cx, cz) from the anchor is `at`;
    kind 1, 2: level and upright part of the force that follows the tip.
    """

    anchor: int
    turning: bool  # the anchor is free to turn; else its rotation is `root`
    root: float  # [rad]
    node: NDArray[np.int64]  # (m,)
    kind: NDArray[np.int64]  # (m,)
    d: FloatArray  # (m, 2)
    c: FloatArray  # (m, 2)
    at: FloatArray  # (m,) [m]


class Posture(NamedTuple):
    """The unknowns: rotation at nodes (butt side) and element middles, joint moments, unknown forces."""

    node: FloatArray  # (n + 1,) [rad]
    mid: FloatArray  # (n,) [rad]
    mom: FloatArray  # (n + 1,) [N m]
    lam: FloatArray  # (m,) [N]


class Answered(NamedTuple):
    """What follows from a posture in balance."""

    px: FloatArray  # (n + 1,) [N] level, all that acts at the nodes
    pz: FloatArray  # (n + 1,) [N] up
    fx: FloatArray  # (n, 3) [N] level force inside, at Gauss points
    fz: FloatArray  # (n, 3) [N] up
    fx_node: FloatArray  # (n + 1,) [N] just tipward of the nodes
    fz_node: FloatArray  # (n + 1,) [N]
    places: FloatArray  # (n + 1, 2) [m] level and up from the anchor
    turn: FloatArray  # (n + 1,) [rad] of the joint at a node
    behind: FloatArray  # (1,) [N m] moment on the butt side of the anchor


@compiled
def posture(n: int, m: int, root: float) -> Posture:
    """The straight pole of n elements and m unknown forces, nothing acting, at `root` [rad] above level."""
    return Posture(np.full(n + 1, root), np.full(n, root), np.zeros(n + 1), np.zeros(m))


@compiled
def tilt(mom: float, comp: float, play: float, slack: float) -> float:
    """[rad] turn of a joint under a moment [N m]: free within the play, taken up by a moment of `slack`, then c M."""
    if play == 0.0:
        return comp * mom
    return comp * mom + play * min(max(mom / slack, -1.0), 1.0)


@compiled_inside
def tilt_slope(mom: float, comp: float, play: float, slack: float) -> float:
    """[rad/(N m)] derivative of `tilt`; a slack of next to nothing means that play is always taken up."""
    return comp + (play / slack if play > 0.0 and slack > 1e-200 and abs(mom) < slack else 0.0)


@compiled
def node_loads(loads: Loads, pins: Pins, lam: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(n + 1,) [N] given loads and unknown forces together at the nodes."""
    px, pz = loads.px.copy(), loads.pz.copy()
    for j in range(lam.size):
        px[pins.node[j]] += lam[j] * pins.d[j, 0]
        pz[pins.node[j]] += lam[j] * pins.d[j, 1]
    return px, pz


@compiled
def force_beyond(mesh: Mesh, qx: FloatArray, px: FloatArray, anchor: int) -> tuple[FloatArray, FloatArray]:
    """One part of the force [N] of everything nearer the tip: (n, 3) at Gauss points, (n + 1,) just tipward of nodes.

    Parameters
    ----------
    qx : (n, 3) [N/m] of that part, at Gauss points.
    px : (n + 1,) [N] of that part, at nodes.
    anchor : the node whose reaction balances the whole; butt of it the reaction counts too.
    """
    n = mesh.h.size
    at, nodes = np.zeros((n, 3)), np.zeros(n + 1)
    total = 0.0
    for e in range(n - 1, -1, -1):
        total += px[e + 1]
        for g in range(3):
            at[e, g] = total
            for i in range(3):
                at[e, g] += mesh.h[e] * WEIGHT[i] * INNER[i, g] / WEIGHT[g] * qx[e, i]
        for i in range(3):
            total += mesh.h[e] * WEIGHT[i] * qx[e, i]
        nodes[e] = total
    whole = total + px[0]
    for e in range(anchor):
        for g in range(3):
            at[e, g] -= whole
        nodes[e] -= whole
    return at, nodes


@compiled
def slope_of(th: float, ref: float, fx: float, fz: float, a: float, b: float, small: bool) -> tuple[float, float]:
    """Direction [-] of the bent line, level and up: its derivative by the length along the unbent one.

    Parameters
    ----------
    th, ref : [rad] rotation of the section, and of the unbent line, about which `small` takes slopes for angles.
    fx, fz : [N] force inside, level and up.
    a, b : [1/N] 1/EA and 1/S, for stretch and shear.
    """
    if small:
        c, s = np.cos(ref), np.sin(ref)
        along, across = 1.0 + a * (fx * c + fz * s), th - ref + b * (fz * c - fx * s)
    else:
        c, s = np.cos(th), np.sin(th)
        along, across = 1.0 + a * (fx * c + fz * s), b * (fz * c - fx * s)
    return along * c - across * s, along * s + across * c


@compiled
def at_gauss(mesh: Mesh, p: Posture, e: int, g: int, slack: float) -> float:
    """[rad] rotation at a Gauss point."""
    start = p.node[e] + tilt(p.mom[e], mesh.comp[e], mesh.play[e], slack)
    return float(N_A[g] * start + N_M[g] * p.mid[e] + N_B[g] * p.node[e + 1])


@compiled
def line(
    mesh: Mesh, p: Posture, fx: FloatArray, fz: FloatArray, anchor: int, ref: float, slack: float, small: bool
) -> tuple[FloatArray, FloatArray]:
    """(n, 3, 2) and (n + 1, 2) [m] places of Gauss points and nodes, from the anchor."""
    n = mesh.h.size
    inside, nodes = np.zeros((n, 3, 2)), np.zeros((n + 1, 2))
    for e in range(n):
        run = np.zeros((3, 2))
        for g in range(3):
            run[g, 0], run[g, 1] = slope_of(
                at_gauss(mesh, p, e, g, slack), ref, fx[e, g], fz[e, g], 1.0 / mesh.ea[e, g], 1.0 / mesh.gs[e, g], small
            )
        for c in range(2):
            for g in range(3):
                inside[e, g, c] = nodes[e, c]
                for i in range(3):
                    inside[e, g, c] += mesh.h[e] * INNER[g, i] * run[i, c]
            nodes[e + 1, c] = nodes[e, c]
            for i in range(3):
                nodes[e + 1, c] += mesh.h[e] * WEIGHT[i] * run[i, c]
    for c in range(2):
        start = nodes[anchor, c]
        for e in range(n + 1):
            nodes[e, c] -= start
        for e in range(n):
            for g in range(3):
                inside[e, g, c] -= start
    return inside, nodes


@compiled_inside
def answered(mesh: Mesh, loads: Loads, pins: Pins, p: Posture, slack: float, small: bool) -> Answered:
    """What a posture in balance means for places, forces and joints; units and shapes as `Answered`.

    Parameters
    ----------
    slack : [N m] moment within which a joint may lie anywhere in its play.
    small : small-deflection theory.
    """
    n, k = mesh.h.size, pins.anchor
    px, pz = node_loads(loads, pins, p.lam)
    fx, fx_node = force_beyond(mesh, loads.qx, px, k)
    fz, fz_node = force_beyond(mesh, loads.qz, pz, k)
    _, places = line(mesh, p, fx, fz, k, pins.root, slack, small)
    turn, behind = np.zeros(n + 1), np.zeros(1)
    for i in range(n + 1):
        turn[i] = tilt(p.mom[i], mesh.comp[i], mesh.play[i], slack)
    if k > 0:
        e = k - 1
        behind[0] = p.mom[e]
        for g in range(3):
            th = pins.root if small else at_gauss(mesh, p, e, g, slack)
            x, z = slope_of(
                th,
                pins.root,
                fx[e, g],
                fz[e, g],
                0.0 if small else 1.0 / mesh.ea[e, g],
                0.0 if small else 1.0 / mesh.gs[e, g],
                small,
            )
            behind[0] -= WEIGHT[g] * mesh.h[e] * (x * fz[e, g] - z * fx[e, g])
    return Answered(px, pz, fx, fz, fx_node, fz_node, places, turn, behind)


@compiled_inside
def _element(
    h: float,
    turns: tuple[float, float, float],
    walls: tuple[FloatArray, FloatArray, FloatArray],
    force: tuple[FloatArray, FloatArray],
    du: FloatArray,
    e: int,
    ref: float,
    small: bool,
    rows: FloatArray,
    k: FloatArray,
) -> None:
    """One element's part in the balance.

    turns [rad] of start, middle and end; walls: EI, EA and S (n, 3) at Gauss points; force (n, 3) level and up;
    rows: gradient of the potential to (start, middle, end) rotation in column 0, its change by unit loads `du`
    (n, 3, m, 3) in the next columns; k: the 3 x 3 second derivative.
    """
    for i in range(3):
        for j in range(rows.shape[1]):
            rows[i, j] = 0.0
        for j in range(3):
            k[i, j] = 0.0
    c, s = np.cos(ref), np.sin(ref)
    for g in range(3):
        shape, rate = (N_A[g], N_M[g], N_B[g]), (D_A[g] / h, D_M[g] / h, D_B[g] / h)
        th = shape[0] * turns[0] + shape[1] * turns[1] + shape[2] * turns[2]
        ei = walls[0][e, g]
        bend = ei * (rate[0] * turns[0] + rate[1] * turns[1] + rate[2] * turns[2])
        a, b = 1.0 / walls[1][e, g], 1.0 / walls[2][e, g]
        if not small:
            c, s = np.cos(th), np.sin(th)
        N, Q = force[0][e, g] * c + force[1][e, g] * s, force[1][e, g] * c - force[0][e, g] * s
        pull = -Q if small else -Q * (1.0 + a * N) + b * Q * N
        stiff = 0.0 if small else N + (b - a) * (Q * Q - N * N)
        w = WEIGHT[g] * h
        for i in range(3):
            rows[i, 0] += w * (bend * rate[i] + pull * shape[i])
            for j in range(3):
                k[i, j] += w * (ei * rate[i] * rate[j] + stiff * shape[i] * shape[j])
        for m in range(du.shape[2]):
            d1, d2 = du[e, g, m, 0] * c + du[e, g, m, 1] * s, du[e, g, m, 1] * c - du[e, g, m, 0] * s
            change = -du[e, g, m, 2] - (d2 if small else d2 + (a - b) * (d2 * N + Q * d1))
            for i in range(3):
                rows[i, 1 + m] += w * change * shape[i]


@compiled_inside
def tangent(
    mesh: Mesh, p: Posture, fx: FloatArray, fz: FloatArray, unit: FloatArray, ref: float, slack: float, small: bool
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray, int]:
    """Element equations with the middle and the joint eliminated.

    fx, fz (n, 3) [N] inside the pole; ref [rad] of the unbent line; slack [N m] as elsewhere; unit (n, 3, m, 3) [N/N]:
    force inside (level, up) and couple per length [N m/m/N] that come with each of m unit loads. Gives the node
    equations (diag (n + 1,), off (n,), rhs (n + 1, 1 + m)), what is needed to find middle and joint again (`inner`
    (n, 6), `own` (n, 2, 1 + m)), and how many middles are unstable.
    """
    n, m = mesh.h.size, unit.shape[2]
    diag, off, rhs = np.zeros(n + 1), np.zeros(n), np.zeros((n + 1, 1 + m))
    inner, own = np.zeros((n, 6)), np.zeros((n, 2, 1 + m))
    rows, k = np.zeros((3, 1 + m)), np.zeros((3, 3))
    negative = 0
    for e in range(n):
        start = p.node[e] + tilt(p.mom[e], mesh.comp[e], mesh.play[e], slack)
        turns = (start, p.mid[e], p.node[e + 1])
        _element(mesh.h[e], turns, (mesh.ei, mesh.ea, mesh.gs), (fx, fz), unit, e, ref, small, rows, k)
        pivot = k[1, 1]
        negative += pivot < 0.0
        A, B, D = k[0, 0] - k[0, 1] ** 2 / pivot, k[0, 2] - k[0, 1] * k[1, 2] / pivot, k[2, 2] - k[1, 2] ** 2 / pivot
        joint = mesh.comp[e] > 0.0 or mesh.play[e] > 0.0
        give = tilt_slope(p.mom[e], mesh.comp[e], mesh.play[e], slack) if joint else 0.0
        share = 1.0 / (1.0 + A * give)
        negative += share < 0.0
        mom = p.mom[e]
        for c in range(1 + m):
            ga, gb = rows[0, c] - k[0, 1] / pivot * rows[1, c], rows[2, c] - k[1, 2] / pivot * rows[1, c]
            held = mom if c == 0 else 0.0
            own[e, 0, c], own[e, 1, c] = rows[1, c], ga + held
            rhs[e, c] += share * (ga + held) - held
            rhs[e + 1, c] += gb - give * share * B * (ga + held)
        diag[e] += share * A
        diag[e + 1] += D - give * share * B * B
        off[e] = share * B
        inner[e, 0], inner[e, 1], inner[e, 2] = pivot, k[0, 1], k[1, 2]
        inner[e, 3], inner[e, 4], inner[e, 5] = A, B, give
    return diag, off, rhs, inner, own, negative


@compiled_inside
def shifts(
    mesh: Mesh,
    p: Posture,
    fx: FloatArray,
    fz: FloatArray,
    unit: FloatArray,
    anchor: int,
    ref: float,
    slack: float,
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
    ref : [rad] of the unbent line; slack [N m] as elsewhere.
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
            turn = ref if small else at_gauss(mesh, p, e, g, slack)
            c, s = np.cos(turn), np.sin(turn)
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
