"""What a test shows beside its design: stiffness or flex with its uncertainty, and whether they agree."""

from collections.abc import Mapping
from types import MappingProxyType

from polewright.answers.bench_answer import BenchAnswer, FormField, ReadingTable, RecordKind
from polewright.answers.bend_measured import bend_measured
from polewright.answers.inspection import clamp_measured, proof_loaded, seen_and_tapped
from polewright.answers.joint_measured import joint_by_overlaps, joint_by_sleeve
from polewright.answers.pole_tests import own_weight_measured, swing_measured
from polewright.answers.tip_measured import tip_measured
from polewright.answers.tube_measured import tube_measured
from polewright.answers.tube_tests import ring_measured, spans_measured, tone_measured, torsion_measured
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.test_record import TestRecord
from polewright.documents.values import workpiece
from polewright.errors import DesignError
from polewright.units import si, split_field

__all__ = ["RECORD_KINDS", "BenchAnswer", "RecordKind", "bench_answer"]

LESS_THAN_TUBE, LEAST_SPAN = 0.150, 0.100  # [m] by which the span offered falls short of the tube; its least


def bench_answer(record: TestRecord, design: Design) -> BenchAnswer:
    """Evaluate a record against the design that was built.

    Raises
    ------
    DocumentError : the readings cannot be evaluated, or the design has no such section or reach.
    """
    work = workpiece(design)
    kind = RECORD_KINDS[record.test.kind]
    try:
        return kind.evaluate(record, design, work)
    except DesignError as fault:
        raise DocumentError(
            [Fault((f"test.{_of_test(fault.field, record, kind)}", fault.given, fault.want))]
        ) from fault


def _of_test(name: str, record: TestRecord, kind: RecordKind) -> str:
    """The field of a test that the core calls so, with the unit of the document; else its readings."""
    fields = type(record.test).model_fields
    if name.split("[", maxsplit=1)[0] in fields:
        return name
    named = (field for field in fields if split_field(field)[0] == name)
    return next(named, kind.tables[0].name if kind.tables else name)


def _span(design: Design, section: int) -> float:
    return max(si("length_mm", design.sections[section - 1].length_mm) - LESS_THAN_TUBE, LEAST_SPAN)


def _prop(design: Design, _: int) -> float:
    return si("prop_mm", design.setting.prop_mm)


_TIP = ("250", "750"), ("8", "24")
_BEND = ("500", "2500"), ("16", "80")
_SECTION, _JOINT = FormField("section", choose="section"), FormField("joint", choose="joint")
_ON_TRESTLES = (
    FormField("out", choose="out"),
    FormField("prop_mm", "length", offered=_prop),
    FormField("length_mm", "length"),
)
_OF_JOINT = (_JOINT, FormField("prop_mm", "length", offered=_prop))
_CLOCK = FormField("clock_deg", "angle")


_OF_TUBES = (
    RecordKind(
        "two-load bend",
        "bend",
        (_SECTION, FormField("span_mm", "length", offered=_span)),
        (ReadingTable("readings", *_BEND),),
        bend_measured,
        is_daily=True,
    ),
    RecordKind(
        "tube measured",
        "tube",
        (
            _SECTION,
            FormField("mass_g", "mass"),
            FormField("outside_mm", "length"),
            FormField("length_mm", "length"),
            FormField("bore_mm", "length"),
        ),
        (),
        tube_measured,
        is_daily=True,
    ),
    RecordKind(
        "bend at two spans",
        "spans",
        (_SECTION, FormField("span_mm", "length", offered=_span), FormField("second_span_mm", "length")),
        (ReadingTable("readings", *_BEND), ReadingTable("second_readings", *_BEND)),
        spans_measured,
    ),
    RecordKind(
        "torsion test",
        "torsion",
        (
            _SECTION,
            FormField("length_mm", "length", offered=_span),
            FormField("arm_mm", "length"),
            FormField("lever_mm", "length"),
        ),
        (ReadingTable("readings", *_BEND),),
        torsion_measured,
    ),
    RecordKind(
        "ring of off-cut",
        "ring",
        (_SECTION, FormField("width_mm", "length")),
        (ReadingTable("readings", ("500", "2000"), ("16", "64")),),
        ring_measured,
    ),
    RecordKind(
        "tap tone",
        "tap",
        (
            _SECTION,
            FormField("length_mm", "length"),
            FormField("mass_g", "mass"),
            FormField("outside_mm", "length"),
            FormField("bore_mm", "length"),
        ),
        (ReadingTable("tones", columns=(FormField("frequency_Hz", "frequency"),), key="frequency_Hz"),),
        tone_measured,
    ),
)


_OF_POLES = (
    RecordKind(
        "tip load", "tip", _ON_TRESTLES, (ReadingTable("readings", *_TIP),), tip_measured, is_daily=True, of_pole=True
    ),
    RecordKind(
        "own weight",
        "own",
        _ON_TRESTLES,
        (ReadingTable("droops", columns=(FormField("reading_mm", "length"), _CLOCK)),),
        own_weight_measured,
        of_pole=True,
    ),
    RecordKind(
        "swing test",
        "swing",
        (*_ON_TRESTLES, FormField("load_g", "mass")),
        (ReadingTable("counts", columns=(FormField("swings"), FormField("time_s", "time")), key="swings"),),
        swing_measured,
        of_pole=True,
    ),
    RecordKind(
        "joint sleeve",
        "sleeve",
        (*_OF_JOINT, FormField("sleeve_mm", "length"), FormField("sleeve_EI_N_m2", "bending")),
        (ReadingTable("readings", *_TIP), ReadingTable("sleeved", *_TIP)),
        joint_by_sleeve,
        of_pole=True,
    ),
    RecordKind(
        "joint overlaps",
        "overlaps",
        (*_OF_JOINT, FormField("overlap_mm", "length"), FormField("second_overlap_mm", "length")),
        (ReadingTable("readings", *_TIP), ReadingTable("second", *_TIP)),
        joint_by_overlaps,
        of_pole=True,
    ),
    RecordKind(
        "clamp pull",
        "pull",
        (_JOINT, FormField("surface", choose="surface")),
        (ReadingTable("pulls", columns=(FormField("pull_N", "force"),), key="pull_N"),),
        clamp_measured,
        of_pole=True,
    ),
    RecordKind(
        "proof load",
        "proof",
        (
            FormField("load_g", "mass"),
            FormField("time_s", "time"),
            FormField("set_mm", "length"),
            FormField("creak", choose="yes_no"),
        ),
        (),
        proof_loaded,
        is_daily=True,
        of_pole=True,
    ),
    RecordKind(
        "sight and tap",
        "sight",
        (FormField("tapped", choose="yes_no"),),
        (
            ReadingTable(
                "defects",
                columns=(
                    FormField("defect", choose="defect"),
                    FormField("section", choose="section_or_none"),
                    FormField("at_mm", "length"),
                    FormField("accepted"),
                ),
                key="defect",
                is_optional=True,
            ),
        ),
        seen_and_tapped,
        is_daily=True,
        of_pole=True,
    ),
)


RECORD_KINDS: Mapping[str, RecordKind] = MappingProxyType(
    {kind.name: kind for kind in sorted((*_OF_TUBES, *_OF_POLES), key=lambda kind: not kind.is_daily)}
)
