"""What was read on the bench, kept as read: results are computed from it and can be computed again.

Readings are positive downward, in the way the load pulls; a dial's zero may lie anywhere.
"""

from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["Arrangement", "BendTest", "ClockTest", "Gauges", "RingTest", "TapTest", "TipTest", "TorsionTest"]

Arrangement = Literal["middle", "two loads", "two loads, arc", "tip"]


MOST = 1e4  # [m], [kg] beyond any bench; a slip of units
LEAST = 1e-6


def _above_zero(value: Any, names: tuple[str, ...]) -> None:
    for name in names:
        number = getattr(value, name)
        if not LEAST <= number <= MOST:
            raise DesignError(name, number, Message("want.bench_can_hold", least=LEAST, most=MOST))


def _usable(value: Any, shape_of_readings: tuple[int, ...]) -> None:
    if value.masses.ndim != 1 or value.masses.size < 1 or not np.all(np.isfinite(value.masses)):
        raise DesignError("masses", Message("given.not_row_numbers"), Message("want.mass_of_each_load"))
    if np.any(value.masses < 0.0):
        raise DesignError("masses", float(np.min(value.masses)), Message("want.zero_or_more"))
    if np.any(value.masses > MOST):
        raise DesignError("masses", float(np.max(value.masses)), Message("want.at_most_mass", most=MOST))
    if value.readings.shape != shape_of_readings:
        raise DesignError(
            "readings",
            Message("given.shaped", shape=str(value.readings.shape)),
            Message("want.one_of_each_load", shape=str(shape_of_readings)),
        )
    if not np.all(np.isfinite(value.readings)):
        raise DesignError("readings", Message("given.not_number"), Message("want.finite_readings"))
    if np.any(np.abs(value.readings) > MOST):
        raise DesignError("readings", float(np.max(np.abs(value.readings))), Message("want.at_most_length", most=MOST))


@dataclass(frozen=True, slots=True)
class Gauges:
    """How well things are known; standard uncertainties.

    span [m] of a distance between supports or loads; load_share [-] of all hung masses together (one scale);
    reading [m] of one dial reading by its marks; reading_share [-] of all readings together (one dial);
    gravity [m/s2] at the place against 9.80665.
    """

    span: float = 5e-4
    load_share: float = 1e-3
    reading: float = 5e-6
    reading_share: float = 1e-3
    gravity: float = 0.015

    def __post_init__(self) -> None:
        for name in ("span", "load_share", "reading", "reading_share", "gravity"):
            number = getattr(self, name)
            if not (np.isfinite(number) and number >= 0.0):
                raise DesignError(f"gauges.{name}", number, Message("want.zero_or_more"))


@dataclass(frozen=True, slots=True, eq=False)
class BendTest:
    """One tube bent by several loads.

    span [m] between the trestles (from clamp to load for "tip"); masses (n_load,) [kg] hung in all;
    readings (n_load, n_repeat) [m]; outside [m] diameter, zero if not measured.
    arrangement: "middle", one load at mid-span, read there; "two loads", half the load at `inset` [m] from each
    trestle, read at mid-span; "two loads, arc", read at mid-span against the two loads; "tip", clamped at one end.
    turned: the tube was turned between the columns of readings, so that each column has a zero of its own (a bow).
    """

    span: float
    masses: FloatArray
    readings: FloatArray
    outside: float = 0.0
    arrangement: Arrangement = "middle"
    inset: float = 0.0
    gauges: Gauges = field(default_factory=Gauges)
    turned: bool = False

    def __post_init__(self) -> None:
        freeze(self, ("masses", "readings"))
        if self.readings.ndim == 1:
            object.__setattr__(self, "readings", self.readings[:, np.newaxis])
        _above_zero(self, ("span",))
        if not (np.isfinite(self.outside) and 0.0 <= self.outside < self.span):
            raise DesignError("outside", self.outside, Message("want.diameter_below_span"))
        if self.arrangement not in ("middle", "two loads", "two loads, arc", "tip"):
            raise DesignError("arrangement", self.arrangement, Message("want.arrangement"))
        if self.arrangement.startswith("two") and not (0.0 < self.inset < self.span / 2.0):
            raise DesignError("inset", self.inset, Message("want.inset_below_half_span"))
        _usable(self, (self.masses.size, self.readings.shape[1] if self.readings.ndim == 2 else 0))


@dataclass(frozen=True, slots=True, eq=False)
class ClockTest:
    """One tube on two trestles, turned step by step and read under several loads at mid-span.

    span [m]; clock (n_clock,) [rad] of the mark that faces down; masses (n_load,) [kg];
    readings (n_clock, n_load) [m]; outside [m] diameter, zero if not measured.
    """

    span: float
    clock: FloatArray
    masses: FloatArray
    readings: FloatArray
    outside: float = 0.0
    gauges: Gauges = field(default_factory=Gauges)

    def __post_init__(self) -> None:
        freeze(self, ("clock", "masses", "readings"))
        _above_zero(self, ("span",))
        if self.clock.ndim != 1 or not np.all(np.isfinite(self.clock)):
            raise DesignError("clock", Message("given.not_row_angles"), Message("want.angle_of_each_position"))
        _usable(self, (self.clock.size, self.masses.size))


@dataclass(frozen=True, slots=True, eq=False)
class TorsionTest:
    """One tube clamped at one end and turned at the other.

    length [m] between clamp and lever; arm [m] from the axis to where the load hangs, lever [m] from the axis to the
    dial; masses (n_load,) [kg]; readings (n_load, n_repeat) [m].
    """

    length: float
    arm: float
    lever: float
    masses: FloatArray
    readings: FloatArray
    gauges: Gauges = field(default_factory=Gauges)

    def __post_init__(self) -> None:
        freeze(self, ("masses", "readings"))
        _above_zero(self, ("length", "arm", "lever"))
        _usable(self, (self.masses.size, self.readings.shape[1] if self.readings.ndim == 2 else 0))


@dataclass(frozen=True, slots=True, eq=False)
class RingTest:
    """A ring cut off a tube, `width` [m] along the tube, between plates: masses (n_load,) [kg] on it, readings
    (n_load, n_repeat) [m] of how far it closed; `gauges.span` is that of the width.
    """

    width: float
    masses: FloatArray
    readings: FloatArray
    gauges: Gauges = field(default_factory=lambda: Gauges(span=5e-5))

    def __post_init__(self) -> None:
        freeze(self, ("masses", "readings"))
        _above_zero(self, ("width",))
        _usable(self, (self.masses.size, self.readings.shape[1] if self.readings.ndim == 2 else 0))


@dataclass(frozen=True, slots=True, eq=False)
class TipTest:
    """A whole pole held at its butt and loaded at its tip, once or rolled half round for a second time.

    reach [m] from the prop to the tip; masses (n_load,) [kg] hung in all, 0 for nothing hung;
    readings (n_roll, n_load) [m] of droop, n_roll 1 or 2 (second row with the pole rolled by 180 degrees);
    play [m] free travel felt by a finger, nan if not felt.
    """

    reach: float
    masses: FloatArray
    readings: FloatArray
    play: float = np.nan
    gauges: Gauges = field(default_factory=lambda: Gauges(reading=1.5e-3, load_share=0.004))

    def __post_init__(self) -> None:
        freeze(self, ("masses", "readings"))
        if self.readings.ndim == 1:
            object.__setattr__(self, "readings", self.readings[np.newaxis, :])
        _above_zero(self, ("reach",))
        _usable(self, (self.readings.shape[0], self.masses.size))
        if self.readings.shape[0] not in (1, 2):
            raise DesignError(
                "readings", Message("given.rows", count=self.readings.shape[0]), Message("want.one_or_two_rows")
            )
        if np.isinf(self.play) or self.play < 0.0:
            raise DesignError("play", self.play, Message("want.zero_or_more_or_left_out"))


@dataclass(frozen=True, slots=True, eq=False)
class TapTest:
    """A tube hung free and tapped: frequencies (n,) [Hz] of its first bending tone as heard n times.

    length [m], mass [kg], outside and bore [m] diameters. `frequency_share` [-]: standard uncertainty of all
    frequencies together.
    """

    length: float
    mass: float
    outside: float
    bore: float
    frequencies: FloatArray
    frequency_share: float = 1e-3
    length_standard: float = 5e-4
    mass_standard: float = 1e-4

    def __post_init__(self) -> None:
        freeze(self, ("frequencies",))
        _above_zero(self, ("length", "mass", "outside"))
        if not (np.isfinite(self.bore) and 0.0 <= self.bore < self.outside):
            raise DesignError("bore", self.bore, Message("want.bore_below_outside"))
        if (
            self.frequencies.ndim != 1
            or self.frequencies.size == 0
            or not np.all((self.frequencies > 0.01) & (self.frequencies < 1e6))
        ):
            raise DesignError(
                "frequencies", Message("given.out_of_hearing"), Message("want.frequencies_heard", least=0.01, most=1e6)
            )
