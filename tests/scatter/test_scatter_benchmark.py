"""The benchmark of the scatter starts and says its ratio."""

import pytest
from benchmarks import scatter


@pytest.mark.slow
def test_the_benchmark_of_the_scatter_starts(capsys):
    scatter.main(quick=True)
    said = capsys.readouterr().out
    assert "general solver is slower by" in said
    assert float(said.rsplit("apart by ", 1)[1].split()[0]) < 200.0  # micrometres
