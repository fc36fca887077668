"""A pytest plugin that reports tests that are slower than their marks say; it fails none, for a machine may be busy."""

from collections import defaultdict

import pytest

SLOW = 1.0
"""[s] from which a test is to be marked slow."""
SHOWN = 30


class Slowness:
    """Adds up the time of each test: its own fixtures, itself, and what it cleans up."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = defaultdict(float)
        self.marked: set[str] = set()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.seconds[report.nodeid] += report.duration
        if "slow" in report.keywords:
            self.marked.add(report.nodeid)

    def without_markup(self) -> list[tuple[str, float]]:
        """Tests that took longer than the marker allows and do not carry it, the slowest first."""
        found = [(name, took) for name, took in self.seconds.items() if took > SLOW and name not in self.marked]
        return sorted(found, key=lambda row: -row[1])

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        quick = sum(took for name, took in self.seconds.items() if name not in self.marked)
        terminalreporter.section("time of the tests")
        terminalreporter.line(f"{sum(self.seconds.values()):.0f} s in all, {quick:.0f} s in those not marked slow")
        found = self.without_markup()
        for name, took in found[:SHOWN]:
            terminalreporter.line(f"{took:6.1f} s, not marked slow: {name}")
        if len(found) > SHOWN:
            terminalreporter.line(f"and {len(found) - SHOWN} more")
