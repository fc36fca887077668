"""A tube bent on two trestles beside its design: stiffness, and round the clock its spine and bow."""

import numpy as np

from polewright.answers.bench_answer import BenchAnswer, BenchFigure, refuse, rests_on_defaults
from polewright.answers.bench_readings import beside, columns, load_share, positions
from polewright.bench.bend import bending_stiffness
from polewright.bench.clock import Clock, Lobe, clock_fit
from polewright.bench.record import BendTest, ClockTest, Gauges
from polewright.bench.uncertainty import Estimate
from polewright.codes import Message
from polewright.documents import test_record as kept
from polewright.documents.design import Design
from polewright.documents.test_record import TestRecord
from polewright.documents.values import Workpiece
from polewright.pole.pole import Tube
from polewright.units import si

__all__ = ["LEAST_POSITIONS", "SHEAR_DOUBT", "bend_measured", "middle_bending", "relative_bending", "tube_of"]

DEFAULT_EI, MEASURED_EI = 0.04, 0.02  # [-] standard uncertainty of a predicted stiffness: default figures, measured
SHEAR_DOUBT = 0.1  # [-] standard uncertainty of a predicted shear stiffness
HALF_DEGREE = float(np.pi) / 360.0
LEAST_POSITIONS = 5  # from which one lobe and two lobes round the clock both show


def bend_measured(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Bending stiffness of a tube beside its design.

    Read at one clock position, or at two to four that each have a zero of their own, so that a bow cancels; from five
    on by the fit of spine and bow.
    """
    test = record.test
    assert isinstance(test, kept.BendTest)
    tube = tube_of(work, test.section)
    span = si("span_mm", test.span_mm)
    if span > tube.length:
        raise refuse("span_mm", Message("bound.length", value=span), Message("want.span_in_tube", length=tube.length))
    gauges = Gauges(
        span=si("span_u_mm", test.span_u_mm),
        load_share=load_share(test.load_u_g, test.readings),
        reading=si("reading_u_mm", test.reading_u_mm),
    )
    relative = relative_bending(design, work, test.section)
    if len({r.clock_deg for r in test.readings}) >= LEAST_POSITIONS:
        return _round_the_clock(record, design, tube, gauges, span, relative)
    masses, readings, turned = columns(test.readings)
    found = bending_stiffness(
        BendTest(
            span=span,
            masses=masses,
            readings=readings,
            outside=float(np.mean(tube.outside)),
            gauges=gauges,
            turned=turned,
        ),
        shear=_shear(tube),
    )
    compared = beside(found.bending, middle_bending(tube), relative, is_bend=True)
    few = (Message("bench.note.few_positions", least=LEAST_POSITIONS),) if turned else ()
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="bending",
        quantity="bending",
        where={"section": test.section},
        comparison=compared,
        uncorrected=found.apparent,
        notes=tuple(dict.fromkeys([*found.notes, *few, *compared.notes])),
        budget=found.budget,
    )


def _round_the_clock(
    record: TestRecord, design: Design, tube: Tube, gauges: Gauges, span: float, relative: float
) -> BenchAnswer:
    test = record.test
    assert isinstance(test, kept.BendTest)
    read = positions(test.readings)
    found = clock_fit(
        ClockTest(
            span=span,
            clock=read.clock,
            masses=read.masses,
            readings=read.readings,
            outside=float(np.mean(tube.outside)),
            gauges=gauges,
        ),
        shear=_shear(tube),
    )
    compared = beside(found.bending, middle_bending(tube), relative, is_bend=True)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="bending",
        quantity="bending",
        where={"section": test.section},
        comparison=compared,
        uncorrected=found.apparent,
        notes=tuple(dict.fromkeys([*found.notes, *compared.notes])),
        budget=found.budget,
        further=_lobes(found),
    )


def _lobes(found: Clock) -> tuple[BenchFigure, ...]:
    """Spine and bow as figures of their own; a direction is shown where its lobe is more than chance."""
    figures = [
        BenchFigure("spine", "share", alone=found.spine.size.scaled(2.0)),
        BenchFigure("stiff_bending", "bending", alone=found.stiff),
        BenchFigure("soft_bending", "bending", alone=found.soft),
        BenchFigure("bow", "length", alone=found.bow.size),
    ]
    if found.spine.is_seen:
        figures.append(BenchFigure("spine_direction", "angle", alone=_direction(found.spine, lobes=2)))
    if found.bow.is_seen:
        figures.append(BenchFigure("bow_direction", "angle", alone=_direction(found.bow, lobes=1)))
    return tuple(figures)


def _direction(lobe: Lobe, *, lobes: int) -> Estimate:
    """Where a lobe points [rad], 0 rather than a whole turn; across it its pair is as uncertain as along it."""
    size, round_once = lobe.size, 2.0 * np.pi / lobes
    direction = lobe.direction - (round_once if lobe.direction > round_once - HALF_DEGREE else 0.0)
    return Estimate(direction, size.standard / size.value / lobes, size.freedom)


def tube_of(work: Workpiece, section: int) -> Tube:
    """The tube of a section counted from 1 at the tip.

    Raises
    ------
    DocumentError : there is none.
    """
    if section > len(work.sections):
        raise refuse("section", section, Message("want.section_number", most=len(work.sections)))
    return work.pole.tubes[section - 1]


def middle_bending(tube: Tube) -> float:
    """EI [N m2] half-way along a tube, where a test over trestles bends it most."""
    return float(np.interp(tube.length / 2.0, tube.station, tube.bending))


def relative_bending(design: Design, work: Workpiece, section: int) -> float:
    """[-] standard uncertainty of the predicted stiffness of a section counted from 1."""
    return DEFAULT_EI if rests_on_defaults(design, work, section - 1) else MEASURED_EI


def _shear(tube: Tube) -> Estimate:
    shear = float(np.mean(tube.shear))
    return Estimate(shear, SHEAR_DOUBT * shear)
