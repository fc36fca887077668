"""A telescopic pole as values: tubes numbered from the tip, the joints between them, and the state it is held in.

A `Tube` need not come from a wall: any stepped or tapered stiffness and mass will do.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.overlaps import OVERLAPS, JointModel
from polewright.errors import DesignError
from polewright.materials.numbers import one_of

__all__ = ["Centring", "Joint", "Pole", "Tube"]

Centring = Literal["mouth", "none"]


@dataclass(frozen=True, slots=True, eq=False)
class Tube:
    """One section as a beam. Figures are given at stations along it, butt first, and vary smoothly between.

    length [m]; station (n,) [m] from the tube's own butt end, first 0, last `length` (a straight tube may give two
    equal ends); bending EI [N m2], axial EA [N], shear kappa G A [N], mass_per_length [kg/m], bore and outside
    diameters [m], all (n,).
    """

    length: float
    station: FloatArray
    bending: FloatArray
    axial: FloatArray
    shear: FloatArray
    mass_per_length: FloatArray
    bore: FloatArray
    outside: FloatArray

    def __post_init__(self) -> None:
        names = ("station", "bending", "axial", "shear", "mass_per_length", "bore", "outside")
        freeze(self, names)
        if not (np.isfinite(self.length) and self.length > 0.0):
            raise DesignError("length", self.length, Message("want.length_above_zero"))
        for name in names[1:]:
            values = getattr(self, name)
            if values.shape != self.station.shape or values.ndim != 1 or values.size < 2:
                raise DesignError(
                    name,
                    Message("given.values", shape=str(values.shape)),
                    Message("want.one_value_station_two_stations_at"),
                )
            floor = 0.0 if name in ("bore", "mass_per_length") else np.nextafter(0.0, 1.0)
            if not np.all(np.isfinite(values)) or np.any(values < floor):
                raise DesignError(name, float(np.min(values)), Message("want.finite_above_zero"))
        if (
            np.any(np.diff(self.station) <= 0.0)
            or abs(self.station[0]) > 1e-12
            or abs(self.station[-1] - self.length) > 1e-9
        ):
            raise DesignError("station", Message("given.out_order"), Message("want.rising_from_0_at_butt_end"))

    @classmethod
    def uniform(
        cls,
        *,
        length: float,
        bending: float,
        mass_per_length: float,
        bore: float,
        outside: float,
        axial: float = 1e9,
        shear: float = 1e9,
    ) -> "Tube":
        """A straight tube alike along its length; units as the class. EA and shear default to practically rigid.

        Bore and outside have no default: wind, the turning mass of a swing and what a joint presses on rest on them.
        """
        two = np.ones(2)
        return cls(
            length=length,
            station=np.array([0.0, length]),
            bending=bending * two,
            axial=axial * two,
            shear=shear * two,
            mass_per_length=mass_per_length * two,
            bore=bore * two,
            outside=outside * two,
        )

    @property
    def mass(self) -> float:
        """[kg] by the trapezoid rule over the stations."""
        return float(np.trapezoid(self.mass_per_length, self.station))


@dataclass(frozen=True, slots=True)
class Joint:
    """The telescopic joint where one tube (nearer the tip) slides in the next.

    overlap [m] still inside when fully drawn out; proud [m] by which the inner mouth stands out of the outer mouth
    when closed; stiffness [N m/rad] of the joint against tilting (inf for none); clearance [m] on diameter between
    the two tubes over the overlap; centring: "mouth" if the clamp centres the mouth, so that only the butt end
    rattles (free tilt c/(2 L)), "none" if both ends are loose (c/L); mass [kg] of the clamp, at the outer mouth;
    pivot, where the joint turns as a share of the overlap in from the outer mouth: 1/2 where both ends of the overlap
    give alike, 0 where the mouth holds and the butt end alone gives, 1 the other way round; play [rad], a free tilt to
    one side that was measured or agreed, the same at any draw; None: from clearance and overlap, as above.
    """

    overlap: float
    proud: float = 0.0
    stiffness: float = np.inf
    clearance: float = 0.0
    centring: Centring = "mouth"
    mass: float = 0.0
    pivot: float = 0.5
    play: float | None = None

    def __post_init__(self) -> None:
        for name in ("overlap", "proud", "clearance", "mass"):
            value = getattr(self, name)
            if not (np.isfinite(value) and value >= 0.0):
                raise DesignError(f"joint.{name}", value, Message("want.zero_or_more"))
        if np.isnan(self.stiffness) or self.stiffness <= 0.0:
            raise DesignError("joint.stiffness", self.stiffness, Message("want.above_zero"))
        if self.play is not None and not (np.isfinite(self.play) and self.play >= 0.0):
            raise DesignError("joint.play", self.play, Message("want.zero_or_more_or_none"))
        if self.centring not in ("mouth", "none"):
            raise DesignError("joint.centring", self.centring, Message("want.mouth_or_none"))
        if not 0.0 <= self.pivot <= 1.0:
            raise DesignError("joint.pivot", self.pivot, Message("want.share_overlap_0_outer_mouth_1"))

    @property
    def tilt_share(self) -> float:
        """Free tilt over clearance / overlap: 1/2 with a centred mouth, 1 without, 0 where `play` gives the tilt."""
        if self.play is not None:
            return 0.0
        return 0.5 if self.centring == "mouth" else 1.0

    def free_tilt(self, overlap: float) -> float:
        """[rad] tilt to one side before the tubes touch at both ends of an overlap [m].

        c/(2 L) when the clamp centres the mouth, c/L when neither end is centred, or the joint's own `play` where that
        is known; up-to-down swing is twice that.

        Source
        ------
        Geometry of a straight tube in a straight bore; c on diameter.
        """
        if self.play is not None:
            return self.play
        if self.clearance == 0.0:
            return 0.0
        if overlap <= 0.0:
            raise DesignError("joint.overlap", overlap, Message("want.above_zero_where_there_clearance"))
        return self.tilt_share * self.clearance / overlap


@dataclass(frozen=True, slots=True)
class Pole:
    """Tubes numbered from the tip, with one joint between each two; tip_mass [kg] of the tip fitting.

    overlaps : how tubes bend that lie in one another, see `conventions.overlaps`.
    """

    tubes: tuple[Tube, ...]
    joints: tuple[Joint, ...]
    tip_mass: float = 0.0
    overlaps: JointModel = "glued"

    def __post_init__(self) -> None:
        one_of("overlaps", self.overlaps, OVERLAPS)
        if not self.tubes:
            raise DesignError("sections", Message("given.none"), Message("want.at_least_one_section"))
        if len(self.joints) != len(self.tubes) - 1:
            raise DesignError(
                "joints", len(self.joints), Message("want.one_between_each_two_sections", limit=len(self.tubes) - 1)
            )
        if not (np.isfinite(self.tip_mass) and self.tip_mass >= 0.0):
            raise DesignError("tip_mass", self.tip_mass, Message("want.zero_or_more"))
        for i, joint in enumerate(self.joints):
            if joint.overlap >= min(self.tubes[i].length, self.tubes[i + 1].length):
                raise DesignError(f"joints[{i}].overlap", joint.overlap, Message("want.shorter_than_both_tubes_joins"))

    @property
    def full_draw(self) -> tuple[float, ...]:
        """[m] how far each section stands out of the next one's mouth when fully drawn out, tip first."""
        return tuple(t.length - j.overlap for t, j in zip(self.tubes, self.joints, strict=False))

    @property
    def closed_draw(self) -> tuple[float, ...]:
        """[m] the same when pushed in: each mouth stands out by its joint's `proud`, or more if its tube is longer."""
        return tuple(
            max(j.proud, t.length - self.tubes[i + 1].length)
            for i, (t, j) in enumerate(zip(self.tubes, self.joints, strict=False))
        )

    @property
    def extended_length(self) -> float:
        """[m] butt to tip, all sections fully drawn out."""
        return self.tubes[-1].length + sum(self.full_draw)

    @property
    def closed_length(self) -> float:
        """[m] butt to tip, all sections pushed in."""
        return self.tubes[-1].length + sum(self.closed_draw)

    @property
    def mass(self) -> float:
        """[kg] tubes, clamps and tip fitting."""
        return sum(t.mass for t in self.tubes) + sum(j.mass for j in self.joints) + self.tip_mass
