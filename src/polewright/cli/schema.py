"""`polewright schema`: the JSON Schemas of all documents and answers."""

import sys

from polewright.cli.output import write_json
from polewright.workshop import schema_kinds, schema_of

__all__ = ["run"]


def run(kind: str) -> None:
    """Print one schema, or the kinds there are."""
    if kind:
        write_json(schema_of(kind))
    else:
        sys.stdout.write("\n".join(schema_kinds()) + "\n")
