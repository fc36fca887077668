"""Compile the inner loops once, at installation, so that the first command and the first page are quick."""

import sys

from polewright.words import default_reader
from polewright.workshop import compile_loops

__all__ = ["main"]


def main() -> None:
    """Run whatever the commands run, on the demo poles."""
    sys.stdout.write(f"{default_reader().say('cli.warm')}\n")
    compile_loops()


if __name__ == "__main__":
    main()
