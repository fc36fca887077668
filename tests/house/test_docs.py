"""The documents say what the code does: every example in docs/api.d runs and prints what is shown."""

import contextlib
import importlib
import importlib.util
import inspect
import io
import re
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
PAIR = re.compile(r"```python\n(.*?)```\s*\n+```text\n(.*?)```", re.S)
PAGES = sorted((ROOT / "docs").glob("api.d/*.md"))
CORE = ("units", "materials", "wall", "pole", "scatter", "search", "shop", "bench")


def examples() -> list[pytest.ParameterSet]:
    return [
        pytest.param(code, shown, id=f"{page.stem}-{i}")
        for page in PAGES
        for i, (code, shown) in enumerate(PAIR.findall(page.read_text(encoding="utf-8")))
    ]


@pytest.mark.usefixtures("in_english")
@pytest.mark.parametrize(("code", "shown"), examples())
def test_example_prints_what_is_shown(code: str, shown: str):
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        exec(compile(code, "example", "exec"), {"__name__": "example"})
    assert printed.getvalue().strip() == shown.strip()


def test_every_example_has_its_output_shown():
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        assert text.count("```python") == len(PAIR.findall(text)), page.name


@pytest.mark.parametrize("name", ["api", "limits", "glossary"])
def test_page_is_made_from_its_parts(name: str):
    spec = importlib.util.spec_from_file_location("assemble", ROOT / "docs" / "assemble.py")
    assert spec is not None
    assert spec.loader is not None
    assemble = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(assemble)
    assert (ROOT / "docs" / f"{name}.md").read_text(encoding="utf-8") == assemble.page(name), "run docs/assemble.py"


def functions_of(room: str) -> list[str]:
    found = importlib.import_module(f"polewright.{room}")
    return [name for name in found.__all__ if inspect.isfunction(inspect.unwrap(getattr(found, name)))]


@pytest.mark.parametrize("room", CORE)
def test_every_function_of_the_core_is_called_in_an_example(room: str):
    code = "\n".join(code for code, _ in PAIR.findall((ROOT / "docs" / "api.md").read_text(encoding="utf-8")))
    functions = functions_of(room)
    assert len(functions) > 5
    assert [name for name in functions if not re.search(rf"\b{name}\(", code)] == []
