"""Squeezed by plates, a fist or a point: the load at which the first ply breaks, and how far it has closed.

Stresses come from the exact layered ring. A load shorter than the tube is helped by the tube beside it, each wave
round the clock over its own length.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, from_zero
from polewright.materials.ply import Strength
from polewright.wall.batch import OneOrMany, cases, figure, positive, settle, truth
from polewright.wall.criteria import Criterion
from polewright.wall.failure import FirstFailure, first_failure
from polewright.wall.ring import Along, ring_stiffness, wall_matrices
from polewright.wall.stack import Wall
from polewright.wall.thick_ring import ClockPressure, ring_response

__all__ = [
    "Squeeze",
    "fist_squeeze",
    "helped_length",
    "pad_pressure",
    "pinch_stiffness",
    "plates_squeeze",
    "point_squeeze",
]

LARGE = 0.1
"""[-] closure over bore above which a ring that bends on the spot is a guide only."""

MOST_WAVES = 400


@dataclass(frozen=True, slots=True, eq=False)
class Squeeze:
    """A tube pressed from two opposite sides; every field a number for one wall, (*case,) for a batch.

    force [N] on each side at the first ply failure; closure [m]: loss of mid-wall diameter there; stiffness [N/m];
    failure: which ply, face and mode; bore [m].
    """

    force: OneOrMany
    closure: OneOrMany
    stiffness: OneOrMany
    failure: FirstFailure
    bore: OneOrMany

    def __post_init__(self) -> None:
        settle(self, ("force", "closure", "stiffness", "bore"))

    def reserve(self, applied: ArrayLike) -> OneOrMany:
        """(*case,) [-] failing force over an applied one [N]."""
        return figure(self.force / positive("applied", applied))

    @property
    def is_large(self) -> OneOrMany:
        """Whether the closure is beyond a tenth of the bore, where the small-movement answer is a guide only."""
        return truth(self.closure > LARGE * self.bore)


def pad_pressure(wall: Wall, *, half_angle: ArrayLike, most_waves: int | None = None) -> ClockPressure:
    """Two opposite pads, at clock 0 and 180 degrees, that press with one newton a metre of length each.

    Pressure falls from the middle of the pad as 1 + cos(pi clock/half_angle); only what acts along the line between
    the pads counts as the newton.

    Parameters
    ----------
    wall : one wall or a batch, (*case,); its outside radius carries the pads.
    half_angle : (*case,) [rad] above 0, at most 90 degrees.
    most_waves : waves round the clock kept; enough to draw each pad's own shape when not given.
    """
    if most_waves is not None and not (isinstance(most_waves, int | np.integer) and 0 <= most_waves <= 100000):
        raise DesignError("most_waves", most_waves, Message("want.whole_number_from_0"))
    want = Message("want.above_0_at_most_90_degrees")
    half = above_zero("half_angle", half_angle, want=want, most=1e30)
    if np.any(half > np.pi / 2.0):
        raise DesignError("half_angle", float(np.max(half)), want)
    cases("half_angle", wall.bore.shape, half.shape)
    half, radius = (np.asarray(v) for v in np.broadcast_arrays(half, np.asarray(wall.outside / 2.0)))
    enough = (
        np.minimum(MOST_WAVES, np.ceil(8.0 * np.pi / half)) if most_waves is None else np.full(half.shape, most_waves)
    )
    waves = np.arange(0.0, float(np.max(enough)) + 1.0, 2.0)
    pressed = _pad_wave(np.array([1.0]), half)  # integral of profile times cos(clock)
    pressure = 2.0 * _pad_wave(waves, half) / (np.pi * pressed * radius[..., None])
    pressure[..., 0] /= 2.0
    return ClockPressure(waves=waves, pressure=np.where(waves <= enough[..., None], pressure, 0.0))


def _pad_wave(waves: FloatArray, half_angle: FloatArray) -> FloatArray:
    """Integral of (1 + cos(pi x/half_angle))/2 cos(wave x) over the pad, (*case, n_wave) [rad]."""
    turn = waves * half_angle[..., None] / np.pi
    smooth = np.where(np.abs(turn - 1.0) < 1e-6, turn + 2e-6, turn)
    return np.asarray(half_angle[..., None] * np.sinc(smooth) / (1.0 - smooth**2))


def _contact(wall: Wall, width: ArrayLike | None) -> FloatArray:
    """(*case,) [rad] half angle of a pad `width` [m] across; twice the wall when not given."""
    breadth = 2.0 * wall.total_thickness if width is None else positive("pad width", width)
    cases("pad width", wall.bore.shape, breadth.shape)
    return np.asarray(np.minimum(breadth / wall.outside, np.pi / 2.0))


def plates_squeeze(
    wall: Wall,
    strength: Strength,
    *,
    length: ArrayLike,
    pad: ArrayLike | None = None,
    criterion: Criterion = "hashin",
    cure: ArrayLike = 0.0,
) -> Squeeze:
    """A ring of `length` [m] cut off and pressed between two plates, until its first ply breaks.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).
    strength : (n_layer,) or (*case, n_layer) [Pa].
    length : (*case,) [m].
    pad : (*case,) [m] width over which a plate touches; twice the wall when not given.
    cure : [Pa] constant ply stresses, shaped as `thin_stress.thin_cure_stress` gives.

    Returns
    -------
    Squeeze, of all cases.

    Source
    ------
    `thick_ring.ring_response`; thin limit P/delta = D/(0.1488 R^3) a width, W. C. Young, R. G. Budynas, Roark's
    Formulas for Stress and Strain, 7th ed., 2002, table 9.2 case 1.
    """
    load = pad_pressure(wall, half_angle=_contact(wall, pad)).scaled(1.0 / positive("length", length))
    return _squeezed(wall, strength, load, along="held", criterion=criterion, cure=cure)


def fist_squeeze(
    wall: Wall,
    strength: Strength,
    *,
    length: ArrayLike,
    half_angle: ArrayLike = np.pi / 3.0,
    criterion: Criterion = "hashin",
    cure: ArrayLike = 0.0,
) -> Squeeze:
    """A hand round a long tube: fingers against palm, each over `half_angle` [rad] either side, `length` [m] along.

    Arguments broadcast against (*case,).

    `Squeeze.reserve` takes the grip force. A hand presses more evenly than two pads, so the answer is safe.

    Parameters and sources as `plates_squeeze`; the tube beside the hand helps as `helped_length` says.
    """
    load = _helped(wall, pad_pressure(wall, half_angle=half_angle), length)
    return _squeezed(wall, strength, load, along="held", criterion=criterion, cure=cure)


def point_squeeze(
    wall: Wall, strength: Strength, *, pad: ArrayLike, criterion: Criterion = "hashin", cure: ArrayLike = 0.0
) -> Squeeze:
    """A long tube pinched between two small pads, `pad` (*case,) [m] square, until its first ply breaks.

    Good for pads wider than the wall is thick and away from the ends; a sharper thing dents or cuts first. Bending of
    the wall along the tube is left out: with little fibre around it is the smaller of the two.

    Parameters and sources as `plates_squeeze`; the tube beside the pad helps as `helped_length` says.
    """
    load = _helped(wall, pad_pressure(wall, half_angle=_contact(wall, pad)), pad)
    return _squeezed(wall, strength, load, along="held", criterion=criterion, cure=cure)


def pinch_stiffness(wall: Wall, *, length: ArrayLike, pad: ArrayLike | None = None) -> OneOrMany:
    """Force over loss of diameter (*case,) [N/m] of a long tube pinched by two pads, `length` along, `pad` across [m].

    What a bench finds with a pad and a dial gauge, away from the ends. Parameters and sources as `point_squeeze`.
    """
    load = _helped(wall, pad_pressure(wall, half_angle=_contact(wall, pad)), length)
    return figure(1.0 / ring_response(wall, load).closure())


def helped_length(wall: Wall, waves: ArrayLike, *, length: ArrayLike) -> FloatArray:
    """Length [m] of tube that shares a load of `length` (*case,) [m], one a wave, (*case, n_wave).

    Each wave of n lobes bends along the tube as a beam (axial membrane stiffness C) on the ring's own bending (D):
    b = [D n^4 (n^2 - 1)^2/(4 C R^6)]^(1/4); a load spread over s counts over s/(1 - exp(-b s/2) cos(b s/2)), which is
    2/b for a point and s for a long one. The even part, n = 0, acts over `length`, as does n = 1, which is refused.

    Source
    ------
    V. Z. Vlasov's semi-membrane theory of long cylinders (inextensible round the clock, no shear), with M. Hetenyi,
    Beams on Elastic Foundation, 1946, for the line load on an infinite beam.
    """
    waves = from_zero("waves", waves, want=Message("want.whole_numbers_from_0"), most=1e9)
    A, _, _ = wall_matrices(wall)
    ring = ring_stiffness(wall)
    axial = 1.0 / np.linalg.inv(A)[..., 0, 0]
    over = positive("length", length)
    cases("length", wall.bore.shape, over.shape)
    spread_over = np.broadcast_arrays(ring.bending, axial, ring.middle, over)
    bending, axial, middle, length = (np.asarray(v)[(...,) + (None,) * waves.ndim] for v in spread_over)
    lobes = np.maximum(waves, 2.0)
    decay = (bending * lobes**4 * (lobes**2 - 1.0) ** 2 / (4.0 * axial * middle**6)) ** 0.25
    spread = decay * length / 2.0
    # 1 - exp(-s) cos(s), without losing what a very short load leaves of it
    part = -np.expm1(-spread) + 2.0 * np.exp(-spread) * np.sin(spread / 2.0) ** 2
    return np.asarray(np.where(waves < 2.0, length, length / part))


def _helped(wall: Wall, load: ClockPressure, length: ArrayLike) -> ClockPressure:
    """Two pads' newton a metre turned into the pressure that one newton over `length` [m] makes on a long tube."""
    return ClockPressure(load.waves, load.pressure / helped_length(wall, load.waves, length=length))


def _places() -> FloatArray:
    """[rad] clock places looked at: the quarter beside a pad, close together near it."""
    fine = np.linspace(0.0, np.pi / 18.0, 11)
    return np.concatenate([fine, np.linspace(np.pi / 18.0, np.pi, 42)[1:]])


def _squeezed(
    wall: Wall, strength: Strength, load: ClockPressure, *, along: Along, criterion: Criterion, cure: ArrayLike
) -> Squeeze:
    """Squeeze from the pressure that one newton makes."""
    ring = ring_response(wall, load, along=along)
    failure = first_failure(wall, ring.stresses(_places()), strength, criterion=criterion, cure=cure)
    give, force = np.asarray(ring.closure()), failure.factor
    return Squeeze(
        force=force,
        closure=give * force,
        stiffness=1.0 / give,
        failure=failure,
        bore=np.broadcast_to(wall.bore, force.shape),
    )
