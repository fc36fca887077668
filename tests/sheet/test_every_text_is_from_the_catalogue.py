"""Nothing on a paper or a drawing is said outside the catalogue but names, codes, numbers and units."""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from polewright.answers.check import check_design
from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.documents.values import workpiece
from polewright.drawings.pole import pole_drawing
from polewright.sheet import buyer_sheet_values, work_card_values
from polewright.words import Reader
from polewright.workshop.papers import buyer_sheet, kit_files, work_cards
from polewright.workshop.scene import pole_scene, with_ghost

MARKED = Reader("x-marked")
NAMES = re.compile(
    r"Reedlight 7|Quillbeck|reedlight-7-S\d|S\d(-\d+[a-z]?)?|M\d\d-\w|tile\d+|SM150|TH55|EG\d+|[0-9a-f]{8}"
)
UNITS = re.compile(r"mm/100 g|kg·m|mm|kg|Hz|min|°C|°|g|m|N|%|\b[AB]\b|D|en|×|/|⌀|–|±")


def leaves(value: object) -> list[str]:
    if isinstance(value, dict):
        return [text for inner in value.values() for text in leaves(inner)]
    if isinstance(value, list | tuple):
        return [text for inner in value for text in leaves(inner)]
    if isinstance(value, str) and value.startswith("<svg"):
        return words_of(value)
    return [value] if isinstance(value, str) else []


def words_of(svg: str) -> list[str]:
    root = ET.fromstring(svg)
    texts = [t.text or "" for t in root.iter() if t.tag.endswith(("}text", "}title"))]
    return [*texts, root.get("aria-label") or ""]


def without_markup(text: str) -> str:
    """What is left of a text beside what the catalogue said, names, numbers and units."""
    before = ""
    while before != text:
        before, text = text, re.sub(r"⟦[^⟦⟧]*⟧", "", text)
    return re.sub(r"[\W\d_]+", "", UNITS.sub("", NAMES.sub("", text)))


@pytest.fixture(scope="module")
def pole() -> tuple[Design, object, object]:
    design = load(Path(__file__).parents[2] / "examples" / "reedlight-7.toml")
    assert isinstance(design, Design)
    return design, workpiece(design), check_design(design)


def test_a_sheet_says_nothing_else(pole) -> None:
    design, work, check = pole
    texts = leaves(buyer_sheet_values(buyer_sheet(design, check, work, MARKED, date="2026-11-24"), MARKED))
    assert len(texts) > 100
    assert {text for text in texts if without_markup(text)} == set()


def test_a_work_card_says_nothing_else(pole) -> None:
    design, work, _ = pole
    for card in work_cards(design, work, MARKED, date="2026-11-24"):
        assert {text for text in leaves(work_card_values(card, MARKED)) if without_markup(text)} == set()


@pytest.mark.parametrize("phone", [False, True])
def test_a_drawing_of_the_pole_says_nothing_else(pole, phone) -> None:
    design, work, _ = pole
    scene = pole_scene(design, work, out=2)
    drawing = pole_drawing(with_ghost(scene, scene, "Reedlight 7"), MARKED, phone=phone)
    assert {text for text in words_of(drawing) if without_markup(text)} == set()


def test_files_for_the_cutter_say_nothing_else(pole) -> None:
    design, work, _ = pole
    files = kit_files(design, work, MARKED, date="2026-11-24")
    assert {text for text in words_of(files["reedlight-7-s3.svg"].decode()) if without_markup(text)} == set()
    tiles = files["reedlight-7-s3-sm150-tiles.txt"].decode().splitlines()
    assert len(tiles) > 1
    assert {line for line in tiles if without_markup(line)} == set()
