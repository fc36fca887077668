"""Tests hold in every language; those of the English wording itself are few, and listed here."""

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

PART = (
    "tests/answers/test_rule_texts.py",
    "tests/documents/test_paths.py",
    "tests/shop/test_shop_refusals.py",
    "tests/sheet/test_cautions.py",
    "tests/words/test_faults.py",
    "tests/words/test_findings.py",
    "tests/workshop/test_designs.py",
    "tests/workshop/test_request_guard.py",
    "tests/workshop/test_rules_of_a_pole.py",
    "tests/cli/test_bad_input.py::test_a_serial_with_blanks_is_reported_with_a_message",
    "tests/api/test_json_api_refusals.py::test_a_wrong_method_is_answered_with_the_right_ones",
    "tests/web/test_web_edits.py::test_a_wrong_edit_is_refused_with_field_value_and_remedy",
)
"""Quick tests of every face and room that makes texts; `make languages` runs the whole suite."""


def test_the_tests_of_wording_are_few_and_all_listed() -> None:
    marked = set()
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        found = re.findall(r"@pytest\.mark\.wording\n(?:@.*\n)*def (test_\w+)", path.read_text(encoding="utf-8"))
        marked |= {f"{path.relative_to(ROOT / 'tests')}::{name}" for name in found}
    assert marked == set(OF_WORDING)
    assert len(marked) <= MOST_OF_WORDING


@pytest.mark.slow
def test_a_part_of_the_suite_passes_with_every_text_reworded() -> None:
    words = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", "--tb=short", *PART]
    own = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    own |= {"POLEWRIGHT_LANGUAGE": "x-reworded"}
    done = subprocess.run(words, cwd=ROOT, env=own, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-4000:]
    assert re.search(r"\b[1-9]\d\d passed", done.stdout)
