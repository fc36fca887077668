"""In the marked language the JSON API answers with no word that no catalogue said but names, codes and what was sent.

Keys are codes, and so are the values that a schema lists: they are the same in every language, for programs read them.
"""

import re
from typing import Any

import pytest
from tests.api.conftest import Client
from tests.api.tour import OF_AN_ENDED_JOB, sent
from tests.web.conftest import Visitor
from tests.web.waiting import PATIENCE
from tests.words.outside import CITED, texts_within, words_outside
from tests.words.published import open_texts

from polewright.api import create_api
from polewright.api.examples import EXAMPLES
from polewright.workshop import Workshop, schema_kinds

pytestmark = pytest.mark.slow

REED = "/api/poles/reedlight-7"
POLES = ("reedlight-7", "tallreed-11", "crookbough-5", "peerglass-8")
OF_A_FAULT = ("want", "says")


def faults(answer: Any) -> list[dict[str, str]]:
    """What an answer refuses; each fault has its four parts."""
    found: list[dict[str, str]] = answer.json()["faults"]
    assert found
    assert all({"field", "value", "want", "says"} <= set(fault) for fault in found)
    return found


def outside(answer: Any, *sent: str) -> set[str]:
    """Words of a refusal that no catalogue said and nobody sent."""
    typed = {part for text in sent for part in re.split(r"[^A-Za-z]+", text) if part}
    return words_outside([fault[name] for fault in faults(answer) for name in OF_A_FAULT], *typed, "localhost", "http")


JSON = {"accept": "application/json"}
FRAMEWORK = [
    ("GET", "/api/nothing", 404, {}),
    ("GET", "/nothing.json", 404, {"headers": JSON}),
    ("DELETE", "/api/poles", 405, {}),
    ("PUT", "/poles/reedlight-7/wall", 405, {"headers": JSON}),
    ("POST", "/api/check", 413, {"content": b"x" * 4_000_001}),
    ("POST", "/api/check", 422, {"content": b"{"}),
    ("POST", "/api/check", 422, {"content": b"{", "headers": {"content-type": "application/json"}}),
    ("POST", "/api/check", 422, {"json": []}),
    ("POST", "/api/check", 422, {"json": {"document": "brief"}}),
    ("POST", "/api/wall/99", 422, {"json": {}}),
    ("POST", "/api/wall/x", 422, {"json": {}}),
    ("GET", f"{REED}/revisions/x", 422, {}),
    ("GET", f"{REED}/revisions/99", 404, {}),
    ("GET", f"{REED}/revisions/1/file?form=x", 422, {}),
    ("GET", f"{REED}/differences?before=x", 422, {}),
    ("GET", "/api/shelf?history=x", 422, {}),
    ("GET", "/api/schemas/none", 404, {}),
    ("GET", "/api/jobs/99", 404, {}),
    ("GET", "/api/tests/99", 404, {}),
    ("GET", "/api/poles/gone", 404, {}),
    ("GET", "/api/poles", 421, {"headers": {"host": "evil.example"}}),
    ("GET", "/", 421, {"headers": {"host": "evil.example"}}),
    ("POST", "/api/poles", 403, {"headers": {"origin": "http://evil.example"}, "json": {}}),
    ("POST", "/poles", 400, {"content": b"x", "headers": {**JSON, "content-type": "multipart/form-data"}}),
    ("POST", "/poles", 400, {"data": {f"a{n}": "" for n in range(3000)}, "headers": JSON}),
]  # fmt: skip


@pytest.mark.parametrize(("method", "path", "status", "more"), FRAMEWORK)
def test_no_refusal_of_a_request(
    marked_client: Visitor, method: str, path: str, status: int, more: dict[str, Any]
) -> None:
    answer = marked_client.ask(method, path, **more)
    assert answer.status_code == status
    sent = (method, path, str(more.get("json", "")), str(more.get("headers", "")))
    assert outside(answer, *sent, *POLES, *schema_kinds(), "toml", "json") == set()


def test_no_answer_to_an_example(marked_workshop: Workshop) -> None:
    ask = Client(create_api(marked_workshop))
    schema = ask.get("/openapi.json").json()
    parts, found = schema["components"]["schemas"], {}
    names = {text for pole in POLES for text in texts_within(marked_workshop.designs.open(pole).saved.design.plain())}
    names |= {*POLES, *(f"{POLES[0]}-{more}" for more in ("long", "light", "short")), "Reedlight 7 short"}
    for example in EXAMPLES:
        if example.path in OF_AN_ENDED_JOB:
            marked_workshop.jobs.wait(OF_AN_ENDED_JOB[example.path], PATIENCE)
        operation = schema["paths"][example.path][example.method]
        answer = sent(ask, operation, example)
        assert answer.is_success, answer.text
        if not answer.content or answer.headers["content-type"] != "application/json":
            continue
        if example.path == "/api/schemas/{kind}":
            continue  # for who writes programs, as the OpenAPI document is
        given = operation.get("requestBody", {}).get("content", {}).get("application/json", {}).get("example")
        names |= texts_within(given) | {str(value) for value in example.values.values()}
        shape = operation["responses"][str(answer.status_code)]["content"]["application/json"]["schema"]
        for name, text in open_texts(answer.json(), shape, parts):
            if words_outside([text], *names, *CITED):
                found[f"{example.method} {example.path} {name}"] = text
    assert found == {}, "\n".join(f"{where}: {text}" for where, text in found.items())
