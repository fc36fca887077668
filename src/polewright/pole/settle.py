"""Loading in steps so that the branch that starts straight is followed, and the posture that is kept in the end."""

from typing import NamedTuple

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled, compiled_inside
from polewright.pole.correct import move, newton, step
from polewright.pole.elastica import (
    Answered,
    Loads,
    Pins,
    Posture,
    answered,
    force_beyond,
    heading_of,
    node_loads,
    posture,
    slack_of,
)
from polewright.pole.layout import Mesh

__all__ = ["MOST_STRAIN", "Settled", "settle", "settled", "without_play"]

ASIDE = 0.03  # of every load, level, that tips an unstable pole to one side
MOST_STRAIN = 1.0  # of stretch or shear, far beyond any wall: what a straight spring says there means nothing


@compiled_inside
def _part(loads: Loads, factor: float, side: float) -> Loads:
    """The loads times a factor, with a level push of `side` times the size of every load."""
    push = factor * side
    return Loads(
        factor * loads.qx + push * (np.abs(loads.qx) + np.abs(loads.qz)),
        factor * loads.qz,
        factor * loads.px + push * (np.abs(loads.px) + np.abs(loads.pz)),
        factor * loads.pz,
        factor * loads.follow,
    )


@compiled_inside
def _put(to: FloatArray, of: FloatArray) -> None:
    for k in range(to.size):
        to[k] = of[k]


@compiled_inside
def _copy(to: Posture, of: Posture) -> None:
    _put(to.node, of.node)
    _put(to.mid, of.mid)
    _put(to.mom, of.mom)
    _put(to.lam, of.lam)


@compiled_inside
def _farthest(a: FloatArray, b: FloatArray) -> float:
    """Largest difference of two rows."""
    most = 0.0
    for k in range(a.size):
        most = max(most, abs(a[k] - b[k]))
    return most


@compiled_inside
def _climb(
    mesh: Mesh, loads: Loads, pins: Pins, p: Posture, slack: float, side: float, small: bool
) -> tuple[bool, int, int]:
    """Full load in steps that halve when a step fails or leaves the stable branch, and grow when it was easy."""
    good, tried = posture(mesh.h.size, pins.node.size, pins.root), posture(mesh.h.size, pins.node.size, pins.root)
    _copy(good, p)
    factor, stride, total = 0.0, 0.125, 0
    while factor < 1.0:
        aim = min(1.0, factor + stride)
        _copy(tried, good)
        done, count, negative = newton(mesh, _part(loads, aim, side), pins, tried, slack, small, 14.0)
        total += count
        if done and negative == 0 and _farthest(tried.node, good.node) < 0.5:
            factor = aim
            _copy(good, tried)
            if count < 7:
                stride *= 2.0
        else:
            stride *= 0.5
            if stride < 1e-6:
                _copy(p, good)
                return False, total, negative
    _copy(p, good)
    return True, total, 0


@compiled
def without_play(mesh: Mesh) -> Mesh:
    """The same beam with joints that do not rattle."""
    return Mesh(
        mesh.node,
        mesh.h,
        mesh.ei,
        mesh.ea,
        mesh.gs,
        mesh.mu,
        mesh.rot,
        mesh.dia,
        mesh.owner,
        mesh.comp,
        np.zeros_like(mesh.play),
        mesh.lump,
        mesh.joint_node,
        mesh.butt,
        mesh.mouth,
    )


@compiled_inside
def _is_loaded(loads: Loads) -> bool:
    """Whether anything acts; with nothing acting every joint may lie in the middle of its play."""
    for e in range(loads.px.size):
        if loads.px[e] != 0.0 or loads.pz[e] != 0.0:
            return True
    for e in range(loads.qx.shape[0]):
        for g in range(3):
            if loads.qx[e, g] != 0.0 or loads.qz[e, g] != 0.0:
                return True
    return bool(loads.follow[0] != 0.0 or loads.follow[1] != 0.0)


@compiled_inside
def _let_go(
    mesh: Mesh, loads: Loads, pins: Pins, p: Posture, slack: float, side: float, small: bool
) -> tuple[bool, int, int]:
    """The small push to the side taken away again, in place, in steps that stay on the stable branch.

    The rest is let go at once from a thirtieth on, and if that leaves the branch, in ever smaller parts.
    """
    good, tried = posture(mesh.h.size, pins.node.size, pins.root), posture(mesh.h.size, pins.node.size, pins.root)
    _copy(good, p)
    push, fine, total, negative = ASIDE, 0.3, 0, 0
    while fine < 0.9:
        if push < 0.04 * ASIDE:
            _copy(tried, good)
            done, count, negative = newton(mesh, loads, pins, tried, slack, small, 60.0)
            total += count
            if done and negative == 0:
                _copy(p, tried)
                return True, total, 0
        if push < 1e-12:
            break
        _copy(tried, good)
        done, count, negative = newton(mesh, _part(loads, 1.0, fine * push * side), pins, tried, slack, small, 60.0)
        total += count
        if done and negative == 0:
            push *= fine
            _copy(good, tried)
        else:
            fine = np.sqrt(fine)
    return False, total, negative


@compiled_inside
def _found(mesh: Mesh, loads: Loads, pins: Pins, slack: float, small: bool, side: float) -> tuple[Posture, int, int]:
    """The pole in balance: posture, iterations, and 0 stable, 1 bent aside from a straight line, -1 not found.

    First tried at once, which is safe while the straight pole is stable under the whole load; else in steps; else, if
    the straight line itself is unstable, in steps with a small push to the side (sign of `side`) that is then removed.
    """
    n, m = mesh.h.size, pins.node.size
    p = posture(n, m, pins.root)
    stiff = without_play(mesh)
    if not _is_loaded(loads):
        return p, 0, 0
    if small:
        move(stiff, p, step(stiff, loads, pins, p, slack, small), slack, small)
        done, count, _ = newton(mesh, loads, pins, p, slack, small, 30.0)
        return p, count, 0 if done else -1
    first = step(stiff, loads, pins, p, slack, small)
    unstable = first[4]
    if unstable == 0:
        move(stiff, p, first, slack, small)
        newton(stiff, loads, pins, p, slack, small, 1.0)
        done, count, negative = newton(mesh, loads, pins, p, slack, small, 25.0)
        if done and negative == 0:
            return p, count, 0
    _copy(p, posture(n, m, pins.root))
    done, count, negative = _climb(stiff, loads, pins, p, slack, 0.0, small)
    if done:
        done, more, negative = newton(mesh, loads, pins, p, slack, small, 60.0)
        if done and negative == 0:
            return p, count + more, 0
    _copy(p, posture(n, m, pins.root))
    done, count, negative = _climb(stiff, loads, pins, p, slack, ASIDE * side, small)
    aside = p.node.copy()
    if done:
        done, more, negative = newton(mesh, _part(loads, 1.0, ASIDE * side), pins, p, slack, small, 60.0)
        count += more
    if done:
        done, more, negative = _let_go(mesh, loads, pins, p, slack, side, small)
        count += more
    same_side = 0.0
    for k in range(n + 1):
        same_side += (aside[k] - pins.root) * (p.node[k] - pins.root)
    if done and negative == 0 and same_side > 0.0:
        return p, count, 1 if unstable > 0 else 0
    return p, count, -1


@compiled_inside
def _strain(mesh: Mesh, loads: Loads, pins: Pins, p: Posture, slack: float, small: bool) -> float:
    """Largest stretch or shear of the pole [-]."""
    px, pz = node_loads(loads, pins, p.lam)
    fx, _ = force_beyond(mesh, loads.qx, px, pins.anchor)
    fz, _ = force_beyond(mesh, loads.qz, pz, pins.anchor)
    heading, most = heading_of(mesh, p, pins.root, slack, small), 0.0
    for e in range(mesh.h.size):
        for g in range(3):
            c, s = heading.cos[e, g], heading.sin[e, g]
            along, across = fx[e, g] * c + fz[e, g] * s, fz[e, g] * c - fx[e, g] * s
            most = max(most, abs(along) / mesh.ea[e, g], abs(across) / mesh.gs[e, g])
    return most


@compiled_inside
def settle(mesh: Mesh, loads: Loads, pins: Pins, slack: float, small: bool, side: float) -> tuple[Posture, int, int]:
    """The pole in balance: posture, iterations, and 0 stable, 1 bent aside from a straight line, -1 not found.

    -2 if it is stretched or sheared beyond `MOST_STRAIN`, where walls are long gone and springs no longer straight.

    Parameters
    ----------
    slack : [N m] moment within which a joint may lie anywhere in its play.
    small : small-deflection theory.
    side : [-] to which side an unstable pole bends, by its sign.
    """
    p, count, found = _found(mesh, loads, pins, slack, small, side)
    if found >= 0 and not small and _strain(mesh, loads, pins, p, slack, small) > MOST_STRAIN:
        found = -2
    return p, count, found


class Settled(NamedTuple):
    """A posture as `settle` finds it, with its `slack_of` and what it means."""

    posture: Posture
    iterations: int
    code: int
    slack: float  # [N m]
    inside: Answered


@compiled
def settled(mesh: Mesh, loads: Loads, pins: Pins, small: bool, side: float) -> Settled:
    """As `settle`, with what the posture means for places [m], forces [N] and joints [rad], in one call."""
    slack = slack_of(mesh, loads)
    p, count, code = settle(mesh, loads, pins, slack, small, side)
    return Settled(p, count, code, slack, answered(mesh, loads, pins, p, slack, small))
