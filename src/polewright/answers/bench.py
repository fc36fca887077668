"""What a test shows beside its design: stiffness or flex with its uncertainty, and whether they agree."""

from collections.abc import Mapping
from types import MappingProxyType

from polewright.answers.bench_answer import BenchAnswer, FormField, ReadingTable, RecordKind
from polewright.answers.bend_measured import bend_measured
from polewright.answers.joint_measured import joint_by_overlaps, joint_by_sleeve
from polewright.answers.tip_measured import tip_measured
from polewright.answers.tube_measured import tube_measured
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.test_record import TestRecord
from polewright.documents.values import workpiece
from polewright.errors import DesignError
from polewright.units import si

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
        is_field = fault.field.split("[")[0] in type(record.test).model_fields or not kind.tables
        field = fault.field if is_field else kind.tables[0].name  # what the core calls a part of the readings
        raise DocumentError([Fault((f"test.{field}", fault.given, fault.want))]) from fault


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
                bend_measured,
            ),
            RecordKind(
                "tip load",
                "tip",
                (
                    FormField("out", choose="out"),
                    FormField("prop_mm", "length", offered=_prop),
                    FormField("length_mm", "length"),
                ),
                (ReadingTable("readings", *_TIP),),
                tip_measured,
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
