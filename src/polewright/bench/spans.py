"""Bending and shear stiffness of one tube together, from bend tests over different spans."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from polewright.bench.bend import softness_parts
from polewright.bench.line import line, refuse_stuck
from polewright.bench.record import BendTest
from polewright.bench.uncertainty import Combined, Estimate, Share, combined
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError

__all__ = ["TwoFold", "stiffness_of_spans"]


@dataclass(frozen=True, slots=True)
class TwoFold:
    """bending: EI [N m2]; softness: 1/(kappa G A) [1/N]; shear: kappa G A [N], None where the spans cannot show it;
    budget: what each input adds to `bending`, the spans and readings of all tests together.
    """

    bending: Estimate
    softness: Estimate
    shear: Estimate | None
    notes: tuple[Message, ...]
    budget: tuple[Share, ...] = ()


def _slopes(tests: Sequence[BendTest]) -> list[Estimate]:
    out = []
    for number, test in enumerate(tests):
        refuse_stuck(test.readings)
        slope = line(test.masses, test.readings, floor=test.gauges.reading, own_zeros=test.turned).slope
        if slope.value <= 0.0:
            raise DesignError(
                f"tests[{number}].readings",
                Message("given.flex", give=slope.value / GRAVITY),
                Message("want.readings_grow"),
            )
        out.append(slope)
    return out


def _inputs(tests: Sequence[BendTest], slopes: Sequence[Estimate]) -> dict[str, Estimate]:
    gauges = tests[0].gauges
    inputs = {
        "dial": Estimate(1.0, gauges.reading_share),
        "scale": Estimate(1.0, gauges.load_share),
        "gravity": Estimate(GRAVITY, gauges.gravity),
    }
    for number, (test, slope) in enumerate(zip(tests, slopes, strict=True)):
        inputs[f"readings {number + 1}"] = slope
        inputs[f"span {number + 1}"] = Estimate(test.span, test.gauges.span)
        if test.inset > 0.0:
            inputs[f"inset {number + 1}"] = Estimate(test.inset, test.gauges.span)
    return inputs


def _weights(tests: Sequence[BendTest], slopes: Sequence[Estimate]) -> list[float]:
    """One over the variance of each give relative to its size: reading and span together."""
    relative = [
        (slope.standard / slope.value) ** 2 + (3.0 * test.gauges.span / test.span) ** 2
        for test, slope in zip(tests, slopes, strict=True)
    ]
    least = max(max(relative) * 1e-6, 1e-18)
    return [1.0 / max(r, least) / slope.value**2 for r, slope in zip(relative, slopes, strict=True)]


def stiffness_of_spans(tests: Sequence[BendTest]) -> TwoFold:
    """EI and shear stiffness by weighted least squares of c = g/EI + h/(kappa G A) over the spans.

    All tests were read with the gauges of the first: one dial, one scale.

    Parameters
    ----------
    tests : bend tests of one tube, two different spans or arrangements at least.

    Raises
    ------
    DesignError : fewer than two tests, spans too alike, or readings that no tube could give.

    Source
    ------
    `softness_parts`; JCGM 100:2008 (GUM) for the uncertainty.
    """
    if len(tests) < 2:
        raise DesignError("tests", len(tests), Message("want.two_spans"))
    slopes = _slopes(tests)
    weight = _weights(tests, slopes)

    def solve(x: Mapping[str, complex]) -> tuple[complex, complex]:
        gg = gh = hh = gc = hc = 0.0 + 0.0j
        for number, test in enumerate(tests):
            name = str(number + 1)
            g, h = softness_parts(test.arrangement, x[f"span {name}"], x.get(f"inset {name}", 0.0))
            give = x[f"readings {name}"] * x["dial"] / (x["scale"] * x["gravity"])
            w = weight[number]
            gg, gh, hh, gc, hc = gg + w * g * g, gh + w * g * h, hh + w * h * h, gc + w * g * give, hc + w * h * give
        spread = gg * hh - gh * gh
        if abs(spread) <= 1e-9 * abs(gg * hh):
            raise DesignError("span", tests[0].span, Message("want.spans_that_differ"))
        return (hh * gc - gh * hc) / spread, (gg * hc - gh * gc) / spread

    inputs = _inputs(tests, slopes)
    if solve({name: complex(x.value) for name, x in inputs.items()})[0].real <= 0.0:
        raise DesignError("readings", Message("given.soft_beyond_shear"), Message("want.longer_spans_move_more"))
    return _two_fold(combined(lambda x: 1.0 / solve(x)[0], inputs), combined(lambda x: solve(x)[1], inputs).estimate)


def _two_fold(bending: Combined, softness: Estimate) -> TwoFold:
    budget = _together(bending.budget)
    if softness.value > softness.expanded:
        shear = Estimate(1.0 / softness.value, softness.standard / softness.value**2, softness.freedom)
        return TwoFold(bending.estimate, softness, shear, (), budget)
    return TwoFold(bending.estimate, softness, None, (Message("bench.note.no_shear_seen", diameters=20),), budget)


def _together(shares: Sequence[Share]) -> tuple[Share, ...]:
    """The parts of inputs that differ by their number alone, added in quadrature, largest first."""
    names = dict.fromkeys(share.name.split(" ")[0] for share in shares)
    parts = {name: [s for s in shares if s.name.split(" ")[0] == name] for name in names}
    added = [
        Share(name, max((s.sensitivity for s in same), key=abs), float(np.hypot.reduce([s.standard for s in same])))
        for name, same in parts.items()
    ]
    return tuple(sorted(added, key=lambda share: -share.standard))
