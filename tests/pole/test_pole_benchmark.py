"""The benchmark of the pole starts and says its ratios."""

from benchmarks import pole_state


def test_the_benchmark_of_a_pole_state_starts(capsys):
    pole_state.main(quick=True)
    said = capsys.readouterr().out
    assert "general solver is slower by" in said
    apart = float(said.rsplit("apart by ", 1)[1].split()[0])
    assert apart < 100.0  # micrometres
