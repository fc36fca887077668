"""Tests, stiffness with its uncertainty, comparison with the prediction."""

from polewright.bench.bend import Stiffness, bending_stiffness
from polewright.bench.clock import Clock, Lobe, clock_fit, mark_down
from polewright.bench.compare import Comparison, compare
from polewright.bench.joint import Drawn, Sleeve, joint_of_overlaps, joint_of_sleeve, stiffness_at
from polewright.bench.record import BendTest, ClockTest, Gauges, RingTest, TapTest, TipTest, TorsionTest
from polewright.bench.ring import ring_of_offcut
from polewright.bench.signature import Cause, Diagnosis, Signature, likely_causes, signatures
from polewright.bench.spans import TwoFold, stiffness_of_spans
from polewright.bench.swing import counted_frequency, own_droop
from polewright.bench.tap import Tone, first_tone, tap_stiffness
from polewright.bench.tip import TipFlex, flex_of, tip_flex
from polewright.bench.torsion import Torsion, torsional_stiffness
from polewright.bench.uncertainty import Combined, Estimate, Share, combined, exactly, repeated, within

__all__ = [
    "BendTest",
    "Cause",
    "Clock",
    "ClockTest",
    "Combined",
    "Comparison",
    "Diagnosis",
    "Drawn",
    "Estimate",
    "Gauges",
    "Lobe",
    "RingTest",
    "Share",
    "Signature",
    "Sleeve",
    "Stiffness",
    "TapTest",
    "TipFlex",
    "TipTest",
    "Tone",
    "Torsion",
    "TorsionTest",
    "TwoFold",
    "bending_stiffness",
    "clock_fit",
    "combined",
    "compare",
    "counted_frequency",
    "exactly",
    "first_tone",
    "flex_of",
    "joint_of_overlaps",
    "joint_of_sleeve",
    "likely_causes",
    "mark_down",
    "own_droop",
    "repeated",
    "ring_of_offcut",
    "signatures",
    "stiffness_at",
    "stiffness_of_spans",
    "tap_stiffness",
    "tip_flex",
    "torsional_stiffness",
    "within",
]
