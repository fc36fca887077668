"""The help of every command comes from the catalogue."""

import os
import re
import subprocess
import sys

import pytest
import typer.main

from polewright.cli.app import app
from polewright.words import default_reader

GROUP = typer.main.get_command(app)


def commands():
    for name, command in GROUP.commands.items():
        yield (name,), command
        for inner, under in getattr(command, "commands", {}).items():
            yield (name, inner), under


def texts_of_commands():
    texts = default_reader().catalogue.texts
    return {text for code, text in texts.items() if code.startswith("cli.") and isinstance(text, str)}


@pytest.mark.parametrize(("name", "command"), list(commands()), ids=[" ".join(name) for name, _ in commands()])
def test_every_command_and_option_has_a_help_of_its_own(name, command):
    texts = texts_of_commands()
    assert command.help in texts
    for parameter in command.params:
        if parameter.name != "help":
            assert parameter.help in texts, parameter.name


def test_help_is_in_the_language_of_the_environment():
    done = subprocess.run(
        [sys.executable, "-c", "from polewright.cli.app import main; main()", "hold", "--help"],
        env={**os.environ, "POLEWRIGHT_LANGUAGE": "x-marked"},
        capture_output=True,
        text=True,
        check=True,
    )
    options = re.findall(r"^\s+--(?!help)\w+.*?⟦", done.stdout, re.MULTILINE | re.DOTALL)
    assert len(options) >= 5
