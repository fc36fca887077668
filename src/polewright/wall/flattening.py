"""Flattening: a bent tube goes oval, loses depth, and at some moment the oval runs away.

Thin wall, far from any end or stop that holds the section round; the wall bends round the clock without stretching.
"""

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.polynomial import Chebyshev
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import from_zero
from polewright.wall.batch import cases
from polewright.wall.ring import ring_stiffness, wall_matrices
from polewright.wall.stack import Wall
from polewright.wall.wrinkling import through_shear

MOST_POINTS = 10000

__all__ = [
    "OvalState",
    "OvalTop",
    "flattening_curve",
    "oval_at_moment",
    "oval_moment_brazier",
    "oval_moment_limit",
    "oval_scales",
    "oval_top",
]


@dataclass(frozen=True, slots=True, eq=False)
class OvalState:
    """A bent, flattened tube; every field has one shape.

    curvature [1/m]; moment [N m]; depth and breadth: diameter in the plane of bending and across it, as a share of the
    round one [-].
    """

    curvature: FloatArray
    moment: FloatArray
    depth: FloatArray
    breadth: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("curvature", "moment", "depth", "breadth"))

    @property
    def ovality(self) -> FloatArray:
        """[-] largest minus smallest diameter, as a share of the round one."""
        return np.asarray(self.breadth - self.depth)


@dataclass(frozen=True, slots=True)
class OvalTop:
    """The most pushed place of an oval at one scaled curvature, all [-], lengths in radii of the round tube.

    moment: scaled; height over the bending axis; bend: curvature of the wall round the clock; turn, turn_on: its second
    and fourth derivative along the wall, `turn` above zero where the top is the flattest place; last: scaled curvature
    at the limit.
    """

    moment: float
    height: float
    bend: float
    turn: float
    turn_on: float
    last: float


@dataclass(frozen=True, slots=True)
class _Curve:
    """The one curve of all thin tubes over the scaled curvature k: `moment` over k and all others as series in k^2."""

    last: float
    moment: Chebyshev
    depth: Chebyshev
    breadth: Chebyshev
    bend: Chebyshev
    turn: Chebyshev
    turn_on: Chebyshev

    def moment_at(self, scaled: FloatArray | float) -> FloatArray:
        """Scaled moment at scaled curvatures."""
        return np.asarray(scaled * self.moment(np.square(scaled)))


def oval_scales(wall: Wall) -> tuple[FloatArray, FloatArray]:
    """Curvature unit [1/m] and moment unit [N m], each (*case,): sqrt(D/C)/R^2 and pi R sqrt(C D).

    C is the axial membrane stiffness with the hoop and shear resultants free, D the hoop bending stiffness softened by
    shear through the wall S, D/(1 + 4 D/(S R^2)): in two lobes round the clock the shear is 2 M/R.

    Source
    ------
    C and D as `oval_moment_brazier`; shear in series by the energy of the ring, S. P. Timoshenko, J. M. Gere, Theory of
    Elastic Stability, 2nd ed., 1961, section 2.17.
    """
    axial, ring = _axial(wall), ring_stiffness(wall)
    through = through_shear(wall)[..., 1, 1]
    bending = ring.bending / (1.0 + 4.0 * ring.bending / (through * ring.middle**2))
    return (
        np.asarray(np.sqrt(bending / axial) / ring.middle**2),
        np.asarray(np.pi * ring.middle * np.sqrt(axial * bending)),
    )


def _axial(wall: Wall) -> FloatArray:
    """(*case,) [N/m] axial membrane stiffness, hoop and shear resultants free."""
    A, _, _ = wall_matrices(wall)
    return np.asarray(1.0 / np.linalg.inv(A)[..., 0, 0])


def oval_moment_brazier(wall: Wall) -> FloatArray:
    """Moment at which a long tube's oval runs away, (*case,) [N m], to the first order of the oval.

    M = (2 sqrt(2)/9) pi R sqrt(12 C D): C [N/m] axial membrane stiffness with the hoop resultant free, D [N m] hoop
    bending stiffness about its neutral axis. For one isotropic wall it is (2 sqrt(2)/9) pi E R t^2/sqrt(1 - nu^2).
    The true shape of the oval gives 3 % less, shear through the wall takes more: `oval_moment_limit`.

    Source
    ------
    L. G. Brazier, On the flexure of thin cylindrical shells and other "thin" sections, Proc. Royal Society A 116,
    1927, 104-114; orthotropic wall by the same energy with C and D in place of E t and E t^3/12(1 - nu^2).
    """
    ring = ring_stiffness(wall)
    return np.asarray(2.0 * np.sqrt(2.0) / 9.0 * np.pi * ring.middle * np.sqrt(12.0 * _axial(wall) * ring.bending))


def oval_moment_limit(wall: Wall) -> FloatArray:
    """As `oval_moment_brazier`, (*case,) [N m], with the exact shape of an inextensible oval and its shear.

    Source
    ------
    `oval_moment_brazier`; the shape by least energy, the scales by `oval_scales`.
    """
    curve = _oval_curve()
    return np.asarray(float(curve.moment_at(curve.last)) * oval_scales(wall)[1])


def flattening_curve(wall: Wall, *, points: int = 25) -> OvalState:
    """Moment, curvature and oval from straight to the limit moment; fields (*case, points), evenly spaced curvature.

    Raises
    ------
    DesignError : fewer than two points.
    """
    if not isinstance(points, int | np.integer) or not 2 <= points <= MOST_POINTS:
        raise DesignError("points", points, Message("want.whole_number_from_2", most_points=MOST_POINTS))
    curve = _oval_curve()
    scaled = np.linspace(0.0, curve.last, points)
    curvature, moment = oval_scales(wall)
    shape = np.broadcast_shapes(curvature[..., None].shape, scaled.shape)
    return OvalState(
        curvature=curvature[..., None] * scaled,
        moment=moment[..., None] * curve.moment_at(scaled),
        depth=np.broadcast_to(curve.depth(scaled**2), shape),
        breadth=np.broadcast_to(curve.breadth(scaled**2), shape),
    )


def oval_at_moment(wall: Wall, moment: ArrayLike) -> OvalState:
    """The flattened state at a moment [N m], broadcast against (*case,), on the branch that starts straight.

    Raises
    ------
    DesignError : the moment is negative or above the limit moment.
    """
    moment = from_zero("moment", moment, want=Message("want.from_0_flattening_limit"), most=1e30)
    cases("moment", wall.bore.shape, moment.shape)
    curve = _oval_curve()
    unit, scale = oval_scales(wall)
    wanted = np.asarray(moment / scale)
    most = float(curve.moment_at(curve.last))
    if not np.all((wanted >= 0.0) & (wanted <= most)):
        raise DesignError(
            "moment",
            Message("given.n_m", limit=float(np.min(moment)), limit2=float(np.max(moment))),
            Message("want.from_0_flattening_limit_n_m", limit=float(np.min(most * scale))),
        )
    low, high = np.zeros(wanted.shape), np.full(wanted.shape, curve.last)
    for _ in range(60):
        middle = (low + high) / 2.0
        is_below = curve.moment_at(middle) < wanted
        low, high = np.where(is_below, middle, low), np.where(is_below, high, middle)
    scaled = (low + high) / 2.0
    return OvalState(
        curvature=scaled * unit,
        moment=np.broadcast_to(moment, wanted.shape),
        depth=curve.depth(scaled**2),
        breadth=curve.breadth(scaled**2),
    )


@lru_cache(maxsize=256)
def oval_top(scaled: float | None = None) -> OvalTop:
    """The most pushed place of a thin tube's oval at a scaled curvature [-], at the limit moment where none is given.

    Source
    ------
    `flattening_curve`: the inextensible ring of least energy.
    """
    curve = _oval_curve()
    at = curve.last if scaled is None else scaled
    square = at * at
    return OvalTop(
        moment=float(curve.moment_at(at)),
        height=float(curve.depth(square)),
        bend=float(curve.bend(square)),
        turn=float(curve.turn(square)),
        turn_on=float(curve.turn_on(square)),
        last=curve.last,
    )


_BEYOND, _NODES = 1.9, 14  # scaled curvature up to which the series are made, and their terms


@cache
def _oval_curve() -> _Curve:
    """The universal curve, found once: at each scaled curvature the inextensible ring of least energy.

    Unit radius, C = D = 1: energy 1/2 k^2 mean(y^2) + 1/2 mean((psi' - 1)^2) over the ring's own arc, the tangent's
    angle psi = arc + pi/2 + sum(a_j sin(2 j arc)), y its height from the bending axis. By symmetry all that is asked
    of the ring is even in k, the moment odd.
    """
    squares = _BEYOND**2 * (1.0 - np.cos(np.pi * (np.arange(_NODES) + 0.5) / _NODES)) / 2.0
    shape = np.zeros(6)
    rows = []
    for square in squares:
        shape = _relaxed(shape, float(np.sqrt(square)))
        x, y, _ = _ring_shape(shape)
        at_top = np.cos(_WAVES * np.pi / 2.0) * shape  # the height is greatest a quarter round
        rows.append(
            (
                2.0 * float(np.mean(y * y)),
                (y.max() - y.min()) / 2.0,
                (x.max() - x.min()) / 2.0,
                1.0 + float(np.sum(_WAVES * at_top)),
                -float(np.sum(_WAVES**3 * at_top)),
                float(np.sum(_WAVES**5 * at_top)),
            )
        )
    moment, depth, breadth, bend, turn, turn_on = (
        Chebyshev.fit(squares, row, _NODES - 1, domain=[0.0, _BEYOND**2]) for row in np.array(rows).T
    )
    low, high = 1.0, _BEYOND
    slope = moment.deriv()
    for _ in range(60):  # d(k m(k^2))/dk is zero at the limit
        middle = (low + high) / 2.0
        is_rising = moment(middle**2) + 2.0 * middle**2 * slope(middle**2) > 0.0
        low, high = (middle, high) if is_rising else (low, middle)
    return _Curve((low + high) / 2.0, moment, depth, breadth, bend, turn, turn_on)


_ARC = np.linspace(0.0, 2.0 * np.pi, 128, endpoint=False)
_WAVES = 2.0 * np.arange(1, 7)
_SINES = np.sin(np.outer(_ARC, _WAVES))


def _summed(values: FloatArray) -> FloatArray:
    """Integral round the arc of a periodic function of zero mean, itself of zero mean."""
    wave = np.fft.fft(values, axis=0)
    number = np.fft.fftfreq(len(values), 1.0 / len(values))
    number[0] = 1.0
    shape = (-1,) + (1,) * (values.ndim - 1)
    wave = wave / (1j * number.reshape(shape))
    wave[0] = 0.0
    return np.asarray(np.fft.ifft(wave, axis=0).real)


def _ring_shape(shape: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    angle = _ARC + np.pi / 2.0 + _SINES @ shape
    return _summed(np.cos(angle)), _summed(np.sin(angle)), angle


def _relaxed(shape: FloatArray, curvature: float) -> FloatArray:
    """Newton's method on the ring's energy at one scaled curvature, from a near shape."""
    for _ in range(12):
        _, y, angle = _ring_shape(shape)
        above = _summed(y)
        moved = _summed(np.cos(angle)[:, None] * _SINES)
        slope = curvature**2 * (moved.T @ y) / len(y) + _WAVES**2 * shape / 2.0
        turn = curvature**2 * (moved.T @ moved + _SINES.T @ (_SINES * (above * np.sin(angle))[:, None])) / len(y)
        step = np.linalg.solve(turn + np.diag(_WAVES**2 / 2.0), slope)
        shape = shape - step
        if float(np.abs(step).max()) < 1e-12:
            break
    return shape
