"""Every path of the JSON API has an example in its OpenAPI document, and is answered as the document says."""

import json
from datetime import UTC, datetime
from typing import Any

import httpx
import jsonschema
import pytest
from tests.api.conftest import Client

from polewright.api import create_api
from polewright.api.examples import EXAMPLES, Example
from polewright.store import open_store
from polewright.workshop import Workshop

pytestmark = pytest.mark.slow

ENDLESS = 3600.0  # [s] a job ends when it ends; how busy the machine is says nothing
OF_AN_ENDED_JOB = {"/api/jobs/{number}/result": 1, "/api/jobs/{number}/resume": 2, "/api/poles/{slug}/find/take": 2}


def key(example: Example) -> str:
    return f"{example.method} {example.path}"


@pytest.fixture(scope="module")
def tour(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], dict[str, httpx.Response]]:
    """The OpenAPI document, and the answers to its examples, sent in their order to a new demo workshop."""
    place = tmp_path_factory.mktemp("examples") / "workshop.db"
    with Workshop(open_store(place), lambda: datetime(2026, 3, 1, tzinfo=UTC)) as workshop:
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


def test_every_path_has_its_example(tour: tuple[dict[str, Any], dict[str, httpx.Response]]) -> None:
    schema, answers = tour
    offered = {f"{method} {path}" for path, methods in schema["paths"].items() for method in methods}
    assert offered == set(answers)
    for path, methods in schema["paths"].items():
        for method, operation in methods.items():
            required = [p for p in operation.get("parameters", ()) if p.get("required")]
            assert all("example" in parameter for parameter in required), (method, path)
            is_asked = operation.get("requestBody", {}).get("required", False)
            assert not is_asked or operation["requestBody"]["content"]["application/json"]["example"], (method, path)


@pytest.mark.parametrize("name", [key(example) for example in EXAMPLES])
def test_the_example_is_answered_as_described(
    tour: tuple[dict[str, Any], dict[str, httpx.Response]], name: str
) -> None:
    schema, answers = tour
    method, path = name.split(" ")
    answer, operation = answers[name], schema["paths"][path][method]
    assert answer.is_success, f"{answer.status_code} {answer.text[:500]}"
    described = operation["responses"][str(answer.status_code)].get("content", {})
    if not described:
        assert answer.content == b""
        return
    kind = answer.headers["content-type"].split(";")[0]
    assert kind in described
    assert answer.content
    if kind == "application/json":
        whole = {**described[kind]["schema"], "components": schema["components"]}
        jsonschema.Draft202012Validator(whole).validate(json.loads(answer.content))


def test_the_examples_of_files_are_the_files_that_they_say(
    tour: tuple[dict[str, Any], dict[str, httpx.Response]],
) -> None:
    _, answers = tour
    assert answers["post /api/kit"].content.startswith(b"PK")
    assert answers["post /api/sheet"].content.startswith(b"%PDF")
    assert answers["post /api/drawing"].text.startswith("<svg")
