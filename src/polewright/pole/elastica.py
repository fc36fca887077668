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

__all__ = [
    "Answered",
    "Heading",
    "Loads",
    "Pins",
    "Posture",
    "answered",
    "heading_of",
    "line",
    "node_loads",
    "posture",
    "slack_of",
]

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


class Heading(NamedTuple):
    """Rotation of a posture at Gauss points, and the cosine and sine by which forces are resolved there.

    By small-deflection theory forces are resolved along the unbent line.
    """

    turn: FloatArray  # (n, 3) [rad]
    cos: FloatArray  # (n, 3)
    sin: FloatArray  # (n, 3)


class Answered(NamedTuple):
    """What follows from a posture in balance; columns are butt side and tip side of every node, as in `beam.Bent`."""

    fx: FloatArray  # (n, 3) [N] level force inside, at Gauss points
    fz: FloatArray  # (n, 3) [N] up
    x: FloatArray  # (n + 1,) [m] level from the anchor
    z: FloatArray  # (n + 1,) [m] up
    rotation: FloatArray  # (n + 1, 2) [rad] above level
    along: FloatArray  # (n + 1, 2) [N] inside the pole, of the tip part on the butt part
    across: FloatArray  # (n + 1, 2) [N]
    moment: FloatArray  # (n + 1, 2) [N m]
    anchor: FloatArray  # (2,) [N] of the anchor on the pole, level and up


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


@compiled_inside
def heading_of(mesh: Mesh, p: Posture, ref: float, slack: float, small: bool) -> Heading:
    """Heading of a posture; ref [rad] of the unbent line, slack [N m] as elsewhere."""
    n = mesh.h.size
    turn, cos, sin = np.empty((n, 3)), np.full((n, 3), np.cos(ref)), np.full((n, 3), np.sin(ref))
    for e in range(n):
        start = p.node[e] + tilt(p.mom[e], mesh.comp[e], mesh.play[e], slack)
        for g in range(3):
            turn[e, g] = N_A[g] * start + N_M[g] * p.mid[e] + N_B[g] * p.node[e + 1]
            if not small:
                cos[e, g], sin[e, g] = np.cos(turn[e, g]), np.sin(turn[e, g])
    return Heading(turn, cos, sin)


@compiled_inside
def slope_of(c: float, s: float, lean: float, fx: float, fz: float, a: float, b: float) -> tuple[float, float]:
    """Direction [-] of the bent line, level and up: its derivative by the length along the unbent one.

    Parameters
    ----------
    c, s : cosine and sine of the heading.
    lean : [rad] by which the line leaves that heading, where small-deflection theory takes a slope for the angle.
    fx, fz : [N] force inside, level and up.
    a, b : [1/N] 1/EA and 1/S, for stretch and shear.
    """
    along, across = 1.0 + a * (fx * c + fz * s), lean + b * (fz * c - fx * s)
    return along * c - across * s, along * s + across * c


@compiled_inside
def line(
    mesh: Mesh, heading: Heading, fx: FloatArray, fz: FloatArray, anchor: int, ref: float, small: bool
) -> FloatArray:
    """(n + 1, 2) [m] places of nodes, from the anchor.

    Parameters
    ----------
    fx, fz : (n, 3) [N] inside the pole, level and up.
    anchor : the node that stays.
    ref : [rad] of the unbent line, from which `small` takes slopes for angles.
    """
    n = mesh.h.size
    nodes = np.zeros((n + 1, 2))
    for e in range(n):
        nodes[e + 1, 0], nodes[e + 1, 1] = nodes[e, 0], nodes[e, 1]
        for g in range(3):
            lean = heading.turn[e, g] - ref if small else 0.0
            c, s, a, b = heading.cos[e, g], heading.sin[e, g], 1.0 / mesh.ea[e, g], 1.0 / mesh.gs[e, g]
            x, z = slope_of(c, s, lean, fx[e, g], fz[e, g], a, b)
            nodes[e + 1, 0] += mesh.h[e] * WEIGHT[g] * x
            nodes[e + 1, 1] += mesh.h[e] * WEIGHT[g] * z
    for c in range(2):
        start = nodes[anchor, c]
        for e in range(n + 1):
            nodes[e, c] -= start
    return nodes


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
    fx, level = force_beyond(mesh, loads.qx, px, k)
    fz, up = force_beyond(mesh, loads.qz, pz, k)
    heading = heading_of(mesh, p, pins.root, slack, small)
    places = line(mesh, heading, fx, fz, k, pins.root, small)
    anchor = np.array([-_total(mesh, loads.qx, px), -_total(mesh, loads.qz, pz)])
    rotation, moment = np.empty((n + 1, 2)), np.empty((n + 1, 2))
    along, across = np.empty((n + 1, 2)), np.empty((n + 1, 2))
    for i in range(n + 1):
        held = 1.0 if i == k else 0.0
        rotation[i, 0], rotation[i, 1] = p.node[i], p.node[i] + tilt(p.mom[i], mesh.comp[i], mesh.play[i], slack)
        moment[i, 0], moment[i, 1] = p.mom[i], p.mom[i]  # they differ where the pole is built in
        for side in range(2):
            x, z = level[i], up[i]
            if side == 0:
                x, z = x + px[i] + held * anchor[0], z + pz[i] + held * anchor[1]
            turn = pins.root if small else rotation[i, side]
            c, s = np.cos(turn), np.sin(turn)
            along[i, side], across[i, side] = x * c + z * s, z * c - x * s
    moment[k, 0] = _behind(mesh, p, heading, fx, fz, k, small)
    return Answered(fx, fz, places[:, 0].copy(), places[:, 1].copy(), rotation, along, across, moment, anchor)


@compiled_inside
def _total(mesh: Mesh, q: FloatArray, p: FloatArray) -> float:
    """[N] sum of loads q (n, 3) [N/m] at Gauss points and p (n + 1,) [N] at nodes."""
    total = 0.0
    for i in range(p.size):
        total += p[i]
    for e in range(mesh.h.size):
        for g in range(3):
            total += mesh.h[e] * WEIGHT[g] * q[e, g]
    return total


@compiled_inside
def _behind(
    mesh: Mesh, p: Posture, heading: Heading, fx: FloatArray, fz: FloatArray, anchor: int, small: bool
) -> float:
    """[N m] moment on the butt side of the anchor, by the balance of the element before it."""
    if anchor == 0:
        return 0.0
    e = anchor - 1
    moment = p.mom[e]
    for g in range(3):
        a, b = (0.0, 0.0) if small else (1.0 / mesh.ea[e, g], 1.0 / mesh.gs[e, g])
        x, z = slope_of(heading.cos[e, g], heading.sin[e, g], 0.0, fx[e, g], fz[e, g], a, b)
        moment -= WEIGHT[g] * mesh.h[e] * (x * fz[e, g] - z * fx[e, g])
    return float(moment)


@compiled_inside
def slack_of(mesh: Mesh, loads: Loads) -> float:
    """[N m] a moment too small to matter, within which a joint may lie anywhere in its play."""
    total = abs(loads.follow[0]) + abs(loads.follow[1])
    for i in range(loads.px.size):
        total += abs(loads.px[i]) + abs(loads.pz[i])
    for e in range(mesh.h.size):
        for g in range(3):
            total += mesh.h[e] * (abs(loads.qx[e, g]) + abs(loads.qz[e, g]))
    return float(1e-9 * max(total, 1e-6) * (mesh.node[-1] - mesh.node[0]))
