"""Compiled loops are kept by the content of every file that may be built into them."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest
from numba import config

import polewright
from polewright import compiled
from polewright.wall.thin_kernel import beam_of

PACKAGE = Path(polewright.__file__).parent
ROOMS = compiled.LOOP_FILES
HOLDING = sorted(
    path.relative_to(PACKAGE).as_posix()
    for path in PACKAGE.rglob("*.py")
    if "@compiled" in path.read_text("utf-8") and path.name != "compiled.py"
)


def loops_imported(name):
    """Files of loops that a file takes anything from."""
    found = set()
    for node in ast.walk(ast.parse((PACKAGE / name).read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("polewright."):
            file = node.module.removeprefix("polewright.").replace(".", "/") + ".py"
            if file in HOLDING:
                found.add(file)
    return found


@pytest.mark.parametrize("name", HOLDING)
def test_a_room_lists_its_own_files_of_loops_and_those_that_they_use(name):
    room = name.split("/")[0]
    assert name in ROOMS[room]
    assert loops_imported(name) <= set(ROOMS[room])


def test_no_file_is_listed_that_holds_no_loop():
    assert {name for names in ROOMS.values() for name in names} == set(HOLDING)


def test_a_loop_is_marked_by_the_content_of_its_room():
    room = compiled.BesideSource.from_function(beam_of.py_func, beam_of.py_func.__code__.co_filename)
    assert room.get_source_stamp() == compiled._content_of("wall")
    assert len({compiled._content_of(name) for name in ROOMS}) == len(ROOMS)


@pytest.mark.parametrize("kept", [compiled.BesideSource, compiled.ForUser])
def test_what_another_version_of_the_program_kept_is_never_opened(kept, monkeypatch):
    """It may hold types that this version names otherwise, on which reading it would fail."""
    place = kept.from_function(beam_of.py_func, beam_of.py_func.__code__.co_filename)
    now = place.get_disambiguator()
    monkeypatch.setattr(compiled, "_content_of", lambda _room: bytes(32))
    assert place.get_disambiguator() != now


def test_a_loop_of_another_package_is_left_to_the_compiler():
    assert compiled.BesideSource.from_function(test_no_file_is_listed_that_holds_no_loop, __file__) is None
    assert compiled.ForUser.from_function(test_no_file_is_listed_that_holds_no_loop, __file__) is None
    assert config.CACHE_LOCATOR_CLASSES.endswith("ZipCacheLocator")


CHANGED = """
import sys
from pathlib import Path
import polewright.compiled as c
here = Path(sys.argv[1])
c._PACKAGE = here
c.LOOP_FILES = {"wall": ("wall/a.py", "wall/b.py")}
print(c._content_of("wall").hex())
"""


@pytest.mark.slow
def test_a_change_in_any_file_of_the_room_changes_the_mark(tmp_path):
    (tmp_path / "wall").mkdir()
    (tmp_path / "compiled.py").write_text("0")

    def mark(a, b):
        (tmp_path / "wall" / "a.py").write_text(a)
        (tmp_path / "wall" / "b.py").write_text(b)
        command = [sys.executable, "-c", CHANGED, str(tmp_path)]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        return done.stdout

    assert mark("1", "2") == mark("1", "2") != mark("1", "3")
