"""An example of every path of the JSON API, as its OpenAPI document gives it.

Sent in their order to a new demo workshop, each is answered as described. `read_result`, `resume_job` and `take_found`
ask of a job that has ended: wait for it first.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from polewright.workshop import demo_designs, design_of, dump_toml

__all__ = ["EXAMPLES", "Example", "add_examples", "example_design"]

NAME, SLUG = "Reedlight 7", "reedlight-7"


@dataclass(frozen=True, slots=True)
class Example:
    """One request: method, path, values of its parameters, and its body made of the example design."""

    method: str
    path: str
    values: Mapping[str, Any] = field(default_factory=dict)
    body: Callable[[dict[str, Any]], Any] | None = None


def example_design() -> dict[str, Any]:
    """The design of the examples, a pole of the demo workshop."""
    return next(design.plain() for design in demo_designs() if design.name == NAME)


def _named(design: dict[str, Any], name: str) -> dict[str, Any]:
    return {**design, "name": name}


def _record(_design: dict[str, Any]) -> dict[str, Any]:
    readings = [{"load_g": load, "reading_mm": reading} for load, reading in ((500.0, 0.42), (2500.0, 2.05))]
    test = {"kind": "two-load bend", "section": 3, "span_mm": 800.0, "readings": readings}
    return {"document": "test-record", "schema_version": 1, "serial": "R7-0031", "test": test}


def _material(design: dict[str, Any]) -> dict[str, Any]:
    return {"document": "material", "schema_version": 1, "material": {**design["materials"][0], "lot": "B17"}}


_EDIT = {"edit": "set_turns", "section": 0, "ply": 0, "turns": 1.5}
_POLE, _REVISION = {"slug": SLUG}, {"slug": SLUG, "number": 1}

EXAMPLES: tuple[Example, ...] = (
    Example("get", "/api/poles"),
    Example("post", "/api/poles", body=lambda d: {"design": _named(d, "Reedlight 7 long"), "who": "Ann"}),
    Example("post", "/api/poles/files", body=lambda d: {"text": dump_toml(design_of(_named(d, "Reedlight 7 short")))}),
    Example("get", "/api/poles/{slug}", _POLE),
    Example("post", "/api/poles/{slug}/copies", _POLE, lambda _: {"name": "Reedlight 7 light"}),
    Example("get", "/api/poles/{slug}/revisions", _POLE),
    Example("post", "/api/poles/{slug}/revisions", _POLE, lambda d: {"design": {**d, "note": "try"}, "parent": 1}),
    Example("get", "/api/poles/{slug}/revisions/{number}", _REVISION),
    Example("get", "/api/poles/{slug}/revisions/{number}/file", {**_REVISION, "form": "json"}),
    Example("get", "/api/poles/{slug}/differences", {**_POLE, "before": 1, "after": 2}),
    Example("post", "/api/poles/{slug}/revisions/{number}/return", _REVISION, lambda _: {"parent": 2}),
    Example("put", "/api/poles/{slug}/draft", _POLE, lambda d: {"draft": d, "parent": 3}),
    Example("post", "/api/poles/{slug}/edits", _POLE, lambda _: {"edits": [_EDIT], "who": "Ann"}),
    Example("delete", "/api/poles/{slug}/draft", _POLE),
    Example("post", "/api/check", body=lambda d: d),
    Example("post", "/api/wall/{section}", {"section": 3}, lambda d: d),
    Example(
        "post", "/api/hold", body=lambda d: {"design": d, "hold": {"support": "hands", "lean_deg": 40.0}, "reach": "3"}
    ),
    Example("post", "/api/hold/band", {"copies": 64}, lambda d: {"design": d, "hold": {"support": "clamped"}}),
    Example("post", "/api/rank", body=lambda d: {"designs": [d, _named(d, "Reedlight 7 once more")]}),
    Example("post", "/api/bench", body=lambda d: {"design": d, "record": _record(d)}),
    Example("post", "/api/scatter", {"poles": 64, "seed": 1, "order": 10}, lambda d: d),
    Example("post", "/api/edits", body=lambda d: {"design": d, "edits": [_EDIT]}),
    Example("get", "/api/schemas"),
    Example("get", "/api/schemas/{kind}", {"kind": "pole-design"}),
    Example("post", "/api/kit", {"units": "inch", "revision": "r3"}, lambda d: d),
    Example("post", "/api/sheet", {"language": "de"}, lambda d: d),
    Example("post", "/api/drawing", body=lambda d: d),
    Example("get", "/api/shelf", {"kind": "material"}),
    Example("post", "/api/shelf", body=lambda d: {"entry": _material(d), "note": "new lot"}),
    Example("post", "/api/shelf/{number}/take-off", {"number": 29}, lambda _: {"note": "used up"}),
    Example("post", "/api/shelf/{number}/put-back", {"number": 30}),
    Example("post", "/api/poles/{slug}/tests", _POLE, lambda d: {"record": _record(d)}),
    Example("get", "/api/tests", {"serial": "R7-0031"}),
    Example("get", "/api/tests/{number}", {"number": 1}),
    Example("get", "/api/tests/{number}/result", {"number": 1}),
    Example("get", "/api/poles/{slug}/standings", _POLE),
    Example("post", "/api/poles/{slug}/scatter", _POLE, lambda _: {"poles": 64, "order": 10}),
    Example("post", "/api/poles/{slug}/find", _POLE, lambda _: {"shelf": "own"}),
    Example("get", "/api/jobs", {"pole": SLUG}),
    Example("get", "/api/jobs/{number}", {"number": 2}),
    Example("post", "/api/jobs/{number}/stop", {"number": 2}),
    Example("get", "/api/jobs/{number}/result", {"number": 1}),
    Example("post", "/api/jobs/{number}/resume", {"number": 2}),
    Example("post", "/api/poles/{slug}/find/take", _POLE, lambda _: {"place": 0, "parent": 3}),
)


def add_examples(schema: dict[str, Any]) -> None:
    """Put the example of each path into an OpenAPI document: of its parameters and of its body."""
    design = example_design()
    for each in EXAMPLES:
        operation = schema["paths"][each.path][each.method]
        for parameter in operation.get("parameters", ()):
            if parameter["name"] in each.values:
                parameter["example"] = each.values[parameter["name"]]
        if each.body is not None:
            operation["requestBody"]["content"]["application/json"]["example"] = each.body(design)
