"""The room's public names: each there, each function shown in an example."""

import inspect
import re
from pathlib import Path

import pytest

import polewright.wall as room

ROOT = Path(__file__).parents[2]
SHOWN = "".join(p.read_text(encoding="utf-8") for p in (ROOT / "docs" / "api.d").glob("*.md"))
FUNCTIONS = [name for name in room.__all__ if inspect.isfunction(getattr(room, name))]


@pytest.mark.parametrize("name", FUNCTIONS)
def test_every_public_function_is_shown_in_an_example(name):
    assert re.search(rf"\b{name}\b", SHOWN)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_every_public_function_says_what_it_gives(name):
    assert len(inspect.getdoc(getattr(room, name)) or "") > 30


def test_names_are_listed_once_and_exist():
    assert len(set(room.__all__)) == len(room.__all__)
    assert all(hasattr(room, name) for name in room.__all__)
