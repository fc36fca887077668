"""Plain values as the kind of document that is wanted, and the published schema of each kind."""

from typing import Any, TypeVar

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.document import Document
from polewright.documents.files import KINDS, DocumentError, document_of
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.documents.test_record import TestRecord
from polewright.words.reports.check import CheckReport

__all__ = ["design_of", "record_of", "schema_kinds", "schema_of", "stocked_of"]

_D = TypeVar("_D", bound=Document)
_PUBLISHED: dict[str, type[Document]] = {**KINDS, "check-report": CheckReport}


def design_of(plain: Any) -> Design:
    """A pole design from plain values.

    Raises
    ------
    DocumentError : it is another kind of document, or has faults.
    """
    return _wanted(document_of(plain), Design, "pole-design")


def record_of(plain: Any) -> TestRecord:
    """A test record from plain values; raises DocumentError as `design_of` does."""
    return _wanted(document_of(plain), TestRecord, "test-record")


def stocked_of(plain: Any) -> MaterialDocument | MandrelDocument:
    """A material or mandrel from plain values; raises DocumentError as `design_of` does."""
    document = document_of(plain)
    return (
        document
        if isinstance(document, MandrelDocument)
        else _wanted(document, MaterialDocument, "material", "mandrel")
    )


def schema_kinds() -> tuple[str, ...]:
    """The kinds of document that have a published schema."""
    return tuple(_PUBLISHED)


def schema_of(kind: str) -> dict[str, Any]:
    """The JSON Schema of a kind, one of `schema_kinds()`."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **_PUBLISHED[kind].model_json_schema()}


def _wanted(document: Document, kind: type[_D], *kinds: str) -> _D:
    if not isinstance(document, kind):
        raise DocumentError.at("document", repr(document.document), Message("want.document_kind", kinds=kinds))
    return document
