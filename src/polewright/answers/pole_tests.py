"""Further tests of a whole pole beside its design: its swing with a mass at the tip, the droop of its own weight."""

import numpy as np

from polewright.answers.bench_answer import BenchAnswer, BenchFigure, refuse
from polewright.answers.bench_readings import beside
from polewright.answers.reach import reach_message
from polewright.answers.tip_measured import pole_as_tested, relative_flex
from polewright.answers.trestles import bent_on_trestles, length_on_trestles, trestle_state
from polewright.bench.record import Gauges
from polewright.bench.swing import counted_frequency, own_droop
from polewright.bench.uncertainty import Estimate
from polewright.codes import Message
from polewright.documents import test_record as kept
from polewright.documents.design import Design
from polewright.documents.test_record import TestRecord
from polewright.documents.values import Workpiece
from polewright.pole.droop import flex
from polewright.pole.modes import modes
from polewright.units import si

__all__ = ["own_weight_measured", "swing_measured"]

HALF_TURN_DOUBT = 1.0  # [degrees]


def swing_measured(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Frequency of a pole with a mass at its tip beside its prediction, and the flex that it tells.

    At the same mass the square of the frequency goes as the stiffness, so the flex is that predicted times
    (f predicted / f counted)^2.
    """
    test = record.test
    assert isinstance(test, kept.SwingTest)
    pole, out, prop = pole_as_tested(work, test.out, test.prop_mm, test.length_mm)
    found = counted_frequency(
        np.array([float(c.swings) for c in test.counts]),
        np.array([si("time_s", c.time_s) for c in test.counts]),
        seconds_standard=si("time_u_s", test.time_u_s),
    )
    load = si("load_g", test.load_g)
    predicted = float(modes(bent_on_trestles(pole, prop, out, load), count=1).frequency[0])
    relative = relative_flex(design, work)
    compared = beside(found.estimate, predicted, relative / 2.0, is_bend=False)
    own = flex(pole, trestle_state(pole, prop, out, load)).flex
    counted = found.estimate
    told = Estimate(
        own * (predicted / counted.value) ** 2,
        2.0 * own * predicted**2 / counted.value**3 * counted.standard,
        counted.freedom,
    )
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="swing",
        quantity="frequency",
        where={"out": reach_message(out, len(pole.joints)), "load": load},
        comparison=compared,
        uncorrected=None,
        notes=_own_length(test.length_mm, length_on_trestles(pole, out)),
        budget=found.budget,
        further=(BenchFigure("flex", "flex", beside(told, own, relative, is_bend=False)),),
    )


def own_weight_measured(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Droop with nothing hung beside its prediction, the mean of two rolls where the pole was rolled."""
    test = record.test
    assert isinstance(test, kept.OwnWeight)
    pole, out, prop = pole_as_tested(work, test.out, test.prop_mm, test.length_mm)
    clocks = sorted({d.clock_deg for d in test.droops})
    if len(clocks) > 2 or (len(clocks) == 2 and abs(clocks[1] - clocks[0] - 180.0) > HALF_TURN_DOUBT):
        named = tuple(Message("bound.angle", value=si("clock_deg", c)) for c in clocks)
        raise refuse("droops", Message("given.clocks", clocks=named), Message("want.half_turn_apart"))
    found = own_droop(
        np.array([1.0 if d.clock_deg == clocks[0] else -1.0 for d in test.droops]),
        np.array([si("reading_mm", d.reading_mm) for d in test.droops]),
        standard=si("reading_u_mm", test.reading_u_mm),
        tape_share=Gauges().reading_share,
    )
    predicted = bent_on_trestles(pole, prop, out, 0.0).tip_droop
    compared = beside(found.estimate, predicted, relative_flex(design, work), is_bend=False)
    notes = () if len(clocks) == 2 else (Message("bench.note.not_rolled"),)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="own_droop",
        quantity="length",
        where={"out": reach_message(out, len(pole.joints))},
        comparison=compared,
        uncorrected=None,
        notes=(*notes, *_own_length(test.length_mm, length_on_trestles(pole, out))),
        budget=found.budget,
    )


def _own_length(length_mm: float | None, length: float) -> tuple[Message, ...]:
    return () if length_mm is None else (Message("bench.note.own_length", length=length),)
