"""Further tests of one tube beside its design: two spans, torsion, the ring of an off-cut, the tone of a free piece."""

from dataclasses import replace

import numpy as np

from polewright.answers.bench_answer import BenchAnswer, BenchFigure, refuse, rests_on_defaults
from polewright.answers.bench_readings import beside, columns, load_share
from polewright.answers.bend_measured import SHEAR_DOUBT, middle_bending, relative_bending, tube_of
from polewright.answers.sections import RING_WIDTH
from polewright.arrays import FloatArray
from polewright.bench.record import BendTest, Gauges, RingTest, TapTest, TorsionTest
from polewright.bench.ring import ring_of_offcut
from polewright.bench.spans import stiffness_of_spans
from polewright.bench.tap import tap_stiffness
from polewright.bench.torsion import torsional_stiffness
from polewright.bench.uncertainty import Estimate
from polewright.codes import Message
from polewright.documents import test_record as kept
from polewright.documents.design import Design
from polewright.documents.test_record import Reading, TestRecord
from polewright.documents.values import Workpiece
from polewright.units import si
from polewright.wall.membrane import tube_stiffness
from polewright.wall.ring import ring_stiffness

__all__ = ["ring_measured", "spans_measured", "tone_measured", "torsion_measured"]

DEFAULT_GJ, MEASURED_GJ = 0.10, 0.05  # [-] standard uncertainty of a predicted twist or ring stiffness
_STATIONS = 21


def spans_measured(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Bending and shear stiffness of a tube from two spans, each beside its prediction."""
    test = record.test
    assert isinstance(test, kept.SpansTest)
    tube = tube_of(work, test.section)
    tests = []
    for name, span_mm, readings in (
        ("span_mm", test.span_mm, test.readings),
        ("second_span_mm", test.second_span_mm, test.second_readings),
    ):
        span = si("span_mm", span_mm)
        if span > tube.length:
            raise refuse(name, Message("bound.length", value=span), Message("want.span_in_tube", length=tube.length))
        masses, read, turned = columns(readings, "readings" if name == "span_mm" else "second_readings")
        gauges = Gauges(
            span=si("span_u_mm", test.span_u_mm),
            load_share=load_share(test.load_u_g, readings),
            reading=si("reading_u_mm", test.reading_u_mm),
        )
        outside = float(np.mean(tube.outside))
        tests.append(BendTest(span=span, masses=masses, readings=read, outside=outside, gauges=gauges, turned=turned))
    found = stiffness_of_spans(tests)
    compared = beside(found.bending, middle_bending(tube), relative_bending(design, work, test.section), is_bend=True)
    shear = float(np.mean(tube.shear))
    seen = () if found.shear is None else (beside(found.shear, shear, SHEAR_DOUBT, is_bend=False),)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="bending",
        quantity="bending",
        where={"section": test.section},
        comparison=compared,
        uncorrected=None,
        notes=(*found.notes, *compared.notes),
        budget=found.budget,
        further=tuple(BenchFigure("shear", "force", each) for each in seen),
    )


def torsion_measured(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Twist stiffness of a tube beside its prediction."""
    test = record.test
    assert isinstance(test, kept.TorsionTest)
    tube = tube_of(work, test.section)
    length = si("length_mm", test.length_mm)
    if length > tube.length:
        want = Message("want.span_in_tube", length=tube.length)
        raise refuse("length_mm", Message("bound.length", value=length), want)
    masses, readings = _by_load(test.readings)
    found = torsional_stiffness(
        TorsionTest(
            length=length,
            arm=si("arm_mm", test.arm_mm),
            lever=si("lever_mm", test.lever_mm),
            masses=masses,
            readings=readings,
            gauges=Gauges(
                span=si("length_u_mm", test.length_u_mm),
                load_share=load_share(test.load_u_g, test.readings),
                reading=si("reading_u_mm", test.reading_u_mm),
            ),
        )
    )
    middle = tube.length / 2.0 + length * np.linspace(-0.5, 0.5, _STATIONS)
    twist = tube_stiffness(work.sections[test.section - 1].walls(middle)).twist
    mean = float(1.0 / np.mean(1.0 / twist))
    compared = beside(found.twist, mean, _relative(design, work, test.section), is_bend=False)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="twist",
        quantity="bending",
        where={"section": test.section},
        comparison=compared,
        uncorrected=None,
        notes=found.notes,
        budget=found.budget,
    )


def ring_measured(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Stiffness of the ring that was cut off, for a width of 20 mm as the check has it, beside its prediction."""
    test = record.test
    assert isinstance(test, kept.RingTest)
    tube = tube_of(work, test.section)
    width = si("width_mm", test.width_mm)
    masses, readings = _by_load(test.readings)
    found = ring_of_offcut(
        RingTest(
            width=width,
            masses=masses,
            readings=readings,
            gauges=Gauges(
                span=si("width_u_mm", test.width_u_mm),
                load_share=load_share(test.load_u_g, test.readings),
                reading=si("reading_u_mm", test.reading_u_mm),
            ),
        )
    )
    ends = work.sections[test.section - 1].walls(np.array([0.0, tube.length]))
    per_width = float(np.mean(ring_stiffness(ends).between_plates))
    relative = _relative(design, work, test.section)
    compared = beside(found.estimate.scaled(RING_WIDTH), per_width * RING_WIDTH, relative, is_bend=False)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="ring",
        quantity="stiffness",
        where={"section": test.section, "width": RING_WIDTH},
        comparison=compared,
        uncorrected=None,
        notes=(),
        budget=tuple(replace(share, standard=share.standard * RING_WIDTH) for share in found.budget),
    )


def tone_measured(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Bending stiffness of a free tube, or of a piece of it, by its tone; beside the prediction."""
    test = record.test
    assert isinstance(test, kept.TapTone)
    tube = tube_of(work, test.section)
    length = si("length_mm", test.length_mm)
    if length > tube.length + si("length_mm", 1.0):
        want = Message("want.span_in_tube", length=tube.length)
        raise refuse("length_mm", Message("bound.length", value=length), want)
    shear = float(np.mean(tube.shear))
    found = tap_stiffness(
        TapTest(
            length=length,
            mass=si("mass_g", test.mass_g),
            outside=si("outside_mm", test.outside_mm),
            bore=si("bore_mm", test.bore_mm),
            frequencies=np.array([tone.frequency_Hz for tone in test.tones]),
            length_standard=si("length_u_mm", test.length_u_mm),
            mass_standard=si("mass_u_g", test.mass_u_g),
        ),
        shear=Estimate(shear, SHEAR_DOUBT * shear),
    )
    compared = beside(found.bending, middle_bending(tube), relative_bending(design, work, test.section), is_bend=True)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="bending",
        quantity="bending",
        where={"section": test.section},
        comparison=compared,
        uncorrected=found.slender,
        notes=(*found.notes, *compared.notes),
        budget=found.budget,
    )


def _relative(design: Design, work: Workpiece, section: int) -> float:
    return DEFAULT_GJ if rests_on_defaults(design, work, section - 1) else MEASURED_GJ


def _by_load(readings: tuple[Reading, ...]) -> tuple[FloatArray, FloatArray]:
    """Masses (n,) [kg] and readings (n, 1) [m], each a row of its own."""
    masses = np.array([si("load_g", r.load_g) for r in readings])
    return masses, np.array([[si("reading_mm", r.reading_mm)] for r in readings])
