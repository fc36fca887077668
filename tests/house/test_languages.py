"""Tests hold in every language: those of the English wording are listed, and a part runs in the languages for tests."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
OF_WORDING: tuple[str, ...] = ()
"""Every test that carries the marker `wording`, as "file::test"; the rest of the suite passes in any language."""
MOST_OF_WORDING = 40

REFUSALS = "tests/cli/test_bad_input.py"
RULES = "tests/workshop/test_rules_of_a_pole.py"
PAGES = "tests/web/test_web_pages.py"
EDITS = "tests/web/test_web_edits.py"
PART = {
    REFUSALS: "spoilt_design",
    RULES: "",
    EDITS: "wrong_edit or saved_revision or going_back",
    PAGES: "four_figures or no_pole_is_refused",
}
"""The part that the usual suite runs in the made languages, by file and names; `make languages` runs the whole."""


def test_the_tests_of_wording_are_few_and_all_listed() -> None:
    marked = set()
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        found = re.findall(r"@pytest\.mark\.wording\b.*?\ndef (test_\w+)", path.read_text(encoding="utf-8"), re.S)
        marked |= {f"{path.relative_to(ROOT / 'tests')}::{name}" for name in found}
    assert marked == set(OF_WORDING)
    assert len(marked) <= MOST_OF_WORDING


@pytest.mark.slow
@pytest.mark.parametrize("language", ["x-marked", "x-reworded"])
def test_a_part_of_the_suite_passes_whatever_the_words(language: str) -> None:
    names = " or ".join(f"({path.rsplit('/', 1)[1][:-3]} and ({names or 'test'}))" for path, names in PART.items())
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", "--tb=short", "-k", names, *PART]
    environment = {**os.environ, "POLEWRIGHT_LANGUAGE": language}
    done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-3000:]
    assert re.search(r"\b\d{2,} passed", done.stdout)
