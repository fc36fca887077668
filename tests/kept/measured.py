"""Tests of tubes and poles evaluated in full, in SI: each arrangement, gauges, likely causes."""

from collections.abc import Callable
from typing import Any

import numpy as np

from polewright import bench
from polewright.documents.values import workpiece
from tests.kept.figures import Place
from tests.kept.whole import design_of, places_in

MASSES = np.array([0.5, 1.5, 2.5])
GIVES = np.array([1.0e-3, 2.6e-3, 4.1e-3])


def bend(**other: Any) -> bench.BendTest:
    return bench.BendTest(**{"span": 1.2, "masses": MASSES, "readings": GIVES, "outside": 0.03, **other})


def clock(**other: Any) -> bench.ClockTest:
    clock = np.arange(8) * np.pi / 4.0
    readings = np.outer(1.0 + 0.03 * np.cos(2.0 * clock - 0.6), GIVES[:2]) + 2e-4 * np.cos(clock - 1.0)[:, np.newaxis]
    return bench.ClockTest(**{"span": 1.2, "clock": clock, "masses": MASSES[:2], "readings": readings, **other})


def tip(**other: Any) -> bench.TipTest:
    rolls = np.array([[0.01, 0.06, 0.11, 0.17], [0.012, 0.064, 0.113, 0.171]])
    return bench.TipTest(**{"reach": 6.0, "masses": np.array([0.0, 0.25, 0.5, 0.75]), "readings": rolls, **other})


def tap(**other: Any) -> bench.TapTest:
    own = {"length": 1.5, "mass": 0.12, "outside": 0.03, "bore": 0.028, "frequencies": np.array([141.0, 141.6, 140.9])}
    return bench.TapTest(**{**own, **other})


SHEAR = bench.within(9e4, 2e4)


def _signatures() -> object:
    design = design_of("reedlight-7")
    work = workpiece(design)
    stack, bore = work.sections[3].stack, 0.02904
    known = bench.signatures(stack, bore, resin_content=0.34)
    found = {"bending": bench.within(930.0, 20.0), "mass": bench.within(0.19, 0.002)}
    return [known, bench.likely_causes(found, known)]


MEASURED: dict[str, Callable[[], object]] = {
    "bend": lambda: [bench.bending_stiffness(bend()), bench.bending_stiffness(bend(), shear=SHEAR)],
    "bend, two loads": lambda: bench.bending_stiffness(bend(arrangement="two loads", inset=0.4), shear=SHEAR),
    "bend, arc": lambda: bench.bending_stiffness(bend(arrangement="two loads, arc", inset=0.4)),
    "bend, tip": lambda: bench.bending_stiffness(bend(arrangement="tip"), shear=SHEAR),
    "bend, several": lambda: bench.bending_stiffness(bend(readings=np.stack([GIVES, GIVES * 1.01, GIVES * 1.03], 1))),
    "clock": lambda: [bench.clock_fit(clock()), bench.clock_fit(clock(), shear=SHEAR)],
    "tip": lambda: [
        bench.tip_flex(tip()),
        bench.tip_flex(tip(play=0.004)),
        bench.tip_flex(tip(readings=tip().readings[0])),
    ],
    "tap": lambda: bench.tap_stiffness(tap(), shear=SHEAR),
    "spans": lambda: bench.stiffness_of_spans(
        [bend(), bend(span=0.8, readings=GIVES * 0.33), bend(span=0.5, readings=GIVES * 0.09)]
    ),
    "compare": lambda: [
        bench.compare(
            bench.within(820.0 * share, 12.0), bench.within(820.0, 30.0), tolerance=tolerance, is_bend=is_bend
        )
        for share in (0.8, 0.93, 0.97, 1.0, 1.02, 1.12)
        for tolerance in (0.05, 0.1)
        for is_bend in (True, False)
    ],
    "signatures": _signatures,
    "gauges": lambda: [bend().gauges, clock().gauges, tip().gauges, tap()],
}


def measured_in_full() -> dict[str, Place]:
    """Tests of a tube and of a pole, evaluated with all their figures, notes and causes."""
    return dict(places_in({name: each() for name, each in MEASURED.items()}))
