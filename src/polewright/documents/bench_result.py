"""What a test record says beside its design: stiffness or flex with its uncertainty, and whether they agree."""

from typing import Literal

import numpy as np

from polewright.arrays import FloatArray
from polewright.bench import record as raw
from polewright.bench.bend import Note, bending_stiffness
from polewright.bench.compare import compare
from polewright.bench.tip import flex_of, tip_flex
from polewright.bench.uncertainty import Estimate, Share
from polewright.documents.design import Design
from polewright.documents.document import Document, Part
from polewright.documents.files import DocumentError, Fault
from polewright.documents.pole_figures import bench_state, reach_name
from polewright.documents.test_record import BendTest, Reading, TestRecord, TipTest
from polewright.documents.values import Workpiece, workpiece
from polewright.errors import DesignError
from polewright.pole.beam import bent
from polewright.pole.state import State
from polewright.units import si, to

__all__ = ["BenchResult", "BudgetLine", "bench_result"]

DEFAULT_EI, MEASURED_EI = 0.04, 0.02  # [-] standard uncertainty of a predicted stiffness: default figures, measured
DEFAULT_FLEX, MEASURED_FLEX = 0.05, 0.03
MATTERS = 0.02  # [-] a difference beyond what the prediction itself may be off that a workshop would act on


class BudgetLine(Part):
    """One input of the uncertainty and its part, in the unit of the result."""

    name: str
    part: float


class BenchResult(Document):
    """A test evaluated: the figure with its expanded uncertainty (covers 95 %), beside the prediction."""

    document: Literal["bench-result"] = "bench-result"
    serial: str
    pole: str
    what: str
    unit: str
    measured: float
    uncertainty: float
    predicted: float
    predicted_uncertainty: float
    difference_pct: float
    blur_pct: float
    normalised_error: float
    verdict: Literal["agrees", "reads low", "reads high", "cannot tell"]
    says: str
    uncorrected: float | None = None
    notes: tuple[str, ...]
    budget: tuple[BudgetLine, ...]


def bench_result(record: TestRecord, design: Design) -> BenchResult:
    """Evaluate a record against the design that was built.

    Raises
    ------
    DocumentError : the readings cannot be evaluated, or the design has no such section or reach.
    """
    work = workpiece(design)
    try:
        if isinstance(record.test, BendTest):
            return _tube(record, record.test, design, work)
        return _pole(record, record.test, design, work)
    except DesignError as fault:
        if isinstance(fault, DocumentError):
            raise
        value = "" if fault.value is None else str(fault.value)
        raise DocumentError([Fault((f"test.{fault.field}", value, fault.want))]) from fault


def _rests_on_defaults(design: Design, work: Workpiece, section: int | None) -> bool:
    sections = design.sections if section is None else (design.sections[section],)
    used = {w.prepreg for s in sections for w in s.stack}
    return any(work.records[u].origins["E1"].is_default for u in used)


def _tube(record: TestRecord, test: BendTest, design: Design, work: Workpiece) -> BenchResult:
    if test.section > len(work.sections):
        raise DocumentError(
            [Fault(("test.section", str(test.section), f"1 to {len(work.sections)}, numbered from the tip"))]
        )
    tube = work.pole.tubes[test.section - 1]
    span = si("span_mm", test.span_mm)
    if span > tube.length:
        raise DocumentError(
            [Fault(("test.span_mm", f"{test.span_mm:g}", f"at most the tube's {to(tube.length, 'mm'):.0f} mm"))]
        )
    masses, readings = _columns(test.readings)
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
        shear=Estimate(float(np.mean(tube.shear)), 0.1 * float(np.mean(tube.shear))),
    )
    relative = DEFAULT_EI if _rests_on_defaults(design, work, test.section - 1) else MEASURED_EI
    middle = float(np.interp(tube.length / 2.0, tube.station, tube.bending))
    predicted = Estimate(middle, relative * middle)
    return _result(
        record,
        design,
        f"bending stiffness of section {test.section}",
        "N m²",
        found.bending,
        predicted,
        found.notes,
        found.budget,
        uncorrected=found.apparent,
    )


def _pole(record: TestRecord, test: TipTest, design: Design, work: Workpiece) -> BenchResult:
    joints = len(work.pole.joints)
    out = test.out or joints
    if out > joints:
        raise DocumentError([Fault(("test.out", str(test.out), f"0 to {joints}; 0 means all sections drawn out"))])
    masses, rolls = _rolls(test.readings)
    state = bench_state(design, work.pole, out)
    length = float(bent(work.pole, state).station[-1])
    reach = length - si("prop_mm", test.prop_mm)
    if reach <= 0.0:
        want = f"below {to(length, 'mm'):.0f}, the pole's length with {reach_name(out, joints)}"
        raise DocumentError([Fault(("test.prop_mm", f"{test.prop_mm:g}", want))])
    found = tip_flex(
        raw.TipTest(
            reach=reach,
            masses=masses,
            readings=rolls,
            gauges=raw.Gauges(
                reading=si("reading_u_mm", test.reading_u_mm), load_share=_share(test.load_u_g, test.readings)
            ),
        )
    )
    value = flex_of(masses, np.array([_droop(work, design, test, out, float(m)) for m in masses]))
    relative = DEFAULT_FLEX if _rests_on_defaults(design, work, None) else MEASURED_FLEX
    return _result(
        record,
        design,
        f"added droop, {reach_name(out, joints)}",
        "mm per 100 g",
        _per_100_g(found.flex),
        _per_100_g(Estimate(value, relative * value)),
        found.notes,
        tuple(Share(s.name, s.sensitivity, to(s.standard, "mm/100 g")) for s in found.budget),
    )


def _droop(work: Workpiece, design: Design, test: TipTest, out: int, mass: float) -> float:
    state: State = bench_state(
        design.model_copy(update={"setting": design.setting.model_copy(update={"prop_mm": test.prop_mm})}),
        work.pole,
        out,
        head=mass,
    )
    return bent(work.pole, state).tip_droop


def _per_100_g(flex: Estimate) -> Estimate:
    return Estimate(to(flex.value, "mm/100 g"), to(flex.standard, "mm/100 g"), flex.freedom)


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
        raise DocumentError(
            [
                Fault(
                    (
                        "test.readings clock_deg",
                        ", ".join(f"{c:g}" for c in clocks),
                        "one position, or two of them half a turn apart",
                    )
                )
            ]
        )
    loads = sorted({r.load_g for r in readings})
    table = np.empty((len(clocks), len(loads)))
    for i, clock in enumerate(clocks):
        for j, load in enumerate(loads):
            same = [si("reading_mm", r.reading_mm) for r in readings if r.clock_deg == clock and r.load_g == load]
            if not same:
                raise DocumentError(
                    [
                        Fault(
                            (
                                "test.readings",
                                f"none at {load:g} g, clock {clock:g}",
                                "the same loads in both positions",
                            )
                        )
                    ]
                )
            table[i, j] = float(np.mean(same))
    return np.array([si("load_g", load) for load in loads]), table


def _result(
    record: TestRecord,
    design: Design,
    what: str,
    unit: str,
    measured: Estimate,
    predicted: Estimate,
    notes: tuple[Note, ...],
    budget: tuple[Share, ...],
    *,
    uncorrected: float | None = None,
) -> BenchResult:
    beside = compare(
        measured,
        predicted,
        what=what[0].upper() + what[1:],
        tolerance=MATTERS + predicted.relative,
        is_bend=isinstance(record.test, BendTest),
    )
    words = dict.fromkeys([*(n.words for n in notes), *(n.words for n in beside.notes)])
    return BenchResult(
        serial=record.serial,
        pole=design.name,
        what=what,
        unit=unit,
        measured=measured.value,
        uncertainty=measured.expanded,
        predicted=predicted.value,
        predicted_uncertainty=predicted.expanded,
        difference_pct=to(beside.relative, "%"),
        blur_pct=to(beside.blur, "%"),
        normalised_error=beside.normalised_error,
        verdict=beside.verdict,
        says=beside.words,
        uncorrected=uncorrected,
        notes=tuple(words),
        budget=tuple(BudgetLine(name=s.name, part=s.standard) for s in budget),
    )
