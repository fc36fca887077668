"""`polewright schema`: the JSON Schemas of all documents."""

import json
import sys

from polewright.documents.bench_result import BenchResult
from polewright.documents.document import Document
from polewright.documents.files import KINDS
from polewright.documents.found import FindReport
from polewright.documents.ranking import Ranking
from polewright.documents.report import CheckReport
from polewright.documents.wall_shown import WallFigures
from polewright.errors import DesignError

__all__ = ["run", "schema_of"]

ANSWERS: dict[str, type[Document]] = {"check-report": CheckReport, "ranking": Ranking, "bench-result": BenchResult,
                                     "find-report": FindReport, "wall-figures": WallFigures}


def schema_of(kind: str) -> dict[str, object]:
    """The JSON Schema (draft 2020-12) of a kind of document.

    Raises
    ------
    DesignError : no such kind.
    """
    models: dict[str, type[Document]] = {**KINDS, **ANSWERS}
    if kind not in models:
        raise DesignError("kind", repr(kind), "one of " + ", ".join(models))
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **models[kind].model_json_schema()}


def run(kind: str) -> None:
    """Print one schema, or the kinds there are."""
    if kind:
        sys.stdout.write(json.dumps(schema_of(kind), indent=2, ensure_ascii=False) + "\n")
    else:
        sys.stdout.write("\n".join([*KINDS, *ANSWERS]) + "\n")
