"""The JSON API as an app that any ASGI server runs."""

from typing import Any

from fastapi import FastAPI

from polewright.api.bench import bench_paths
from polewright.api.examples import add_examples
from polewright.api.figures import figure_paths
from polewright.api.jobs import job_paths
from polewright.api.papers import paper_paths
from polewright.api.poles import pole_paths
from polewright.api.refusals import ANSWERS, answer_refusals
from polewright.workshop import RequestGuard, Workshop

__all__ = ["create_api"]


class Api(FastAPI):
    """The app, whose OpenAPI document has an example of every path."""

    def openapi(self) -> dict[str, Any]:
        """The document, made when it is first asked for."""
        if self.openapi_schema is None:
            add_examples(super().openapi())
        return super().openapi()


def create_api(workshop: Workshop) -> FastAPI:
    """The JSON API of an open workshop, behind the workshop's door; its OpenAPI document stands at /openapi.json.

    The workshop stays the caller's to close. The ready-made pages of the framework are off: they fetch from outside.
    """
    app = Api(
        title="Polewright",
        version="1",
        docs_url=None,
        redoc_url=None,
        responses=ANSWERS,
        description="Poles, their revisions, figures, tests and stock of one workshop. Units stand in the "
        'names of fields. Every refusal is {"faults": [{"field", "value", "want", "says"}]}.',
    )
    app.state.workshop = workshop
    for paths in (pole_paths, bench_paths, figure_paths, job_paths, paper_paths):
        app.include_router(paths)
    answer_refusals(app)
    app.add_middleware(RequestGuard)
    return app
