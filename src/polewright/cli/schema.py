"""`polewright schema`: the JSON Schemas of all documents."""

import json
import sys
from importlib import import_module

from polewright.codes import Message
from polewright.documents.files import KINDS
from polewright.errors import DesignError

__all__ = ["run", "schema_of"]

# kind of answer -> where its model stands; a bench result brings the solvers with it, and a list needs none of them
ANSWERS = {
    "check-report": ("words.reports.check", "CheckReport"),
    "ranking": ("words.reports.ranking", "Ranking"),
    "bench-result": ("words.reports.bench", "BenchResult"),
    "find-report": ("words.reports.find", "FindReport"),
    "wall-figures": ("words.reports.wall", "WallFigures"),
    "scatter-report": ("words.reports.scatter", "ScatterReport"),
    "hold-figures": ("words.reports.hold", "HoldFigures"),
}


def schema_of(kind: str) -> dict[str, object]:
    """The JSON Schema (draft 2020-12) of a kind of document.

    Raises
    ------
    DesignError : no such kind.
    """
    if kind in KINDS:
        model = KINDS[kind]
    elif kind in ANSWERS:
        room, name = ANSWERS[kind]
        model = getattr(import_module(f"polewright.{room}"), name)
    else:
        raise DesignError("kind", repr(kind), Message("want.one", choices=(*KINDS, *ANSWERS)))
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **model.model_json_schema()}


def run(kind: str) -> None:
    """Print one schema, or the kinds there are."""
    if kind:
        sys.stdout.write(json.dumps(schema_of(kind), indent=2, ensure_ascii=False) + "\n")
    else:
        sys.stdout.write("\n".join([*KINDS, *ANSWERS]) + "\n")
