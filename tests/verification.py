"""Write docs/verification.md from the rows the tests record: `python -m tests.verification`."""

import json
import os
import subprocess
import sys
import tempfile
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).parents[1]
HEAD = """# Verification

Made by `make verification` from the tests; do not edit. Each row is a figure from outside our code (a closed form, a
published value, an independent numerical solution, a figure of the workshop notes), what Polewright computes, and the
error. The test fails where the error is beyond the tolerance of the source.
"""


def table(rows: list[dict[str, object]]) -> str:
    """The rows as one Markdown table a room, in a stable order."""
    rooms: dict[str, dict[tuple[str, str], dict[str, object]]] = defaultdict(dict)
    for row in rows:
        rooms[str(row["room"])][(str(row["case"]), str(row["source"]))] = row
    text = HEAD
    for room in sorted(rooms):
        text += f"\n## {room}\n\n| case | source | expected | computed | error | tolerance |\n"
        text += "|---|---|---|---|---|---|\n"
        for (case, source), row in sorted(rooms[room].items()):
            expected, computed = float(str(row["expected"])), float(str(row["computed"]))
            error = f"{float(str(row['error'])):+.2%}" if expected else f"{computed:.2e}"
            allowed = f"{float(str(row['tolerance'])):.2%}"
            if row["tolerance_abs"]:
                allowed += f" or {row['tolerance_abs']:g}"
            clean = [c.replace("|", "/") for c in (case, source)]
            unit = f" {row['unit']}" if row["unit"] else ""
            text += f"| {clean[0]} | {clean[1]} | {expected:.5g}{unit} | {computed:.5g}{unit} | {error} | {allowed} |\n"
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
