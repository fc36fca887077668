"""What commands print in the language made of codes, in a process of their own; and what they refuse."""

import json
import os
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

from tests.every_command import ANSWERED, OWN, REFUSED, TOLD, write_own_files
from tests.kept.coded import CODED, rows_of_lines, texts_of
from tests.kept.figures import Place, Row

ROOT = Path(__file__).parents[2]
RUNNER = ROOT / "tests" / "words" / "run_commands.py"
WORK = [*ANSWERED, *OWN]


@cache
def _done() -> dict[str, dict[str, Any]]:
    """Every command by its words: exit code, what it prints, what it prints for faults."""
    with tempfile.TemporaryDirectory() as folder:
        own = {"POLEWRIGHT_LANGUAGE": CODED, "POLEWRIGHT_STORE": f"{folder}/workshop.sqlite", "NO_COLOR": "1"}
        own |= {"COLUMNS": "600", "XDG_DATA_HOME": folder}
        write_own_files(Path(folder))
        asked = [*WORK, *([*words, "--json"] for words in WORK), *TOLD, *REFUSED]
        done = subprocess.run(
            [sys.executable, RUNNER],
            input=json.dumps(asked),
            env={**os.environ, **own},
            cwd=folder,
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode != 0:
            raise AssertionError(done.stderr)
        told = done.stdout.replace(folder, "FOLDER").replace(str(ROOT), "TREE")
    return {name_of(one["words"]): one for one in json.loads(told)}


def name_of(words: list[str]) -> str:
    """A command as one line, files by their names."""
    return " ".join(word.rpartition("/")[2] for word in words)


def printed_in_codes() -> list[Row]:
    """Lines that commands print, column by column."""
    done = _done()
    rows: list[Row] = []
    for name in map(name_of, WORK):
        rows += [(name, *row) for row in rows_of_lines(done[name]["out"])]
    return rows


def answered_in_codes() -> dict[str, Place]:
    """Texts of the JSON answers of commands."""
    done, found = _done(), dict[str, Place]()
    for name in map(name_of, WORK):
        answer = json.loads(done[f"{name} --json"]["out"])
        found |= {f"{name}: {place}": text for place, text in texts_of(answer)}
    return found


def told_in_codes() -> dict[str, Place]:
    """Exit codes and lines of commands that write or look up something, and of those that are refused."""
    done, found = _done(), dict[str, Place]()
    for name in map(name_of, [*TOLD, *REFUSED]):
        one = done[name]
        lines = [" | ".join(row) for row in (*rows_of_lines(one["out"]), *rows_of_lines(one["errors"]))]
        found |= {f"{name}: exit": float(one["code"])} | {f"{name}: line {i}": line for i, line in enumerate(lines)}
    return found
