"""The JSON API over a workshop on a file, asked in process; figures are real."""

import asyncio
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
import pytest

from polewright.api import create_api
from polewright.documents.files import load
from polewright.store import open_store
from polewright.workshop import Workshop

SMALL = Path(__file__).parents[1] / "workshop" / "small-pole.toml"


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    with Workshop(open_store(tmp_path / "workshop.db"), lambda: datetime(2026, 3, 1, tzinfo=UTC)) as opened:
        yield opened


class Client:
    """Asks an app in process, one request after the other; a fault of ours is raised, not answered."""

    def __init__(self, app: Any) -> None:
        self.app = app

    def request(self, method: str, path: str, **what: Any) -> httpx.Response:
        async def once() -> httpx.Response:
            transport = httpx.ASGITransport(app=self.app)
            async with httpx.AsyncClient(transport=transport, base_url="http://127.0.0.1:8750") as client:
                return await client.request(method, path, **what)

        return asyncio.run(once())

    def get(self, path: str, **what: Any) -> httpx.Response:
        return self.request("GET", path, **what)

    def post(self, path: str, **what: Any) -> httpx.Response:
        return self.request("POST", path, **what)

    def put(self, path: str, **what: Any) -> httpx.Response:
        return self.request("PUT", path, **what)

    def delete(self, path: str, **what: Any) -> httpx.Response:
        return self.request("DELETE", path, **what)


@pytest.fixture
def ask(workshop: Workshop) -> Client:
    return Client(create_api(workshop))


@pytest.fixture
def plain() -> dict[str, Any]:
    """The small pole as plain values."""
    return load(SMALL).plain()
