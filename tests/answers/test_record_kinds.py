"""The table of record kinds: each kind of a document has its row with fields of its form, a text and an evaluation."""

from typing import get_args

import pytest
from tests.said import said

from polewright.answers.bench import RECORD_KINDS, RecordKind
from polewright.documents.test_record import TestRecord
from polewright.units import quantity_of_field

MODELS = {model.model_fields["kind"].default: model for model in get_args(TestRecord.model_fields["test"].annotation)}


def test_every_kind_of_a_document_is_in_the_table() -> None:
    assert set(RECORD_KINDS) == set(MODELS)


@pytest.mark.parametrize("kind", RECORD_KINDS.values(), ids=RECORD_KINDS)
def test_the_fields_of_the_form_are_fields_of_the_document(kind: RecordKind) -> None:
    assert set(kind.fields) <= set(MODELS[kind.name].model_fields)
    assert kind.fields == {name: quantity_of_field(name) for name in kind.fields}


@pytest.mark.parametrize("kind", RECORD_KINDS.values(), ids=RECORD_KINDS)
def test_each_kind_has_its_texts(kind: RecordKind) -> None:
    assert said(f"bench.kind.{kind.code}", section=1)
    assert said(f"place.bench.{kind.code}.title")
    assert said(f"place.bench.{kind.code}.name")
