"""Squeezed by plates, a fist, a point or a collar: the load at which the first ply breaks, and how far it has closed.

Stresses come from the exact layered ring. A load shorter than the tube is helped by the tube beside it, each wave
round the clock over its own length.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.errors import DesignError, NotConverged
from polewright.materials.ply import Strength
from polewright.wall.criteria import Criterion
from polewright.wall.failure import FirstFailure, first_failure
from polewright.wall.ring import Along, ring_stiffness, wall_matrices
from polewright.wall.stack import Wall
from polewright.wall.thick_ring import ClockPressure, RingResponse, collapse_pressure_thick, ring_response

__all__ = ["CollarSqueeze", "Squeeze", "collar_squeeze", "fist_squeeze", "helped_length", "pad_pressure",
           "pinch_stiffness", "plates_squeeze", "point_squeeze"]

LARGE = 0.1
"""[-] closure over bore above which a ring that bends on the spot no longer tells the whole story."""

MOST_WAVES = 400


@dataclass(frozen=True, slots=True, eq=False)
class Squeeze:
    """A tube pressed from two opposite sides.

    force [N] on each side at the first ply failure; closure [m]: loss of mid-wall diameter there; stiffness [N/m];
    failure: which ply, face and mode.
    """

    force: float
    closure: float
    stiffness: float
    failure: FirstFailure
    bore: float

    def reserve(self, applied: float) -> float:
        """[-] failing force over an applied one [N]."""
        return self.force / applied

    @property
    def is_large(self) -> bool:
        """Whether the closure is beyond a tenth of the bore, where the small-movement answer is a guide only."""
        return self.closure > LARGE * self.bore


@dataclass(frozen=True, slots=True, eq=False)
class CollarSqueeze:
    """A collar that presses unevenly: mean pressure [Pa] at the first ply failure, oval [m] there, and what breaks.

    collapse [Pa] is the even pressure at which the ring would buckle; the oval grows without bound toward it.
    """

    pressure: float
    oval: float
    collapse: float
    failure: FirstFailure
    bore: float

    @property
    def is_large(self) -> bool:
        """Whether the oval is beyond a tenth of the bore, where the small-movement answer is a guide only."""
        return self.oval > LARGE * self.bore


def pad_pressure(wall: Wall, *, half_angle: float, most_waves: int | None = None) -> ClockPressure:
    """Two opposite pads, at clock 0 and 180 degrees, that press with one newton a metre of length each.

    Pressure falls from the middle of the pad as 1 + cos(pi clock/half_angle); only what acts along the line between
    the pads counts as the newton.

    Parameters
    ----------
    wall : one wall; its outside radius carries the pads.
    half_angle : [rad] above 0, at most 90 degrees.
    most_waves : waves round the clock kept; enough to draw the pad's own shape when not given.
    """
    _one(wall)
    if not 0.0 < half_angle <= np.pi / 2.0:
        raise DesignError("half_angle", half_angle, "above 0 and at most 90 degrees")
    enough = min(MOST_WAVES, np.ceil(8.0 * np.pi / half_angle)) if most_waves is None else most_waves
    waves = np.arange(0.0, enough + 1.0, 2.0)
    shape = _pad_wave(waves, half_angle)
    pressed = float(_pad_wave(np.array([1.0]), half_angle)[0])   # integral of profile times cos(clock)
    pressure = 2.0 * shape / (np.pi * pressed * float(wall.outside) / 2.0)
    pressure[0] /= 2.0
    return ClockPressure(waves=waves, pressure=pressure)


def _pad_wave(waves: FloatArray, half_angle: float) -> FloatArray:
    """Integral of (1 + cos(pi x/half_angle))/2 cos(wave x) over the pad, (n,) [rad]."""
    turn = waves * half_angle / np.pi
    smooth = np.where(np.abs(turn - 1.0) < 1e-6, turn + 2e-6, turn)
    return np.asarray(half_angle * np.sinc(smooth) / (1.0 - smooth**2))


def _contact(wall: Wall, width: float | None) -> float:
    """[rad] half angle of a pad `width` [m] across; twice the wall when not given."""
    _one(wall)
    breadth = 2.0 * float(wall.total_thickness) if width is None else width
    if not (np.isfinite(breadth) and breadth > 0.0):
        raise DesignError("pad width", width, "a width above zero")
    return float(min(breadth / float(wall.outside), np.pi / 2.0))


def plates_squeeze(wall: Wall, strength: Strength, *, length: float, pad: float | None = None,
                   criterion: Criterion = "Hashin", cure: ArrayLike = 0.0) -> Squeeze:
    """A ring of `length` [m] cut off and pressed between two plates, until its first ply breaks.

    Parameters
    ----------
    wall : one wall.
    strength : (n_layer,) [Pa].
    pad : [m] width over which a plate touches; twice the wall when not given.
    cure : [Pa] constant ply stresses, shaped as `thin_stress.thin_cure_stress` gives.

    Returns
    -------
    Squeeze.

    Source
    ------
    `thick_ring.ring_response`; thin limit P/delta = D/(0.1488 R^3) a width, W. C. Young, R. G. Budynas, Roark's
    Formulas for Stress and Strain, 7th ed., 2002, table 9.2 case 1.
    """
    _positive("length", length)
    load = pad_pressure(wall, half_angle=_contact(wall, pad)).scaled(1.0 / length)
    return _squeezed(wall, strength, load, along="held", criterion=criterion, cure=cure)


def fist_squeeze(wall: Wall, strength: Strength, *, length: float, half_angle: float = np.pi / 3.0,
                 criterion: Criterion = "Hashin", cure: ArrayLike = 0.0) -> Squeeze:
    """A hand round a long tube: fingers against palm, each over `half_angle` [rad] either side, `length` [m] along.

    `Squeeze.reserve` takes the grip force. A hand presses more evenly than two pads, so the answer is safe.

    Parameters and sources as `plates_squeeze`; the tube beside the hand helps as `helped_length` says.
    """
    _positive("length", length)
    load = _helped(wall, pad_pressure(wall, half_angle=half_angle), length)
    return _squeezed(wall, strength, load, along="held", criterion=criterion, cure=cure)


def point_squeeze(wall: Wall, strength: Strength, *, pad: float, criterion: Criterion = "Hashin",
                  cure: ArrayLike = 0.0) -> Squeeze:
    """A long tube pinched between two small pads, `pad` [m] square, until its first ply breaks.

    Good for pads wider than the wall is thick and away from the ends; a sharper thing dents or cuts first. Bending of
    the wall along the tube is left out: with little fibre around it is the smaller of the two.

    Parameters and sources as `plates_squeeze`; the tube beside the pad helps as `helped_length` says.
    """
    _positive("pad", pad)
    load = _helped(wall, pad_pressure(wall, half_angle=_contact(wall, pad)), pad)
    return _squeezed(wall, strength, load, along="held", criterion=criterion, cure=cure)


def pinch_stiffness(wall: Wall, *, length: float, pad: float | None = None) -> float:
    """Force over loss of diameter [N/m] of a long tube pinched by two pads, `length` [m] along and `pad` [m] across.

    What a bench finds with a pad and a dial gauge, away from the ends. Parameters and sources as `point_squeeze`.
    """
    _positive("length", length)
    load = _helped(wall, pad_pressure(wall, half_angle=_contact(wall, pad)), length)
    return 1.0 / ring_response(wall, load).closure()


def helped_length(wall: Wall, waves: ArrayLike, *, length: float) -> FloatArray:
    """Length [m] of tube that shares a load of `length` [m], one a wave, (n_wave,).

    Each wave of n lobes bends along the tube as a beam (axial membrane stiffness C) on the ring's own bending (D):
    b = [D n^4 (n^2 - 1)^2/(4 C R^6)]^(1/4); a load spread over s counts over s/(1 - exp(-b s/2) cos(b s/2)), which is
    2/b for a point and s for a long one. The even part, n = 0, acts over `length`, as does n = 1, which is refused.

    Source
    ------
    V. Z. Vlasov's semi-membrane theory of long cylinders (inextensible round the clock, no shear), with M. Hetenyi,
    Beams on Elastic Foundation, 1946, for the line load on an infinite beam.
    """
    _one(wall)
    waves = np.asarray(waves, dtype=np.float64)
    A, _, _ = wall_matrices(wall)
    ring = ring_stiffness(wall)
    axial = 1.0 / float(np.linalg.inv(A)[0, 0])
    lobes = np.maximum(waves, 2.0)
    decay = (float(ring.bending) * lobes**4 * (lobes**2 - 1.0)**2 / (4.0 * axial * float(ring.middle)**6))**0.25
    spread = decay * length / 2.0
    share = 1.0 - np.exp(-spread) * np.cos(spread)
    return np.asarray(np.where(waves < 2.0, length, length / share))


def _helped(wall: Wall, load: ClockPressure, length: float) -> ClockPressure:
    """Two pads' newton a metre turned into the pressure that one newton over `length` [m] makes on a long tube."""
    return ClockPressure(load.waves, load.pressure / helped_length(wall, load.waves, length=length))


def _one(wall: Wall) -> None:
    if wall.angle.ndim != 1:
        raise DesignError("wall", "a batch", "one wall at a time")


def _positive(name: str, value: float) -> None:
    if not (np.isfinite(value) and value > 0.0):
        raise DesignError(name, value, "a number above zero")


def _places() -> FloatArray:
    """[rad] clock places looked at: the quarter beside a pad, close together near it."""
    fine = np.linspace(0.0, np.pi / 18.0, 11)
    return np.concatenate([fine, np.linspace(np.pi / 18.0, np.pi, 42)[1:]])


def _squeezed(wall: Wall, strength: Strength, load: ClockPressure, *, along: Along, criterion: Criterion,
              cure: ArrayLike) -> Squeeze:
    """Squeeze from the pressure that one newton makes."""
    ring = ring_response(wall, load, along=along)
    failure = first_failure(wall, ring.stresses(_places()), strength, criterion=criterion, cure=cure)
    give, force = ring.closure(), float(failure.factor)
    return Squeeze(force=force, closure=give * force, stiffness=1.0 / give, failure=failure, bore=float(wall.bore))


def collar_squeeze(wall: Wall, strength: Strength, *, uneven: float, criterion: Criterion = "Hashin",
                   cure: ArrayLike = 0.0) -> CollarSqueeze:
    """A collar round a long tube that presses p (1 + uneven cos 2 clock): mean pressure at the first ply failure.

    The even part grows the oval of the uneven part by 1/(1 - p/p_collapse), so that stress rises faster than the
    pressure; an even collar fails at the collapse pressure itself unless plies crush before.

    Parameters
    ----------
    wall : one wall.
    strength : (n_layer,) [Pa].
    uneven : [-] from 0 to 1.

    Returns
    -------
    CollarSqueeze.

    Source
    ------
    `thick_ring.ring_response`; growth of a two-lobed imperfection under even pressure: S. P. Timoshenko, J. M. Gere,
    Theory of Elastic Stability, 2nd ed., 1961, section 7.4.
    """
    _one(wall)
    if not 0.0 <= uneven <= 1.0:
        raise DesignError("uneven", uneven, "from 0, even, to 1, no pressure at the slackest place")
    ring = ring_response(wall, ClockPressure(np.array([0.0, 2.0]), np.array([1.0, uneven])))
    collapse = float(collapse_pressure_thick(wall))
    low, high = 0.0, collapse
    for _ in range(60):
        middle = (low + high) / 2.0
        is_whole = _collar_failure(wall, ring, strength, middle, collapse, criterion, cure).factor > 1.0
        low, high = (middle, high) if is_whole else (low, middle)
    if not np.isfinite(low):
        raise NotConverged("collar", low, "a finite pressure")
    failure = _collar_failure(wall, ring, strength, max(low, 1e-9 * collapse), collapse, criterion, cure)
    grown = 1.0 / (1.0 - min(low / collapse, 1.0 - 1e-12))
    oval = 4.0 * low * float(ring.inward[1, 1]) * grown if uneven > 0.0 else 0.0
    return CollarSqueeze(pressure=low, oval=oval, collapse=collapse, failure=failure, bore=float(wall.bore))


def _collar_failure(wall: Wall, ring: RingResponse, strength: Strength, pressure: float, collapse: float,
                    criterion: Criterion, cure: ArrayLike) -> FirstFailure:
    """Reserve of the ring's state at a mean pressure, its oval grown."""
    grown = np.array([pressure, pressure / (1.0 - min(pressure / collapse, 1.0 - 1e-12))])
    state = RingResponse(waves=ring.waves, inward=ring.inward * grown[:, None],
                         stress=ring.stress * grown[:, None, None, None])
    return first_failure(wall, state.stresses(np.linspace(0.0, np.pi, 13)), strength, criterion=criterion, cure=cure)
