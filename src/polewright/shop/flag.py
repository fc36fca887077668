"""The flat pattern of one ply: how wide and long a flag must be cut so that it closes on the mandrel.

A flag lies with its butt end at the left and its first edge at the bottom: u runs along the tube from butt to tip,
w round it in the order of rolling, seen from the outside of the tube. A fibre at a positive angle climbs to the right.
"""

from dataclasses import dataclass, fields

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError, refuse_unless_finite

__all__ = ["Flag", "fibre_drift", "flag_width", "true_angle"]


def flag_width(diameter: float, thickness: float, turns: float, overlap: float = 0.0) -> float:
    """Width of a flag that makes so many turns on a round bar: pi n (d + n t), and the seam overlap.

    Every turn lies on the one before and is 2 pi t longer; n pi d is 15 % short on a small bar with many turns.

    Parameters
    ----------
    diameter : [m] on which the flag starts: the mandrel with all that is already rolled.
    thickness : [m] of one cured turn.
    turns : [-] whole or with a fraction.
    overlap : [m] by which the last edge passes the first.

    Returns
    -------
    [m] round the tube.

    Raises
    ------
    DesignError : a figure is not finite, the turns are not above zero, or another one is negative.

    Source
    ------
    Integral of r dtheta over the spiral r = d/2 + t theta/(2 pi), theta from 0 to 2 pi n; the same as n circles, each
    at the middle of its own turn.
    """
    refuse_unless_finite(diameter=diameter, thickness=thickness, turns=turns, overlap=overlap)
    if turns <= 0.0:
        raise DesignError("turns", turns, Message("want.number_above_zero"))
    for name, value in (("diameter", diameter), ("thickness", thickness), ("overlap", overlap)):
        if value < 0.0:
            raise DesignError(name, value, Message("want.zero_or_more"))
    return float(np.pi * turns * (diameter + turns * thickness) + overlap)


def fibre_drift(turns: float, half_angle: float) -> float:
    """Angle [rad] by which the fibre has turned from the tube axis at the last edge, on a cone.

    `half_angle` [rad] is between the cone's side and its axis, `turns` [-]. A release taper of 0.4 mm/m drifts 0.2
    degrees in three turns and may be ignored, a rod taper of 5 mm/m drifts 2.7 and may not.

    Source
    ------
    Development of a cone: one turn opens to a sector of 2 pi sin(psi).
    """
    refuse_unless_finite(turns=turns, half_angle=half_angle)
    if turns < 0.0:
        raise DesignError("turns", turns, Message("want.zero_or_more"))
    return float(2.0 * np.pi * turns * np.sin(half_angle))


@dataclass(frozen=True, slots=True)
class Flag:
    """Flat pattern of one ply on a straight or tapered bar.

    diameter_butt, diameter_tip [m] on which it starts, at the two ends of the flag; thickness [m] of one cured turn;
    turns [-]; angle [rad] of the fibre from the tube axis, along the first edge; length [m] along the tube;
    overlap [m] of the seam.
    """

    diameter_butt: float
    diameter_tip: float
    thickness: float
    turns: float
    angle: float
    length: float
    overlap: float = 0.0

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            if not np.isfinite(value):
                raise DesignError(f"flag.{field.name}", value, Message("want.finite_number"))
        for name in ("diameter_butt", "diameter_tip", "thickness", "turns", "length"):
            if getattr(self, name) <= 0.0:
                raise DesignError(f"flag.{name}", getattr(self, name), Message("want.number_above_zero"))
        if self.overlap < 0.0:
            raise DesignError("flag.overlap", self.overlap, Message("want.zero_or_more"))
        if abs(self.angle) > np.pi / 2 + 1e-9:
            raise DesignError("flag.angle", self.angle, Message("want.from_90_90_degrees_from_tube"))
        if abs(self.diameter_butt - self.diameter_tip) >= self.length:
            raise DesignError("flag.diameter_tip", self.diameter_tip, Message("want.taper_below_1"))

    @property
    def width_butt(self) -> float:
        """[m] round the tube at the butt end."""
        return flag_width(self.diameter_butt, self.thickness, self.turns, self.overlap)

    @property
    def width_tip(self) -> float:
        """[m] round the tube at the tip end."""
        return flag_width(self.diameter_tip, self.thickness, self.turns, self.overlap)

    @property
    def outline(self) -> FloatArray:
        """(4, 2) [m] corners u, w: first edge from butt to tip along the tube, then back along the last edge."""
        return np.array([[0.0, 0.0], [self.length, 0.0], [self.length, self.width_tip], [0.0, self.width_butt]])

    @property
    def area(self) -> float:
        """[m2] of prepreg in the flag."""
        return self.length * (self.width_butt + self.width_tip) / 2.0

    @property
    def half_angle(self) -> float:
        """[rad] between the bar's side and its axis; positive when the butt end is the big one."""
        return float(np.arctan2((self.diameter_butt - self.diameter_tip) / 2.0, self.length))

    @property
    def drift(self) -> float:
        """[rad] fibre angle lost from the first edge to the last on a taper."""
        return fibre_drift(self.turns, self.half_angle)

    @property
    def end_bow(self) -> float:
        """[m] by which the true end of the flag, an arc, stands out of the straight cut at its middle.

        Source
        ------
        Development of a cone: an arc of radius r/sin(psi) over the sector 2 pi n sin(psi); its rise.
        """
        lean = abs(np.sin(self.half_angle))
        if lean < 1e-12:
            return 0.0
        mean = (max(self.diameter_butt, self.diameter_tip) + self.turns * self.thickness) / 2.0
        return float(mean / lean * (1.0 - np.cos(np.pi * self.turns * lean)))

    @property
    def wound_butt(self) -> float:
        """[m] outside diameter at the butt end once rolled on, a part turn smeared round the clock."""
        return self.diameter_butt + 2.0 * self.turns * self.thickness

    @property
    def wound_tip(self) -> float:
        """[m] outside diameter at the tip end once rolled on."""
        return self.diameter_tip + 2.0 * self.turns * self.thickness

    @property
    def across_fibre(self) -> float:
        """[m] how much of the roll's width the flag needs when its fibre lies along the roll."""
        reach = self.outline @ across(self.angle)
        return float(np.ptp(reach))


def across(angle: float) -> FloatArray:
    """(2,) unit vector across the fibre in flag coordinates u, w; it leans toward the tip. `angle` [rad]."""
    lean = np.copysign(1.0, angle)
    return np.array([abs(np.sin(angle)), -lean * np.cos(angle)])


def true_angle(flag: Flag, turn: float) -> float:
    """Angle [rad] of the fibre to the tube axis after so many turns [-] on a taper; on a straight bar that of the cut.

    Source
    ------
    As `fibre_drift`: the axis of the tube leans over in the flat pattern, the fibre does not.
    """
    return flag.angle - fibre_drift(turn, flag.half_angle)
