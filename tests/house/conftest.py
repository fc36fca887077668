"""The examples of the documents are written in English, so their tests run in it whatever the language of the run."""

from collections.abc import Iterator

import pytest

from polewright.words import default_reader


@pytest.fixture
def in_english(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Texts of the library in English."""
    monkeypatch.setenv("POLEWRIGHT_LANGUAGE", "en")
    default_reader.cache_clear()
    yield
    default_reader.cache_clear()
