"""`polewright schema`: the JSON Schemas of all documents and answers."""

import json
import sys

from polewright.workshop import schema_kinds, schema_of

__all__ = ["run"]


def run(kind: str) -> None:
    """Print one schema, or the kinds there are."""
    if kind:
        sys.stdout.write(json.dumps(schema_of(kind), indent=2, ensure_ascii=False) + "\n")
    else:
        sys.stdout.write("\n".join(schema_kinds()) + "\n")
