"""What the terminal says of the best pole: that it meets its brief, or what it misses, never both."""

import io
from dataclasses import replace
from typing import Any

import pytest
from rich.console import Console
from tests.answers.test_find_on_tapered_bars import tapered
from tests.said import said

from polewright.answers.check import check_design
from polewright.answers.find import Finder
from polewright.cli.find_tables import show_answer
from polewright.words import default_reader
from polewright.words.find import miss_texts
from polewright.words.reports.plain import plain_text


@pytest.fixture(scope="module")
def answer() -> Any:
    finder = Finder(tapered(0.0))
    finder.search()
    return finder.answer()


def told(answer: Any) -> str:
    console = Console(file=io.StringIO(), width=400, highlight=False, emoji=False)
    show_answer(console, answer, default_reader(), None)
    return console.file.getvalue()


def test_a_pole_that_meets_its_brief_is_said_to(answer: Any) -> None:
    assert answer.best.misses == ()
    assert plain_text(said("cli.find.meets")) in told(answer)


def test_what_a_pole_misses_is_said_instead(answer: Any) -> None:
    finding = check_design(answer.best.design).findings[0]
    short = replace(answer, best=replace(answer.best, misses=(finding,)))
    (says,) = miss_texts(short.best, default_reader(), is_short=True)
    assert plain_text(says) in told(short)
    assert plain_text(said("cli.find.meets")) not in told(short)
