"""In the marked language no command prints a word that no catalogue said but names, codes, units and what was typed.

The frame that the library for command lines sets round help and round a line that cannot be read is for who writes
command lines, in every program alike: it stays English.
"""

import json
import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any, get_args

import pytest
import typer.main
from tests.words.outside import CITED, texts_within, unmarked, words_outside
from tests.words.published import open_texts

from polewright.cli.app import app
from polewright.documents.design import Design
from polewright.documents.files import KINDS
from polewright.documents.hold import Held
from polewright.words import languages
from polewright.words.reports.kinds import REPORTS
from polewright.workshop import schema_of

EXAMPLES = Path(__file__).parents[2] / "examples"
RUNNER = Path(__file__).parent / "run_commands.py"
FRAME = "|".join(
    (
        r"Usage: .*|Options:|Arguments:|Commands:|Show this message and exit\.|\[required\]|\[default: [^\]]*\]|Error:",
        r"Try '.*' for help\.|Missing (argument|option) '.*'\.|Invalid value for '.*':|No such option: .*",
        r"No such command '.*'\.|Got unexpected extra argument\(s\) \(.*\)",
        r"^ +\w+(\.\.\.)? (?=<)|<[^>]*>|--[a-z]+( / --[a-z-]+|, --[a-z]+)*|FIELD=VALUE",
    )
)
PATH = r"\([a-z_]+(\[\d+\])?(\.[a-z_]+(\[\d+\])?)*\)"
"""A place in a file, as it is written there."""
REED, FRUIT, GLASS = (str(EXAMPLES / f"{name}.toml") for name in ("reedlight-7", "crookbough-5", "peerglass-8"))
OPTION = str(EXAMPLES / "options" / "reedlight-7-a.toml")
CODES = {*get_args(Held), *KINDS, *REPORTS, *languages(), *Design.model_fields, "metric", "inch", "reedlight-7"}
CODES |= {"free", "up", "down", "stuck", "::1", "localhost", "A1", "Ada"}
"""What may be typed in a command or a file."""
GROUP: Any = typer.main.get_command(app)
COMMANDS = {name for command in (GROUP, *GROUP.commands.values()) for name in getattr(command, "commands", {})}
WORK = [
    ["check", FRUIT],
    ["check", GLASS],
    ["rank", REED, OPTION],
    ["wall", REED, "3"],
    ["wall", GLASS, "1"],
    ["hold", REED],
    ["hold", REED, "--support", "hands", "--lean", "30", "--wind", "8"],
    ["hold", REED, "--support", "head on glass", "--lean", "60", "--slide", "down", "--head", "400"],
    ["scatter", FRUIT, "--poles", "64"],
    ["kit", FRUIT, "--out", "kit"],
    ["sheet", FRUIT, "--out", "sheet.pdf"],
    ["bench", "tube", REED, "--serial", "A1", "--section", "4", "--span", "1500 mm", "--reading", "500 g = 1 mm",
     "--reading", "2500 g = 2.4 mm", "--tester", "Ada"],
    ["bench", "pole", REED, "--serial", "A1", "--reading", "250 g = 300 mm", "--reading", "750 g = 800 mm"],
    ["bench", "list"],
    ["store", "backup", "backup.sqlite"],
    ["store", "migrate"],
    ["jobs", "list"],
]  # fmt: skip
PUBLISHED = [
    ["check", FRUIT],
    ["check", REED, "--if", "joints.overlap_mm=250", "--if", "brief.reach_at_least_mm="],
    ["rank", REED, OPTION],
    ["wall", GLASS, "1"],
    ["hold", REED, "--support", "hands", "--lean", "30", "--wind", "8"],
    ["hold", REED, "--support", "head on glass", "--lean", "60", "--slide", "down", "--head", "400"],
    ["scatter", FRUIT, "--poles", "64"],
    ["bench", "tube", REED, "--serial", "A1", "--section", "4", "--span", "1500 mm", "--reading", "500 g = 1 mm",
     "--reading", "2500 g = 2.4 mm"],
    ["bench", "pole", REED, "--serial", "A1", "--reading", "250 g = 300 mm", "--reading", "750 g = 800 mm"],
]  # fmt: skip
"""What answers programs too, with `--json`."""
REFUSED = [
    ["nonsense"],
    ["check"],
    ["check", "none.toml"],
    ["check", "."],
    ["check", REED, "--wall", "x"],
    ["check", REED, "--wall", "9"],
    ["check", REED, "--nothing"],
    ["check", REED, "--if", "x"],
    ["check", REED, "--if", "no_field=3"],
    ["check", REED, "--if", "sections[0].stack[0].turns=99"],
    ["wall", REED],
    ["hold", REED, "--lean", "x"],
    ["hold", REED, "--wind", "x"],
    ["hold", REED, "--support", "none"],
    ["hold", REED, "--slide", "9"],
    ["scatter", REED, "--poles", "0"],
    ["scatter", REED, "--poles", "8"],
    ["kit", REED, "--out", REED],
    ["sheet", REED, "--language", "zz"],
    ["sheet", REED, "--units", "feet"],
    ["find", "none"],
    ["bench", "tube", REED, "--serial", "A", "--section", "9", "--span", "x", "--reading", "1"],
    ["bench", "pole", REED, "--serial", "A", "--reading", "x = y"],
    ["bench", "record", REED, REED],
    ["store", "restore", "none"],
    ["store", "restore", "backup.sqlite"],
    ["store", "backup", REED],
    ["open", "--port", "x"],
    ["open", "--host", "1.2.3.4"],
    ["jobs", "stop", "x"],
    ["jobs", "stop", "99"],
    ["schema", "none"],
    ["schema", "x", "y"],
]


def helps() -> list[list[str]]:
    """The help of the whole, of every command and of every command under one."""
    found = [["--help"]]
    for name, command in GROUP.commands.items():
        found.append([name, "--help"])
        found += [[name, under, "--help"] for under in getattr(command, "commands", {})]
    return found


def run(commands: list[list[str]], folder: Path) -> list[dict[str, Any]]:
    """Commands one after the other in one further process that speaks the marked language."""
    own = {"POLEWRIGHT_LANGUAGE": "x-marked", "POLEWRIGHT_STORE": str(folder / "workshop.sqlite"), "NO_COLOR": "1"}
    own |= {"COLUMNS": "132", "XDG_DATA_HOME": str(folder), "XDG_CACHE_HOME": str(folder / "cache")}
    done = subprocess.run(
        [sys.executable, RUNNER],
        input=json.dumps(commands),
        env={**os.environ, **own},
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    found: list[dict[str, Any]] = json.loads(done.stdout)
    return found


def outside(done: dict[str, Any], folder: Path) -> set[str]:
    """Words of a command's output that nobody typed and no catalogue said."""
    names = {text for path in (REED, FRUIT, GLASS, OPTION) for text in texts_within(tomllib.loads(read(path)))}
    typed = {part for word in done["words"] for part in re.split(r"[^A-Za-z_]+", word)}
    names |= {*done["words"], *typed, *(word.replace("_", " ") for word in typed), "polewright", *CODES, *COMMANDS}
    found = set()
    for stream in ("out", "errors"):
        text = re.sub(re.escape(str(folder)) + r"[^\s⟦]*|kit/\S+|\bS\d\b|\bx\d+\b", "", done[stream])
        text = unmarked(re.sub(r"⟦[^⟦⟧]*\.\.\.$", "", text, flags=re.MULTILINE))  # cut by the list of commands
        text = re.sub(f"{FRAME}|{PATH}", "", text, flags=re.MULTILINE)
        found |= words_outside(text.splitlines(), *names, *CITED)
    return found


def read(path: str) -> str:
    return Path(path).read_text(encoding="utf-8")


def test_no_help_of_a_command(tmp_path: Path) -> None:
    done = run(helps(), tmp_path)
    assert len(done) > 20
    found = {" ".join(each["words"]): words for each in done if (words := outside(each, tmp_path))}
    assert found == {}


@pytest.mark.slow
def test_no_answer_of_a_command(tmp_path: Path) -> None:
    done = run(WORK, tmp_path)
    assert [each["words"] for each in done if each["code"] != 0] == []
    found = {" ".join(each["words"]): words for each in done if (words := outside(each, tmp_path))}
    assert found == {}


@pytest.mark.slow
def test_no_answer_of_a_command_to_a_program(tmp_path: Path) -> None:
    found = {}
    for done in run([[*words, "--json"] for words in PUBLISHED], tmp_path):
        assert done["code"] == 0, done["errors"]
        answer = json.loads(done["out"])
        schema = schema_of(answer["document"])
        texts = [text for _, text in open_texts(answer, schema, schema["$defs"])]
        if words := outside({"words": done["words"], "out": "\n".join(texts), "errors": done["errors"]}, tmp_path):
            found[" ".join(done["words"])] = words
    assert found == {}


def test_no_refusal_of_a_command(tmp_path: Path) -> None:
    done = run(REFUSED, tmp_path)
    assert [each["words"] for each in done if each["code"] == 0] == []
    found = {" ".join(each["words"]): words for each in done if (words := outside(each, tmp_path))}
    assert found == {}
