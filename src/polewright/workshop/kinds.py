"""Plain values as the kind of document that is wanted, and the published schema of each kind."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any, TypeVar

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.document import Document
from polewright.documents.files import KINDS, DocumentError, document_of, load
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.documents.test_record import TestRecord
from polewright.errors import Absent
from polewright.words.reports.kinds import REPORTS, report_model

__all__ = ["design_in", "design_of", "lots_of", "record_in", "record_of", "schema_kinds", "schema_of", "stocked_of"]

_D = TypeVar("_D", bound=Document)


def design_of(plain: Any) -> Design:
    """A pole design from plain values.

    Raises
    ------
    DocumentError : it is another kind of document, or has faults.
    """
    return _wanted(document_of(plain), Design, "pole-design")


def design_in(path: Path) -> Design:
    """The pole design in a file; raises DocumentError, with the file's name, as `design_of` does."""
    return _wanted(load(path), Design, "pole-design", where=str(path))


def record_of(plain: Any) -> TestRecord:
    """A test record from plain values; raises DocumentError as `design_of` does."""
    return _wanted(document_of(plain), TestRecord, "test-record")


def lots_of(typed: Iterable[str]) -> tuple[str, ...]:
    """The lots named in what was typed, each once, in their order; a comma or semicolon stands between two."""
    names = (name.strip() for text in typed for name in text.replace(",", ";").split(";"))
    return tuple(dict.fromkeys(name for name in names if name))


def record_in(path: Path) -> TestRecord:
    """The test record in a file; raises DocumentError, with the file's name, as `design_of` does."""
    return _wanted(load(path), TestRecord, "test-record", where=str(path))


def stocked_of(plain: Any) -> MaterialDocument | MandrelDocument:
    """A material or mandrel from plain values; raises DocumentError as `design_of` does."""
    document = document_of(plain)
    return (
        document
        if isinstance(document, MandrelDocument)
        else _wanted(document, MaterialDocument, "material", "mandrel")
    )


def schema_kinds() -> tuple[str, ...]:
    """The kinds of document that have a published schema: those that a file may be, then those of answers."""
    return (*KINDS, *REPORTS)


def schema_of(kind: str) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a kind, one of `schema_kinds()`.

    Raises
    ------
    Absent : no such kind.
    """
    if kind not in schema_kinds():
        raise Absent("kind", repr(kind), Message("want.one", choices=schema_kinds()))
    model = KINDS[kind] if kind in KINDS else report_model(kind)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **model.model_json_schema()}


def _wanted(document: Document, kind: type[_D], *kinds: str, where: str = "") -> _D:
    if not isinstance(document, kind):
        raise DocumentError.at("document", repr(document.document), Message("want.document_kind", kinds=kinds), where)
    return document
