"""Cautions: the right ones at each place, each with something to do, and the buyer's without a word of the recipe."""

from typing import get_args

import pytest

from polewright.errors import DesignError
from polewright.sheet import Place, cautions, closing_line, may_be_published


@pytest.mark.parametrize("place", get_args(Place))
def test_every_place_has_cautions_with_something_to_do(place):
    found = cautions(place, families=("carbon", "glass", "aramid"))
    assert found
    assert all(c.title and c.words and c.actions and c.closing for c in found)


def test_the_worst_comes_first_for_who_uses_the_pole():
    assert cautions("use")[0].id == cautions("sheet")[0].id == "overhead_lines"


def test_dust_is_that_of_the_fibres_in_the_pole():
    ids = {c.id for c in cautions("finish", families=("glass",))}
    assert "glass_dust" in ids
    assert not {"carbon_dust", "aramid_dust", "galvanic"} & ids


def test_the_buyer_reads_nothing_of_the_recipe():
    assert not may_be_published({"cautions": cautions("sheet")})


def test_the_closing_line_sends_to_local_codes():
    assert closing_line() == "Follow local codes and a licensed or competent person."


def test_an_unknown_place_is_refused():
    with pytest.raises(DesignError, match=r"want\.one"):
        cautions("garden")
