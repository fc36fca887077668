"""A tube weighed and measured beside its prediction, and which faults of its stack explain what is off."""

from collections.abc import Mapping

import numpy as np

from polewright.answers.bench_answer import BenchAnswer, BenchFigure, refuse, rests_on_defaults
from polewright.bench.compare import Comparison, compare
from polewright.bench.signature import likely_causes, signatures
from polewright.bench.uncertainty import Estimate, Share
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.test_record import TestRecord, TubeMeasured
from polewright.documents.values import Workpiece
from polewright.materials.library import library
from polewright.pole.section import Section
from polewright.units import si

__all__ = ["tube_measured"]

MATTERS = 0.02  # [-] a difference of mass beyond what the prediction itself may be off that a workshop would act on


def tube_measured(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Mass, outside diameter, length and bore beside the prediction, and the likely causes.

    The mass is that predicted for the length as measured; the outside diameter is taken half-way along the tube, the
    bore at its butt end. What the wall is off is the outside less the bore: a mandrel of another size is no fault of
    the stack.
    """
    test = record.test
    assert isinstance(test, TubeMeasured)
    if test.section > len(work.sections):
        raise refuse("section", test.section, Message("want.section_number", most=len(work.sections)))
    place = test.section - 1
    measured = {name: _read(test, name) for name in ("mass_g", "outside_mm", "length_mm", "bore_mm")}
    predicted = _predicted(work, place, measured, is_default=rests_on_defaults(design, work, place))
    beside = {name: _compared(estimate, predicted[name]) for name, estimate in measured.items() if estimate is not None}
    mass = beside["mass_g"]
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="mass",
        quantity="mass",
        where={"section": test.section},
        comparison=mass,
        uncorrected=None,
        notes=(),
        budget=(Share("scale", 1.0, mass.measured.standard),),
        further=tuple(
            BenchFigure(name.removesuffix("_mm"), "length", beside[name])
            for name in ("outside_mm", "length_mm", "bore_mm")
            if name in beside
        ),
        causes=_causes(work, place, beside),
    )


def _read(test: TubeMeasured, name: str) -> Estimate | None:
    value = getattr(test, name)
    stem, unit = name.rsplit("_", 1)
    uncertainty = f"{stem}_u_{unit}"
    return None if value is None else Estimate(si(name, value), si(uncertainty, getattr(test, uncertainty)))


def _compared(measured: Estimate, predicted: Estimate) -> Comparison:
    return compare(measured, predicted, tolerance=MATTERS + predicted.relative, is_bend=False)


def _predicted(
    work: Workpiece, place: int, measured: Mapping[str, Estimate | None], *, is_default: bool
) -> dict[str, Estimate]:
    """The design's figures with the ordinary scatter of good tubes; half the variance of a material belongs to its
    lot and is gone where the lot's own figures are known.
    """
    section, tube = work.sections[place], work.pole.tubes[place]
    length = Estimate(tube.length, library().scalar("ply_length_tolerance").value / 2.0)
    taken = measured["length_mm"] or length
    per_metre = float(np.trapezoid(tube.mass_per_length, tube.station)) / tube.length
    areal = library().scalar("FAW", "cov").value * (1.0 if is_default else np.sqrt(0.5))
    resin = library().scalar("resin_content", "cov").value * (1.0 if is_default else np.sqrt(0.5))
    share = resin_share(work, section)
    relative = float(np.hypot(areal, 0.0 if share is None else resin * share / (1.0 - share)))
    mass = per_metre * taken.value
    middle, butt = section.outsides(np.array([tube.length / 2.0])), section.bores(np.zeros(1))
    return {
        "mass_g": Estimate(mass, float(np.hypot(relative * mass, per_metre * taken.standard))),
        "outside_mm": Estimate(float(middle[0]), library().scalar("outer_diameter_mm_sd").value),
        "length_mm": length,
        "bore_mm": Estimate(float(butt[0]), library().scalar("diameter_tolerance").value / 2.0),
    }


def resin_share(work: Workpiece, section: Section) -> float | None:
    """[-] of the mass of the axial prepreg of a section, None where it has none or its resin is not known."""
    names = {each.ply.name for each in section.stack.plies if each.angle_class == "axial"}
    origins = [record.origins for record in work.records.values() if record.ply.name in names]
    return next((each["resin_share"].value for each in origins if "resin_share" in each), None)


def _causes(work: Workpiece, place: int, beside: Mapping[str, Comparison]) -> tuple[Message, ...]:
    """What explains mass and wall together, a sentence each; the coat weighs, but is no part of the stack."""
    section, mass = work.sections[place], beside["mass_g"]
    walls = section.walls(np.array([section.length / 2.0]))
    scale = (
        mass.predicted.value
        * float(walls.mass_per_length[0])
        / float(np.interp(section.length / 2.0, work.pole.tubes[place].station, work.pole.tubes[place].mass_per_length))
    )
    found = {"mass": mass.difference.scaled(1.0 / scale)}
    if "outside_mm" in beside:
        outside, bore = beside["outside_mm"].difference, beside.get("bore_mm")
        off = 0.0 if bore is None else bore.difference.value
        blur = 0.0 if bore is None else bore.measured.standard
        found["outside"] = Estimate(outside.value - off, float(np.hypot(outside.standard, blur)))
    known = signatures(section.stack, float(walls.bore[0]), resin_content=resin_share(work, section))
    return likely_causes(found, known).told
