"""The benchmarks of the room start and answer; how fast they are is theirs to tell."""

import importlib.util
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "benchmarks"


@pytest.mark.slow
@pytest.mark.parametrize("name", ["find_wall", "find_pole"])
def test_a_benchmark_of_the_search_starts(name, capsys):
    spec = importlib.util.spec_from_file_location(name, FOLDER / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.main(quick=True)
    assert "differential evolution" in capsys.readouterr().out
