"""The buyer's sheet: one page, modest figures, the test behind them, no recipe."""

import re
from dataclasses import replace

import pytest
from tests.said import said

from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError
from polewright.sheet import BuyerSheet, Reach, buyer_sheet_pdf, buyer_sheet_values
from polewright.sheet.buyer import TEST_LOADS
from polewright.units import from_, to
from polewright.words import Reader, default_reader

READER, INCH = default_reader(), Reader(default_reader().language, "inch")
RECIPE = (
    "SM150",
    "TH55",
    "IM125",
    "ply",
    "plies",
    "EI",
    "GJ",
    "wall",
    "fibre",
    "carbon",
    "resin",
    "prepreg",
    "g/m",
    "N\u00b7m\u00b2",
    "stack",
    "modulus",
    "bore",
    "mandrel",
)
DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 20" width="100" height="20">'
    '<path d="M0,5 Q60,5 100,18" fill="none" stroke="#000"/></svg>'
)


ROWS = (
    (1, 3.20, 12, 5, 1.30, 1.50, 2.8),
    (2, 4.62, 48, 20, 1.80, 2.09, 1.3),
    (3, 6.04, 147, 49, 2.59, 3.01, 0.81),
    (4, 7.45, 383, 102, 3.69, 4.27, 0.54),
)


@pytest.fixture
def sheet() -> BuyerSheet:
    """Figures of the reference pole as the workshop notes print them."""
    return BuyerSheet(
        pole="Reedlight 7",
        maker="Quillbeck",
        sections=5,
        closed=1.79,
        extended=7.45,
        mass=1.159,
        reaches=tuple(
            Reach(out, length, droop * 1e-3, from_(flex, "mm/100 g"), *feel) for out, length, droop, flex, *feel in ROWS
        ),
        revision="14",
        date="2026-11-24",
        method="two trestles, read twice",
        swing_load=0.6,
        heat_limit=333.15,
        grip_diameter=0.03286,
        drawing=DRAWING,
        reference="R7-0412",
        serial="R7-0412",
    )


def test_one_page_says_every_figure_modestly(sheet, words_of, pages_of):
    content = buyer_sheet_pdf(sheet, READER)
    words = plain(words_of(content))
    assert pages_of(content) == 1
    assert {"7.45 m", "1.79 m", "1.16 kg", "33 mm"} <= set(re.findall(r"[\d.]+ k?[mg]+", words))
    assert f"{said('sheet.out.all')} 7.45 390 102 3.70 4.30 0.54" in words
    assert f"{said('sheet.out.some', out=3)} 6.04 148 49 2.60 3.05 0.81" in words
    for code, values in (
        ("sheet.behind.electricity.conducts", {}),
        ("caution.overhead_lines.title", {}),
        ("sheet.prop", {"prop": 1.0}),
        ("sheet.block.figures.predicted", {}),
        ("sheet.block.no_certificate.name", {}),
    ):
        assert plain(said(code, **values)) in words, code
    assert {"R7-0412", "Quillbeck", "60 \u00b0C"} <= {*words.split(), *re.findall(r"\d+ \u00b0C", words)}


def plain(words: str) -> str:
    """With one kind of space."""
    return " ".join(words.split())


def test_the_sheet_holds_no_word_of_the_recipe(sheet, words_of):
    words = f" {words_of(buyer_sheet_pdf(sheet, READER, secrets=('SM150', 'TH55')))} "
    found = [w for w in RECIPE if f" {w.lower()} " in words.lower().translate(str.maketrans(",.;:()/", "       "))]
    assert found == []


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"method": "made of SM150"}, "method"),
        ({"pole": "Reedlight carbon"}, "pole"),
        ({"drawing": DRAWING.replace("<path", "<title>wall 0.86</title><path")}, "drawing"),
    ],
)
def test_a_sheet_that_gives_the_recipe_away_is_refused(sheet, change, field):
    with pytest.raises(DesignError, match=rf"{field} is given\.not_fit_buyer"):
        buyer_sheet_pdf(replace(sheet, **change), READER, secrets=("SM150",))


def test_a_measured_sheet_says_how_many_poles_and_how_far_they_spread(sheet, words_of):
    words = words_of(buyer_sheet_pdf(replace(sheet, basis="measured", poles=6, spread=0.052), READER))
    words = plain(words)
    assert plain(said("sheet.behind.figures.measured", count=6)) in words
    assert plain(said("sheet.behind.spread.says", confidence=0.95, within="6")) in words  # 5.2 % rounded upward
    assert said("sheet.block.figures.predicted") not in words


def test_inch_sheets_turn_every_figure(sheet, words_of, pages_of):
    content = buyer_sheet_pdf(sheet, INCH)
    words = plain(words_of(content))
    assert pages_of(content) == 1
    # 7.45 m is 24.44 ft, 1.159 kg 2.556 lb, 383 mm 15.08 in, 102 mm a 100 g 1.138 in an ounce
    assert "24.44 ft" in words
    assert "2.56 lb" in words
    assert f"{said('sheet.out.all')} 24.44 15.2 1.14" in words
    assert "39.37 in" in words
    assert not re.search(r"\d\s?(mm|m|g|kg|kg\u00b7m|\u00b0C)\b", words), "no figure of a metric sheet is left"


@pytest.mark.parametrize(("system", "unit", "per"), [("metric", "g", 100.0), ("inch", "oz", 1.0)])
def test_the_home_test_gives_the_flex_of_the_table(sheet, system, unit, per):
    """Whoever follows the steps, on a pole that is as the sheet says, finds the figure of the sheet."""
    reader = Reader(default_reader().language, system)
    name, low, high, each = TEST_LOADS[system]
    assert (name, each) == (unit, per)
    flex = from_(102.0, "mm/100 g")
    read = [flex * from_(load, unit) * GRAVITY for load in (low, high)]
    parts = (high - low) / per
    step = buyer_sheet_values(sheet, reader)["steps"][4]
    assert reader.number(parts, 0) in step
    found = to((read[1] - read[0]) / parts, "mm" if system == "metric" else "in")
    assert found == pytest.approx(to(flex, "mm/100 g" if system == "metric" else "in/oz"), rel=1e-9)


def test_a_pole_of_nine_sections_still_fits_the_page(sheet, pages_of):
    many = replace(
        sheet,
        sections=9,
        reaches=sheet.reaches[:3] + (sheet.reaches[3],) * 5,
        basis="measured",
        poles=7,
        spread=0.08,
        proof_load=1.2,
        contact="Quillbeck workshop, Mill Lane 3, with a long address below it",
        drawing_caption="All sections out, level, under its own weight.",
        drawing=DRAWING.replace(
            'viewBox="0 0 100 20" width="100" height="20"', 'viewBox="0 0 100 90" width="100" height="90"'
        ),
    )
    assert pages_of(buyer_sheet_pdf(many, READER)) == 1


def test_words_that_fill_more_than_a_page_are_refused_and_not_cut(sheet):
    with pytest.raises(DesignError, match=r"want\.one_page"):
        buyer_sheet_pdf(replace(sheet, method="read twice and written down. " * 120), READER)


def test_the_same_sheet_is_the_same_file(sheet):
    content = buyer_sheet_pdf(sheet, READER)
    assert content.startswith(b"%PDF")
    assert buyer_sheet_pdf(sheet, READER) == content


def test_no_name_is_read_as_markup(sheet, words_of):
    words = words_of(buyer_sheet_pdf(replace(sheet, maker='#panic("x") *b* $1$ \ud800\x00', pole="<b>&_7_"), READER))
    assert '#panic("x") *b* $1$' in words
    assert "<b>&_7_" in words


def test_figures_for_a_page_are_those_of_the_paper(sheet):
    values = buyer_sheet_values(sheet, READER)
    assert values["rows"][-1] == [said("sheet.out.all"), "7.45", "390", "102", "3.70", "4.30", "0.54"]
    assert [f["value"] for f in values["figures"]] == ["7.45", "1.79", "1.16", "5", "33"]


@pytest.mark.parametrize("change", [{"reaches": ()}, {"basis": "measured", "poles": 0}, {"rounding_percent": 1.0}])
def test_a_sheet_without_its_ground_is_refused(sheet, change):
    with pytest.raises(DesignError):
        replace(sheet, **change)
