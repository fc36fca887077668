"""What `pyproject.toml` asks for is used, and what the code uses is asked for."""

import ast
import re
import sys
import tomllib
from functools import cache
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
DECLARED = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
NOT_IMPORTED = {  # what each is for, since no import shows it
    "psycopg": "driver that SQLAlchemy loads for an address postgresql+psycopg://",
    "python-multipart": "FastAPI reads forms and uploaded files through it",
    "editables": "hatchling needs it to install the package in place",
    "hatchling": "build backend",
    "import-linter": "command lint-imports",
    "mypy": "run as a module",
    "pytest-rerunfailures": "marker flaky of pytest",
    "pytest-xdist": "option -n of pytest",
    "ruff": "run as a module",
    "scipy-stubs": "types for mypy",
}
COMES_WITH = {"starlette": "fastapi", "markupsafe": "jinja2"}  # part of what these two offer


def name_of(requirement: str) -> str:
    return re.split(r"[\[<>=!~; ]", requirement, maxsplit=1)[0].lower()


@cache
def imported(folder: str) -> frozenset[str]:
    """Top-level modules that the files of a folder import, those inside functions too."""
    found: set[str] = set()
    for path in (ROOT / folder).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level and node.module:
                found.add(node.module.partition(".")[0])
    return frozenset(found)


def modules_of() -> dict[str, set[str]]:
    """Modules by the distribution that brings them."""
    found: dict[str, set[str]] = {}
    for module, distributions in packages_distributions().items():
        for distribution in distributions:
            found.setdefault(distribution.lower().replace("_", "-"), set()).add(module)
    return found


def runtime() -> set[str]:
    extras = DECLARED["project"]["optional-dependencies"].values()
    return {name_of(r) for r in [*DECLARED["project"]["dependencies"], *(r for rows in extras for r in rows)]}


def development() -> set[str]:
    groups = DECLARED["dependency-groups"].values()
    return {name_of(r) for rows in groups for r in rows if isinstance(r, str)}


def unused(names: set[str], modules: frozenset[str]) -> set[str]:
    brought = modules_of()
    return {name for name in names - set(NOT_IMPORTED) if not brought.get(name, {name}) & modules}


def test_the_package_imports_each_of_its_dependencies():
    assert not unused(runtime(), imported("src"))


def test_tests_and_benchmarks_import_each_of_theirs():
    assert not unused(development(), imported("tests") | imported("benchmarks"))


def test_what_the_package_imports_is_declared():
    brought = modules_of()
    declared = {module for name in runtime() for module in brought.get(name, {name})}
    through = {module for module, by in COMES_WITH.items() if by in runtime()}
    assert not imported("src") - declared - through - set(sys.stdlib_module_names) - {"polewright"}


def test_each_reason_belongs_to_a_dependency_that_nothing_imports():
    brought = modules_of()
    everywhere = imported("src") | imported("tests") | imported("benchmarks")
    needless = {name for name in NOT_IMPORTED if brought.get(name, {name}) & everywhere}
    assert not needless
    assert set(NOT_IMPORTED) <= runtime() | development()


def test_a_dependency_that_nothing_imports_is_found():
    assert unused({"numpy", "scipy", "psycopg"}, frozenset({"numpy"})) == {"scipy"}
