"""Few returns of few poles: the interval that small numbers leave."""

import pytest

from polewright.scatter.promise import chance_of

NOTES = "workshop notes, returns: 2 of 40 is 0.6 to 17 % at 95 %"


@pytest.mark.parametrize(("end", "expected", "digit"), [("low", 0.6, 0.05), ("high", 17.0, 0.5)])
def test_two_of_forty(verified, end, expected, digit):
    found = chance_of(2, 40)
    assert found.confidence == 0.95
    verified(
        "scatter",
        f"two returns of forty, {end} end",
        NOTES,
        expected,
        100.0 * getattr(found, end),
        0.0,
        digit,
        "%",
        kind="notes",
    )
