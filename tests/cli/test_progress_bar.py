"""The bar of a search on a terminal: how much of the step is done, of how much, and in words which step it is."""

import io
import sys
from typing import Any

import pytest

from polewright.cli import find
from polewright.words import default_reader
from polewright.words.jobs import job_text
from polewright.workshop import JobProgress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


class Bar:
    """What a progress bar was told last."""

    said: dict[str, Any]

    def __init__(self, *columns: Any, **ways: Any) -> None:
        del columns, ways

    def __enter__(self) -> "Bar":
        Bar.said = {}
        return self

    def __exit__(self, *fault: object) -> None:
        pass

    def add_task(self, description: str, total: float | None) -> int:
        Bar.said = {"description": description, "total": total}
        return 3

    def update(self, task: int, **said: Any) -> None:
        assert task == 3
        Bar.said = said


@pytest.mark.parametrize(("of", "total"), [(9, 9), (0, None)])
def test_a_bar_is_as_long_as_its_step_is_done(monkeypatch: pytest.MonkeyPatch, of: int, total: int | None) -> None:
    monkeypatch.setattr(sys, "stderr", Terminal())
    monkeypatch.setattr(find, "ProgressBar", Bar)
    progress = JobProgress("walls", 4, of, 0.031)
    with find._progress() as say:
        say(progress)
    assert Bar.said == {"description": job_text(progress, default_reader()), "completed": 4, "total": total}


def test_nobody_who_does_not_watch_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", told := io.StringIO())
    with find._progress() as say:
        say(JobProgress("walls", 4, 9, 0.031))
    assert told.getvalue() == ""
