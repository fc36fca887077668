"""What commands print in the language made of codes, in a process of their own; and what they refuse."""

import json
import os
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

import tomli_w

from polewright.documents.files import dump_toml
from tests.kept.coded import CODED, rows_of_lines, texts_of
from tests.kept.figures import Place, Row
from tests.kept.odd import odd_pole
from tests.kept.searched import brief_of

ROOT = Path(__file__).parents[2]
RUNNER = ROOT / "tests" / "words" / "run_commands.py"
EXAMPLES = ROOT / "examples"
REED, FRUIT, GLASS = (str(EXAMPLES / f"{name}.toml") for name in ("reedlight-7", "crookbough-5", "peerglass-8"))
OPTIONS = [str(EXAMPLES / "options" / f"reedlight-7-{letter}.toml") for letter in "abc"]
TUBE = ["bench", "tube", REED, "--serial", "A1", "--section", "4", "--span", "1200 mm", "--reading", "500 g=1.02 mm",
        "--reading", "1500 g=3.0 mm", "--reading", "2500 g=5.03 mm"]  # fmt: skip
POLE = ["bench", "pole", REED, "--serial", "A1", "--out", "4", "--prop", "1000 mm", "--reading", "250 g=300 mm",
        "--reading", "750 g=800 mm"]  # fmt: skip
SEARCHED = ("bought", "too much", "flex", "hopeless")
WORK: list[list[str]] = [
    ["check", REED],
    ["check", GLASS],
    ["check", REED, "--wall", "2"],
    ["check", "oddstem-6.toml"],
    ["wall", "oddstem-6.toml", "2"],
    ["hold", "oddstem-6.toml", "--lean", "40", "--support", "lifted", "--head", "250", "--wind", "5", "--slide", "up"],
    ["check", REED, "--if", "sections[0].stack[0].turns=4", "--if", "tip_fitting_g=30"],
    ["rank", *OPTIONS],
    ["wall", REED, "4"],
    ["wall", GLASS, "1"],
    ["hold", REED],
    ["hold", REED, "--reach", "3", "--support", "hands", "--head", "450 g", "--lean", "30", "--wind", "8"],
    ["hold", REED, "--support", "head on glass", "--lean", "60", "--slide", "down", "--head", "400", "--hose", "40"],
    ["scatter", FRUIT, "--poles", "64", "--order", "4", "--seed", "3"],
    TUBE,
    POLE,
    *(["find", f"{name}.toml"] for name in SEARCHED),
]
TOLD: list[list[str]] = [
    ["kit", FRUIT, "--out", "kit"],
    ["sheet", FRUIT, "--out", "sheet.pdf", "--units", "inch"],
    [*TUBE, "--tester", "Ada"],
    ["bench", "list"],
    ["jobs", "list"],
    ["store", "backup", "backup.sqlite"],
    ["store", "migrate"],
    ["--help"],
]
REFUSED: list[list[str]] = [
    ["check", "none.toml"],
    ["check", REED, "--wall", "9"],
    ["check", REED, "--wall", "0"],
    ["check", REED, "--if", "x"],
    ["check", REED, "--if", "no_field=3"],
    ["check", REED, "--if", "sections[0].stack[0].turns=99"],
    ["hold", REED, "--lean", "91"],
    ["hold", REED, "--lean", "x"],
    ["hold", REED, "--wind", "41"],
    ["hold", REED, "--support", "none"],
    ["hold", REED, "--slide", "9"],
    ["hold", REED, "--reach", "99 m"],
    ["scatter", REED, "--poles", "0"],
    ["scatter", REED, "--poles", "8"],
    ["scatter", REED, "--seed", "-1"],
    ["kit", REED, "--out", REED],
    ["sheet", REED, "--language", "zz"],
    ["sheet", REED, "--units", "feet"],
    ["find", "none"],
    ["bench", "tube", REED, "--serial", "A", "--section", "9", "--span", "1 m", "--reading", "1 kg=1 mm"],
    ["bench", "tube", REED, "--serial", "A", "--section", "4", "--span", "x", "--reading", "1"],
    ["bench", "tube", REED, "--serial", "A", "--section", "4", "--span", "1 m", "--reading", "1 kg=1 mm"],
    ["bench", "pole", REED, "--serial", "A", "--reading", "x = y"],
    ["bench", "pole", REED, "--serial", "A", "--out", "12", "--reading", "1 kg=1 mm", "--reading", "2 kg=2 mm"],
    ["bench", "record", REED, REED],
    ["store", "restore", "none"],
    ["open", "--port", "x"],
    ["open", "--port", "70000"],
    ["jobs", "stop", "x"],
    ["jobs", "stop", "99"],
    ["schema", "none"],
]


@cache
def _done() -> dict[str, dict[str, Any]]:
    """Every command by its words: exit code, what it prints, what it prints for faults."""
    with tempfile.TemporaryDirectory() as folder:
        own = {"POLEWRIGHT_LANGUAGE": CODED, "POLEWRIGHT_STORE": f"{folder}/workshop.sqlite", "NO_COLOR": "1"}
        own |= {"COLUMNS": "600", "XDG_DATA_HOME": folder}
        for name in SEARCHED:
            (Path(folder) / f"{name}.toml").write_text(tomli_w.dumps(brief_of(name)), encoding="utf-8")
        (Path(folder) / "oddstem-6.toml").write_text(dump_toml(odd_pole()), encoding="utf-8")
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
