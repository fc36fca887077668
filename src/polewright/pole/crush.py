"""Two tubes of a joint pressed on each other over a short length: the force at which the wall of one of them gives way.

One tube lies in the other with its clearance. Pressed to one side they touch over an arc that widens with the force, as
both walls bend round the clock to each other's shape; each is held by the shear of its own wall. What is not pressed
helps: every wave round the clock is a beam along the tube on the ring's own stiffness, endless on both sides where the
tube goes on, on one side alone where it ends.

Source
------
Ring under radial load held by the shear of its wall: statics of each wave, M = q R/(n2 - 1), whose sum for a point load
is 3 W R/(4 pi), as for the shear-held rings of W. C. Young, R. G. Budynas, Roark's Formulas for Stress and Strain, 7th
ed., 2002, table 9.2. Help along: V. Z. Vlasov's semi-membrane theory of long cylinders, membrane shear added; M.
Hetenyi, Beams on Elastic Foundation, 1946. The touching arc: as little energy as can be, no pull anywhere.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.angles import is_hoop
from polewright.errors import DesignError
from polewright.materials.ply import Strength
from polewright.wall.membrane import rotated_stiffness
from polewright.wall.ring import ring_stiffness, wall_matrices
from polewright.wall.stack import Wall

__all__ = ["SPREAD", "Crush", "PressedRing", "crush", "pressed_ring"]

SPREAD = 0.1  # of the overlap: what lies beyond two contacts 0.9 of it apart, as far from either end
WAVES = np.arange(2.0, 61.0)
PLACES = 60  # round half the clock, 3 degrees each
End = Literal["mouth", "inner end"]


@dataclass(frozen=True, slots=True, eq=False)
class PressedRing:
    """A wall seen as a ring that another tube presses on, per length along the tube.

    middle [m] radius; outside [m] radius; bore [m] radius; give (n_wave,) [m3/N] inward movement under a pressure of
    each wave; along [N/m] and shear [N/m] membrane stiffness; squeeze [m3/N] of the wall's own thickness; by_moment
    (n_check,) [1/m2] and by_thrust (n_check,) [1/m] stress for the ring's moment [N m/m], positive where it is
    flattened, and its hoop force [N/m]; least, most (n_check,) [Pa] stress that it bears, cure stress taken off.
    """

    middle: float
    outside: float
    bore: float
    give: FloatArray
    along: float
    shear: float
    squeeze: float
    by_moment: FloatArray
    by_thrust: FloatArray
    least: FloatArray
    most: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("give", "by_moment", "by_thrust", "least", "most"))


@dataclass(frozen=True, slots=True)
class Crush:
    """The force [N] across a joint at which a wall gives way, inf if no strength is known, and which tube's it is.

    arc [rad] over which the tubes touch by then, in all.
    """

    force: float
    tube: Literal["inner", "outer", "neither"]
    arc: float


def pressed_ring(wall: Wall, strength: Strength | None, *, cure: FloatArray | None = None) -> PressedRing:
    """One wall as a pressed ring, and what of it counts as its end.

    Fibre broken or crushed by the ring's bending, along the fibre alone: matrix cracks come earlier and do not end a
    ring that has fibre around. A wall without such fibre ends with the first crack across its fibre, cure stress out,
    as cracks of the cure are not known there.

    Parameters
    ----------
    wall : one wall.
    strength : (n_layer,) [Pa]; None if unknown.
    cure : (1, n_layer, 2, 3) [Pa] ply stresses of the cool-down, as `wall.thin_cure_stress` gives.

    Source
    ------
    Module text; R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eqs. 2.85 and 4.22 to 4.24.
    """
    if wall.angle.ndim != 1:
        raise DesignError("wall", Message("given.batch"), Message("want.one_wall_at_time"))
    ring, (A, B, D) = ring_stiffness(wall), wall_matrices(wall)
    radius, odd = float(ring.middle), WAVES**2 - 1.0
    bending, shear = radius**4 / float(ring.bending), radius**2 / float(ring.shear)
    soft = np.linalg.inv(A)
    through = np.broadcast_to(np.asarray(wall.elastic.E3), wall.angle.shape)
    checks = np.zeros((4, 0)) if strength is None else _checks(wall, strength, cure, (A, B, D))
    return PressedRing(
        middle=radius,
        outside=float(wall.outside) / 2.0,
        bore=float(wall.bore) / 2.0,
        give=(bending + shear * WAVES**2) / odd**2,
        along=1.0 / float(soft[0, 0]),
        shear=1.0 / float(soft[2, 2]),
        squeeze=float(np.sum(wall.thickness / through)),
        by_moment=checks[0],
        by_thrust=checks[1],
        least=checks[2],
        most=checks[3],
    )


def _checks(
    wall: Wall, strength: Strength, cure: FloatArray | None, plate: tuple[FloatArray, FloatArray, FloatArray]
) -> FloatArray:
    """(4, n_check): stress by moment and by hoop force, least and most; both faces of every layer that counts."""
    A, B, D = plate
    held = np.array([[A[1, 1], A[1, 2], B[1, 1]], [A[1, 2], A[2, 2], B[1, 2]], [B[1, 1], B[1, 2], D[1, 1]]])
    unit = np.linalg.solve(held, np.array([[0.0, 1.0], [0.0, 0.0], [-1.0, 0.0]]))  # of a flattening moment, of a force
    faces = np.stack([wall.edges[:-1], wall.edges[1:]], axis=-1) - 0.5 * (wall.edges[0] + wall.edges[-1])
    strain = np.zeros((2, *faces.shape, 3))
    for k in range(2):
        strain[k, ..., 1], strain[k, ..., 2] = unit[0, k] + unit[2, k] * faces, unit[1, k]
    stress = np.einsum("nij,knfj->knfi", rotated_stiffness(wall.elastic, wall.angle), strain)
    around = is_hoop(wall.angle)
    has_fibre = bool(np.any(around))
    turn = wall.angle[:, None] + (0.0 if has_fibre else np.pi / 2.0)
    c, s = np.cos(turn), np.sin(turn)
    own = c * c * stress[..., 0] + s * s * stress[..., 1] + 2.0 * c * s * stress[..., 2]
    there = (around if has_fibre else np.ones_like(around)) & (wall.thickness > 0.0)
    pull, push = (strength.Xt, strength.Xc) if has_fibre else (strength.Yt, strength.Yc)
    still = np.zeros(faces.shape) if cure is None or not has_fibre else np.asarray(cure)[0, ..., 0]
    least, most = (np.broadcast_to(np.asarray(v), wall.angle.shape)[:, None] for v in (push, pull))
    rows = np.stack([own[0], own[1], -least - still, most - still])
    return np.asarray(rows[:, there].reshape(4, -1))


def helped(ring: PressedRing, *, length: float, ends: bool) -> FloatArray:
    """(n_wave,) share of a pressure over `length` [m] that the ring there bears itself; the tube beside it the rest.

    Each wave is a beam with bending stiffness C R2/n4 and shear stiffness G/n2 on a foundation of 1/give. With r1, r2
    the roots of r4 - (k/S) r2 + k/EI, in the middle of a load on an endless one

        1 - (r1^2 e1 - r2^2 e2)/(r1^2 - r2^2),  e = exp(-r length/2)

    and at the free end of one that ends with the load

        1 - (r1 e1 - r2 e2)/(r1 - r2),  e = exp(-r length)

    Source
    ------
    Solved here from the beam's equations; without shear M. Hetenyi, Beams on Elastic Foundation, 1946, ch. II and III.
    """
    k, bending, shear = 1.0 / ring.give, ring.along * ring.middle**2 / WAVES**4, ring.shear / WAVES**2
    half = k / (2.0 * shear)
    apart = np.sqrt((half**2 - k / bending).astype(complex))
    apart = np.where(np.abs(apart) < 1e-6 * half, 1e-6 * half, apart)
    r1, r2 = np.sqrt(half + apart), np.sqrt(half - apart)
    if ends:
        share = 1.0 - (r1 * np.exp(-r1 * length) - r2 * np.exp(-r2 * length)) / (r1 - r2)
    else:
        e1, e2 = np.exp(-0.5 * r1 * length), np.exp(-0.5 * r2 * length)
        share = 1.0 - (r1**2 * e1 - r2**2 * e2) / (r1**2 - r2**2)
    return np.asarray(share.real)


@lru_cache(maxsize=1)
def _clock() -> tuple[FloatArray, FloatArray, FloatArray]:
    """Places (n_place,) [rad] round half the clock; cosines of the waves there (n_place, n_wave); and of the first."""
    at = (np.arange(PLACES) + 0.5) * np.pi / PLACES
    return at, np.cos(np.multiply.outer(at, WAVES)), np.cos(at)


def crush(inner: PressedRing, outer: PressedRing, *, clearance: float, length: float, at: End) -> Crush:
    """The force that two tubes of a joint bear at one of its ends.

    At the mouth the outer tube ends and the inner one goes on; at the inner end it is the other way round. The force is
    spread evenly over `length`; round the clock by what both walls give, without friction. The inner tube is pressed
    together round the clock as well and may fold: its strength Fs and its folding load Fc are taken together as
    Fs Fc/(Fs + Fc), with Fc = pi length N, N = (n2 - 1) D/R2 of the softest wave, as if pressed so all round: safe.

    Parameters
    ----------
    clearance : [m] on diameter between the two, zero or more.
    length : [m] along the tubes, for instance `SPREAD` of the overlap.

    Raises
    ------
    DesignError : no length, a negative clearance.

    Source
    ------
    Module text; folding ring S. P. Timoshenko, J. M. Gere, Theory of Elastic Stability, 2nd ed., 1961, section 7.3;
    strength and folding together by W. J. M. Rankine's rule for struts.
    """
    if not (np.isfinite(length) and length > 0.0):
        raise DesignError("length", length, Message("want.above_zero"))
    if not (np.isfinite(clearance) and clearance >= 0.0):
        raise DesignError("clearance", clearance, Message("want.zero_or_more"))
    if inner.most.size + outer.most.size == 0:
        return Crush(np.inf, "neither", np.nan)
    shares = (helped(inner, length=length, ends=at == "inner end"), helped(outer, length=length, ends=at == "mouth"))
    touching = _Touching(inner, outer, shares, clearance, length)
    (pressed, arc), (spread, wide) = touching.limit(0), touching.limit(1)
    folds = np.pi * length * float(np.min(inner.middle**2 / (inner.give * (WAVES**2 - 1.0) * shares[0])))
    pressed = max(pressed, 0.0) * folds / (max(pressed, 0.0) + folds) if np.isfinite(pressed) else folds
    if inner.most.size and pressed <= spread:
        return Crush(pressed, "inner", arc)
    return Crush(max(spread, 0.0), "outer", wide)


class _Touching:
    """Two rings that touch over the first places of the clock: forces there are straight in the force across."""

    def __init__(
        self,
        inner: PressedRing,
        outer: PressedRing,
        shares: tuple[FloatArray, FloatArray],
        clearance: float,
        length: float,
    ) -> None:
        _, cos, first = _clock()
        rings = ((inner, shares[0], 1.0), (outer, shares[1], -1.0))
        give = sum(share * ring.give / ring.middle for ring, share, _ in rings) / (np.pi * length)
        width = 2.0 * inner.outside * np.pi / PLACES * length
        self._soft = (cos * give) @ cos.T + np.eye(PLACES) * (inner.squeeze + outer.squeeze) / width
        self._rings, self._clearance, self._length, self._first = rings, clearance, length, first
        self._known: dict[int, tuple[float | None, float, float]] = {}

    def limit(self, which: int) -> tuple[float, float]:
        """[N] across at which a ring (0 the inner one, 1 the outer) meets its first check; arc [rad] touching then."""
        low, high = 1, PLACES + 1  # touching over `low` places is borne, over `high` not, or never comes about
        while high - low > 1:
            middle = (low + high) // 2
            begins, *ends = self._over(middle)
            low, high = (middle, high) if begins is not None and begins <= ends[which] else (low, middle)
        _, *ends = self._over(low)
        return ends[which], 2.0 * low * np.pi / PLACES

    def _over(self, count: int) -> tuple[float | None, float, float]:
        """[N] across with `count` places touching: where the last is reached, None if never; where each ring ends."""
        if count not in self._known:
            rows, right = np.zeros((count + 1, count + 1)), np.zeros((count + 1, 2))
            rows[:count, :count], rows[:count, count] = self._soft[:count, :count], -self._first[:count]
            rows[count, :count] = self._first[:count]
            right[:count, 0], right[count, 1] = -0.5 * self._clearance, 1.0
            found = np.zeros((PLACES, 2))
            found[:count] = np.linalg.solve(rows, right)[:count]
            still, per = found[count - 1]
            begins = None if per <= 0.0 else max(float(-still / per), 0.0)
            self._known[count] = begins, self._borne(0, found), self._borne(1, found)
        return self._known[count]

    def _borne(self, which: int, found: FloatArray) -> float:
        """[N] force across at which a ring's first check is met; found (n_place, 2): forces still and per newton."""
        ring, share, side = self._rings[which]
        _, cos, first = _clock()
        odd = WAVES**2 - 1.0
        waves = (cos.T @ found) * (share / odd)[:, None] / np.pi
        even, one = found.sum(axis=0) / (2.0 * np.pi), (first @ found) / np.pi
        moment = side * ring.middle / self._length * (cos @ waves)
        thrust = side / self._length * (cos @ waves - even - np.multiply.outer(first, one))
        stress = np.multiply.outer(ring.by_moment, moment) + np.multiply.outer(ring.by_thrust, thrust)
        still, per = stress[..., 0], stress[..., 1]
        room = np.where(per > 0.0, ring.most[:, None] - still, ring.least[:, None] - still)
        with np.errstate(divide="ignore", invalid="ignore"):
            force = np.where(np.abs(per) > 0.0, room / per, np.inf)
        return float(np.min(force, initial=np.inf))
