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
from tests.every_command import ANSWERED, FRUIT, GLASS, OPTIONS, OWN, REED, REFUSED, TOLD, write_own_files
from tests.words.outside import CITED, texts_within, unmarked, words_outside
from tests.words.published import open_texts

from polewright.cli.app import app
from polewright.documents.design import Design
from polewright.documents.files import KINDS
from polewright.documents.hold import Held
from polewright.words import languages
from polewright.words.reports.kinds import REPORTS
from polewright.workshop import schema_of

pytestmark = pytest.mark.slow

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
CODES = {*get_args(Held), *KINDS, *REPORTS, *languages(), *Design.model_fields, "metric", "inch", "reedlight-7"}
CODES |= {"free", "up", "down", "stuck", "::1", "localhost", "A1", "Ada"}
"""What may be typed in a command or a file."""
GROUP: Any = typer.main.get_command(app)
COMMANDS = {name for command in (GROUP, *GROUP.commands.values()) for name in getattr(command, "commands", {})}


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
    write_own_files(folder)
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
    names = {
        text
        for path in (REED, FRUIT, GLASS, *OPTIONS, *map(str, folder.glob("*.toml")))
        for text in texts_within(tomllib.loads(read(path)))
    }
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


def test_no_answer_of_a_command(tmp_path: Path) -> None:
    done = run([*ANSWERED, *OWN, *TOLD], tmp_path)
    assert [each["words"] for each in done if each["code"] != 0] == []
    found = {" ".join(each["words"]): words for each in done if (words := outside(each, tmp_path))}
    assert found == {}


def test_no_answer_of_a_command_to_a_program(tmp_path: Path) -> None:
    found = {}
    for done in run([[*words, "--json"] for words in (*ANSWERED, *OWN)], tmp_path):
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
