"""What every test shares: one BLAS thread, and the rows of the verification report."""

import json
import os
from collections.abc import Callable, Iterator
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

import pytest
from hypothesis import HealthCheck, settings

from tests import refusals_met
from tests.slowness import Slowness
from tests.verification import KINDS, says_where_it_is_from

# a busy machine fails no property: no deadline, no complaint of a slow draw; the same cases in every run
settings.register_profile("any-machine", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("any-machine")

ROWS = pytest.StashKey[list[dict[str, object]]]()
Verified = Callable[..., None]


def pytest_configure(config: pytest.Config) -> None:
    config.stash[ROWS] = []
    refusals_met.watch()
    if not hasattr(config, "workerinput"):  # with workers, the process that hands out the tests hears of all of them
        config.pluginmanager.register(Slowness(), "slowness")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out the tests of the English wording where the run is in another language.

    A test in a browser that fails is tried once more: on a busy machine the browser itself may lose a page. The report
    names those that needed it.
    """
    for item in items:
        if item.get_closest_marker("browser"):
            item.add_marker(pytest.mark.flaky(reruns=1))
    if os.environ.get("POLEWRIGHT_LANGUAGE", "en") == "en":
        return
    left_out = [item for item in items if item.get_closest_marker("wording")]
    items[:] = [item for item in items if not item.get_closest_marker("wording")]
    if left_out:
        config.hook.pytest_deselected(items=left_out)


@pytest.fixture(autouse=True)
def _refusals_can_be_told() -> Iterator[None]:
    yield
    assert refusals_met.wrongly_told() == []


@pytest.fixture
def verified(request: pytest.FixtureRequest) -> Verified:
    """Assert a computed figure against one from outside our code, and keep the row for docs/verification.md.

    verified(room, case, source, expected, computed, tolerance_rel, tolerance_abs=0.0, unit="", kind=...)

    The kind is one of `tests.verification.KINDS` and tells what is independent from what agrees with our own notes.
    """
    rows = request.config.stash[ROWS]

    def check(
        room: str,
        case: str,
        source: str,
        expected: float,
        computed: float,
        tolerance_rel: float,
        tolerance_abs: float = 0.0,
        unit: str = "",
        *,
        kind: str,
    ) -> None:
        assert kind in KINDS, kind
        assert says_where_it_is_from(kind, source), f"{source!r} is not of the kind {kind!r}"
        expected, computed = float(expected), float(computed)
        error = computed / expected - 1.0 if expected else computed
        rows.append(
            {
                "room": room,
                "case": case,
                "source": source,
                "kind": kind,
                "expected": expected,
                "computed": computed,
                "error": error,
                "tolerance": tolerance_rel,
                "tolerance_abs": tolerance_abs,
                "unit": unit,
            }
        )
        assert computed == pytest.approx(expected, rel=tolerance_rel, abs=tolerance_abs), f"{case}: {source}"

    return check


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Leave the rows of this run where the report is made from; one file a worker."""
    folder = os.environ.get("POLEWRIGHT_VERIFICATION")
    rows = session.config.stash[ROWS]
    if folder and rows:
        name = os.environ.get("PYTEST_XDIST_WORKER", "main")
        Path(folder).mkdir(parents=True, exist_ok=True)
        (Path(folder) / f"{name}.json").write_text(json.dumps(rows, indent=1), encoding="utf-8")
