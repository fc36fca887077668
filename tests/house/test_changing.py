"""docs/changing.md names the files that each kind of change touches: found in the code by an entry of that kind."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "polewright"
PAGE = (ROOT / "docs" / "changing.md").read_text(encoding="utf-8")
KINDS = dict(re.findall(r"^## (.+?)\n(.*?)(?=^## |\Z)", PAGE, re.M | re.S))


def found_by(pattern: str) -> set[str]:
    """Files of the package whose path or text has an entry of a kind."""
    found = re.compile(pattern)
    files = (p for p in PACKAGE.rglob("*") if p.suffix in {".py", ".json", ".html", ".css", ".js"})
    named = ((p.relative_to(PACKAGE).as_posix(), p) for p in files if "vendor" not in p.parts)
    return {name for name, p in named if found.search(name) or found.search(p.read_text(encoding="utf-8"))}


def test_every_kind_of_change_has_its_list():
    assert len(KINDS) == 6


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_the_list_of_a_change_is_that_of_the_code(kind: str):
    pattern, count = re.search(r"Found by `(.+?)`:\s+(\d+) files?", KINDS[kind], re.S).groups()
    listed = re.findall(r"^\| `(.+?)` \|", KINDS[kind], re.M)
    assert set(listed) == found_by(pattern)
    assert len(listed) == len(set(listed)) == int(count)


def test_a_file_that_is_not_listed_is_seen():
    assert "answers/wishes.py" in found_by("tip_play")
    assert found_by("no entry of any kind is called so") == set()
