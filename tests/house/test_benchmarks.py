"""Every benchmark starts, by itself, as `python -m benchmarks --quick NAME` starts it; none is forgotten."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NAMES = sorted(p.stem for p in (ROOT / "benchmarks").glob("*.py") if not p.stem.startswith("_"))


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_a_benchmark_starts(name):
    done = subprocess.run(
        [sys.executable, "-m", "benchmarks", "--quick", name],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 0, done.stderr[-3000:]
    assert done.stdout.startswith(f"\n== {name}\n")
    assert len(done.stdout.splitlines()) > 3


def test_every_benchmark_can_be_started_quickly():
    for name in NAMES:
        text = (ROOT / "benchmarks" / f"{name}.py").read_text(encoding="utf-8")
        assert "def main(quick: bool" in text, name
