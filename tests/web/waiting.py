"""Waiting in a browser for what has come, whatever time it takes."""

from collections.abc import Callable
from urllib.parse import parse_qs

from playwright.sync_api import Page, Request

PATIENCE = 120.0
"""[s] after which a state that does not come fails the test; it is never waited out where all is well."""
STEP = 0.02


def until(page: Page, holds: Callable[[], object]) -> None:
    """Let the page go on until a state holds."""
    for _ in range(round(PATIENCE / STEP)):
        if holds():
            return
        page.wait_for_timeout(1e3 * STEP)
    raise AssertionError("the state never came")


def answered_texts(page: Page) -> list[str]:
    """The values of the edits that the server has answered from now on, in order."""
    texts: list[str] = []

    def note(request: Request) -> None:
        if "/edit?" in request.url:
            texts.extend(parse_qs(request.post_data or "").get("text", []))

    page.on("requestfinished", note)
    return texts
