"""The picture of the rooms is that of the imports, names are plain, and no file names what a reader cannot open."""

import ast
import importlib.util
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "polewright"


@pytest.fixture(scope="module")
def house() -> Any:
    spec = importlib.util.spec_from_file_location("house_picture", ROOT / "docs" / "house_picture.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.slow
def test_the_picture_of_the_rooms_is_made_from_the_imports(house):
    assert house.PICTURE.read_text(encoding="utf-8") == house.picture(), "run docs/house_picture.py (make house)"


@pytest.mark.slow
def test_no_room_imports_one_above_or_beside_it(house):
    level = {room: i for i, rooms in enumerate(house.levels()) for room in rooms}
    wrong = [
        (room, other) for room in level for other in house.imported(room, set(level)) if level[other] <= level[room]
    ]
    assert wrong == []


def test_the_page_of_the_rooms_names_each_that_a_person_meets(house):
    page = (ROOT / "docs" / "house.md").read_text(encoding="utf-8")
    packages = {room for rooms in house.levels() for room in rooms if (PACKAGE / room).is_dir()}
    assert sorted(room for room in packages - {"conventions"} if f"`{room}`" not in page) == []


def tracked() -> list[Path]:
    names = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    return [ROOT / name for name in names.split("\0") if name and "vendor" not in name and "lock" not in name]


@pytest.mark.slow
def test_no_file_points_outside_the_repository():
    """A test or a page says what it shows; where the wish for it was written down is no part of the product."""
    outside = re.compile(
        r"\b(?:user )?stor(?:y|ies)\b|\bissues? (?:no\.? ?)?#?\d|\s\(?#\d{1,3}\b|/work/|"
        r"\b(?:style|design|words|making)\.md\b",
        re.IGNORECASE,
    )
    found = []
    for file in tracked():
        if file.suffix in {".py", ".md", ".toml", ".html", ".json"} and file != Path(__file__):
            for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), start=1):
                if outside.search(line):
                    found.append(f"{file.relative_to(ROOT)}:{number}: {line.strip()[:80]}")
    assert found == []


RIDDLES = {  # what was done with a thing, or a guess what it is
    "asked",
    "begun",
    "beginnings",
    "desk",
    "found",
    "gathered",
    "going_on",
    "gone",
    "heeded",
    "held",
    "here",
    "hunt",
    "judged",
    "left",
    "likes",
    "looked",
    "lying",
    "said",
    "seen",
    "shown",
    "sight",
    "spoken",
    "told",
    "told_of",
    "typed",
    "worded",
}
UNSETTLED = {"web", "api"}  # rooms whose names are still to be settled


def names_of(room: str) -> Iterator[tuple[str, str]]:
    """Files of a room, and the names of its public functions and classes."""
    for file in sorted((PACKAGE / room).rglob("*.py")) or [PACKAGE / f"{room}.py"]:
        yield file.stem, str(file.relative_to(PACKAGE))
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
                yield node.name, f"{file.relative_to(PACKAGE)}:{node.lineno}"


def test_no_module_function_or_class_has_a_name_that_is_a_riddle(house):
    rooms = [room for level in house.levels() for room in level if room not in UNSETTLED]
    named = [(name, place) for room in rooms for name, place in names_of(room)]
    assert len(named) > 1000
    assert [(name, place) for name, place in named if name.lower() in RIDDLES] == []
