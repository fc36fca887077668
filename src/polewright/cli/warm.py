"""Compile the inner loops once, at installation, so that the first command and the first page are quick."""

import sys
from importlib.resources import files

from polewright.documents.check import check
from polewright.documents.design import Design
from polewright.documents.files import document_from

__all__ = ["main"]


def main() -> None:
    """Check the demo poles; what is compiled on the way is kept beside its source."""
    sys.stdout.write("compiling the inner loops, once\n")
    for entry in sorted((files("polewright.documents") / "demo").iterdir(), key=lambda f: f.name):
        if entry.name.endswith(".toml"):
            design = document_from(entry.read_text(encoding="utf-8"), where=entry.name)
            if isinstance(design, Design):
                check(design)


if __name__ == "__main__":
    main()
