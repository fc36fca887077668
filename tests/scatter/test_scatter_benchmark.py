"""The benchmark of the scatter starts and says its ratio."""

import importlib.util
from pathlib import Path

import pytest


@pytest.mark.slow
def test_the_benchmark_of_the_scatter_starts(capsys):
    path = Path(__file__).parents[2] / "benchmarks" / "scatter.py"
    spec = importlib.util.spec_from_file_location("scatter_bench", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.main(quick=True)
    said = capsys.readouterr().out
    assert "general solver is slower by" in said
    assert float(said.rsplit("apart by ", 1)[1].split()[0]) < 200.0  # micrometres
