"""The stiffness of one joint as the bench shows it, by a sleeve or by two overlaps, beside that of the design."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from polewright.answers.bench_answer import BenchAnswer, refuse
from polewright.answers.trestles import trestle_state
from polewright.bench.compare import compare
from polewright.bench.joint import Drawn, Sleeve, joint_of_overlaps, joint_of_sleeve
from polewright.bench.record import Gauges, TipTest
from polewright.bench.tip import TipFlex, tip_flex
from polewright.bench.uncertainty import Combined, Estimate
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.test_record import JointOverlaps, JointSleeve, Reading, TestRecord
from polewright.documents.values import Workpiece
from polewright.pole.droop import flex
from polewright.pole.pole import Pole
from polewright.units import si

__all__ = ["joint_by_overlaps", "joint_by_sleeve"]

DEFAULT, MEASURED = 0.2, 0.05  # [-] standard uncertainty of a stiffness in a design: default, measured before
MATTERS = 0.1  # [-] a difference beyond that which a workshop would act on
SLEEVE_EI = 0.05  # [-] standard uncertainty of a sleeve's own stiffness
_STATIONS = 2001


def joint_by_sleeve(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Stiffness of a joint from the flex without and with a stiff sleeve clamped over the place where it turns."""
    test = record.test
    assert isinstance(test, JointSleeve)
    place, prop = _place(test, work), si("prop_mm", test.prop_mm)
    arm_square, _ = _by_model(work.pole, place, prop)
    length = si("sleeve_mm", test.sleeve_mm)
    own = si("sleeve_EI_N_m2", test.sleeve_EI_N_m2)
    sleeve = Sleeve(length, Estimate(own, SLEEVE_EI * own), _covered(work.pole, place, length))
    free, sleeved = _flex(test, test.readings), _flex(test, test.sleeved)
    found = joint_of_sleeve(free.flex, sleeved.flex, sleeve, arm_square=arm_square)
    return _answer(record, design, work, place, found, si("overlap_mm", design.joints[place].overlap_mm))


def joint_by_overlaps(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Stiffness of a joint from the flex at two overlaps, for the first of them."""
    test = record.test
    assert isinstance(test, JointOverlaps)
    place, prop = _place(test, work), si("prop_mm", test.prop_mm)
    drawn = []
    for overlap_mm, readings in ((test.overlap_mm, test.readings), (test.second_overlap_mm, test.second)):
        overlap = si("overlap_mm", overlap_mm)
        if overlap >= min(work.pole.tubes[place].length, work.pole.tubes[place + 1].length):
            raise refuse("overlap_mm", Message("bound.length", value=overlap), Message("want.overlap_in_tubes"))
        joints = list(work.pole.joints)
        joints[place] = replace(joints[place], overlap=overlap)
        arm_square, others = _by_model(replace(work.pole, joints=tuple(joints)), place, prop)
        drawn.append(Drawn(overlap, _flex(test, readings).flex, others, arm_square))
    return _answer(record, design, work, place, joint_of_overlaps(*drawn), drawn[0].overlap)


def _place(test: JointSleeve | JointOverlaps, work: Workpiece) -> int:
    """The joint counted from 0 at the tip."""
    if test.joint > len(work.pole.joints):
        raise refuse("joint", test.joint, Message("want.joint_number", most=len(work.pole.joints)))
    return test.joint - 1


@lru_cache(maxsize=16)
def _by_model(pole: Pole, place: int, prop: float) -> tuple[float, float]:
    """Square of the arm [m2] from a joint to the tip, and flex [m/N] of all but its spring, all drawn out."""
    found = flex(pole, trestle_state(pole, prop, len(pole.joints), 0.0))
    own = found.flex * float(found.joint[place])
    return own * pole.joints[place].stiffness, found.flex - own


def _flex(test: JointSleeve | JointOverlaps, readings: tuple[Reading, ...]) -> TipFlex:
    masses = np.array(sorted({si("load_g", r.load_g) for r in readings}))
    read = [(si("load_g", r.load_g), si("reading_mm", r.reading_mm)) for r in readings]
    droops = [np.mean([droop for mass, droop in read if mass == m]) for m in masses]
    share = si("load_u_g", test.load_u_g) / float(np.ptp(masses)) if masses.size > 1 else 0.0
    gauges = Gauges(reading=si("reading_u_mm", test.reading_u_mm), load_share=share)
    return tip_flex(TipTest(reach=1.0, masses=masses, readings=np.array(droops), gauges=gauges))


def _covered(pole: Pole, place: int, length: float) -> float:
    """[1/(N m)] integral of 1/EI of the tubes under a sleeve [m] centred on the place where the joint turns."""
    inner, outer, joint = pole.tubes[place], pole.tubes[place + 1], pole.joints[place]
    at = np.linspace(-length / 2.0, length / 2.0, _STATIONS) + outer.length - joint.pivot * joint.overlap
    bending = np.where(at <= outer.length, np.interp(at, outer.station, outer.bending), 0.0)
    own = at - (outer.length - joint.overlap)
    bending = bending + np.where(own >= 0.0, np.interp(own, inner.station, inner.bending), 0.0)
    return float(np.trapezoid(1.0 / bending, at))


def _answer(
    record: TestRecord, design: Design, work: Workpiece, place: int, found: Combined, overlap: float
) -> BenchAnswer:
    """Beside the design's own at the same overlap, with what to write into the design."""
    joint, data = work.pole.joints[place], design.joints[place]
    doubt = DEFAULT if data.stiffness_from == "default" else MEASURED
    own = joint.stiffness * (overlap / joint.overlap) ** 2
    predicted = Estimate(own, doubt * own)
    keep = Message("bench.note.keep_joint", joint=place + 1, stiffness=found.estimate.value, overlap=overlap)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="joint",
        quantity="turning_stiffness",
        where={"joint": place + 1, "overlap": overlap},
        comparison=compare(found.estimate, predicted, tolerance=MATTERS + predicted.relative, is_bend=False),
        uncorrected=None,
        notes=(),
        budget=found.budget,
        causes=(keep,),
    )
