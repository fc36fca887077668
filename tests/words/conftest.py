"""A demo workshop whose readers read the marked language, and visitors of its pages."""

from collections.abc import Iterator
from typing import Any

import pytest
from tests.web.conftest import Visitor

from polewright.api import create_api
from polewright.web import combined_app, create_pages
from polewright.words import default_reader
from polewright.workshop import Workshop, open_workshop


@pytest.fixture(scope="module")
def marked() -> Iterator[None]:
    """Everybody reads the marked language, in this process and in those it begins."""
    with pytest.MonkeyPatch.context() as change:
        change.setenv("POLEWRIGHT_LANGUAGE", "x-marked")
        default_reader.cache_clear()
        yield
    default_reader.cache_clear()


@pytest.fixture(scope="module")
def marked_workshop(marked: None, tmp_path_factory: Any) -> Iterator[Workshop]:
    """The demo workshop in the marked language."""
    with open_workshop(tmp_path_factory.mktemp("marked") / "workshop.sqlite") as opened:
        opened.load_demo()
        yield opened


@pytest.fixture(scope="module")
def marked_client(marked_workshop: Workshop) -> Visitor:
    """Pages and API of that workshop."""
    return Visitor(combined_app(create_pages(marked_workshop), create_api(marked_workshop)))
