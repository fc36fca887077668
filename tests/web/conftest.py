"""The demo workshop behind the pages: in process for what a page says, in a real browser for what a person does."""

import asyncio
import os
import re
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect, sync_playwright
from tests.web.waiting import PATIENCE

from polewright.api import create_api
from polewright.web import combined_app, create_pages
from polewright.workshop import Workshop, open_workshop

expect.set_options(timeout=1e3 * PATIENCE)

ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
WALL = "/poles/reedlight-7/wall?section=4"


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    """The demo workshop in a store of its own."""
    with open_workshop(tmp_path / "workshop.sqlite") as opened:
        opened.load_demo()
        yield opened


class Visitor:
    """A caller on this machine, in process; keeps the cookies it is told to keep, follows no redirect."""

    def __init__(self, app: Any) -> None:
        self.app, self.cookies = app, dict[str, str]()

    def get(self, url: str, **more: Any) -> httpx.Response:
        return self.ask("GET", url, **more)

    def post(self, url: str, **more: Any) -> httpx.Response:
        return self.ask("POST", url, **more)

    def ask(self, method: str, url: str, **more: Any) -> httpx.Response:
        async def go() -> httpx.Response:
            transport = httpx.ASGITransport(app=self.app)
            async with httpx.AsyncClient(
                transport=transport, base_url="http://127.0.0.1:8420", cookies=self.cookies
            ) as client:
                return await client.request(method, url, **more)

        return asyncio.run(go())


@pytest.fixture
def visit() -> Callable[[Workshop], Visitor]:
    """A visitor of a workshop's pages, freshly begun."""
    return lambda workshop: Visitor(create_pages(workshop))


@pytest.fixture
def client(workshop: Workshop) -> Visitor:
    """Pages and API as a browser on this machine would reach them."""
    return Visitor(combined_app(create_pages(workshop), create_api(workshop)))


@pytest.fixture
def edit(client: Visitor) -> Callable[..., object]:
    """One edit at the wall of Reedlight 7, section 4, as the page's own script sends it."""

    def send(seen: str | None = None, **fields: str) -> object:
        now = re.search(r'data-seen="(\w+)"', client.get(WALL).text)
        assert now is not None
        return client.post(
            "/poles/reedlight-7/wall/edit?section=4",
            data={**fields, "seen": seen or now[1]},
            headers={"accept": "application/json, text/html"},
        )

    return send


@pytest.fixture
def ask(client: Visitor) -> Callable[..., Any]:
    """One edit of Reedlight 7 at a place, as its page sends it."""

    def send(place: str, /, **fields: str) -> Any:
        address = f"/poles/reedlight-7/{place}"
        seen = re.search(r'data-seen="(\w+)"', client.get(address).text)
        assert seen is not None
        return client.post(
            f"{address}/edit", data={**fields, "seen": seen[1]}, headers={"accept": "application/json, text/html"}
        )

    return send


@pytest.fixture
def address(workshop: Workshop) -> Iterator[str]:
    """The demo workshop served on a free port of this machine; stopped at the end, whatever happens."""
    app = combined_app(create_pages(workshop), create_api(workshop))
    server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error", lifespan="off", access_log=False))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        while not server.started:
            assert thread.is_alive(), "the server ended before it began"
            time.sleep(0.02)
        yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(PATIENCE)


def chromium() -> str:
    """Where the browser is; a skip that says how to get one, but a failure on the build machine."""
    found = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if found is None:
        words = "no Chromium found; install one, for example: apt-get install chromium"
        if os.environ.get("CI"):
            pytest.fail(words)
        pytest.skip(words)
    return found


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One Chromium for a file of tests; its event loop must not outlive them, or no other test could have one."""
    path = chromium()
    with sync_playwright() as p:
        made = p.chromium.launch(executable_path=path, headless=True, args=ARGS)
        try:
            yield made
        finally:
            made.close()


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A desk's window on the workshop; a fault on its console or a request to another machine fails the test."""
    yield from _window(browser, address, width=1440, height=900)


@pytest.fixture
def phone(browser: Browser, address: str) -> Iterator[Page]:
    """A phone's window, 390 wide."""
    yield from _window(browser, address, width=390, height=844)


def _window(browser: Browser, address: str, *, width: int, height: int) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": width, "height": height}, base_url=address)
    page, wrong = context.new_page(), []
    page.set_default_timeout(1e3 * PATIENCE)
    page.on("pageerror", lambda fault: wrong.append(f"script: {fault}"))
    page.on(
        "console", lambda said: wrong.append(said.text) if said.type == "error" and "422 (" not in said.text else None
    )
    page.on("request", lambda sent: None if sent.url.startswith((address, "data:")) else wrong.append(sent.url))
    try:
        yield page
    finally:
        context.close()
    assert not wrong
