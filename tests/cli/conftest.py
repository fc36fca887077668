import contextlib
import io
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from polewright.cli.app import main

ROOT = Path(__file__).parents[2]
Ran = subprocess.CompletedProcess[str]


@pytest.fixture
def own_place(tmp_path, monkeypatch) -> Path:
    """A folder and a store of the test's own, and a plain terminal."""
    for name, value in {
        "POLEWRIGHT_STORE": tmp_path / "workshop.sqlite",
        "COLUMNS": 132,
        "NO_COLOR": 1,
        "XDG_DATA_HOME": tmp_path,
        "XDG_CACHE_HOME": tmp_path / "cache",
    }.items():
        monkeypatch.setenv(name, str(value))
    return tmp_path


@pytest.fixture
def polewright(own_place, monkeypatch) -> Callable[..., Ran]:
    """Run a command in this process as the command line would: words in; exit code and both outputs out."""

    def run(*words: object, folder: Path | None = None) -> Ran:
        said, complained = io.StringIO(), io.StringIO()
        command = ["polewright", *map(str, words)]
        monkeypatch.setattr(sys, "argv", command)
        monkeypatch.chdir(folder or own_place)
        with contextlib.redirect_stdout(said), contextlib.redirect_stderr(complained):
            try:
                main()
                code = 0
            except SystemExit as left:
                code = left.code if isinstance(left.code, int) else (0 if left.code is None else 1)
        return subprocess.CompletedProcess(command, code, said.getvalue(), complained.getvalue())

    return run


@pytest.fixture
def polewright_process(own_place) -> Callable[..., Ran]:
    """Run the installed command in a process of its own."""

    def run(*words: object) -> Ran:
        command = [str(Path(sys.executable).parent / "polewright"), *map(str, words)]
        return subprocess.run(
            command, capture_output=True, text=True, check=False, env=dict(os.environ), cwd=own_place, timeout=300
        )

    return run


@pytest.fixture
def reedlight() -> Path:
    return ROOT / "examples" / "reedlight-7.toml"
