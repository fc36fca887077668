"""The figures in the answers of the JSON API to its own examples."""

import tempfile
from collections.abc import Mapping
from pathlib import Path

import httpx

from tests.api.tour import toured
from tests.kept.figures import Place, by_place

PASSING = ("second", "progress", "done", "estimate")
"""What differs from run to run: how long something took, how far it was."""


def figures_of(answers: Mapping[str, httpx.Response]) -> dict[str, Place]:
    """Numbers of every answer that is a document, by the example and their place."""
    return {
        f"{name}: {place}": number
        for name, answer in answers.items()
        if answer.content and answer.headers.get("content-type", "").startswith("application/json")
        for place, number in by_place(answer.json())
        if not any(word in place for word in PASSING)
    }


def examples_answered() -> dict[str, Place]:
    """The figures of the whole tour."""
    with tempfile.TemporaryDirectory() as folder:
        return figures_of(toured(Path(folder) / "workshop.db")[1])
