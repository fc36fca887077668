"""The pages of a workshop as an app that any ASGI server runs."""

from collections.abc import Awaitable, Callable, MutableMapping
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.responses import Response
from fastapi.staticfiles import StaticFiles

from polewright.web.bench_paths import bench_paths
from polewright.web.hold import hold_paths
from polewright.web.jobs import job_paths
from polewright.web.page_state import PageStates
from polewright.web.pages import page_paths
from polewright.web.paper_paths import paper_paths
from polewright.web.place_paths import place_paths
from polewright.web.request import answer_refusals
from polewright.web.shelf_paths import shelf_paths
from polewright.web.terms import term_paths
from polewright.web.wall_detail import wall_detail_paths
from polewright.workshop import RequestGuard, Workshop
from polewright.workshop.bands import Bands
from polewright.workshop.drafts import Drafts

__all__ = ["combined_app", "create_pages"]

App = Callable[[MutableMapping[str, Any], Any, Any], Awaitable[None]]
STATIC = Path(__file__).parent / "static"


def create_pages(workshop: Workshop) -> FastAPI:
    """The app of an open workshop, behind the workshop's door; the workshop stays the caller's to close."""
    app = FastAPI(title="Polewright pages", docs_url=None, redoc_url=None, openapi_url=None)
    app.state.workshop, app.state.drafts, app.state.page_states = workshop, Drafts(workshop), PageStates(workshop)
    app.state.bands = Bands()
    for paths in (
        paper_paths,
        bench_paths,
        hold_paths,
        wall_detail_paths,
        job_paths,
        shelf_paths,
        term_paths,
        page_paths,
        place_paths,
    ):
        app.include_router(paths)
    app.mount("/static/{version}", VersionedFiles(directory=STATIC), name="static")
    answer_refusals(app)
    app.add_middleware(NoStore)
    app.add_middleware(RequestGuard)
    return app


class VersionedFiles(StaticFiles):
    """Files of the pages under an address that changes with them: a browser keeps each as long as it likes."""

    def file_response(self, *args: Any, **more: Any) -> Response:
        """One file, for a year."""
        answer = super().file_response(*args, **more)
        answer.headers["cache-control"] = "max-age=31536000, immutable"
        return answer


class NoStore:
    """Pages are asked for anew whenever they are come back to: an old one would show a pole that is another by now."""

    def __init__(self, app: App) -> None:
        self._app = app

    async def __call__(self, scope: MutableMapping[str, Any], receive: Any, send: Any) -> None:
        """Answer one request."""

        async def send_no_store(message: MutableMapping[str, Any]) -> None:
            headers = message.get("headers") or []
            if any(name == b"content-type" and value.startswith(b"text/html") for name, value in headers):
                message["headers"] = [*headers, (b"cache-control", b"no-store")]
            await send(message)

        await self._app(scope, receive, send_no_store)


def combined_app(pages: App, api: App) -> App:
    """One app of two: the JSON API answers its own paths, the pages all others."""

    async def app(scope: MutableMapping[str, Any], receive: Any, send: Any) -> None:
        path = scope.get("path", "")
        is_api = scope["type"] == "http" and (path.startswith("/api/") or path == "/openapi.json")
        await (api if is_api else pages)(scope, receive, send)

    return app
