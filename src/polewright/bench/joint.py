"""Stiffness of a telescopic joint from the flex of the tip: with and without a stiff sleeve, or at two overlaps.

Sleeve. A sleeve of length L, clamped to the tubes at both its ends and centred on the place where the joint turns,
works beside what it covers. About that place bending and shear do not mix: the rotation over the sleeve for a moment is
C = L/EI + 1/k without it and C C_s/(C + C_s) with it, C_s = L/EI_s; the shift for a force across is L^3/(12 EI) without
and L^3/(12 (EI + EI_s)) with it. So with D the loss of flex, less that of the shift, over the square of the arm,

    D = C^2/(C + C_s),   C = (D + sqrt(D^2 + 4 D C_s))/2,   1/k = C - L/EI.

Two overlaps. The tip gives f = s b + a^2/k at either: b from all else by the model, s by how much the tubes are softer
or stiffer than their design, a the arm. With k growing as the square of the overlap two readings give both.

Source
------
Derived here from slender beams by Castigliano's theorem; tests hold the sleeve against finite elements and the overlaps
against a cantilever by hand. k grows as the square of the overlap: contacts at both ends of it, alike in themselves,
press with couple/overlap and turn the tube by the sum of their gives over the overlap.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from polewright.bench.uncertainty import Combined, Estimate, Model, combined
from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["Drawn", "Sleeve", "joint_of_overlaps", "joint_of_sleeve", "stiffness_at"]


@dataclass(frozen=True, slots=True)
class Sleeve:
    """A sleeve over a joint: length [m], EI [N m2] of its own, and L/EI [1/(N m)] of the tubes that it covers."""

    length: float
    bending: Estimate
    covered: float


@dataclass(frozen=True, slots=True)
class Drawn:
    """A pole with the joint at one overlap [m]: flex of the tip [m/N] as read, that of all else by the model, and the
    square of the arm from the joint to the tip [m2].
    """

    overlap: float
    flex: Estimate
    others: float
    arm_square: float


def joint_of_sleeve(free: Estimate, sleeved: Estimate, sleeve: Sleeve, *, arm_square: float) -> Combined:
    """Stiffness [N m/rad] of a joint from the flex of the tip [m/N] without and with a sleeve over it.

    1/k = C - L/EI,   C = (D + sqrt(D^2 + 4 D C_s))/2

    Parameters
    ----------
    arm_square : [m2] square of the arm from the joint to the tip.

    Raises
    ------
    DesignError : the sleeve made no difference, or less than the tubes that it covers explain.

    Source
    ------
    Module text.
    """

    def softness(v: Mapping[str, complex]) -> complex:
        tube, own = sleeve.length / sleeve.covered, v["sleeve"]
        shift = sleeve.length**3 / 12.0 * (1.0 / tube - 1.0 / (tube + own))
        lost = (v["free"] - v["sleeved"] - shift) / arm_square
        beside = sleeve.length / own
        return (lost + (lost * lost + 4.0 * lost * beside) ** 0.5) / 2.0 - sleeve.covered

    return _stiffness(softness, {"free": free, "sleeved": sleeved, "sleeve": sleeve.bending})


def joint_of_overlaps(first: Drawn, second: Drawn) -> Combined:
    """Stiffness [N m/rad] of a joint at the first overlap, from the flex of the tip at two.

    1/k = (f2 b1 - f1 b2)/(b1 p2 - b2 p1),   p = a^2 (overlap1/overlap)^2

    Raises
    ------
    DesignError : the overlaps are alike, or the readings leave nothing for the joint.

    Source
    ------
    Module text.
    """
    if abs(first.overlap / second.overlap - 1.0) < 0.05:
        raise DesignError("second_overlap", second.overlap, Message("want.other_overlap", overlap=first.overlap))
    far = second.arm_square * (first.overlap / second.overlap) ** 2
    apart = first.others * far - second.others * first.arm_square

    def softness(v: Mapping[str, complex]) -> complex:
        return (v["second"] * first.others - v["free"] * second.others) / apart

    return _stiffness(softness, {"free": first.flex, "second": second.flex})


def _stiffness(softness: Model, inputs: Mapping[str, Estimate]) -> Combined:
    soft = softness({name: complex(x.value) for name, x in inputs.items()})
    if not (soft.real > 0.0 and abs(soft.imag) < 1e-12 * soft.real):
        raise DesignError("readings", Message("given.no_softness"), Message("want.joint_gives"))
    return combined(lambda v: 1.0 / softness(v), inputs)


def stiffness_at(overlap: float, stiffness: float, measured_at: float) -> float:
    """Stiffness [N m/rad] of a joint at an overlap [m] from that at another: k (overlap/measured_at)^2.

    Source
    ------
    Module text.
    """
    return float(stiffness * (overlap / measured_at) ** 2)
