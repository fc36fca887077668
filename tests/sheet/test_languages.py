"""A buyer's sheet in a language of its own: nothing left in English, numbers and dates as that language writes them."""

import re
from dataclasses import replace

import pytest

from polewright.drawings.centreline import Span
from polewright.drawings.pole import PoleScene, pole_drawing
from polewright.sheet import (
    BuyerSheet,
    MeasuredFlex,
    OwnFlex,
    Reach,
    buyer_sheet_pdf,
    buyer_sheet_values,
    may_be_published,
)
from polewright.units import from_
from polewright.words import Reader, languages
from polewright.words.catalogue import Catalogue, catalogue

GERMAN = Reader("de")
OTHERS = [tag for tag in languages() if tag != "en"]


@pytest.fixture
def sheet() -> BuyerSheet:
    reaches = [Reach(out, 3.2, 0.0123, from_(5.0, "mm/100 g"), 1.3, 1.52, 2.64) for out in (1, 3, 4)]
    return BuyerSheet(
        pole="Reedlight 7",
        maker="",
        sections=5,
        closed=1.79,
        extended=7.45,
        mass=1.159,
        reaches=tuple(reaches),
        revision="14",
        date="2026-11-24",
        method="-",
        swing_load=0.6,
        heat_limit=333.15,
        grip_diameter=0.03286,
        proof_load=1.5,
        contact="-",
    )


def spoken(reader: Reader, sheet: BuyerSheet) -> list[str]:
    """Every text of a sheet in its kinds: as designed, by scatter, measured; with and without what may be left out."""
    kinds = [
        sheet,
        replace(sheet, copies=1024, measured=(MeasuredFlex(4, 3, 1, "-", 0.052, False),), conducts=False),
        replace(
            sheet,
            copies=1024,
            measured=(MeasuredFlex(4, 6, None, "", 0.052, True), MeasuredFlex(3, 7, 4, "-", 0.03, True)),
            own=(OwnFlex(4, 0.0993, "-"), OwnFlex(3, 0.05, "")),
            play=0.0312,
            hose=0.055,
            serial="R7-1",
            reference="R7-1",
        ),
        replace(sheet, copies=1024, proof_load=None, heat_limit=None),
    ]
    return [text for kind in kinds for text in texts_in(buyer_sheet_values(kind, reader))]


def texts_in(values: object) -> list[str]:
    if isinstance(values, dict):
        return [text for value in values.values() for text in texts_in(value)]
    if isinstance(values, list | tuple):
        return [text for value in values for text in texts_in(value)]
    return [values] if isinstance(values, str) else []


@pytest.mark.parametrize("language", OTHERS)
def test_every_code_of_the_sheet_has_its_text_in_the_language(language, sheet, monkeypatch):
    used: set[str] = set()
    plain = Catalogue.text

    def noted(self: Catalogue, code: str, values: object) -> object:
        used.add(code)
        return plain(self, code, values)

    monkeypatch.setattr(Catalogue, "text", noted)
    reader = Reader(language)
    spoken(reader, sheet)
    texts = [f"sheet.{name}" for name in ("method", "drawing.caption")]
    texts += [code for code in catalogue("en").texts if code.startswith(("sheet.", "caution.buyer.", "paper.revision"))]
    scene_codes = ("scene.title", "scene.state.loaded", "drawing.pole.scale", "drawing.to_scale")
    missing = {*used, *texts, *scene_codes, "drawing.times_thick"} - set(catalogue(language).texts)
    assert len(used) > 60
    assert not missing


def test_figures_are_written_with_a_comma_and_the_day_before_the_year(sheet):
    texts = " ".join(spoken(GERMAN, sheet))
    assert "24.11.2026" in texts
    assert "2026-11-24" not in texts
    assert buyer_sheet_values(sheet, GERMAN)["rows"][0][1:] == ["3,20", "13", "5", "1,30", "1,52", "2,60"]
    drawings = re.compile(r"<svg.*?</svg>", re.S)
    assert not re.search(r"\d\.\d", drawings.sub("", texts).replace("24.11.2026", "")), "no decimal point is left"


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_a_german_sheet_fits_its_page_and_says_its_language(sheet, system, words_of, pages_of):
    reader = Reader("de", system)
    content = buyer_sheet_pdf(sheet, reader)
    words = words_of(content)
    assert pages_of(content) == 1
    assert b"/Lang(de)" in content
    for word in ("Durchbiegung", "Eigenfrequenz", "Prüfgewicht", "Klemmen", "Freileitungen", "Griffende"):
        assert word in words
    metric = re.search(r"\d\s?(mm|m|g|kg|kg·m|°C)\b", words)
    assert bool(metric) == (system == "metric")


def test_the_words_of_a_recipe_are_refused_in_german_too(sheet):
    assert may_be_published({"note": "Wandstärke 0,9"})
    assert not may_be_published(buyer_sheet_values(sheet, GERMAN))


def test_a_drawing_of_the_pole_speaks_the_language_of_the_paper():
    scene = PoleScene(
        station=[0.0, 1.0, 2.0],
        along=[0.0, 1.0, 2.0],
        below=[0.0, 0.0, 0.5],
        spans=(Span(0.0, 2.0, 0.03, "1", "1"),),
        clamps=[],
        hold=0.0,
        prop=1.0,
        droop="500 mm",
        state="-",
        title="-",
    )
    drawing = pole_drawing(scene, GERMAN, paper=True)
    assert "1,00\u00a0m" in drawing
    assert GERMAN.say("drawing.pole.scale", bar=0.5, times=GERMAN.say("drawing.to_scale")) in drawing
