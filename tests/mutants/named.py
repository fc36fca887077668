"""Faults with a name, which once passed every test: each must be noticed for ever."""

import re
import tomllib
from pathlib import Path

from tests.mutants.drawing import PACKAGE
from tests.mutants.fault import Fault, read

FILE = Path(__file__).parent / "named.toml"


def named_faults(root: Path, file: Path = FILE) -> dict[str, Fault]:
    """The named faults, each found by its pattern in the one place of the package where it stands now.

    Raises
    ------
    LookupError : a pattern stands nowhere, or in more than one place: the code has moved, and the pattern must follow.
    """
    rows = tomllib.loads(file.read_text(encoding="utf-8"))["fault"]
    return {row["name"]: _fault(root, row) for row in rows}


def _fault(root: Path, row: dict[str, str]) -> Fault:
    found = []
    for path in sorted((root / PACKAGE).rglob("*")):
        if path.suffix not in {".py", ".json", ".toml", ".html"} or not re.search(row["files"], path.as_posix()):
            continue
        where = path.relative_to(root).as_posix()
        text = read(root, where)
        found += [(where, text, match) for match in re.finditer(row["stands"], text)]
    if len(found) != 1:
        places = ", ".join(f"{where}:{text.count(chr(10), 0, m.start()) + 1}" for where, text, m in found) or "nowhere"
        raise LookupError(f"{row['name']}: {row['stands']!r} stands in {places}")
    where, text, match = found[0]
    line = text.count("\n", 0, match.start("x")) + 1
    last = text.count("\n", 0, match.end("x")) + 1
    lines = text.splitlines()
    return Fault(
        path=where,
        kind="named",
        start=match.start("x"),
        end=match.end("x"),
        before=match["x"],
        after=row["becomes"],
        line=line,
        first=line,
        last=last,
        scope="" if not lines[line - 1].startswith((" ", "\t")) else "?",
        names=tuple(row.get("names", "").split()),
    )
