"""A pytest plugin that runs the tests named in a file, in that order, until one fails or the time given is used up."""

import json
import os
import resource
from pathlib import Path
from typing import Any

import pytest

FILE = Path(os.environ["POLEWRIGHT_MUTANT_TESTS"])
ASKED: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8"))
BEGUN = sum(os.times()[:4])
resource.setrlimit(resource.RLIMIT_CPU, (ASKED["longest"], ASKED["longest"] + 1))
ENDED: dict[str, Any] = {"failed": None, "ran": 0, "is_cut_short": False}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Keep the tests asked for."""
    place = {name: i for i, name in enumerate(ASKED["tests"])}
    items[:] = sorted((i for i in items if i.nodeid in place), key=lambda i: place[i.nodeid])


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Note the first failure; stop when the time is used up."""
    if report.failed and ENDED["failed"] is None:
        ENDED["failed"] = report.nodeid
    ENDED["ran"] += report.when == "call"


def pytest_runtest_setup(item: pytest.Item) -> None:
    if sum(os.times()[:4]) - BEGUN > ASKED["seconds"]:
        ENDED["is_cut_short"] = True
        item.session.shouldstop = "the time given is used up"
        pytest.skip("no time left")


def pytest_sessionfinish() -> None:
    """Leave what happened for the one who asked."""
    FILE.with_suffix(".ended").write_text(json.dumps(ENDED), encoding="utf-8")
