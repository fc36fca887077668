"""By how much a search eases the butt's outside when it asks what a wider one would buy."""

from types import SimpleNamespace

import pytest

from polewright.answers.find.finder import Finder


@pytest.mark.parametrize(
    ("said_mm", "most", "wider"),
    [
        (None, 0.036, 0.009),  # the widest bar with the butt's wall of today: 40 + 5 mm
        (None, 0.046, 0.001),  # never less than a millimetre
        (7.0, 0.036, 0.007),
    ],
)
def test_the_base_is_eased_as_said_or_as_the_widest_bar_needs(said_mm, most, wider):
    bars = tuple(SimpleNamespace(bore=bore) for bore in (0.025, 0.030, 0.040))
    values = SimpleNamespace(
        document=SimpleNamespace(further=SimpleNamespace(base_mm=said_mm)),
        shop=SimpleNamespace(bars=bars),
        brief=SimpleNamespace(base_at_most=most),
    )
    now = SimpleNamespace(base=0.035, bars=(0, 1))
    assert Finder._wider(SimpleNamespace(values=values), now) == pytest.approx(wider)
