"""How long a search is said to take: in the unit that a person would say it in, never nothing."""

import pytest

from polewright.answers.find.finder import _time_message
from polewright.codes import Message


@pytest.mark.parametrize(
    ("seconds", "unit", "count"),
    [
        (0.01, "seconds", 1),
        (1.4, "seconds", 1),
        (89.4, "seconds", 89),
        (90.0, "minutes", 2),
        (5399.0, "minutes", 90),
        (5400.0, "hours", 2),
        (199000.0, "hours", 55),
        (200000.0, "days", 2),
        (8.64e6, "days", 100),
    ],
)
def test_a_time_is_told_in_the_unit_of_its_size(seconds: float, unit: str, count: int) -> None:
    assert _time_message(seconds) == Message(f"find.time.{unit}", count=count)
