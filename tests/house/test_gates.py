"""The house's own rules: imports run one way, types hold, style is clean, rooms stay small."""

import ast
import importlib
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from polewright import workshop

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "polewright"
SOURCES = sorted(PACKAGE.rglob("*.py"))


def said_by(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)


def test_imports_run_one_way():
    done = said_by(str(Path(sys.executable).parent / "lint-imports"), "--no-cache")
    assert done.returncode == 0, done.stdout[-3000:]


def test_the_faces_contract_names_every_room_but_those_a_face_may_know():
    rooms = {p.stem for p in PACKAGE.iterdir() if p.suffix == ".py" or (p / "__init__.py").exists()} - {"__init__"}
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"][
        "contracts"
    ]
    contract = next(c for c in contracts if "door" in c["name"])
    may = {"workshop", "words", "drawings", "sheet", "errors", "codes", "cli", "web", "api"}
    assert {f"polewright.{room}" for room in rooms - may} == set(contract["forbidden_modules"])


def test_what_the_workshop_offers_is_said_alike_to_readers_type_checker_and_interpreter():
    tree = ast.parse((PACKAGE / "workshop" / "__init__.py").read_text(encoding="utf-8"))
    checked = {
        (node.module, name.name)
        for block in tree.body
        if isinstance(block, ast.If)
        for node in block.body
        if isinstance(node, ast.ImportFrom)
        for name in node.names
    }
    assert {name for _, name in checked} == set(workshop.__all__)
    for module, name in checked:
        assert getattr(workshop, name) is getattr(importlib.import_module(module or ""), name)


@pytest.mark.slow
def test_types_hold_over_the_whole_package():
    done = said_by(sys.executable, "-m", "mypy")
    assert done.returncode == 0, done.stdout[-3000:]


def test_layout_is_the_formatters():
    done = said_by(sys.executable, "-m", "ruff", "format", "--check", "src", "tests", "benchmarks")
    assert done.returncode == 0, done.stdout[-3000:]


def test_style_is_clean():
    done = said_by(sys.executable, "-m", "ruff", "check", "src", "tests", "benchmarks")
    assert done.returncode == 0, done.stdout[-3000:]


def test_rooms_stay_small():
    files = [*SOURCES, *(p for part in ("tests", "benchmarks") for p in (ROOT / part).rglob("*.py"))]
    long = {str(p.relative_to(ROOT)) for p in files if p.read_text(encoding="utf-8").count("\n") > 400}
    assert not long


@pytest.mark.slow
def test_functions_stay_under_sixty_lines():
    long = {
        f"{p.relative_to(PACKAGE)} {node.name}"
        for p in SOURCES
        for node in ast.walk(ast.parse(p.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (node.end_lineno or node.lineno) - node.lineno >= 60
    }
    assert long == set()


def test_physics_holds_no_unit_factors():
    factor = re.compile(r"[*/] ?(1000|1e3|1e-3|1e6|1e9|1e-6|1e-9)\b")
    found = [
        f"{p.name}:{i}"
        for room in ("wall", "pole", "scatter", "search")
        for p in (PACKAGE / room).rglob("*.py")
        for i, line in enumerate(p.read_text(encoding="utf-8").splitlines(), 1)
        if factor.search(line)
    ]
    assert not found


def test_nothing_is_left_for_later():
    words = re.compile(r"\b(TODO|FIXME|XXX|HACK)\b|NotImplementedError")
    found = [f"{p.relative_to(ROOT)}" for p in SOURCES if words.search(p.read_text(encoding="utf-8"))]
    assert not found


def test_public_names_of_every_room_exist_and_are_described():
    for init in PACKAGE.rglob("__init__.py"):
        tree = ast.parse(init.read_text(encoding="utf-8"))
        assert ast.get_docstring(tree), init


def test_a_test_says_what_it_shows():
    """Names tell the subject; a reader need not know where a case came from."""
    told = re.compile(r"\bstor(y|ies)\b|_stor(y|ies)(_|\b)|\bissue \d|\bacceptance\b", re.IGNORECASE)
    paths = [p for folder in ("src", "tests") for p in (ROOT / folder).rglob("*.py") if p != Path(__file__)]
    found = [
        str(p.relative_to(ROOT)) for p in paths if told.search(p.stem) or told.search(p.read_text(encoding="utf-8"))
    ]
    assert not found
