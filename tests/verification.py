"""Write docs/verification.md from the rows the tests record: `python -m tests.verification`."""

import json
import os
import re
import subprocess
import sys
import tempfile
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).parents[1]
HEAD = """# Verification

Made by `make verification` from the tests; do not edit. Each row is a figure from outside our code, what Polewright
computes, and the error. The test fails where the error is beyond the tolerance of the source. Rows of the last two
kinds are no proof: they show that the code still gives what our own notes say, or what somebody remembered of a source.
"""
INDEPENDENT = {
    "closed form": "a formula worked out by hand, by a cited author, or known from how the case was made",
    "published": "a number printed in a source that was read",
    "solver": "another numerical method: finite elements, quadrature, shooting, series",
    "conservation": "what goes in comes out: energy, force, mass",
    "limit": "what a law says of very many, very thin or very long",
}
NOT_INDEPENDENT = {
    "notes": "our own notes and shipped tables, worked out by the same people",
    "recalled": "published, but recalled or taken at second hand",
}
KINDS = INDEPENDENT | NOT_INDEPENDENT


def says_where_it_is_from(kind: str, source: str) -> bool:
    """Whether the words of a source fit its kind: notes and recalled figures are never counted as independent."""
    is_recalled = "recalled" in source
    is_ours = not is_recalled and re.search(r"\b(notes|shipped)\b", source) is not None
    return (kind == "recalled") == is_recalled and (kind == "notes") == is_ours


def counts(rows: list[dict[str, object]]) -> str:
    """How many rows of each kind, and how many are independent."""
    text = "\n| kind | what it is | independent | rows |\n|---|---|---|---|\n"
    for kind, meaning in KINDS.items():
        count = sum(row["kind"] == kind for row in rows)
        text += f"| {kind} | {meaning} | {'yes' if kind in INDEPENDENT else 'no'} | {count} |\n"
    independent = sum(row["kind"] in INDEPENDENT for row in rows)
    return text + f"\n{independent} of {len(rows)} rows are independent of our own notes.\n"


def table(rows: list[dict[str, object]]) -> str:
    """The rows as one Markdown table a room, in a stable order."""
    rooms: dict[str, dict[tuple[str, str], dict[str, object]]] = defaultdict(dict)
    for row in rows:
        rooms[str(row["room"])][(str(row["case"]), str(row["source"]))] = row
    text = HEAD + counts([row for by_case in rooms.values() for row in by_case.values()])
    for room in sorted(rooms):
        text += f"\n## {room}\n\n| case | source | kind | expected | computed | error | tolerance |\n"
        text += "|---|---|---|---|---|---|---|\n"
        for (case, source), row in sorted(rooms[room].items()):
            expected, computed = float(str(row["expected"])), float(str(row["computed"]))
            error = f"{float(str(row['error'])):+.2%}" if expected else f"{computed:.2e}"
            allowed = f"{float(str(row['tolerance'])):.2%}"
            if row["tolerance_abs"]:
                allowed += f" or {row['tolerance_abs']:g}"
            clean = [c.replace("|", "/") for c in (case, source)]
            unit = f" {row['unit']}" if row["unit"] else ""
            figures = f"{expected:.5g}{unit} | {computed:.5g}{unit} | {error} | {allowed}"
            text += f"| {clean[0]} | {clean[1]} | {row['kind']} | {figures} |\n"
    return text


def main() -> int:
    """Run every test file that keeps such rows, and write the report."""
    files = sorted(
        str(p.relative_to(ROOT))
        for p in (ROOT / "tests").rglob("test_*.py")
        if "verified" in p.read_text(encoding="utf-8")
    )
    with tempfile.TemporaryDirectory() as folder:
        environment = dict(os.environ, POLEWRIGHT_VERIFICATION=folder)
        command = [sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "loadfile", *files]
        done = subprocess.run(command, cwd=ROOT, env=environment, check=False).returncode
        rows = [
            row for file in sorted(Path(folder).glob("*.json")) for row in json.loads(file.read_text(encoding="utf-8"))
        ]
    if done == 0:
        (ROOT / "docs" / "verification.md").write_text(table(rows), encoding="utf-8")
    return done


if __name__ == "__main__":
    sys.exit(main())
