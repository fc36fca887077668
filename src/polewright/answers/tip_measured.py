"""A whole pole on the trestles with loads at its tip, beside its design: what a load adds to the droop."""

import numpy as np

from polewright.answers.bench_answer import BenchAnswer, refuse, rests_on_defaults
from polewright.answers.bench_readings import beside, load_share
from polewright.answers.reach import reach_message
from polewright.answers.trestles import as_long_as, length_on_trestles, trestle_state
from polewright.arrays import FloatArray
from polewright.bench.record import Gauges, TipTest
from polewright.bench.tip import flex_of, tip_flex
from polewright.codes import Message
from polewright.documents import test_record as kept
from polewright.documents.design import Design
from polewright.documents.test_record import Reading, TestRecord
from polewright.documents.values import Workpiece
from polewright.pole.beam import bent
from polewright.pole.pole import Pole
from polewright.units import si

__all__ = ["pole_as_tested", "relative_flex", "rolls", "tip_measured"]

DEFAULT_FLEX, MEASURED_FLEX = 0.05, 0.03  # [-] standard uncertainty of a predicted flex: default figures, measured


def tip_measured(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Added droop per load of a pole at the length that it has, beside that of its design at that length."""
    test = record.test
    assert isinstance(test, kept.TipTest)
    pole, out, prop = pole_as_tested(work, test.out, test.prop_mm, test.length_mm)
    masses, read = rolls(test.readings)
    length = length_on_trestles(pole, out)
    found = tip_flex(
        TipTest(
            reach=length - prop,
            masses=masses,
            readings=read,
            gauges=Gauges(
                reading=si("reading_u_mm", test.reading_u_mm), load_share=load_share(test.load_u_g, test.readings)
            ),
        )
    )
    value = flex_of(masses, np.array([bent(pole, trestle_state(pole, prop, out, float(m))).tip_droop for m in masses]))
    compared = beside(found.flex, value, relative_flex(design, work), is_bend=False)
    shorter = () if test.length_mm is None else (Message("bench.note.own_length", length=length),)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="flex",
        quantity="flex",
        where={"out": reach_message(out, len(pole.joints))},
        comparison=compared,
        uncorrected=None,
        notes=tuple(dict.fromkeys([*found.notes, *shorter, *compared.notes])),
        budget=found.budget,
    )


def relative_flex(design: Design, work: Workpiece) -> float:
    """[-] standard uncertainty of the predicted flex of a whole pole."""
    return DEFAULT_FLEX if rests_on_defaults(design, work, None) else MEASURED_FLEX


def pole_as_tested(work: Workpiece, out: int, prop_mm: float, length_mm: float | None) -> tuple[Pole, int, float]:
    """The pole at the length that it was read at, how many sections were drawn out, and the prop [m] from the butt.

    Raises
    ------
    DocumentError : more sections out than there are, a prop beyond the pole, or a length that its joints cannot have.
    """
    joints = len(work.pole.joints)
    drawn = out or joints
    if drawn > joints:
        raise refuse("out", out, Message("want.sections_out", most=joints))
    prop = si("prop_mm", prop_mm)
    pole = work.pole if length_mm is None else as_long_as(work.pole, drawn, si("length_mm", length_mm))
    length = length_on_trestles(pole, drawn)
    if prop >= length:
        want = Message("want.prop_below_length", length=length, reach=reach_message(drawn, joints))
        raise refuse("prop_mm", Message("bound.length", value=prop), want)
    return pole, drawn, prop


def rolls(readings: tuple[Reading, ...]) -> tuple[FloatArray, FloatArray]:
    """Masses (n_load,) [kg] and droops (n_roll, n_load) [m], repeats averaged; rolls are clock 0 and 180.

    Raises
    ------
    DocumentError : positions that are not half a turn apart, or with other loads.
    """
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
