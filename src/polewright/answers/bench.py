"""What a test shows beside its design: stiffness or flex with its uncertainty, and whether they agree."""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from polewright.answers.bench_answer import BenchAnswer, FormField, ReadingTable, RecordKind, refuse, rests_on_defaults
from polewright.answers.joint_measured import joint_by_overlaps, joint_by_sleeve
from polewright.answers.reach import reach_message
from polewright.answers.trestles import bench_state
from polewright.answers.tube_measured import tube_measured
from polewright.arrays import FloatArray
from polewright.bench import record as raw
from polewright.bench.bend import bending_stiffness
from polewright.bench.compare import Comparison, compare
from polewright.bench.tip import flex_of, tip_flex
from polewright.bench.uncertainty import Estimate
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.test_record import BendTest, Reading, TestRecord, TipTest
from polewright.documents.values import Workpiece, workpiece
from polewright.errors import DesignError
from polewright.pole.beam import bent
from polewright.units import si

__all__ = ["RECORD_KINDS", "BenchAnswer", "RecordKind", "bench_answer"]

DEFAULT_EI, MEASURED_EI = 0.04, 0.02  # [-] standard uncertainty of a predicted stiffness: default figures, measured
DEFAULT_FLEX, MEASURED_FLEX = 0.05, 0.03
MATTERS = 0.02  # [-] a difference beyond what the prediction itself may be off that a workshop would act on
SHEAR_DOUBT = 0.1  # [-] standard uncertainty of a predicted shear stiffness
LESS_THAN_TUBE, LEAST_SPAN = 0.150, 0.100  # [m] by which the span offered falls short of the tube; its least


def bench_answer(record: TestRecord, design: Design) -> BenchAnswer:
    """Evaluate a record against the design that was built.

    Raises
    ------
    DocumentError : the readings cannot be evaluated, or the design has no such section or reach.
    """
    work = workpiece(design)
    try:
        return RECORD_KINDS[record.test.kind].evaluate(record, design, work)
    except DesignError as fault:
        raise DocumentError([Fault((f"test.{fault.field}", fault.given, fault.want))]) from fault


def _tube(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    test = record.test
    assert isinstance(test, BendTest)
    if test.section > len(work.sections):
        raise refuse("section", test.section, Message("want.section_number", most=len(work.sections)))
    tube = work.pole.tubes[test.section - 1]
    span = si("span_mm", test.span_mm)
    if span > tube.length:
        raise refuse("span_mm", Message("bound.length", value=span), Message("want.span_in_tube", length=tube.length))
    masses, readings = _columns(test.readings)
    shear = float(np.mean(tube.shear))
    found = bending_stiffness(
        raw.BendTest(
            span=span,
            masses=masses,
            readings=readings,
            outside=float(np.mean(tube.outside)),
            gauges=raw.Gauges(
                span=si("span_u_mm", test.span_u_mm),
                load_share=_share(test.load_u_g, test.readings),
                reading=si("reading_u_mm", test.reading_u_mm),
            ),
        ),
        shear=Estimate(shear, SHEAR_DOUBT * shear),
    )
    relative = DEFAULT_EI if rests_on_defaults(design, work, test.section - 1) else MEASURED_EI
    middle = float(np.interp(tube.length / 2.0, tube.station, tube.bending))
    beside = _beside(found.bending, middle, relative, is_bend=True)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="bending",
        quantity="bending",
        where={"section": test.section},
        comparison=beside,
        uncorrected=found.apparent,
        notes=tuple(dict.fromkeys([*found.notes, *beside.notes])),
        budget=found.budget,
    )


def _pole(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    test = record.test
    assert isinstance(test, TipTest)
    joints = len(work.pole.joints)
    out = test.out or joints
    if out > joints:
        raise refuse("out", test.out, Message("want.sections_out", most=joints))
    masses, rolls = _rolls(test.readings)
    prop = si("prop_mm", test.prop_mm)
    length = float(bent(work.pole, bench_state(design, work.pole, out)).station[-1])
    if prop >= length:
        want = Message("want.prop_below_length", length=length, reach=reach_message(out, joints))
        raise refuse("prop_mm", Message("bound.length", value=prop), want)
    found = tip_flex(
        raw.TipTest(
            reach=length - prop,
            masses=masses,
            readings=rolls,
            gauges=raw.Gauges(
                reading=si("reading_u_mm", test.reading_u_mm), load_share=_share(test.load_u_g, test.readings)
            ),
        )
    )
    value = flex_of(masses, np.array([_droop(work, design, test, out, float(m)) for m in masses]))
    relative = DEFAULT_FLEX if rests_on_defaults(design, work, None) else MEASURED_FLEX
    beside = _beside(found.flex, value, relative, is_bend=False)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="flex",
        quantity="flex",
        where={"out": reach_message(out, joints)},
        comparison=beside,
        uncorrected=None,
        notes=tuple(dict.fromkeys([*found.notes, *beside.notes])),
        budget=found.budget,
    )


def _beside(measured: Estimate, value: float, relative: float, *, is_bend: bool) -> Comparison:
    """The comparison with a prediction of a relative standard uncertainty; what matters is beyond that."""
    predicted = Estimate(value, relative * value)
    return compare(measured, predicted, tolerance=MATTERS + predicted.relative, is_bend=is_bend)


def _droop(work: Workpiece, design: Design, test: TipTest, out: int, mass: float) -> float:
    """Predicted droop [m] of the tip with a mass [kg] hung there, on the trestles as they stood in the test."""
    setting = design.setting.model_copy(update={"prop_mm": test.prop_mm})
    state = bench_state(design.model_copy(update={"setting": setting}), work.pole, out, head=mass)
    return bent(work.pole, state).tip_droop


def _share(load_u_g: float, readings: tuple[Reading, ...]) -> float:
    """[-] standard uncertainty of all loads together: that of one load over the largest difference of loads."""
    loads = [r.load_g for r in readings]
    return load_u_g / (max(loads) - min(loads))


def _columns(readings: tuple[Reading, ...]) -> tuple[FloatArray, FloatArray]:
    """Every reading a row of its own: masses (n,) [kg], readings (n, 1) [m]."""
    masses = np.array([si("load_g", r.load_g) for r in readings])
    return masses, np.array([[si("reading_mm", r.reading_mm)] for r in readings])


def _rolls(readings: tuple[Reading, ...]) -> tuple[FloatArray, FloatArray]:
    """Masses (n_load,) [kg] and droops (n_roll, n_load) [m], repeats averaged; rolls are clock 0 and 180."""
    clocks = sorted({r.clock_deg for r in readings})
    if len(clocks) > 2 or (len(clocks) == 2 and abs(clocks[1] - clocks[0] - 180.0) > 1.0):
        named = tuple(Message("bound.angle", value=si("clock_deg", c)) for c in clocks)
        raise refuse("readings", Message("given.clocks", clocks=named), Message("want.half_turn_apart"))
    loads = sorted({r.load_g for r in readings})
    table = np.empty((len(clocks), len(loads)))
    for i, clock in enumerate(clocks):
        for j, load in enumerate(loads):
            same = [si("reading_mm", r.reading_mm) for r in readings if r.clock_deg == clock and r.load_g == load]
            if not same:
                missing = Message("given.no_reading", load=si("load_g", load), clock=si("clock_deg", clock))
                raise refuse("readings", missing, Message("want.same_loads_in_both_positions"))
            table[i, j] = float(np.mean(same))
    return np.array([si("load_g", load) for load in loads]), table


def _span(design: Design, section: int) -> float:
    return max(si("length_mm", design.sections[section - 1].length_mm) - LESS_THAN_TUBE, LEAST_SPAN)


def _prop(design: Design, _: int) -> float:
    return si("prop_mm", design.setting.prop_mm)


_TIP = ("250", "750"), ("8", "24")

RECORD_KINDS: Mapping[str, RecordKind] = MappingProxyType(
    {
        kind.name: kind
        for kind in (
            RecordKind(
                "two-load bend",
                "bend",
                (FormField("section", choose="section"), FormField("span_mm", "length", offered=_span)),
                (ReadingTable("readings", ("500", "2500"), ("16", "80")),),
                _tube,
            ),
            RecordKind(
                "tip load",
                "tip",
                (FormField("out", choose="out"), FormField("prop_mm", "length", offered=_prop)),
                (ReadingTable("readings", *_TIP),),
                _pole,
            ),
            RecordKind(
                "tube measured",
                "tube",
                (
                    FormField("section", choose="section"),
                    FormField("mass_g", "mass"),
                    FormField("outside_mm", "length"),
                    FormField("length_mm", "length"),
                    FormField("bore_mm", "length"),
                ),
                (),
                tube_measured,
            ),
            RecordKind(
                "joint sleeve",
                "sleeve",
                (
                    FormField("joint", choose="joint"),
                    FormField("prop_mm", "length", offered=_prop),
                    FormField("sleeve_mm", "length"),
                    FormField("sleeve_EI_N_m2", "bending"),
                ),
                (ReadingTable("readings", *_TIP), ReadingTable("sleeved", *_TIP)),
                joint_by_sleeve,
            ),
            RecordKind(
                "joint overlaps",
                "overlaps",
                (
                    FormField("joint", choose="joint"),
                    FormField("prop_mm", "length", offered=_prop),
                    FormField("overlap_mm", "length"),
                    FormField("second_overlap_mm", "length"),
                ),
                (ReadingTable("readings", *_TIP), ReadingTable("second", *_TIP)),
                joint_by_overlaps,
            ),
        )
    }
)
