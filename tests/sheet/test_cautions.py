"""Cautions: the right ones at each place, each with something to do, and the buyer's without a word of the recipe."""

from typing import get_args

import pytest

from polewright.errors import DesignError
from polewright.materials.library import library
from polewright.sheet import Place, caution_texts, cautions, closing_line, may_be_published
from polewright.words import Reader, default_reader, languages


@pytest.mark.parametrize("place", get_args(Place))
def test_every_place_has_cautions_with_something_to_do(place):
    found = cautions(place, families=("carbon", "glass", "aramid"))
    assert found
    for language in languages():
        texts = caution_texts(found, Reader(language))
        assert [t.id for t in texts] == [c.id for c in found]
        assert all(t.title and t.words and t.actions and t.closing for t in texts)


def test_the_worst_comes_first_for_who_uses_the_pole():
    assert cautions("use")[0].id == cautions("sheet")[0].id == "overhead_lines"


def test_dust_is_that_of_the_fibres_in_the_pole():
    ids = {c.id for c in cautions("finish", families=("glass",))}
    assert "glass_dust" in ids
    assert not {"carbon_dust", "aramid_dust", "galvanic"} & ids


def test_the_buyer_reads_nothing_of_the_recipe():
    for language in languages():
        texts = caution_texts(cautions("sheet"), Reader(language))
        assert not may_be_published({"cautions": texts})


def test_every_hazard_of_the_library_has_its_texts():
    for key, hazard in library().hazards.items():
        texts = [f"caution.{key}.title", f"caution.{key}.says"]
        texts += [f"caution.{key}.do.{n}" for n in range(1, len(hazard.actions) + 1)]
        assert all(default_reader().has(code) for code in texts), key


def test_the_closing_line_sends_to_local_codes():
    assert "local codes" in Reader().text(closing_line())


def test_an_unknown_place_is_refused():
    with pytest.raises(DesignError, match=r"want\.one"):
        cautions("garden")
