"""The answers of the JSON API to the examples in its OpenAPI document, sent in their order to a new demo workshop."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
from tests.api.conftest import Client

from polewright.api import create_api
from polewright.api.examples import EXAMPLES, Example
from polewright.store import open_store
from polewright.workshop import Workshop

ENDLESS = 3600.0  # [s] a job ends when it ends; how busy the machine is says nothing
OF_AN_ENDED_JOB = {"/api/jobs/{number}/result": 1, "/api/jobs/{number}/resume": 2, "/api/poles/{slug}/find/take": 2}


def key(example: Example) -> str:
    """How an example is called: its method and its path."""
    return f"{example.method} {example.path}"


def toured(store: Path) -> tuple[dict[str, Any], dict[str, httpx.Response]]:
    """The OpenAPI document and the answers by the key of the example."""
    with Workshop(open_store(store), lambda: datetime(2026, 3, 1, tzinfo=UTC)) as workshop:
        workshop.load_demo()
        ask = Client(create_api(workshop))
        schema = ask.get("/openapi.json").json()
        answers = {}
        for example in EXAMPLES:
            if example.path in OF_AN_ENDED_JOB:
                workshop.jobs.wait(OF_AN_ENDED_JOB[example.path], ENDLESS)
            answers[key(example)] = sent(ask, schema["paths"][example.path][example.method], example)
        return schema, answers


def sent(ask: Client, operation: dict[str, Any], example: Example) -> httpx.Response:
    """The answer to the example as the document gives it."""
    by_place: dict[str, dict[str, Any]] = {"path": {}, "query": {}}
    for parameter in operation.get("parameters", ()):
        if "example" in parameter:
            by_place[parameter["in"]][parameter["name"]] = parameter["example"]
    body = operation.get("requestBody", {}).get("content", {}).get("application/json", {}).get("example")
    more = {} if body is None else {"json": body}
    path = example.path.format(**by_place["path"])
    return ask.request(example.method.upper(), path, params=by_place["query"], **more)
