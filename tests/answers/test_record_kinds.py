"""The table of record kinds: each kind of a document has its row with fields of its form, a text and an evaluation."""

from pathlib import Path
from typing import get_args

import pytest
from tests.said import said

from polewright.answers.bench import RECORD_KINDS, RecordKind
from polewright.documents.files import load
from polewright.documents.test_record import TestRecord
from polewright.units import quantity_of_field
from polewright.words.form_values import field_stem

REED = Path(__file__).parents[2] / "examples" / "reedlight-7.toml"
MODELS = {model.model_fields["kind"].default: model for model in get_args(TestRecord.model_fields["test"].annotation)}


def test_every_kind_of_a_document_is_in_the_table() -> None:
    assert set(RECORD_KINDS) == set(MODELS)
    assert all(" " in name for name in RECORD_KINDS), "a name of two words is told from a field in a path"
    assert len({kind.code for kind in RECORD_KINDS.values()}) == len(RECORD_KINDS)


@pytest.mark.parametrize("kind", RECORD_KINDS.values(), ids=RECORD_KINDS)
def test_the_fields_of_the_form_are_fields_of_the_document(kind: RecordKind) -> None:
    of_document = MODELS[kind.name].model_fields
    assert {f.name for f in kind.fields} | {t.name for t in kind.tables} <= set(of_document)
    assert {f.name: f.quantity for f in kind.fields} == {f.name: quantity_of_field(f.name) for f in kind.fields}
    assert all((f.quantity is None) is (f.choose is not None) for f in kind.fields)
    for table in kind.tables:
        row = get_args(of_document[table.name].annotation)[0]
        assert [c.name for c in table.columns] == list(row.model_fields)
        assert {c.name: c.quantity for c in table.columns} == {c.name: quantity_of_field(c.name) for c in table.columns}
        assert table.key in row.model_fields
    asked = {f.name for f in kind.fields} | {t.name for t in kind.tables}
    assert {name for name, field in of_document.items() if field.is_required()} <= asked


@pytest.mark.parametrize("kind", RECORD_KINDS.values(), ids=RECORD_KINDS)
def test_each_kind_has_its_texts(kind: RecordKind) -> None:
    assert said(f"bench.kind.{kind.code}", section=1, joint=1)
    assert said(f"place.bench.{kind.code}.title")
    assert said(f"place.bench.{kind.code}.name")
    assert said(f"place.bench.{kind.code}.note")
    for field in kind.fields:
        assert said(f"place.bench.field.{kind.code}.{field.name}")
    for table in kind.tables:
        assert said(f"place.bench.table.{table.name}")
        for column in table.columns:
            assert said(f"place.bench.{field_stem(column.name)}", unit="mm")
            assert said(f"place.bench.{field_stem(column.name)}_of", number=1)


@pytest.mark.parametrize(("length_mm", "span_mm"), [(1650.0, 1500.0), (251.0, 101.0), (240.0, 100.0), (101.0, 100.0)])
def test_the_span_offered_leaves_room_at_both_ends_and_can_be_laid(length_mm: float, span_mm: float) -> None:
    design = load(REED)
    sections = tuple(s.model_copy(update={"length_mm": length_mm}) for s in design.sections)
    field = next(f for f in RECORD_KINDS["two-load bend"].fields if f.name == "span_mm")
    assert field.offered is not None
    assert 1e3 * field.offered(design.model_copy(update={"sections": sections}), 4) == pytest.approx(span_mm)
