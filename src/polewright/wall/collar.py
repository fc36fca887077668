"""A collar drawn on a tube: how it presses round the clock, and the pressures that crack, break and fold the wall.

The wall is the layered ring, wave by wave, softened by the hoop thrust that the collar makes. A strap presses by its
own tension; shells and a pad press through a lining that nowhere pulls, so that they touch where the wall has not gone
from them. Every figure is of a long tube pressed all along: a narrow collar is helped by the tube beside it.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.angles import is_axial
from polewright.conventions.collars import COLLARS, CollarKind
from polewright.errors import DesignError
from polewright.materials.numbers import one_of
from polewright.materials.ply import Strength
from polewright.wall.collar_breaks import CollarLoad, CollarReserve
from polewright.wall.criteria import Criterion
from polewright.wall.ring import collapse_pressure
from polewright.wall.stack import Wall
from polewright.wall.thick_ring import MOST_SLENDER, ClockPressure, ring_response

__all__ = ["Collar", "CollarLoad", "CollarLoads", "WallEnd", "collar_loads", "collar_of"]

WallEnd = Literal["crack", "fibre", "collapse", "half_collapse"]

DRAWN = 0.3
"""[-] friction of a dry band on a tube while it is drawn tight."""
GAP, FOOT, PAD = (float(v) for v in np.deg2rad([15.0, 10.0, 30.0]))
"""[rad] of the clock: half of what the lugs of a band leave open, the foot of each lug, half of a single pad."""
LINING = 2.5e9
"""[Pa/m] pressure over squeeze of a lining: rubber of 5 MPa, 2 mm thick. Harder and thinner ones hold a wall better."""
UNKNOWN = 0.5
"""[-] share of the collapse pressure that may be used where no strength is known: a rule of thumb of the trade."""

SHARE = {"split_band": 1.0, "two_shells": 0.97, "one_pad": 0.97}
"""[-] of the loads worked out that counts: what large movements take away, by finite elements of fourteen walls."""

WAVES = np.arange(0.0, 25.0)
PLACES = 72  # round half the clock, where a collar may touch
_CLOCK = (np.arange(PLACES) + 0.5) * np.pi / PLACES
_COS = np.cos(np.multiply.outer(_CLOCK, WAVES))
_SIZE = np.where(WAVES > 0.0, np.pi / 2.0, np.pi)  # integral of cos2 over half the clock
_STEP = np.pi / PLACES
_TOUCHING = 12  # rounds after which what touches has settled

_ROUGH = np.geomspace(0.02, 40.0, 9)  # of the even pressure that would fold the ring
_FINER = 6
_CLOTH = 0.5  # of the stiffness along the warp: a weave goes round with its other yarn


@dataclass(frozen=True, slots=True, eq=False)
class Collar:
    """How one make of collar meets a wall; the clock runs from its lugs or its pad and both halves are alike.

    drawn (n_wave,) [-]: pressure of a strap over its mean, as integrals over half the clock over pi, with what rubs in
    it; thrust (n_wave,) [-]: hoop thrust beside the even one that rubbing makes, over pressure and radius; loose
    (n_wave, n_wave) [-]: hoop thrust that no strap holds, between the turns of the wall in two waves.
    way (n_place,) [-]: how far a stiff body comes inward over its own way; lining (n_place,) [Pa/m] before it, zero
    where it does not reach. A collar is a strap or bodies; the other's fields are zero. share [-] of the loads worked
    out that counts.
    """

    drawn: FloatArray
    thrust: FloatArray
    loose: FloatArray
    way: FloatArray
    lining: FloatArray
    share: float = 1.0

    def __post_init__(self) -> None:
        freeze(self, ("drawn", "thrust", "loose", "way", "lining"))

    @property
    def is_strap(self) -> bool:
        """Whether it presses by its tension alone."""
        return bool(np.any(self.drawn))


@lru_cache(maxsize=len(COLLARS))
def collar_of(kind: CollarKind) -> Collar:
    """One kind of collar, as it is made.

    split_band : a flexible strap drawn by a bolt across its lugs. Its tension T is taken up over the `FOOT` of each lug
        and falls by friction to the far side, T exp(-mu clock); it presses with T/r and rubs with T's slope. Under the
        feet the bolt presses. Where the strap lies on the wall its tension holds the wall that its thrust would fold.
    two_shells : two half shells as stiff bodies, drawn together, behind a `LINING`: inward cos(clock) of their way.
    one_pad : a stiff pad over `PAD` either side and a half shell opposite, both behind a `LINING`.

    Raises
    ------
    DesignError : no such collar.

    Source
    ------
    Belt friction by L. Euler; statics of a string on an arc, whose length the inextensible waves of a ring leave as it
    is; the rest is the geometry of a stiff body. Worked out here.
    """
    one_of("collar", kind, COLLARS)
    if kind == "split_band":
        return _split_band()
    body = np.maximum(-np.cos(_CLOCK), 0.0)
    pad = np.maximum(np.cos(_CLOCK), 0.0)
    way = body + (pad if kind == "two_shells" else np.where(_CLOCK < PAD, pad, 0.0))
    none = np.zeros(WAVES.size)
    return Collar(none, none, np.zeros((WAVES.size, WAVES.size)), way, np.where(way > 0.0, LINING, 0.0), SHARE[kind])


def _split_band() -> Collar:
    count = 5760
    step = np.pi / count
    clock = (np.arange(count) + 0.5) * step
    past = np.maximum(clock - GAP, 0.0)
    tension = np.minimum(past / FOOT, np.exp(-DRAWN * np.maximum(past - FOOT, 0.0)))
    slope = np.where(past > FOOT, -DRAWN * tension, np.where(past > 0.0, 1.0 / FOOT, 0.0))
    bolt = np.where((past > 0.0) & (past < FOOT), 1.0 / FOOT, 0.0)
    pressed, rubbed = tension + bolt * np.sin(clock), slope - bolt * np.cos(clock)
    angle, number = np.multiply.outer(WAVES, clock), np.maximum(WAVES, 1.0)
    along = np.sin(angle) @ rubbed * step / number  # what rubs does the work of this pressure on an inextensible wave
    forces = np.cos(angle) @ pressed * step + along
    turn = np.where(WAVES > 1.0, (WAVES**2 - 1.0) / number, 0.0)[:, None] * np.sin(angle)
    bare = np.where(past < FOOT, 1.0 - past / FOOT, 0.0) * step * np.pi / forces[0]
    none = np.zeros(PLACES)
    return Collar(
        forces / forces[0],
        np.where(WAVES > 0.0, -2.0 * along / forces[0], 0.0),
        np.asarray((turn * bare) @ turn.T),
        none,
        none,
    )


@dataclass(frozen=True, slots=True)
class CollarLoads:
    """What a collar does to one wall, by its mean pressure on the outside [Pa].

    crack : first crack of the resin; fibre : first broken fibre; both None where no strength is known. collapse : the
    wall folds; at most forty times `even`, the pressure [Pa] that would fold it if it pressed evenly and followed it.
    around : whether some fibre crosses the axis, so that a cracked wall still stands.
    """

    crack: CollarLoad | None
    fibre: CollarLoad | None
    collapse: float
    around: bool
    even: float

    @property
    def ends(self) -> WallEnd:
        """What ends the wall: the first broken fibre or its collapse. A wall without fibre around ends with its first
        crack; where no strength is known, half of the even collapse is taken.
        """
        if self.crack is None or self.fibre is None:
            return "half_collapse"
        loads: dict[WallEnd, float] = {"fibre": self.fibre.pressure, "collapse": self.collapse}
        if not self.around:
            loads["crack"] = self.crack.pressure
        return min(loads, key=lambda name: loads[name])

    @property
    def most(self) -> float:
        """[Pa] mean pressure at which the wall ends."""
        if self.crack is None or self.fibre is None:
            return UNKNOWN * self.even
        return {"crack": self.crack.pressure, "fibre": self.fibre.pressure, "collapse": self.collapse}[self.ends]


def collar_loads(
    wall: Wall, strength: Strength | None, collar: Collar, *, criterion: Criterion = "hashin", cure: ArrayLike = 0.0
) -> CollarLoads:
    """Mean pressures of a collar at the first crack, at the first broken fibre and at the collapse of a long tube.

    Wave n of the wall moves by w_n = p_n c_n, c_n that of the layered ring as an elastic solid, and loses of its
    stiffness 1/c_n the share p/p_n under an even pressure p, p_n the one that folds it in n lobes; under a strap it
    loses only what the thrust does where no strap lies. Bodies press with the lining's stiffness times what they have
    come beyond the wall, nowhere less than nothing. The wall collapses where its stiffness, what touches in it, is no
    longer positive. It counts as whole until then: cracks soften it a little. Of every load the collar's share counts.
    Of a wall slenderer than the layered ring takes, the even collapse of the thin ring stands for the collar's, which
    holds such a wall better; it folds long before a ply breaks.

    Parameters
    ----------
    wall : one wall.
    strength : (n_layer,) [Pa]; None if unknown.
    cure : [Pa] constant ply stresses (1, n_layer, 2, 3 or 6), as `thin_stress.thin_cure_stress` gives.

    Raises
    ------
    DesignError : a batch of walls; a wall that the layered ring refuses.

    Source
    ------
    `thick_ring.ring_response`; p_n = (n2 - 1) D/(R2 r), S. P. Timoshenko, J. M. Gere, Theory of Elastic Stability, 2nd
    ed., 1961, section 7.3; turn of an inextensible wave (n2 - 1)/n w/R, ibid.
    """
    if wall.angle.ndim != 1:
        raise DesignError("wall", Message("given.batch"), Message("want.one_wall_at_time"))
    crosses = ~is_axial(wall.angle) | (wall.elastic.E2 > _CLOTH * wall.elastic.E1)
    around = bool(np.any(crosses & (wall.thickness > 0.0)))
    if wall.bore / 2.0 > MOST_SLENDER * wall.total_thickness:
        even, whole = float(collapse_pressure(wall, on="outside")), None if strength is None else CollarLoad(np.inf)
        return CollarLoads(whole, whole, collar.share * even, around, even)
    state = _Pressed(wall, collar)
    rough = state.even * _ROUGH
    found = state.at(rough)
    collapse, share = state.collapse(rough, found), collar.share
    if strength is None:
        return CollarLoads(None, None, share * collapse, around, state.even)
    reserve = CollarReserve(
        wall, strength, lambda at: state.at(at).bending, state.stress, collar.thrust, criterion=criterion, cure=cure
    )
    standing = rough < collapse
    breaks = reserve.first(rough[standing], found.bending[standing], collapse)
    crack, fibre = (replace(load, pressure=share * load.pressure) for load in breaks)
    return CollarLoads(crack, fibre, share * collapse, around, state.even)


@dataclass(frozen=True, slots=True)
class _State:
    """At pressures (n,): bending (n, n_wave) [Pa] pressure of each wave that would bend the ring as far without thrust;
    stands (n,) whether the stiffness is positive.
    """

    bending: FloatArray
    stands: NDArray[np.bool_]


class _Pressed:
    """One wall under one collar at any mean pressure."""

    def __init__(self, wall: Wall, collar: Collar) -> None:
        ring = ring_response(wall, ClockPressure(np.delete(WAVES, 1), np.ones(WAVES.size - 1)))
        give = np.insert(ring.inward[:, 1], 1, np.inf)  # one wave slides the ring as a whole
        self.stress = np.insert(ring.stress, 1, 0.0, axis=0)  # (n_wave, n_layer, 2, 6) of one pascal in each wave
        self.collar, self.middle = collar, float(wall.bore + wall.total_thickness) / 2.0
        self.stiff = 1.0 / give
        self.even = self.middle * float(self.stiff[2]) / 3.0
        thrust = np.diag(_SIZE * np.where(WAVES > 1.0, WAVES**2 - 1.0, 0.0))  # under pressure that follows the wall
        self._loose = (collar.loose if collar.is_strap else thrust) / self.middle
        self._own = np.diag(
            _SIZE * np.maximum(self.stiff, 1e-9 * self.stiff[2])
        )  # a ring that slides is held by little
        held = 1.0 / np.sqrt(np.diag(self._own))
        softest = float(np.linalg.eigvalsh(held[:, None] * self._loose * held)[-1])
        self._fold = 1.0 / softest if softest > 0.0 else np.inf  # [Pa] where nothing touches

    def at(self, pressure: FloatArray) -> _State:
        """The state at mean pressures (n,) [Pa]."""
        stiffness = self._own - pressure[:, None, None] * self._loose
        if self.collar.is_strap:
            keep = np.delete(np.arange(WAVES.size), 1)
            stiffness = stiffness[:, keep][:, :, keep]
            force = np.pi * self.collar.drawn[keep] * pressure[:, None]
            moved = np.insert(np.linalg.solve(stiffness, force[..., None])[..., 0], 1, 0.0, axis=-1)
            return _State(moved * self.stiff, pressure < self._fold)
        moved, stiffness = self._touched(stiffness, pressure)
        return _State(moved * self.stiff, np.linalg.eigvalsh(stiffness)[:, 0] > 0.0)

    def _touched(self, free: FloatArray, pressure: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Motions (n, n_wave) [m] and the stiffness with what touches in it, under bodies."""
        way, lining = self.collar.way, self.collar.lining * _STEP
        touches = np.broadcast_to(lining > 0.0, (pressure.size, PLACES))
        for _ in range(_TOUCHING):
            held = lining * touches
            stiffness = free + np.swapaxes(held[:, :, None] * _COS, 1, 2) @ _COS
            moved = np.linalg.solve(stiffness, ((held * way) @ _COS)[..., None])[..., 0]
            left = way - moved @ _COS.T
            before, touches = touches, (lining > 0.0) & (left > 0.0)
            if np.array_equal(before, touches):
                break
        mean = (held * left).sum(axis=-1) / np.pi
        scale = np.where(mean > 0.0, pressure / np.where(mean > 0.0, mean, 1.0), 0.0)
        return moved * scale[:, None], stiffness

    def collapse(self, rough: FloatArray, found: _State) -> float:
        """[Pa] at which the wall no longer stands, or the last that is looked at."""
        if self.collar.is_strap:
            return min(self._fold, float(rough[-1]))
        for _ in range(3):
            fallen = np.flatnonzero(~found.stands)
            if not fallen.size:
                return float(rough[-1])
            high = float(rough[fallen[0]])
            low = float(rough[fallen[0] - 1]) if fallen[0] else 0.0
            rough = np.linspace(low, high, _FINER)
            found = self.at(rough)
        at = int(np.argmax(~found.stands))
        return float(rough[max(at - 1, 0)])
