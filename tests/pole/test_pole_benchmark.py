"""The benchmark of the pole starts and says its ratios."""

import importlib.util
from pathlib import Path


def test_the_benchmark_of_a_pole_state_starts(capsys):
    path = Path(__file__).parents[2] / "benchmarks" / "pole_state.py"
    spec = importlib.util.spec_from_file_location("pole_state", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.main(quick=True)
    said = capsys.readouterr().out
    assert "general solver is slower by" in said
    apart = float(said.rsplit("apart by ", 1)[1].split()[0])
    assert apart < 100.0  # micrometres
