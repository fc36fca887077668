import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
Ran = subprocess.CompletedProcess[str]


@pytest.fixture
def polewright(tmp_path) -> Callable[..., Ran]:
    """Run the command as a person would, in a folder and with a store of its own."""

    def run(*words: object, folder: Path | None = None) -> Ran:
        environment = dict(os.environ, POLEWRIGHT_STORE=str(tmp_path / "workshop.sqlite"), COLUMNS="132", NO_COLOR="1",
                           XDG_DATA_HOME=str(tmp_path), XDG_CACHE_HOME=str(tmp_path / "cache"))
        command = [str(Path(sys.executable).parent / "polewright"), *map(str, words)]
        return subprocess.run(command, capture_output=True, text=True, check=False, env=environment,
                              cwd=folder or tmp_path, timeout=300)

    return run


@pytest.fixture
def reedlight() -> Path:
    return ROOT / "examples" / "reedlight-7.toml"
