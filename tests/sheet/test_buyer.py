"""The buyer's sheet: one page, modest figures, the test behind them, no recipe."""

import re
from dataclasses import replace

import pytest
from tests.said import said

from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError
from polewright.sheet import BuyerSheet, MeasuredFlex, OwnFlex, Reach, buyer_sheet_pdf, buyer_sheet_values
from polewright.sheet.buyer import ROWS, TEST_LOADS
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


OF_THE_NOTES = (
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
            Reach(out, length, droop * 1e-3, from_(flex, "mm/100 g"), *feel)
            for out, length, droop, flex, *feel in OF_THE_NOTES
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


def _unbroken(text):
    """Without blanks: a line may end within a date."""
    return "".join(text.split())


def test_a_sheet_says_what_its_figures_rest_on(sheet, words_of):
    """The basis, the number, the lots and the day, of what was computed and of what was measured."""
    whole = MeasuredFlex(out=4, poles=6, lots=4, when="2026-11-20", spread=0.052, is_enough=True)
    few = MeasuredFlex(out=3, poles=3, lots=None, when="", spread=0.04, is_enough=False)
    words = plain(words_of(buyer_sheet_pdf(replace(sheet, copies=1024, measured=(whole, few)), READER)))
    lots, unknown = Message("sheet.behind.measured.lots", count=4), Message("sheet.behind.measured.lots_unknown")
    day, none = Message("sheet.behind.day", day="2026-11-20"), Message("sheet.behind.no_day")
    every, three = Message("sheet.out.all"), Message("sheet.out.some", out=3)
    shares = {"each": 0.95, "sure": 0.90}
    for text in (
        said("sheet.behind.figures.scatter", each=0.95, together=0.90, count=1024),
        said("sheet.behind.measured.promised", reach=every, count=6, lots=lots, day=day, **shares),
        said("sheet.behind.measured.few", reach=three, count=3, lots=unknown, day=none, **shares),
        said("sheet.further.spread.says", each=0.95, within="11", count=6),  # 1.96 times 5.2 %, upward
        said("sheet.block.figures.partly_measured"),
    ):
        assert _unbroken(plain(text)) in _unbroken(words), text
    assert plain(said("sheet.behind.figures.unmeasured")) not in words


def test_a_sheet_without_measured_poles_says_so(sheet, words_of):
    words = plain(words_of(buyer_sheet_pdf(replace(sheet, copies=1024), READER)))
    assert plain(said("sheet.behind.figures.unmeasured")) in words


def test_the_sheet_of_one_serial_says_what_that_pole_showed(sheet):
    own = OwnFlex(out=4, flex=from_(97.6, "mm/100 g"), when="2026-11-20")
    behind = buyer_sheet_values(replace(sheet, own=(own,)), READER)["behind"]
    found = next(b["value"] for b in behind if b["name"] == said("sheet.behind.own.name"))
    assert plain(found).startswith("R7-0412")
    assert "98\u00a0mm/100 g" in found


def test_what_buyers_ask_is_answered_or_said_to_be_unmeasured(sheet):
    """Every row of the trade's figure card, each with a figure by its test or as not measured."""
    bare = buyer_sheet_values(replace(sheet, heat_limit=None), READER)["further"]
    assert [row["name"] for row in bare] == [said(f"sheet.further.{row}.name") for row in ROWS]
    unknown = [row["value"] for row in bare].count(said("sheet.further.not_measured"))
    assert unknown == len(ROWS) - 2
    known = replace(sheet, play=0.0312, hose=0.055, head=0.54, proof_load=1.51)
    found = {row["name"]: row["value"] for row in buyer_sheet_values(known, READER)["further"]}
    assert found[said("sheet.further.play.name")] == "32\u00a0mm"
    # 1.159 kg, a head of 0.54 kg and 7.45 m of 55 g each: 2.1088 kg, upward to fiftieths
    assert "2.12\u00a0kg" in found[said("sheet.further.hose.name")]
    assert "1.50\u00a0kg" in found[said("sheet.further.proof.name")]


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
        copies=1024,
        measured=(MeasuredFlex(4, 7, 3, "2026-11-20", 0.08, is_enough=True),),
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


@pytest.mark.parametrize("change", [{"reaches": ()}, {"rounding_percent": 1.0}])
def test_a_sheet_without_its_ground_is_refused(sheet, change):
    with pytest.raises(DesignError):
        replace(sheet, **change)
