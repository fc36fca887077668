"""A state turned into what the solver holds and loads: pins, loads, and the places where they act."""

from functools import lru_cache
from typing import assert_never

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.pole.elastica import Loads, Pins
from polewright.pole.layout import GAUSS, Mesh, node_at
from polewright.pole.state import Bench, Clamped, Foot, Hands, Lifted, Over, State, Support

__all__ = ["loads_of", "pins_of", "stops_of", "wall_ways"]


def stops_of(state: State, length: float) -> FloatArray:
    """(n,) [m] from the butt: the anchor first, then every further place where the pole is held; (length) = the tip."""
    return _stops(state.support, length)


def _stops(support: Support, length: float) -> FloatArray:
    match support:
        case Clamped():
            places = [support.station]
        case Bench():
            places = [support.hold, support.hold + support.distance]
        case Hands():
            places = [support.rear, support.front]
        case Lifted():
            places = [support.rear, support.front] + ([length] if support.tip == "grounded" else [])
        case Foot():
            places = [0.0, length]
        case Over():
            places = [0.0, support.station]
        case _:
            assert_never(support)
    if max(places) > length + 1e-9:
        raise DesignError(
            "support",
            Message("given.at_from_butt", places=max(places)),
            Message("want.within_pole_as_drawn_out_long", length=length),
        )
    return np.minimum(places, length)


@lru_cache(maxsize=64)
def _axes(angle: float) -> tuple[FloatArray, FloatArray]:
    c, s = np.cos(angle), np.sin(angle)
    return np.array([c, s]), np.array([-s, c])


def wall_ways(support: Foot, lean: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Off the wall, to the pole's side; along it, upward; and the wall's force on a sliding head: (2,) [-] each.

    Parameters
    ----------
    lean : [rad] of the root axis above level.

    The force is that of a push of one, with its drag.
    """
    along, _ = _axes(lean)
    up, off = _axes(support.wall)
    if off @ along > 0.0:
        off = -off
    drag = {"free": 0.0, "up": -support.friction, "down": support.friction, "stuck": 0.0}[support.slide]
    return off, up, off + drag * up


def pins_of(state: State, mesh: Mesh) -> Pins:
    """The anchor and the unknown forces of a state, on the nodes of its mesh; not to be written in."""
    follows = state.following and bool(np.any(state.tip_force))
    return _pins(state.support, float(state.lean), follows, mesh.node.tobytes())


@lru_cache(maxsize=64)
def _pins(support: Support, lean: float, follows: bool, nodes: bytes) -> Pins:
    """The same from what it follows from: the several loads of one reach are held alike."""
    node = np.frombuffer(nodes).copy()
    stops = _stops(support, float(node[-1]))
    anchor = node_at(node, float(stops[0]))
    along, across = _axes(lean)
    rows: list[tuple[int, int, FloatArray, FloatArray, float]] = []

    def pin(station: float, force: FloatArray, way: FloatArray) -> None:
        k = node_at(node, station)
        straight = (node[k] - node[anchor]) * along
        rows.append((k, 0, force, way, float(way @ straight)))

    if isinstance(support, Foot):
        off, up, force = wall_ways(support, lean)
        if support.slide == "stuck":
            pin(float(stops[1]), up, up)
        else:
            pin(float(stops[1]), force, off)
    else:
        for station in stops[1:]:
            grounded = isinstance(support, Lifted) and support.tip == "grounded" and station == stops[-1]
            way = np.array([0.0, 1.0]) if grounded else across
            pin(float(station), way, way)
    if follows:
        for kind, way in ((1, np.array([1.0, 0.0])), (2, np.array([0.0, 1.0]))):
            rows.append((node.size - 1, kind, way, way, 0.0))
    return Pins(
        anchor,
        not isinstance(support, Clamped),
        lean,
        np.array([r[0] for r in rows], dtype=np.int64),
        np.array([r[1] for r in rows], dtype=np.int64),
        np.array([r[2] for r in rows]).reshape(-1, 2),
        np.array([r[3] for r in rows]).reshape(-1, 2),
        np.array([r[4] for r in rows]),
    )


def loads_of(state: State, mesh: Mesh, root: float) -> Loads:
    """Weight, head, hose, wind and tip force of a state on its mesh; wind is taken where the unbent pole stands.

    Parameters
    ----------
    root : [m] from the butt to the anchor, from which heights in the wind are measured.

    Returns
    -------
    Loads : qx, qz (n, 3) [N/m]; px, pz (n + 1,) [N]; follow (2,) [N].
    """
    along, across = _axes(state.lean)
    qx, qz = np.zeros_like(mesh.mu), -state.gravity * (mesh.mu + state.hose)
    if state.wind is not None:
        height = (mesh.node[:-1, None] + GAUSS * mesh.h[:, None] - root) * along[1]
        push = np.interp(height, state.wind.height, state.wind.pressure) * mesh.dia * along[1] * abs(along[1])
        qx, qz = qx - push * across[0], qz - push * across[1]
    px, pz = np.zeros(mesh.node.size), -state.gravity * mesh.lump
    pz[-1] -= state.gravity * (state.head_mass + state.hanging)
    if isinstance(state.support, Foot) and state.support.slide == "stuck":
        pushed = state.support.push * wall_ways(state.support, state.lean)[0]
        px[-1] += pushed[0]
        pz[-1] += pushed[1]
    follow = np.zeros(2)
    if state.following:
        follow = state.tip_force.copy()
    else:
        tip = state.tip_force[0] * along + state.tip_force[1] * across
        px[-1] += tip[0]
        pz[-1] += tip[1]
    return Loads(qx, qz, px, pz, follow)
