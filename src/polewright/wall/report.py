"""One wall by every tier at once: stiffness, ring, clamp, squeeze, what ends it, strength with cure, cool-down."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, finite, from_zero
from polewright.materials.ply import Strength
from polewright.wall.batch import OneOrMany, figure, settle
from polewright.wall.clamp import Band, ClampWindow, clamp_window
from polewright.wall.cooldown import CoolDown, MandrelFit, cool_down, mandrel_fit
from polewright.wall.criteria import CRITERIA, Criterion
from polewright.wall.cylinder import ExactTube, exact_tube
from polewright.wall.failure import FirstFailure, LastFailure, exact_stress, first_failure, last_failure
from polewright.wall.limits import WallLimits, bending_limits, push_limits
from polewright.wall.membrane import TubeStiffness, beam_stiffness, tube_flexibility
from polewright.wall.ring import RingStiffness, collapse_pressure, ring_stiffness
from polewright.wall.seam import UnevenSection, part_turns, uneven_section
from polewright.wall.squeeze import Squeeze, fist_squeeze, pad_pressure, plates_squeeze, point_squeeze
from polewright.wall.stack import Stack, Wall
from polewright.wall.thick_ring import collapse_pressure_thick, ring_response
from polewright.wall.through import TubeLoads

__all__ = [
    "BeamTiers",
    "CoolReport",
    "Hold",
    "RingReport",
    "StrengthReport",
    "WallReport",
    "WallUse",
    "beam_tiers",
    "cool_report",
    "ring_report",
    "strength_report",
    "wall_report",
]

PLACES = (0.0, np.pi / 2.0, np.pi)  # [rad] pulled side, neutral axis, pushed side of a moment


@dataclass(frozen=True, slots=True, eq=False)
class Hold:
    """What presses on a wall: ring [m] wide between plates, fist [m] of tube in a hand, pad [m] square, a band.

    need [N] is the hold wanted of the band.
    """

    ring: float = 0.020
    fist: float = 0.080
    pad: float = 0.010
    band: Band = field(default_factory=lambda: Band(width=0.015, friction=0.12))
    need: float = 150.0

    def __post_init__(self) -> None:
        for name in ("ring", "fist", "pad", "need"):
            above_zero(f"hold.{name}", getattr(self, name), most=1e30)


@dataclass(frozen=True, slots=True, eq=False)
class WallUse:
    """What a tube's wall goes through.

    length [m] of tube; rise [K] room less stress-free temperature, negative; mandrel_expansion [1/K];
    moment [N m] for which reserves are given; starts (n_ply,) [rad] clock positions of the flags, if known, and their
    overlap [m]; friction [-] of the bar on the bore; criterion by which limits and squeezes say that a ply fails.
    """

    length: float = 1.65
    rise: float = -100.0
    mandrel_expansion: float = 23e-6
    moment: float = 100.0
    hold: Hold = field(default_factory=Hold)
    starts: tuple[float, ...] | None = None
    overlap: float = 0.0
    friction: float = 0.2
    criterion: Criterion = "hashin"

    def __post_init__(self) -> None:
        for name in ("length", "moment"):
            above_zero(name, getattr(self, name), most=1e30)
        for name in ("overlap", "friction"):
            from_zero(name, getattr(self, name), most=1e30)
        finite("mandrel_expansion", self.mandrel_expansion, want=Message("want.finite_expansion"), most=1e9)
        if np.any(finite("rise", self.rise, want=Message("want.cool_down_zero_or_negative"), most=1e9) > 0.0):
            raise DesignError("rise", self.rise, Message("want.cool_down_zero_or_negative"))
        if self.starts is not None:
            finite("starts", self.starts, want=Message("want.clock_position_of_each_ply"), most=1e12)


@dataclass(frozen=True, slots=True, eq=False)
class BeamTiers:
    """The tube as a beam by thin-wall theory and exactly, beside each other.

    free and held say of an off-axis wall whether it may twist as it stretches. bend_shear [1/(N m)]: shear angle from
    a unit moment, zero for a balanced wall; shear_coefficient [-] of the exact tube; a number for one wall, (*case,)
    for a batch.
    """

    thin: TubeStiffness
    exact: TubeStiffness
    thin_held: TubeStiffness
    exact_held: TubeStiffness
    thin_bend_shear: OneOrMany
    exact_bend_shear: OneOrMany
    shear_coefficient: OneOrMany

    def __post_init__(self) -> None:
        settle(self, ("thin_bend_shear", "exact_bend_shear", "shear_coefficient"))


@dataclass(frozen=True, slots=True, eq=False)
class RingReport:
    """The wall round: thin and layered ring, the clamp's window, and squeezes up to the first broken ply.

    plates_thin, plates_exact [N/m] of the ring's width between plates; collapse_thin, collapse_exact [Pa] on the
    outside; a number for one wall, (*case,) for a batch; the squeezes are None where no strength is known.
    """

    thin: RingStiffness
    plates_thin: OneOrMany
    plates_exact: OneOrMany
    collapse_thin: OneOrMany
    collapse_exact: OneOrMany
    window: ClampWindow
    plates: Squeeze | None
    fist: Squeeze | None
    point: Squeeze | None

    def __post_init__(self) -> None:
        settle(self, ("plates_thin", "plates_exact", "collapse_thin", "collapse_exact"))


@dataclass(frozen=True, slots=True, eq=False)
class StrengthReport:
    """Reserves at the moment of use: load multipliers by every criterion, cure stress in and out, and the last failure.

    load (*case, 3, n_layer, 2, 6) [Pa] ply stresses of the exact tube at the pulled side, the neutral axis and the
    pushed side under that moment; cure (*case, 1, n_layer, 2, 6) [Pa] what cooling leaves, the same all round.
    """

    moment: OneOrMany
    with_cure: dict[Criterion, FirstFailure]
    without_cure: dict[Criterion, FirstFailure]
    last: LastFailure
    load: FloatArray
    cure: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("load", "cure"))
        settle(self, ("moment",))

    @property
    def first_moment(self) -> OneOrMany:
        """(*case,) [N m] at which the first ply fails, by the criterion that comes first, cure stress in."""
        return figure(self.moment * np.min([f.factor for f in self.with_cure.values()], axis=0))


@dataclass(frozen=True, slots=True, eq=False)
class CoolReport:
    """Cool-down of the free tube and its fit on the mandrel; pull [N] at most to draw the bar, zero if it lets go.

    pull is a number for one wall, (*case,) for a batch.
    """

    free: CoolDown
    fit: MandrelFit
    pull: OneOrMany

    def __post_init__(self) -> None:
        settle(self, ("pull",))


@dataclass(frozen=True, slots=True, eq=False)
class WallReport:
    """Everything of one wall, or of a batch; bending [N m] and push [N] limits say what ends it first.

    strength is None where a ply's strength is unknown; uneven is None where no flag's start is known.
    """

    wall: Wall
    use: WallUse
    beam: BeamTiers
    ring: RingReport
    bending: WallLimits
    push: WallLimits
    strength: StrengthReport | None
    cool: CoolReport
    uneven: UnevenSection | None


def beam_tiers(tube: ExactTube) -> BeamTiers:
    """Stiffness of one wall, or of a batch, as a beam by both tiers: EA [N], EI, GJ [N m2], shear [N], couplings.

    Source
    ------
    `membrane.tube_flexibility` and `cylinder.exact_tube`.
    """
    thin = tube_flexibility(tube.wall)
    return BeamTiers(
        thin=beam_stiffness(thin),
        exact=tube.stiffness(),
        thin_held=beam_stiffness(thin, twist="held"),
        exact_held=tube.stiffness(twist="held"),
        thin_bend_shear=thin[..., 2, 4],
        exact_bend_shear=tube.flexibility[..., 2, 4],
        shear_coefficient=tube.shear_coefficient,
    )


def ring_report(
    wall: Wall, hold: Hold, strength: Strength | None, *, criterion: Criterion = "hashin", cure: ArrayLike = 0.0
) -> RingReport:
    """The wall squeezed: thin and exact ring, collapse [Pa], clamp window [N], squeezes to the first broken ply.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).
    strength : (n_layer,) or (*case, n_layer) [Pa], lab means or design values; None leaves out what needs it.
    cure : [Pa] constant ply stresses of the window and the squeezes, (*case, 1, n_layer, 2, 3 or 6).

    Source
    ------
    `ring.ring_stiffness`, `thick_ring.ring_response`, `clamp.clamp_window`, `squeeze` and their sources.
    """
    ring, exact = ring_stiffness(wall), collapse_pressure_thick(wall)
    plates, fist, point = (None,) * 3 if strength is None else _squeezes(wall, hold, strength, criterion)
    return RingReport(
        thin=ring,
        plates_thin=ring.between_plates * hold.ring,
        plates_exact=_between_plates(wall, hold.ring) if plates is None else plates.stiffness,
        collapse_thin=collapse_pressure(wall, on="outside"),
        collapse_exact=exact,
        window=clamp_window(wall, hold.band, need=hold.need, strength=strength, cure=cure, criterion=criterion),
        plates=plates,
        fist=fist,
        point=point,
    )


def _squeezes(wall: Wall, hold: Hold, strength: Strength, criterion: Criterion) -> tuple[Squeeze, Squeeze, Squeeze]:
    return (
        plates_squeeze(wall, strength, length=hold.ring, criterion=criterion),
        fist_squeeze(wall, strength, length=hold.fist, criterion=criterion),
        point_squeeze(wall, strength, pad=hold.pad, criterion=criterion),
    )


def _between_plates(wall: Wall, width: float) -> OneOrMany:
    """(*case,) [N/m] of a ring `width` [m] wide that the plates touch over twice the wall."""
    half_angle = np.minimum(2.0 * wall.total_thickness / wall.outside, np.pi / 2.0)
    return 1.0 / ring_response(wall, pad_pressure(wall, half_angle=half_angle).scaled(1.0 / width)).closure()


def strength_report(tube: ExactTube, strength: Strength, *, moment: ArrayLike, rise: ArrayLike) -> StrengthReport:
    """Reserves of every ply under a bending moment [N m] by every criterion, and ply by ply to the last.

    Stresses are the exact tube's; the cure stress stays constant while the moment grows, and counts or does not.

    Parameters
    ----------
    tube : one wall or a batch, (*case,), solved at both faces of every layer.
    strength : (n_layer,) or (*case, n_layer) [Pa].
    moment : (*case,) [N m].
    rise : (*case,) [K] room less stress-free temperature.

    Source
    ------
    `failure.first_failure` and `failure.last_failure`.
    """
    load = exact_stress(tube, TubeLoads(moment=moment), clock=PLACES)
    cure = exact_stress(tube, TubeLoads(rise=rise), clock=(0.0,))
    with_cure = {c: first_failure(tube.wall, load, strength, criterion=c, cure=cure) for c in CRITERIA}
    without = {c: first_failure(tube.wall, load, strength, criterion=c) for c in CRITERIA}
    last = last_failure(tube.wall, TubeLoads(moment=moment), strength, rise=rise)
    return StrengthReport(moment=moment, with_cure=with_cure, without_cure=without, last=last, load=load, cure=cure)


def cool_report(tube: ExactTube, use: WallUse) -> CoolReport:
    """Cold bore and outside [m], ply stresses [Pa], the gap on the mandrel [m], and what drawing it would take [N].

    Source
    ------
    `cooldown.cool_down` and `cooldown.mandrel_fit`.
    """
    fit = mandrel_fit(tube, rise=use.rise, mandrel_expansion=use.mandrel_expansion)
    pull = fit.pull_off(friction=use.friction, length=use.length)
    return CoolReport(free=cool_down(tube, rise=use.rise, mandrel_expansion=use.mandrel_expansion), fit=fit, pull=pull)


def wall_report(
    stack: Stack, bore: ArrayLike, use: WallUse | None = None, *, strength: Strength | None = None
) -> WallReport:
    """Every figure of one wall, or of a batch: tiers side by side, round, limits, strength, cool-down, seams.

    Parameters
    ----------
    stack : what is rolled, from the bore outward.
    bore : [m] diameter; a batch (n_case,) gives the figures of a batch. It also stands for the cold mandrel's diameter,
        which differs from it by a thousandth.
    strength : (n_layer,) [Pa]; the stack's own lab means when left out. Give `stack.design_strength()` to design.

    Raises
    ------
    DesignError : a bore, a stack or a use that cannot be, or starts that are not one per ply.

    Source
    ------
    Each part's own: `beam_tiers`, `ring_report`, `strength_report`, `cool_report`, `limits`, `seam`.
    """
    use = use or WallUse()
    wall = stack.wall(bore)
    tube = exact_tube(wall)
    limits = strength or stack.strength()
    cure = exact_stress(tube, TubeLoads(rise=use.rise), clock=(0.0,))
    known = None if limits is None else strength_report(tube, limits, moment=use.moment, rise=use.rise)
    return WallReport(
        wall=wall,
        use=use,
        beam=beam_tiers(tube),
        ring=ring_report(wall, use.hold, limits, criterion=use.criterion, cure=cure),
        bending=bending_limits(wall, limits, cure=cure, criterion=use.criterion),
        push=push_limits(wall, limits, cure=cure, criterion=use.criterion),
        strength=known,
        cool=cool_report(tube, use),
        uneven=_uneven(stack, bore, use),
    )


def _uneven(stack: Stack, bore: ArrayLike, use: WallUse) -> UnevenSection | None:
    if use.starts is None:
        return None
    if np.shape(use.starts) != (len(stack.plies),):
        raise DesignError("starts", np.size(use.starts), Message("want.one_per_ply", count=len(stack.plies)))
    wall, arcs = part_turns(stack, bore, starts=use.starts, overlap=use.overlap)
    return uneven_section(wall, arcs)
