"""In the marked language papers and files for machines have no word that no catalogue said but names, codes and units.

Layers of a drawing and columns of a cut list are for machines and programs: their names are codes, in every language.
"""

import csv
import io
import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from pathlib import Path

import ezdxf
import pytest
from tests.words.outside import texts_within, words_outside

from polewright.answers.check import check_design
from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.documents.values import workpiece
from polewright.sheet import buyer_sheet_pdf
from polewright.words import Reader
from polewright.workshop.papers import buyer_sheet, kit_files, secrets

pytestmark = pytest.mark.slow

POLES = Path(__file__).parents[2] / "examples"
LAYER = re.compile(r"FIBRE|MARK|TEXT|CHECK|S\d+_\d+_[A-Z0-9]+_[PM]\d+")  # a flag: section, ply, prepreg, angle
COLUMN = re.compile(r"[a-z]+(_[a-z0-9]+)*")
DAY = "2026-11-24"
# a flag, a mandrel, a tile, a job, a place in the drawing of the home test
NAMES = (r"S\d(-\d+[a-z]?)?", r"M\d\d-\w", r"tile\d+", r"[a-z]+-\d+-S\d", r"\b[ABD]\b")


@pytest.fixture(scope="module", params=[("reedlight-7", "metric"), ("peerglass-8", "inch")], ids="-".join)
def kit(request: pytest.FixtureRequest) -> tuple[Design, Reader, Mapping[str, bytes]]:
    name, system = request.param
    design, reader = load(POLES / f"{name}.toml"), Reader("x-marked", system)
    assert isinstance(design, Design)
    return design, reader, kit_files(design, workpiece(design), reader, date=DAY)


Kit = tuple[Design, Reader, Mapping[str, bytes]]


def outside(texts: list[str], design: Design) -> set[str]:
    """Words that no catalogue said and that are no name in the design."""
    plain = [re.sub("|".join(NAMES), " ", text) for text in texts]
    return words_outside(plain, *texts_within(design.plain()), design.name.lower().replace(" ", "-"))


def named(files: Mapping[str, bytes], ending: str) -> list[bytes]:
    found = [content for name, content in files.items() if name.endswith(ending)]
    assert found
    return found


def words_of(content: bytes) -> list[str]:
    """The words of a PDF, and its title and subject; skipped where poppler is not installed."""
    if shutil.which("pdftotext") is None or shutil.which("pdfinfo") is None:
        pytest.skip("pdftotext is not installed; apt-get install poppler-utils")
    run = [["pdftotext", "-raw", "-", "-"], ["pdfinfo", "-"]]
    shown, about = (subprocess.run(words, input=content, capture_output=True, check=True).stdout for words in run)
    told = re.findall(r"^(?:Title|Subject|Keywords): *(.*)$", about.decode("utf-8"), re.M)
    assert told
    return [shown.decode("utf-8"), *told]


def test_no_text_in_a_file_for_a_cutter(kit: Kit) -> None:
    design, _, files = kit
    for content in named(files, ".dxf"):
        drawing = ezdxf.read(io.StringIO(content.decode("utf-8")))
        entities = list(drawing.modelspace())
        assert all(LAYER.fullmatch(entity.dxf.layer) for entity in entities)
        texts = [e.dxf.text if e.dxftype() == "TEXT" else e.text for e in entities if e.dxftype() in ("TEXT", "MTEXT")]
        assert texts
        assert outside(texts, design) == set()
    for content in named(files, ".svg"):
        root = ET.fromstring(content)
        texts = [t.text or "" for t in root.iter() if t.tag.endswith(("}text", "}title", "}desc"))]
        assert texts
        assert outside(texts, design) == set()


def test_a_plotter_is_told_no_words(kit: Kit) -> None:
    for content in named(kit[2], ".plt"):
        assert re.fullmatch(r"((IN|SP|PU|PD)[\d,-]*;)+", content.decode("ascii").strip())


def test_a_list_of_tiles_and_a_cut_list(kit: Kit) -> None:
    design, _, files = kit
    for content in named(files, "-tiles.txt"):
        assert outside(content.decode("utf-8").splitlines(), design) == set()
    (content,) = named(files, ".csv")
    head, *rows = csv.reader(io.StringIO(content.decode("utf-8")))
    assert all(COLUMN.fullmatch(column) for column in head)
    assert outside([cell for row in rows for cell in row], design) == set()


def test_no_work_card(kit: Kit) -> None:
    design, _, files = kit
    for content in named(files, "-card.pdf"):
        assert outside(words_of(content), design) == set()


def test_no_buyers_sheet_nor_its_home_test(kit: Kit) -> None:
    design, reader, _ = kit
    sheet = buyer_sheet(
        design, check_design(design), workpiece(design), reader, date=DAY, revision="3", serial="7-0031"
    )
    content = buyer_sheet_pdf(sheet, reader, secrets=secrets(design))
    assert outside(words_of(content), design) == set()
