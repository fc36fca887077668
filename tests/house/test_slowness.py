"""Slow tests are reported at the end, never failed."""

import pytest
from tests.slowness import SLOW, Slowness


def report(name: str, duration: float, *, is_slow: bool = False, when: str = "call") -> pytest.TestReport:
    marks = {"slow": 1} if is_slow else {}
    return pytest.TestReport(name, (name, 1, name), marks, "passed", None, when, duration=duration)  # type: ignore[arg-type]


@pytest.fixture
def slowness() -> Slowness:
    found = Slowness()
    for each in (
        report("marked", 5.0, is_slow=True),
        report("quick", 0.9 * SLOW),
        report("slower", 1.5 * SLOW),
        report("slow to begin", 0.6 * SLOW, when="setup"),
        report("slow to begin", 0.6 * SLOW),
    ):
        found.pytest_runtest_logreport(each)
    return found


def test_what_is_slower_than_its_marks_say_is_named_the_slowest_first(slowness: Slowness):
    assert [name for name, _ in slowness.without_markup()] == ["slower", "slow to begin"]


def test_the_end_of_a_run_tells_times_and_fails_nothing(slowness: Slowness, request: pytest.FixtureRequest):
    lines: list[str] = []

    class Terminal:
        section = line = lambda _, text: lines.append(text)

    slowness.pytest_terminal_summary(Terminal())  # type: ignore[arg-type]
    assert lines[1] == f"{5.0 + 3.6 * SLOW:.0f} s in all, {3.6 * SLOW:.0f} s in those not marked slow"
    assert [line.rpartition(": ")[2] for line in lines[2:]] == ["slower", "slow to begin"]
