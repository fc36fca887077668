"""A workshop with a clock that a test can read, and one small pole."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest

from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.store import open_store
from polewright.workshop import Workshop

SMALL = Path(__file__).parent / "small-pole.toml"
START = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)


@pytest.fixture
def design() -> Design:
    """Two sections, ten and eleven turns in three plies each, of one material named "axial"."""
    found = load(SMALL)
    assert isinstance(found, Design)
    return found


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    """An empty workshop; each look at its clock is a minute after the last."""
    minutes = count()
    with Workshop(open_store(tmp_path / "workshop.db"), lambda: START + timedelta(minutes=next(minutes))) as opened:
        yield opened
