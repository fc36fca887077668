"""A pytest plugin that writes down which lines each test runs: in its process, its threads and its child processes.

Lines run by a fixture that lasts longer than one test belong to every test that asks for the fixture, and those run
while a file of tests is loaded to every test in it. Results kept by
`functools` caches are dropped before each test, or only the first user of a result would be seen to need its lines.
"""

import gc
import json
import os
import sys
import warnings
from collections.abc import Iterator
from functools import _lru_cache_wrapper, lru_cache
from pathlib import Path
from typing import Any

import coverage
import pytest

from tests.mutants.collect_names import FIXTURE

FOLDER = Path(os.environ["POLEWRIGHT_MUTANT_MAP"])
SOURCE = os.environ["POLEWRIGHT_MUTANT_SOURCE"].split(os.pathsep)
MEASURED = coverage.Coverage(
    data_file=str(FOLDER / "lines"), data_suffix=True, config_file=False, source=SOURCE, messages=False
)
MEASURED.start()
ITEMS: dict[str, dict[str, Any]] = {}


def _measure_for(name: str) -> None:
    MEASURED.switch_context(name)
    os.environ["POLEWRIGHT_MUTANT_TEST"] = name


@lru_cache(maxsize=1)
def _caches(modules: int) -> list[Any]:
    """Every `functools` cache of our own code and of the tests."""
    found = [each for each in gc.get_objects() if isinstance(each, _lru_cache_wrapper)]
    return [each for each in found if _is_ours(str(each.__module__))]


def _is_ours(module: str) -> bool:
    return module.startswith(("polewright", "tests")) and not module.startswith("tests.mutants")


def forget_kept_results() -> None:
    """Empty every `functools` cache of our own code and of the tests."""
    for kept in _caches(len(sys.modules)):
        kept.cache_clear()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    forget_kept_results()
    _measure_for(item.nodeid)
    return (yield)


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector: pytest.Collector) -> Iterator[None]:
    if not isinstance(collector, pytest.Module):
        return (yield)
    _measure_for(_load_of(collector.nodeid))
    try:
        return (yield)
    finally:
        _measure_for("")


def _load_of(file: str) -> str:
    return f"{FIXTURE}{file}::load"


@pytest.hookimpl(wrapper=True)
def pytest_fixture_setup(fixturedef: Any, request: Any) -> Iterator[None]:
    if fixturedef.scope == "function":
        return (yield)
    before = os.environ.get("POLEWRIGHT_MUTANT_TEST", "")
    _measure_for(f"{FIXTURE}{fixturedef.baseid}::{fixturedef.argname}")
    try:
        return (yield)
    finally:
        _measure_for(before)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Note each test's marks and the wide fixtures it stands on."""
    for item in items:
        info = getattr(item, "_fixtureinfo", None)
        wide = [
            f"{FIXTURE}{d.baseid}::{name}"
            for name, definitions in (info.name2fixturedefs if info else {}).items()
            for d in definitions
            if d.scope != "function"
        ]
        wide.append(_load_of(item.nodeid.partition("::")[0]))
        ITEMS[item.nodeid] = {"marks": sorted({m.name for m in item.iter_markers()}), "fixtures": wide}


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Add up the time of a test and note how it ended; with workers, only the process that runs the test counts."""
    note = ITEMS.setdefault(report.nodeid, {"marks": [], "fixtures": []})
    note["seconds"] = note.get("seconds", 0.0) + report.duration
    if report.when == "call" or not report.passed:
        note["ended"] = report.outcome if note.get("ended", "passed") == "passed" else note["ended"]


def pytest_sessionfinish() -> None:
    """Save lines and tests of this process."""
    MEASURED.stop()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the process that only hands out tests has run none of our lines
        MEASURED.save()
    worker = os.environ.get("PYTEST_XDIST_WORKER", "main")
    (FOLDER / f"tests-{worker}.json").write_text(json.dumps(ITEMS), encoding="utf-8")
