"""The pole bent by its own weight and whatever acts on it: shape, forces inside, reactions."""

from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray, freeze, seal
from polewright.codes import Message
from polewright.errors import DesignError, NotConverged
from polewright.pole.elastica import Answered, Loads, Pins, Posture
from polewright.pole.hold import loads_of, pins_of, stops_of, wall_ways
from polewright.pole.layout import JointModel, Mesh, laid_out
from polewright.pole.pole import Pole
from polewright.pole.settle import MOST_STRAIN, Settled, settled, without_play
from polewright.pole.state import Foot, Lifted, Over, State

__all__ = ["Bent", "Reaction", "bent", "bent_small"]


@dataclass(frozen=True, slots=True)
class Reaction:
    """What one support does to the pole: station [m] from the butt, level and upright force [N], moment [N m]."""

    station: float
    level: float
    upright: float
    moment: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Bent:
    """A pole in balance.

    station (n,) [m] from the butt along the unbent pole; x, z (n,) [m] level and up from the anchor (where it is built
    in, held down, or held by the rear hand); rotation (n, 2) [rad] above level, butt side and tip side (they differ at
    a joint); along, across (n, 2) [N] and moment (n, 2) [N m] inside the pole, of the tip part on the butt part: a
    moment is positive that curls the pole up. tilt (n_joint,) [rad] and joint_moment (n_joint,) [N m] at the joints.
    buckled is true if the straight line was unstable and the pole bent aside.
    """

    pole: Pole
    state: State
    station: FloatArray
    x: FloatArray
    z: FloatArray
    rotation: FloatArray
    along: FloatArray
    across: FloatArray
    moment: FloatArray
    tilt: FloatArray
    joint_moment: FloatArray
    reactions: tuple[Reaction, ...]
    small: bool
    buckled: bool
    iterations: int
    mesh: Mesh
    loads: Loads
    pins: Pins
    posture: Posture
    slack: float
    inside: Answered

    def __post_init__(self) -> None:
        freeze(self, ("station",))
        seal(self, ("x", "z", "rotation", "along", "across", "moment", "tilt", "joint_moment"))  # the solver's own

    @property
    def droop(self) -> FloatArray:
        """(n,) [m] of every station across the root axis, positive the way gravity pulls (down or back)."""
        c, s = float(np.cos(self.state.lean)), float(np.sin(self.state.lean))
        return self.x * s - self.z * c

    @property
    def tip_droop(self) -> float:
        """[m] of the tip across the root axis."""
        return float(self.droop[-1])

    @property
    def tip(self) -> tuple[float, float]:
        """[m] level and up from the anchor, plumb coordinates."""
        return float(self.x[-1]), float(self.z[-1])

    @property
    def root_turn(self) -> float:
        """[rad] how far the pole has turned at the anchor from the root axis; zero if built in."""
        return float(self.rotation[self.pins.anchor, 0] - self.state.lean)


def _own_tilts(pole: Pole, state: State, mom: FloatArray, slack: float, has_play: bool) -> FloatArray:
    """(n_joint,) [rad] each joint's own turn, where several may share a place."""
    if not has_play:
        return np.array([1.0 / j.stiffness * m for m, j in zip(mom.tolist(), pole.joints, strict=True)])
    return np.array(
        [
            1.0 / j.stiffness * m + j.free_tilt(t.length - d) * min(max(m / slack, -1.0), 1.0)
            for m, j, t, d in zip(mom.tolist(), pole.joints, pole.tubes, state.drawn.tolist(), strict=False)
        ]
    )


def _reactions(state: State, mesh: Mesh, pins: Pins, found: Settled) -> tuple[Reaction, ...]:
    """The anchor's first, then those of the further supports."""
    k, inside = pins.anchor, found.inside
    clamp = 0.0 if pins.turning else float(inside.moment[k, 0] - inside.moment[k, 1])
    level, up = inside.anchor.tolist()
    held = [Reaction(float(mesh.node[k]), level, up, clamp)]
    pushed = np.zeros(2)
    if isinstance(state.support, Foot) and state.support.slide == "stuck":
        pushed = state.support.push * wall_ways(state.support, state.lean)[0]
    for j, force in enumerate(found.posture.lam):
        if pins.kind[j] == 0:
            level, up = (force * pins.d[j] + pushed).tolist()
            held.append(Reaction(float(mesh.node[pins.node[j]]), level, up))
    return tuple(held)


def _bent(
    pole: Pole, state: State, mesh: Mesh, loads: Loads, pins: Pins, found: Settled, *, small: bool, has_play: bool
) -> Bent:
    inside, joint_moment = found.inside, found.posture.mom[mesh.joint_node]
    return Bent(
        pole=pole,
        state=state,
        station=mesh.node,
        x=inside.x,
        z=inside.z,
        rotation=inside.rotation,
        along=inside.along,
        across=inside.across,
        moment=inside.moment,
        tilt=_own_tilts(pole, state, joint_moment, found.slack, has_play),
        joint_moment=joint_moment,
        reactions=_reactions(state, mesh, pins, found),
        small=small,
        buckled=found.code == 1,
        iterations=found.iterations,
        mesh=mesh,
        loads=loads,
        pins=pins,
        posture=found.posture,
        slack=found.slack,
        inside=inside,
    )


def _check_touch(b: Bent) -> None:
    """A wall, the ground or an edge can push the pole, not pull it; and hold a head no better than friction does."""
    support, tip = b.state.support, b.reactions[-1]
    if isinstance(support, Foot):
        off, up, _ = wall_ways(support, b.state.lean)
        push, drag = tip.level * off[0] + tip.upright * off[1], tip.level * up[0] + tip.upright * up[1]
        if push < -b.slack:
            raise DesignError(
                "support", Message("given.head_that_leaves_wall"), Message("want.lean_towards_wall_or_pole_hands")
            )
        if support.slide == "stuck" and abs(drag) > support.friction * push + b.slack:
            raise DesignError("support.push", support.push, _slides(drag, push if push > b.slack else 0.0))
    if isinstance(support, Lifted) and support.tip == "grounded" and tip.upright < -b.slack:
        raise DesignError("support.tip", support.tip, Message("want.free_tip_has_left_ground"))
    if isinstance(support, Over) and tip.upright < -b.slack:
        raise DesignError("support.station", support.station, Message("want.nearer_tip_pole_lifts_off_edge"))


def _most_friction(support: Foot, lean: float) -> float:
    """[-] friction from which a straight pole's head jams when it is pushed up its wall; below zero if it leans off."""
    off, up, _ = wall_ways(support, lean)
    along = np.array([np.cos(lean), np.sin(lean)])
    turned, drag = along[0] * off[1] - along[1] * off[0], along[0] * up[1] - along[1] * up[0]
    return float(turned / drag) if drag > 1e-12 else float("inf")


def _check_jam(state: State) -> None:
    support = state.support
    if isinstance(support, Foot) and support.slide == "up" and state.gravity > 0.0:
        most = _most_friction(support, state.lean)
        if 0.0 < most <= support.friction:
            raise DesignError(
                "support.friction", support.friction, Message("want.below_at_this_lean_or_steeper", most=most)
            )


def _slides(drag: float, push: float) -> Message:
    """What would hold a stuck head that its drag [N] moves along the wall; `push` [N] is zero where it does not."""
    if push > 0.0:
        code = "want.push_or_friction_sliding_down" if drag > 0.0 else "want.push_or_friction_sliding_up"
        return Message(code, drag=float(abs(drag)), friction=float(abs(drag) / push))
    return Message("want.push_sliding_down" if drag > 0.0 else "want.push_sliding_up", drag=float(abs(drag)))


def _remedy(state: State) -> Message:
    """What would help where no posture in balance was reached from the straight pole."""
    support = state.support
    if not isinstance(support, Foot):
        return Message("want.balance_with_less_load")
    if support.slide == "up":
        most = _most_friction(support, state.lean)
        return Message("want.balance_pushed_up", friction=support.friction, most=most)
    if support.slide == "stuck":
        return Message("want.balance_with_less_push", push=support.push)
    return Message("want.balance_at_steeper_lean")


def _solved(
    pole: Pole,
    state: State,
    *,
    joint_model: JointModel | None,
    pieces: int,
    small: bool,
    side: float,
    has_play: bool = True,
) -> Bent:
    _check_jam(state)
    length = pole.tubes[-1].length + float(state.drawn.sum())
    stops = stops_of(state, length)
    mesh = laid_out(pole, state.drawn, stops=stops, pieces=pieces, joint_model=joint_model)
    if not has_play:
        mesh = without_play(mesh)
    pins, loads = pins_of(state, mesh), loads_of(state, mesh, float(stops[0]))
    found = settled(mesh, loads, pins, small, side)
    if found.code == -2:
        raise NotConverged(
            "shape of the pole",
            Message("given.stretched_or_sheared_by_more_than", most_strain=MOST_STRAIN),
            Message("want.far_less_load_no_wall_bears"),
        )
    if found.code < 0:
        given = Message("given.not_found_after_corrections", iterations=found.iterations)
        raise NotConverged("shape of the pole", given, _remedy(state))
    answer = _bent(pole, state, mesh, loads, pins, found, small=small, has_play=has_play)
    _check_touch(answer)
    return answer


def bent(
    pole: Pole, state: State, *, joint_model: JointModel | None = None, pieces: int = 32, side: float = 1.0
) -> Bent:
    """The pole in balance, with true rotations.

    Loads grow in steps where they must, so that the branch is the one that starts straight, past the length at which
    the pole would buckle under its own weight too. A straight pole that is unstable bends aside: towards +x for
    `side` above zero, else away.

    Parameters
    ----------
    joint_model : "glued", tubes in an overlap bend as one; "touching", they touch at its two ends; the pole's own
        where none is given.
    pieces : no beam element is longer than the pole over this.
    side : [-] its sign alone counts.

    Raises
    ------
    DesignError : the state does not fit the pole. NotConverged : no posture in balance was reached.

    Source
    ------
    As `elastica`.
    """
    return _solved(pole, state, joint_model=joint_model, pieces=pieces, small=False, side=side)


def bent_small(
    pole: Pole, state: State, *, joint_model: JointModel | None = None, pieces: int = 32, has_play: bool = True
) -> Bent:
    """The same by small-deflection theory: balance on the unbent line, slopes in place of angles.

    Without play every joint is a spring alone, as one whose play is taken up gives to a further load.

    Fair up to about 15 % of the length; beyond, the true pole droops less across its root axis (the arm of its weight
    shortens), or, steeply raised, more (weight acts along the bent pole, which this leaves out).
    """
    return _solved(pole, state, joint_model=joint_model, pieces=pieces, small=True, side=1.0, has_play=has_play)
