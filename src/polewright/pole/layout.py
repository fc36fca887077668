"""A pole in a state, laid out as one stepped beam from butt to tip.

Where tubes lie inside each other their stiffness adds up ("glued": they bend as one, the sum of their walls), or they
touch at the two ends of the overlap alone ("touching": they bend a little more). Mass of every tube counts over its
whole length, buried or not. Each joint is a spring and a free tilt at its pivot within the overlap, drawn out or not.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.compiled import compiled, compiled_inside
from polewright.conventions.overlaps import OVERLAPS, JointModel
from polewright.errors import DesignError
from polewright.pole.pole import Pole

__all__ = ["GAUSS", "JointModel", "Mesh", "Packed", "laid_out", "lay_out", "packed", "sections_at"]

GAUSS = np.array([0.5 - np.sqrt(0.15), 0.5, 0.5 + np.sqrt(0.15)])
OVERLAP_PARTS = 8
"""The stiffness of touching tubes varies within an overlap: elements no longer than this part of it follow it."""
_TINY = 1e-9


class Packed(NamedTuple):
    """A pole as plain arrays, for the compiled loops: sections numbered from the tip, stations padded to one width."""

    length: FloatArray  # (n_section,) [m]
    station: FloatArray  # (n_section, n_station) [m] from each tube's butt
    bending: FloatArray  # (n_section, n_station) [N m2]
    axial: FloatArray  # (n_section, n_station) [N]
    shear: FloatArray  # (n_section, n_station) [N]
    mass_per_length: FloatArray  # (n_section, n_station) [kg/m]
    bore: FloatArray  # (n_section, n_station) [m]
    outside: FloatArray  # (n_section, n_station) [m]
    compliance: FloatArray  # (n_joint,) [rad/(N m)]
    clearance: FloatArray  # (n_joint,) [m] on diameter
    share: FloatArray  # (n_joint,) free tilt = play + share x clearance / overlap: 1/2 with a centred mouth, 1 without,
    play: FloatArray  # (n_joint,) [rad] 0 where the free tilt was measured and is the `play`
    pivot: FloatArray  # (n_joint,) where it turns: share of the overlap, in from the outer mouth
    clamp: FloatArray  # (n_joint,) [kg]
    tip_mass: float  # [kg]


class Mesh(NamedTuple):
    """The stepped beam: n elements of three Gauss points each, from the butt to the tip."""

    node: FloatArray  # (n + 1,) [m] from the butt
    h: FloatArray  # (n,) [m]
    ei: FloatArray  # (n, 3) [N m2]
    ea: FloatArray  # (n, 3) [N]
    gs: FloatArray  # (n, 3) [N]
    mu: FloatArray  # (n, 3) [kg/m] tubes alone
    rot: FloatArray  # (n, 3) [kg m] rotary inertia per length
    dia: FloatArray  # (n, 3) [m] outside diameter in the open
    owner: NDArray[np.int64]  # (n,) the section seen from outside
    comp: FloatArray  # (n + 1,) [rad/(N m)] joint springs, on the tip side of the node
    play: FloatArray  # (n + 1,) [rad] free tilt to one side
    lump: FloatArray  # (n + 1,) [kg]
    joint_node: NDArray[np.int64]  # (n_joint,)
    butt: FloatArray  # (n_section,) [m] where each tube starts
    mouth: FloatArray  # (n_section,) [m] where it ends


@lru_cache(maxsize=16)
def packed(pole: Pole) -> Packed:
    """The arrays of a pole; short station tables are carried on level beyond their tube. Not to be written in."""
    width = max(t.station.size for t in pole.tubes)

    def table(name: str) -> FloatArray:
        values = np.empty((len(pole.tubes), width))
        for row, tube in zip(values, pole.tubes, strict=True):
            own = getattr(tube, name)
            row[: own.size], row[own.size :] = own, own[-1]
        return values

    station = table("station")
    for row, tube in zip(station, pole.tubes, strict=True):
        row[tube.station.size :] += np.arange(1, width - tube.station.size + 1)
    joints = pole.joints
    return Packed(
        length=np.array([t.length for t in pole.tubes], dtype=np.float64),
        station=station,
        bending=table("bending"),
        axial=table("axial"),
        shear=table("shear"),
        mass_per_length=table("mass_per_length"),
        bore=table("bore"),
        outside=table("outside"),
        compliance=np.array([1.0 / j.stiffness for j in joints]),
        clearance=np.array([j.clearance for j in joints], dtype=np.float64),
        share=np.array([j.tilt_share for j in joints]),
        play=np.array([j.play or 0.0 for j in joints]),
        pivot=np.array([j.pivot for j in joints], dtype=np.float64),
        clamp=np.array([j.mass for j in joints], dtype=np.float64),
        tip_mass=float(pole.tip_mass),
    )


@compiled
def sections_at(length: FloatArray, drawn: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(n_section,) [m] from the pole's butt: where each tube starts and where its mouth is."""
    n = length.size
    butt, mouth = np.zeros(n), np.zeros(n)
    mouth[n - 1] = length[n - 1]
    for i in range(n - 2, -1, -1):
        mouth[i] = mouth[i + 1] + drawn[i]
        butt[i] = mouth[i] - length[i]
    return butt, mouth


@compiled_inside
def _table(at: float, station: FloatArray, value: FloatArray) -> float:
    """Linear between stations, level beyond."""
    if at <= station[0]:
        return float(value[0])
    for k in range(1, station.size):
        if at <= station[k]:
            part = (at - station[k - 1]) / (station[k] - station[k - 1])
            return float(value[k - 1] + part * (value[k] - value[k - 1]))
    return float(value[-1])


@compiled_inside
def _pivot(pole: Packed, butt: FloatArray, mouth: FloatArray, j: int) -> float:
    """[m] from the pole's butt where joint j turns."""
    return float(mouth[j + 1] - pole.pivot[j] * (mouth[j + 1] - butt[j]))


@compiled_inside
def _breaks(pole: Packed, butt: FloatArray, mouth: FloatArray, stops: FloatArray) -> FloatArray:
    """Every place where the beam may change or is held, in order, each once."""
    n, width = pole.station.shape
    marks = np.empty(n * (width + 2) + n - 1 + stops.size)
    count = 0
    for i in range(n):
        marks[count], marks[count + 1] = butt[i], mouth[i]
        count += 2
        for k in range(1, width - 1):
            if pole.station[i, k] < pole.length[i]:
                marks[count] = butt[i] + pole.station[i, k]
                count += 1
        if i < n - 1:
            marks[count] = _pivot(pole, butt, mouth, i)
            count += 1
    for stop in stops:
        marks[count] = stop
        count += 1
    for k in range(1, count):
        mark, j = marks[k], k
        while j > 0 and marks[j - 1] > mark:
            marks[j] = marks[j - 1]
            j -= 1
        marks[j] = mark
    kept, last = np.empty(count), 0
    kept[0] = marks[0]
    for k in range(1, count):
        mark = marks[k]
        if mark - kept[last] > _TINY:
            last += 1
            kept[last] = mark
    return kept[: last + 1]


@compiled_inside
def _cut(breaks: FloatArray, pieces: int) -> FloatArray:
    """The breaks with each stretch cut into equal elements, none longer than the whole over `pieces`."""
    longest = (breaks[-1] - breaks[0]) / pieces
    total = 1
    for k in range(breaks.size - 1):
        total += int(np.ceil((breaks[k + 1] - breaks[k]) / longest - 1e-9))
    node, at = np.empty(total), 1
    node[0] = breaks[0]
    for k in range(breaks.size - 1):
        n = int(np.ceil((breaks[k + 1] - breaks[k]) / longest - 1e-9))
        for j in range(1, n):
            node[at] = breaks[k] + (breaks[k + 1] - breaks[k]) * j / n
            at += 1
        node[at] = breaks[k + 1]
        at += 1
    return node


@compiled_inside
def _touching(pole: Packed, butt: FloatArray, mouth: FloatArray, i: int, at: float) -> float:
    """EI of an overlap of tubes i and i + 1 that touch at its two ends; the moment passes over linearly between.

    1/EI = x2/EI_inner + (1 - x)2/EI_outer, x from the inner butt: the energy of both tubes under one moment.
    """
    x = (at - butt[i]) / (mouth[i + 1] - butt[i])
    inner = _table(at - butt[i], pole.station[i], pole.bending[i])
    outer = _table(at - butt[i + 1], pole.station[i + 1], pole.bending[i + 1])
    return float(1.0 / (x * x / inner + (1.0 - x) ** 2 / outer))


@compiled_inside
def _overlap_stops(butt: FloatArray, mouth: FloatArray, stops: FloatArray) -> FloatArray:
    """The stops, and places that cut every overlap into even parts: what touches is softest near its two ends."""
    joints = butt.size - 1
    more = np.empty(stops.size + joints * (OVERLAP_PARTS - 1))
    more[: stops.size] = stops
    at = stops.size
    for j in range(joints):
        for k in range(1, OVERLAP_PARTS):
            more[at] = butt[j] + (mouth[j + 1] - butt[j]) * k / OVERLAP_PARTS
            at += 1
    return more


@compiled_inside
def _fill(pole: Packed, mesh: Mesh, touching: bool) -> None:
    """Stiffness and mass at the Gauss points: the sum over the tubes that lie there."""
    for e in range(mesh.h.size):
        middle = 0.5 * (mesh.node[e] + mesh.node[e + 1])
        walls = 0
        for i in range(mesh.butt.size - 1, -1, -1):
            if mesh.butt[i] < middle < mesh.mouth[i]:
                walls += 1
                if walls == 1:
                    mesh.owner[e] = i
                for g in range(3):
                    at = mesh.node[e] + GAUSS[g] * mesh.h[e] - mesh.butt[i]
                    mass = _table(at, pole.station[i], pole.mass_per_length[i])
                    bore = _table(at, pole.station[i], pole.bore[i])
                    outside = _table(at, pole.station[i], pole.outside[i])
                    mesh.ei[e, g] += _table(at, pole.station[i], pole.bending[i])
                    mesh.ea[e, g] += _table(at, pole.station[i], pole.axial[i])
                    mesh.gs[e, g] += _table(at, pole.station[i], pole.shear[i])
                    mesh.mu[e, g] += mass
                    mesh.rot[e, g] += mass * (bore * bore + outside * outside) / 16.0
                    if walls == 1:
                        mesh.dia[e, g] = outside
        if touching and walls == 2:
            i = mesh.owner[e] - 1
            for g in range(3):
                mesh.ei[e, g] = _touching(pole, mesh.butt, mesh.mouth, i, mesh.node[e] + GAUSS[g] * mesh.h[e])


@compiled
def node_at(node: FloatArray, station: float) -> int:
    """The place in `node` (n,) [m], rising, of the one nearest to a station [m]."""
    k = 0
    while k < node.size and node[k] < station:
        k += 1
    if k == node.size or (k > 0 and station - node[k - 1] < node[k] - station):
        k -= 1
    return k


@compiled
def mesh_of(pole: Packed, drawn: FloatArray, stops: FloatArray, pieces: int, touching: bool) -> Mesh:
    """The stepped beam of a pole drawn out as told, with a node at every stop (n,) [m] from the butt."""
    butt, mouth = sections_at(pole.length, drawn)
    if touching:
        stops = _overlap_stops(butt, mouth, stops)
    node = _cut(_breaks(pole, butt, mouth, stops), pieces)
    n, joints = node.size - 1, drawn.size
    h = np.empty(n)
    for e in range(n):
        h[e] = node[e + 1] - node[e]
    mesh = Mesh(
        node,
        h,
        np.zeros((n, 3)),
        np.zeros((n, 3)),
        np.zeros((n, 3)),
        np.zeros((n, 3)),
        np.zeros((n, 3)),
        np.zeros((n, 3)),
        np.zeros(n, np.int64),
        np.zeros(n + 1),
        np.zeros(n + 1),
        np.zeros(n + 1),
        np.zeros(joints, np.int64),
        butt,
        mouth,
    )
    _fill(pole, mesh, touching)
    for j in range(joints):
        overlap = mouth[j + 1] - butt[j]
        k = node_at(node, _pivot(pole, butt, mouth, j))
        mesh.joint_node[j] = k
        mesh.comp[k] += pole.compliance[j]
        mesh.play[k] += pole.play[j]
        if pole.share[j] * pole.clearance[j] > 0.0:
            mesh.play[k] += pole.share[j] * pole.clearance[j] / overlap
        mesh.lump[node_at(node, mouth[j + 1])] += pole.clamp[j]
    mesh.lump[n] += pole.tip_mass
    return mesh


def _check_drawn(pole: Pole, drawn: FloatArray) -> None:
    if drawn.shape != (len(pole.joints),):
        raise DesignError(
            "drawn",
            Message("given.lengths", size=drawn.size),
            Message("want.one_joint_tip_first", count=len(pole.joints)),
        )
    for j, (value, low, high) in enumerate(zip(drawn, pole.closed_draw, pole.full_draw, strict=True)):
        if not min(low, high) - 1e-9 <= value <= high + 1e-9:
            raise DesignError(f"drawn[{j}]", float(value), Message("want.between_pushed_fully_out", low=low, high=high))
        pole.joints[j].free_tilt(pole.tubes[j].length - float(value))


def lay_out(
    pole: Pole,
    drawn: FloatArray,
    *,
    stops: FloatArray | None = None,
    pieces: int = 32,
    joint_model: JointModel | None = None,
) -> Mesh:
    """The stepped beam of a pole.

    Parameters
    ----------
    drawn : (n_joint,) [m] how far each section stands out of the next one's mouth, tip first.
    stops : (n,) [m] from the butt, further places that must be nodes: supports, points of interest.
    pieces : no element is longer than the whole length over this.
    joint_model : "glued" or "touching"; the pole's own where none is given.

    Raises
    ------
    DesignError : a section drawn out further than its overlap allows, or pushed in too far; clearance without overlap.
    """
    drawn = np.array(drawn, dtype=np.float64)  # an own copy: a loop is compiled anew for arrays that are read-only
    _check_drawn(pole, drawn)
    if pieces < 1:
        raise DesignError("pieces", pieces, Message("want.at_least_1"))
    model = pole.overlaps if joint_model is None else joint_model
    if model not in OVERLAPS:
        raise DesignError("joint_model", model, Message("want.glued_or_touching"))
    held = np.zeros(0) if stops is None else np.asarray(stops, dtype=np.float64)
    end = pole.tubes[-1].length + float(drawn.sum())
    if held.size and not (np.all(held >= 0.0) and np.all(held <= end + 1e-9)):
        raise DesignError("station", held.tolist(), Message("want.between_0_length_pole_as_drawn", end=end))
    return mesh_of(packed(pole), drawn, np.minimum(held, end), pieces, model == "touching")


def laid_out(pole: Pole, drawn: FloatArray, *, stops: FloatArray, pieces: int, joint_model: JointModel | None) -> Mesh:
    """As `lay_out`, remembered for the several loads of one reach; not to be written in.

    Parameters
    ----------
    drawn : (n_joint,) [m] how far each section stands out, tip first.
    stops : (n,) [m] from the butt, further places that must be nodes.
    """
    return _laid_out(pole, drawn.tobytes(), stops.tobytes(), pieces, joint_model)


@lru_cache(maxsize=32)
def _laid_out(pole: Pole, drawn: bytes, stops: bytes, pieces: int, joint_model: JointModel | None) -> Mesh:
    return lay_out(
        pole, np.frombuffer(drawn).copy(), stops=np.frombuffer(stops).copy(), pieces=pieces, joint_model=joint_model
    )
