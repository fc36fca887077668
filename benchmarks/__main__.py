"""Run every benchmark: `python -m benchmarks [--quick] [name ...]`."""

import argparse
import importlib
import sys
from pathlib import Path


def main() -> int:
    """Run the named benchmarks, or all of them, one after the other."""
    names = sorted(p.stem for p in Path(__file__).parent.glob("*.py") if not p.stem.startswith("_"))
    parser = argparse.ArgumentParser(prog="benchmarks")
    parser.add_argument("names", nargs="*", default=names, metavar="name")
    parser.add_argument("--quick", action="store_true", help="only prove that they start")
    given = parser.parse_args()
    for name in given.names:
        print(f"\n== {name}")
        importlib.import_module(f"benchmarks.{name}").main(quick=given.quick)
    return 0


if __name__ == "__main__":
    sys.exit(main())
