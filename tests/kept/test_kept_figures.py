"""Every figure that the example poles print is printed again: in answers, for people, on pages, on papers.

What is kept says nothing about what is right; docs/verification.md does. It says that nothing moved on its way from
the core to a person unless somebody meant it. A figure that moves for a reason is kept anew by `python -m tests.kept`,
with its reason in the changelog.
"""

import json
import os

import pytest

from tests.kept.data import kept_answer, kept_text
from tests.kept.figures import by_place, gone, in_page, in_text, moved
from tests.kept.outputs import ANSWERS, TEXTS, can_read_papers, said_by

pytestmark = pytest.mark.slow

IN_WORDS = os.environ.get("POLEWRIGHT_LANGUAGE", "en") != "en"
"""Another language may set other units and another order of words: only answers are the same then."""


@pytest.mark.parametrize("name", ANSWERS)
def test_an_answer_has_the_figures_it_had(name: str) -> None:
    assert moved(kept_answer(name), ANSWERS[name]()) == []


@pytest.mark.skipif(IN_WORDS, reason="kept in English")
@pytest.mark.parametrize("name", TEXTS)
def test_a_person_reads_the_figures_that_stood_there(name: str) -> None:
    if name.startswith(("sheet", "kit")) and not can_read_papers():
        pytest.skip("pdftotext is not installed; apt-get install poppler-utils")
    assert gone(kept_text(name), TEXTS[name]()) == []


def test_the_wall_of_a_section_is_the_same_by_both_commands() -> None:
    asked = [("check", "examples/crookbough-5.toml", "--wall", "2"), ("wall", "examples/crookbough-5.toml", "2")]
    one, other = (json.loads(said_by(*words, "--json")) for words in asked)
    assert one == other


def test_a_figure_that_moves_is_found() -> None:
    answer = {"sections": [{"mass_g": 12.0, "holds": True, "note": "12"}], "droop_mm": 3.0}
    kept = dict(by_place(answer))
    assert kept == {"sections[0].mass_g": 12.0, "sections[0].holds": 1.0, "droop_mm": 3.0}
    assert moved(kept, kept | {"new": 1.0, "droop_mm": 3.000001}) == []
    assert len(moved(kept, {"sections[0].mass_g": 12.0, "sections[0].holds": 0.0})) == 2
    page = '<tr><td title="3 mm">12.5 <small>mm</small></td><path d="M 4 5"/><tr><input value="7"> 2026-03-01 −8 %'
    assert in_page(page) == [("3 mm", "12.5 mm"), ("7", "−8 %")]
    assert gone([("7",), ("3 mm", "12.5 mm")], in_page(page)) == []
    assert gone([("12.5 mm", "3 mm"), ("8 %",)], in_page(page)) == [
        "12.5 mm ; 3 mm   became   3 mm ; 12.5 mm",
        "8 %   became   7 ; −8 %",
    ]
    assert gone([("7", "−8 %"), ("7", "−8 %")], in_page(page)) != []
    assert in_text("revision 1, 2876 of 28764312", "28764312ab") == [("1",)]
    assert in_text("1,400 N and\n5.2 kg m") == [("1,400 N",), ("5.2 kg m",)]
