"""Tests hold in every language; those of the English wording itself are few, and listed here."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
OF_WORDING: tuple[str, ...] = ()
"""Every test that carries the marker `wording`, as "file::test"; the rest of the suite passes in any language."""
MOST_OF_WORDING = 40


def test_the_tests_of_wording_are_few_and_all_listed() -> None:
    marked = set()
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        found = re.findall(r"@pytest\.mark\.wording\n(?:@.*\n)*def (test_\w+)", path.read_text(encoding="utf-8"))
        marked |= {f"{path.relative_to(ROOT / 'tests')}::{name}" for name in found}
    assert marked == set(OF_WORDING)
    assert len(marked) <= MOST_OF_WORDING
