"""Every path of the JSON API has an example in its OpenAPI document, and is answered as the document says."""

import json
from typing import Any

import httpx
import jsonschema
import pytest
from tests.api.tour import key, toured
from tests.kept.data import kept_answer
from tests.kept.exampled import figures_of
from tests.kept.figures import moved

from polewright.api.examples import EXAMPLES

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def tour(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], dict[str, httpx.Response]]:
    return toured(tmp_path_factory.mktemp("examples") / "workshop.db")


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


def test_the_examples_are_answered_with_the_figures_that_they_had(
    tour: tuple[dict[str, Any], dict[str, httpx.Response]],
) -> None:
    assert moved(kept_answer("examples of the API"), figures_of(tour[1])) == []


def test_the_examples_of_files_are_the_files_that_they_say(
    tour: tuple[dict[str, Any], dict[str, httpx.Response]],
) -> None:
    _, answers = tour
    assert answers["post /api/kit"].content.startswith(b"PK")
    assert answers["post /api/sheet"].content.startswith(b"%PDF")
    assert answers["post /api/drawing"].text.startswith("<svg")
