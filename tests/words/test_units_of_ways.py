"""What a search says of a wish in the way, for programs: limit and need in the unit that stands beside them."""

import pytest

from polewright.answers.find.answer import WayAnswer
from polewright.words import default_reader
from polewright.words.find import WISHES
from polewright.words.reports.find import _way

PER_SI = {
    "length": (1e3, "mm"),
    "flex": (0.1 * 9.80665 * 1e3, "mm/100 g"),
    "mass": (1e3, "g"),
    "carry": (1.0, "kg m"),
    "frequency": (1.0, "Hz"),
    "moment": (1.0, "N m"),
    "force": (1.0, "N"),
    "bending": (1.0, "N m²"),
    "money": (1.0, "€"),
}
"""How many of its unit one SI unit is, and the unit; a flex of 1 m/N is 0.1 kg times 9.80665 N/kg, in mm."""


@pytest.mark.parametrize("wish", WISHES)
def test_a_wish_is_told_in_its_unit(wish: str) -> None:
    factor, unit = PER_SI[WISHES[wish][0]]
    told = _way(WayAnswer(wish, 3.0, 5.0, True, None), "€", default_reader())
    assert (told.unit, told.limit, told.needs) == (unit, pytest.approx(3.0 * factor), pytest.approx(5.0 * factor))
    assert _way(WayAnswer(wish, 3.0, None, True, None), "€", default_reader()).needs is None
