"""A saving process killed at any moment has lost nothing that it had said was safe."""

import importlib.util
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[2] / "benchmarks" / "kill_nine.py"


@pytest.fixture(scope="module")
def script():
    spec = importlib.util.spec_from_file_location("kill_nine", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    import sys

    sys.modules["kill_nine"] = module
    spec.loader.exec_module(module)
    yield module
    del sys.modules["kill_nine"]


@pytest.mark.slow
def test_every_revision_reported_as_safe_is_there_whole_after_a_kill(script):
    done = script.trials(6, seed=2)
    assert [fault for each in done for fault in each.faults] == []
    assert sum(each.said for each in done) > 5, "the children must have been saving"


@pytest.mark.slow
def test_the_benchmark_starts_and_finds_no_fault(script, capsys):
    assert script.main(quick=True) == 0
    assert "found / said" in capsys.readouterr().out


def test_the_trial_sees_a_revision_that_was_lost(script, tmp_path, monkeypatch):
    monkeypatch.setattr(script, "kept_in", lambda _: {})
    trial = script.trial(tmp_path, 0.05, once_saving=True)
    assert "revision 1 was said to be safe and is not there" in trial.faults
