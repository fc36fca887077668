"""Paths of the JSON API that keep nothing: figures of a posted design, edits, schemas."""

from typing import Annotated, Any

from fastapi import APIRouter, Path

from polewright.api.answers import DesignAnswer, SchemasAnswer
from polewright.api.asked import Plain
from polewright.api.asked_edits import AskedEdits
from polewright.api.here import Here
from polewright.codes import Message
from polewright.store import Absent
from polewright.words import default_reader
from polewright.words.reports.check import CheckReport, check_report
from polewright.workshop import design_of, schema_kinds, schema_of

__all__ = ["figure_paths"]

Kind = Annotated[str, Path(min_length=1, max_length=40, pattern="^[a-z-]+$")]

figure_paths = APIRouter(prefix="/api", tags=["figures"])


@figure_paths.post("/check", response_model_exclude_none=True)
def check(workshop: Here, design: Plain) -> CheckReport:
    """All figures of a design, with the unit in every name."""
    return check_report(workshop.check(design_of(design)), default_reader())


@figure_paths.post("/edits")
def edit(workshop: Here, asked: AskedEdits) -> DesignAnswer:
    """The design after the edits, all or none; nothing is kept."""
    design = design_of(asked.design)
    for each in asked.edits:
        design = workshop.edited(design, each.edit, **each.arguments())
    return DesignAnswer(design=design.plain())


@figure_paths.get("/schemas")
def list_schemas() -> SchemasAnswer:
    """The kinds of document that have a JSON Schema here."""
    return SchemasAnswer(kinds=list(schema_kinds()))


@figure_paths.get("/schemas/{kind}")
def read_schema(kind: Kind) -> dict[str, Any]:
    """The JSON Schema of a kind of document."""
    if kind not in schema_kinds():
        raise Absent("kind", repr(kind), Message("want.one", choices=schema_kinds()))
    return schema_of(kind)
