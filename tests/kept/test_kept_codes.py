"""What stands beside what: names by their codes, figures, and fields of forms, on pages, in commands, on papers.

As with the kept figures, `python -m tests.kept codes` keeps them anew; read the difference before committing it.
"""

import pytest

from polewright.words import Reader
from tests.kept.coded import rows_of_lines, rows_of_page, texts_of
from tests.kept.codes import ANSWERS_IN_CODES, PICTURES, ROWS_IN_CODES
from tests.kept.data import kept_answer, kept_text
from tests.kept.figures import gone, moved
from tests.kept.pictures import each_once, shifted

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("name", ANSWERS_IN_CODES)
def test_each_text_stands_where_it_stood(name: str) -> None:
    assert moved(kept_answer(name), ANSWERS_IN_CODES[name]()) == []


@pytest.mark.parametrize("name", ROWS_IN_CODES)
def test_each_row_holds_what_it_held(name: str) -> None:
    assert gone(kept_text(name), ROWS_IN_CODES[name]()) == []


@pytest.mark.parametrize("name", PICTURES)
def test_each_shape_is_drawn_where_it_was(name: str) -> None:
    assert shifted(kept_answer(name), PICTURES[name]()) == []


def test_a_shape_that_moves_is_found() -> None:
    page = (
        '<p data-part=a></p><svg width="90"><line class="thin" x1="1" x2="80"/><text x="3" y="5">a</text>'
        '<line class="thin" x1="1" x2="40"/></svg>'
    )
    kept = each_once([("page", page)])
    assert kept["page 1: line.thin times"] == 2.0
    assert shifted(kept, each_once([("page", page.replace("80", "80.01"))])) == []
    for was, becomes in (("80", "80.1"), ("part=a", "part=b"), ('"80"', '"40"'), ("thin", "thick"), ("<line", "<rect")):
        assert shifted(kept, each_once([("page", page.replace(was, becomes, 1))])) != [], was
    swapped = page.replace("80", "?").replace("40", "80").replace("?", "40")
    assert shifted(kept, each_once([("page", swapped)])) != []


def test_a_name_that_moves_to_another_figure_is_found() -> None:
    page = "<tr><td>⟨mass⟩<td>3 g<tr><td>⟨droop⟩<td><input name=droop_mm value=4><script>5</script>"
    rows = rows_of_page(page)
    assert rows == [("⟨mass⟩", "3 g"), ("⟨droop⟩", "input name=droop_mm value=4")]
    assert gone(rows, rows_of_page(page.replace("⟨mass⟩", "⟨cost⟩"))) != []
    assert gone(rows, rows_of_page(page.replace("droop_mm", "droop_in"))) != []
    assert rows_of_lines("⟨mass⟩   3 g\n──────") == [("⟨mass⟩", "3 g")]
    assert dict(texts_of({"a": [None, "x"], "b": 3})) == {"a[0]": "nothing", "a[1]": "x"}


def test_the_language_of_codes_says_codes_and_values() -> None:
    reader = Reader("x-coded")
    assert reader.say("want.state_size", most=3) == "⟨want.state_size|most=3⟩"
    assert reader.say("card.films_off", count=1) == "⟨card.films_off.0|count=1⟩"
