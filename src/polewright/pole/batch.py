"""Many poles in one call: the same state for every one of a batch, large deflection each, no Python between them."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.compiled import compiled, compiled_inside
from polewright.errors import DesignError
from polewright.pole.elastica import WEIGHT, Loads, Pins, force_beyond, heading_of, line, node_loads
from polewright.pole.layout import JointModel, Mesh, Packed, mesh_of, node_at, packed
from polewright.pole.pole import Pole
from polewright.pole.settle import settle
from polewright.pole.state import Bench, Clamped, Hands, Lifted, State

__all__ = ["PoleBatch", "Tips", "bent_lines", "bent_tips"]


@dataclass(frozen=True, slots=True, eq=False)
class PoleBatch:
    """Poles of one build as arrays; cases lead, sections are numbered from the tip, stations run from each tube's butt.

    length (n_case, n_section) [m]; station, bending [N m2], axial [N], shear [N], mass_per_length [kg/m], bore,
    outside [m], all (n_case, n_section, n_station); compliance [rad/(N m)], clearance [m on diameter], share and
    play [rad] (free tilt = play + share x clearance / overlap; share 0.5 with a centred mouth, 1 without), pivot (where
    the joint turns, share of the overlap in from the mouth), clamp [kg], all (n_case, n_joint);
    tip_mass (n_case,) [kg]; drawn (n_case, n_joint) [m]; touching (n_case,) [-]: 1 where tubes in one another touch at
    the ends of their overlap alone, 0 where they bend as one.
    """

    length: FloatArray
    station: FloatArray
    bending: FloatArray
    axial: FloatArray
    shear: FloatArray
    mass_per_length: FloatArray
    bore: FloatArray
    outside: FloatArray
    compliance: FloatArray
    clearance: FloatArray
    share: FloatArray
    play: FloatArray
    pivot: FloatArray
    clamp: FloatArray
    tip_mass: FloatArray
    drawn: FloatArray
    touching: FloatArray

    def __post_init__(self) -> None:
        names = tuple(self.__dataclass_fields__)
        freeze(self, names)
        if self.length.ndim != 2 or self.station.ndim != 3:
            raise DesignError("length", self.length.shape, Message("want.one_row_pole_one_length_section"))
        cases, sections = self.length.shape
        wide = (cases, sections, self.station.shape[2])
        shapes = (
            dict.fromkeys(names, (cases, sections - 1))
            | dict.fromkeys(names[1:8], wide)
            | {"length": (cases, sections), "tip_mass": (cases,), "touching": (cases,)}
        )
        for name in names:
            values = getattr(self, name)
            if values.shape != shapes[name]:
                raise DesignError(name, values.shape, Message("want.shape", shape=str(shapes[name])))
            if not np.all(np.isfinite(values)):
                raise DesignError(name, Message("given.not_finite"), Message("want.finite_numbers"))
        for name in ("length", "bending", "axial", "shear", "outside"):
            if np.any(getattr(self, name) <= 0.0):
                raise DesignError(name, float(getattr(self, name).min()), Message("want.above_zero"))
        overlap = self.length[:, :-1] - self.drawn
        if np.any(overlap < -1e-9) or np.any((overlap <= 1e-9) & (self.clearance > 0.0)):
            raise DesignError("drawn", float(overlap.min()), Message("want.less_than_each_section_s_length"))
        if np.any(overlap > self.length[:, 1:] + 1e-9):
            raise DesignError("drawn", float(self.drawn.min()), Message("want.enough_that_no_section_runs_out"))

    @classmethod
    def of(cls, poles: list[Pole], drawn: FloatArray) -> "PoleBatch":
        """Poles of one build, drawn (n_case, n_joint) or (n_joint,) [m]; for large batches give the arrays instead."""
        rows = [packed(p) for p in poles]
        names = list(cls.__dataclass_fields__)[:-2]
        many = {name: np.array([getattr(r, name) for r in rows]) for name in names}
        touching = np.array([float(p.overlaps == "touching") for p in poles])
        return cls(**many, drawn=np.broadcast_to(drawn, many["clearance"].shape), touching=touching)


@dataclass(frozen=True, slots=True, eq=False)
class Tips:
    """Figures of each pole of a batch, all (n_case,).

    droop [m] of the tip across the root axis, x and z [m] of the tip level and up from the anchor, root_moment [N m]
    at the last support, mass [kg]; found is 1 where a posture in balance was reached, else 0 and the rest is NaN.
    """

    droop: FloatArray
    x: FloatArray
    z: FloatArray
    root_moment: FloatArray
    mass: FloatArray
    found: FloatArray

    def __post_init__(self) -> None:
        freeze(self, tuple(self.__dataclass_fields__))


@compiled_inside
def _packed_case(many: tuple[FloatArray, ...], i: int) -> Packed:
    """The pole of one case; `many` in the order of `Packed`, a case a row."""
    return Packed(
        many[0][i],
        many[1][i],
        many[2][i],
        many[3][i],
        many[4][i],
        many[5][i],
        many[6][i],
        many[7][i],
        many[8][i],
        many[9][i],
        many[10][i],
        many[11][i],
        many[12][i],
        many[13][i],
        many[14][i],
    )


@compiled_inside
def _pins_case(mesh: Mesh, held: FloatArray, turning: bool, lean: float) -> Pins:
    """The supports at `held` [m] from the butt, the first of them the anchor, all across the root axis."""
    m, c, s = held.size - 1, np.cos(lean), np.sin(lean)
    node, way = np.zeros(m, np.int64), np.zeros((m, 2))
    for j in range(m):
        node[j] = node_at(mesh.node, held[j + 1])
        way[j, 0], way[j, 1] = -s, c
    return Pins(node_at(mesh.node, held[0]), turning, lean, node, np.zeros(m, np.int64), way, way, np.zeros(m))


@compiled_inside
def _droops_at(mesh: Mesh, places: FloatArray, lean: float, at: FloatArray, out: FloatArray) -> None:
    """Fill out (n_place,) [m], the droop across the root axis at rising shares `at` of the length."""
    n, e, c, s = mesh.h.size, 0, np.cos(lean), np.sin(lean)
    for j in range(at.size):
        while e < n - 1 and mesh.node[e + 1] < at[j] * mesh.node[n]:
            e += 1
        part = (at[j] * mesh.node[n] - mesh.node[e]) / mesh.h[e]
        x = (1.0 - part) * places[e, 0] + part * places[e + 1, 0]
        z = (1.0 - part) * places[e, 1] + part * places[e + 1, 1]
        out[j] = x * s - z * c


@compiled
def _run(
    many: tuple[FloatArray, ...],
    held: FloatArray,
    turning: bool,
    given: FloatArray,
    small: bool,
    pieces: int,
    touching: FloatArray,
    out: FloatArray,
    at: FloatArray,
    lines: FloatArray,
) -> None:
    """Fill out (n_case, 6) and, at rising shares `at` of each length, lines (n_case, n_place) [m].

    given: lean, gravity, head, hose, hanging, tip force level and up.
    """
    lean, gravity, head, hose, hanging, level, up = given
    c, s = np.cos(lean), np.sin(lean)
    for i in range(out.shape[0]):
        mesh = mesh_of(_packed_case(many, i), many[15][i], held, pieces, touching[i] > 0.5)
        n, pins = mesh.h.size, _pins_case(mesh, held, turning, lean)
        px, pz = np.zeros(n + 1), -gravity * mesh.lump
        px[n] += level
        pz[n] += up - gravity * (head + hanging)
        loads = Loads(np.zeros((n, 3)), -gravity * (mesh.mu + hose), px, pz, np.zeros(2))
        slack = 1e-9 * (np.sum(np.abs(pz)) + np.sum(np.abs(px)) + 1e-6) * mesh.node[n]
        p, _, code = settle(mesh, loads, pins, slack, small, 1.0)
        if code < 0:
            out[i, :5], lines[i, :] = np.nan, np.nan
            continue
        px, pz = node_loads(loads, pins, p.lam)
        fx, _ = force_beyond(mesh, loads.qx, px, pins.anchor)
        fz, _ = force_beyond(mesh, loads.qz, pz, pins.anchor)
        places = line(mesh, heading_of(mesh, p, lean, slack, small), fx, fz, pins.anchor, lean, small)
        last = pins.node[-1] if pins.node.size > 0 else pins.anchor
        out[i, 0] = places[n, 0] * s - places[n, 1] * c
        out[i, 1], out[i, 2], out[i, 3], out[i, 5] = places[n, 0], places[n, 1], p.mom[last], 1.0
        _droops_at(mesh, places, lean, at, lines[i])
        out[i, 4] = np.sum(mesh.lump) + hose * mesh.node[n] + head + hanging
        for g in range(3):
            out[i, 4] += WEIGHT[g] * np.sum(mesh.mu[:, g] * mesh.h)


def bent_tips(
    batch: PoleBatch,
    state: State,
    *,
    joint_model: JointModel | None = None,
    pieces: int = 24,
    small: bool = False,
    threads: int = 2,
) -> Tips:
    """Tip figures of every pole of a batch in one state.

    The support is clamped, bench, hands or lifted with a free tip; `state.drawn` is not used, each pole has its own.
    Same numbers whatever the number of threads.

    Raises
    ------
    DesignError : another support, wind or a following tip force.

    Source
    ------
    As `elastica`.
    """
    out, _ = _solved(batch, state, np.zeros(0), joint_model=joint_model, pieces=pieces, small=small, threads=threads)
    return Tips(*out.T)


def bent_lines(
    batch: PoleBatch,
    state: State,
    at: FloatArray,
    *,
    joint_model: JointModel | None = None,
    pieces: int = 24,
    threads: int = 2,
) -> FloatArray:
    """Droop [m] across the root axis of every pole of a batch, (n_case, n_place), at places along each.

    Parameters
    ----------
    at : (n_place,) [-] rising shares of each pole's own length from the butt, 0 to 1.

    Returns
    -------
    (n_case, n_place) [m]; NaN where no posture in balance was reached. Straight between nodes.

    Raises
    ------
    DesignError : as `bent_tips`; places that do not rise from 0 to 1.

    Source
    ------
    As `elastica`.
    """
    at = np.asarray(at, dtype=np.float64)
    if at.ndim != 1 or not np.all((at >= 0.0) & (at <= 1.0)) or np.any(np.diff(at) < 0.0):
        raise DesignError("at", at.tolist(), Message("want.rising_shares_length_0_1"))
    return _solved(batch, state, at, joint_model=joint_model, pieces=pieces, small=False, threads=threads)[1]


def _held(support: object) -> FloatArray:
    """(n,) [m] where the poles are held."""
    match support:
        case Clamped():
            return np.array([support.station])
        case Bench():
            return np.array([support.hold, support.hold + support.distance])
        case Hands() | Lifted(tip="free"):
            return np.array([support.rear, support.front])
        case _:
            raise DesignError("support", type(support).__name__, Message("want.clamped_bench_or_hands_batch"))


def _solved(
    batch: PoleBatch,
    state: State,
    at: FloatArray,
    *,
    joint_model: JointModel | None,
    pieces: int,
    small: bool,
    threads: int,
) -> tuple[FloatArray, FloatArray]:
    """(n_case, 6) figures of the tips and (n_case, n_place) lines."""
    held = _held(state.support)
    if state.wind is not None or (state.following and np.any(state.tip_force)):
        raise DesignError(
            "state", Message("given.wind_or_following_tip_force"), Message("want.weight_head_hose_fixed_tip_force")
        )
    if np.any(held > batch.length[:, -1].min() + batch.drawn.sum(axis=1).min()):
        raise DesignError("support", float(held.max()), Message("want.within_every_pole_as_drawn_out"))
    c, s = np.cos(state.lean), np.sin(state.lean)
    along, across = state.tip_force
    given = np.array(
        [
            state.lean,
            state.gravity,
            state.head_mass,
            state.hose,
            state.hanging,
            along * c - across * s,
            along * s + across * c,
        ]
    )
    many = tuple(getattr(batch, name) for name in batch.__dataclass_fields__)
    out, lines = np.zeros((batch.length.shape[0], 6)), np.zeros((batch.length.shape[0], at.size))
    touching = batch.touching if joint_model is None else np.full(out.shape[0], float(joint_model == "touching"))
    cuts = np.linspace(0, out.shape[0], max(1, threads) * 4 + 1).astype(int)

    def part(low: int, high: int) -> None:
        _run(
            tuple(a[low:high] for a in many),
            held,
            not isinstance(state.support, Clamped),
            given,
            small,
            pieces,
            touching[low:high],
            out[low:high],
            at,
            lines[low:high],
        )

    if threads <= 1:
        part(0, out.shape[0])
        return out, lines
    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(part, cuts[:-1], cuts[1:]))
    return out, lines
