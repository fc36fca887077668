"""The work of a search says where it stands: so many done of so many, and how good the best is proved to be."""

from typing import Any

from tests.kept.searched import brief_of

from polewright.workshop.jobs.find_work import MOST_GAP, find_work


class Watching:
    """Keeps what it is told."""

    def __init__(self) -> None:
        self.steps: list[tuple[str, int, int, float | None]] = []

    def step(self, step: str, done: int = 0, of: int = 0, gap: float | None = None) -> None:
        self.steps.append((step, done, of, gap))

    def is_stopped(self) -> bool:
        return False

    def keep(self, make: Any) -> None:
        pass

    def keep_last(self, data: bytes) -> None:
        pass


def test_each_step_counts_up_to_all_and_the_gap_closes() -> None:
    watch = Watching()
    answer = find_work({**brief_of("lightest"), "document": "brief", "schema_version": 1}, {}, watch=watch, state=None)
    assert answer.is_complete
    assert {"wishes", "trade", "offers"} & {step for step, *_ in watch.steps}
    counted = [(done, of) for _, done, of, _ in watch.steps if of]
    assert counted
    assert all(isinstance(of, int) and 0 <= done <= of for done, of in counted)
    gaps = [gap for *_, gap in watch.steps if gap is not None]
    assert gaps
    assert all(0.0 <= gap < MOST_GAP for gap in gaps)


def test_a_stop_while_trades_are_looked_at_begins_no_offers_and_is_told() -> None:
    class Stopping(Watching):
        def is_stopped(self) -> bool:
            return any(step == "trade" for step, *_ in self.steps)

    watch = Stopping()
    answer = find_work({**brief_of("lightest"), "document": "brief", "schema_version": 1}, {}, watch=watch, state=None)
    assert not answer.is_complete
    assert [step for step, *_ in watch.steps if step == "offers"] == []
