"""Where the droop comes from: every section, joint play, joint springs and shear, adding up to the whole.

The way of a place across the root axis is the integral of (1 + e) sin p + g cos p, with p the turn from the root axis,
e the stretch and g the shear. With sin p = p (sin p / p) it is linear in what makes up the turn: each bit of curvature
or joint tilt at s' moves the place by its turn times an arm, the integral of (1 + e) sin p / p from s' on. For small
turns that arm is the plain distance (Castigliano); for large ones the parts still add up to the whole.
"""

from dataclasses import dataclass, replace

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError
from polewright.pole.beam import Bent, bent_small
from polewright.pole.elastica import D_A, D_B, D_M, INNER, N_A, N_B, N_M, WEIGHT
from polewright.pole.layout import JointModel, node_at
from polewright.pole.pole import Pole
from polewright.pole.state import Bench, Clamped, Foot, Hands, Lifted, Over, State

__all__ = ["Flex", "Split", "droop_split", "flex"]


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """Droop [m] of one place across the root axis, by cause; the parts add up to `total`.

    section (n_section,) bending of each section's exposed span, tip first (what lies inside another tube counts to the
    outer one); play and spring (n_joint,) of each joint; shear of all tubes; root, what comes from the pole turning as
    a whole about its foot while its head slides on the wall (zero for every other support).
    """

    total: float
    section: FloatArray
    play: FloatArray
    spring: FloatArray
    shear: float
    root: float

    def __post_init__(self) -> None:
        freeze(self, ("section", "play", "spring"))


@dataclass(frozen=True, slots=True, eq=False)
class Flex:
    """What the tip gives [m/N] for a force across it, and who gives it: shares of the whole, adding up to one.

    section (n_section,) tip first; joint (n_joint,); shear.
    """

    flex: float
    section: FloatArray
    joint: FloatArray
    shear: float

    def __post_init__(self) -> None:
        freeze(self, ("section", "joint"))

    @property
    def per_100_g(self) -> float:
        """[m] added droop for each 100 g hung at the tip of a level pole."""
        return self.flex * 0.1 * GRAVITY


@dataclass(frozen=True, slots=True)
class _Inside:
    """At Gauss points (n, 3): curvature [1/m], length x arm factor [m], and what shear adds [m]."""

    bend: FloatArray
    arm: FloatArray
    slide: FloatArray


def _inside(b: Bent) -> _Inside:
    mesh, p = b.mesh, b.posture
    fx, fz = b.inside.fx, b.inside.fz
    start, mid, end = b.rotation[:-1, 1, None], p.mid[:, None], p.node[1:, None]
    turn = N_A * start + N_M * mid + N_B * end
    bend = (D_A * start + D_M * mid + D_B * end) / mesh.h[:, None]
    width = WEIGHT * mesh.h[:, None]
    if b.small:
        c, s = np.cos(b.state.lean), np.sin(b.state.lean)
        return _Inside(bend, width, width * (fz * c - fx * s) / mesh.gs)
    c, s, off = np.cos(turn), np.sin(turn), turn - b.state.lean
    arm = (1.0 + (fx * c + fz * s) / mesh.ea) * np.sinc(off / np.pi)
    return _Inside(bend, width * arm, width * (fz * c - fx * s) / mesh.gs * np.cos(off))


def _parts(b: Bent, inside: _Inside, place: int) -> tuple[FloatArray, float]:
    """Way of a node across the axis by cause (n_section + 2 n_joint + 1,), and per turn of the anchor [m/rad]."""
    mesh, anchor, sections = b.mesh, b.pins.anchor, len(b.pole.tubes)
    span = slice(anchor, place)
    arm = inside.arm[span]
    from_here = np.cumsum(arm.sum(axis=1)[::-1])[::-1]
    beyond = from_here - arm.sum(axis=1)
    h = mesh.h[span, None]
    bent_by = (WEIGHT * h * beyond[:, None] + h * (arm @ INNER)) * inside.bend[span]
    section = np.bincount(mesh.owner[span], weights=bent_by.sum(axis=1), minlength=sections)
    lever = np.array([from_here[k - anchor] if anchor <= k < place else 0.0 for k in mesh.joint_node])
    spring = np.array([1.0 / j.stiffness * m for m, j in zip(b.joint_moment, b.pole.joints, strict=True)])
    parts = [section, lever * (b.tilt - spring), lever * spring, [inside.slide[span].sum()]]
    return np.concatenate(parts), float(from_here[0]) if from_here.size else 0.0


def _datum(b: Bent) -> float | None:
    """Station [m] of the second place that lies on the root axis by its support, if the pole may turn at the first."""
    match b.state.support:
        case Bench() as s:
            return s.hold + s.distance
        case Hands() | Lifted() as s:
            return s.front
        case Over() as s:
            return s.station
        case Clamped() | Foot():
            return None


def droop_split(b: Bent, *, at: float | None = None) -> Split:
    """The droop of a place by cause, summing to the droop of `Bent`; small deflection or large, as `b` was found.

    Parameters
    ----------
    at : [m] from the butt, taken to the nearest node of the beam; the tip if None.

    Raises
    ------
    DesignError : a place behind the anchor.

    Source
    ------
    Virtual work with the arms of the bent pole: module text.
    """
    place = b.station.size - 1 if at is None else node_at(b.mesh.node, at)
    if place < b.pins.anchor:
        raise DesignError("at", at, Message("want.from_first_support_tip", limit=b.station[b.pins.anchor]))
    inside = _inside(b)
    parts, turn = _parts(b, inside, place)
    datum, root = _datum(b), 0.0
    if datum is not None:
        there, reach = _parts(b, inside, node_at(b.mesh.node, datum))
        parts = parts - turn / reach * there
    else:
        root = -b.root_turn * turn
    sections, joints = len(b.pole.tubes), len(b.pole.joints)
    section, play, spring, shear = np.split(-parts, [sections, sections + joints, sections + 2 * joints])
    return Split(float(b.droop[place]), section, play, spring, float(shear[0]), root)


def flex(pole: Pole, state: State, *, joint_model: JointModel | None = None) -> Flex:
    """What the tip gives across the root axis for a unit force there, small deflections, play taken up.

    Source
    ------
    Castigliano's theorem: integral of a2/EI plus a2/k of each joint, a the arm of the tip force.
    """
    pull = replace(state, gravity=0.0, wind=None, following=False, tip_force=np.array([0.0, -1.0]))
    split = droop_split(bent_small(pole, pull, joint_model=joint_model, has_play=False))
    return Flex(split.total, split.section / split.total, split.spring / split.total, split.shear / split.total)
