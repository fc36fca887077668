"""Refusals as answers: one shape, and the status that says what the caller can do about it."""

from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from polewright.api.answers import FaultAnswer, FaultsAnswer
from polewright.codes import Message
from polewright.errors import Absent, Overtaken, PolewrightError, StockError, StoreFault
from polewright.workshop import remedy_of, wanted_instead

__all__ = ["ANSWERS", "answer_refusals"]

ANSWERS: dict[int | str, dict[str, Any]] = {
    status: {"model": FaultsAnswer, "description": words}
    for status, words in {
        400: "not whole JSON",
        403: "a change that comes from another site",
        404: "no such pole, revision or entry",
        409: "taken, corrected already, or changed by somebody meanwhile",
        413: "too large",
        421: "called by another name than this machine's own",
        422: "a field cannot be as it is",
        503: "the store cannot be used now",
    }.items()
}


def answer_refusals(app: FastAPI) -> None:
    """Let every refusal leave the app as faults."""
    app.add_exception_handler(PolewrightError, _answer_refusal)
    app.add_exception_handler(RequestValidationError, _answer_invalid)
    app.add_exception_handler(HTTPException, _answer_http_error)


def _answer_refusal(_request: Request, fault: Exception) -> JSONResponse:
    assert isinstance(fault, PolewrightError)
    status = next((status for kind, status in _STATUS if isinstance(fault, kind)), 422)
    latest = fault.latest if isinstance(fault, Overtaken) else None
    return _faults(status, [FaultAnswer.of(*each) for each in fault.faults], latest)


_STATUS: tuple[tuple[type[PolewrightError], int], ...] = ((Absent, 404), (StoreFault, 503), (StockError, 409))


def _answer_invalid(_request: Request, fault: Exception) -> JSONResponse:
    assert isinstance(fault, RequestValidationError)
    return _faults(422, [_invalid_field(item) for item in fault.errors()])


def _invalid_field(item: Any) -> FaultAnswer:
    where, *steps = item["loc"]
    if item["type"] == "json_invalid":
        place = f"{steps[0]}" if steps else "?"
        return FaultAnswer.of(str(where), "", Message("want.whole_json", place=place))
    if steps[:1] == ["edits"] and len(steps) > 3:
        del steps[2]  # the kind of an edit, which pydantic puts among the names of its fields
    field = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in steps).lstrip(".")
    given = item.get("input")
    is_shown = item["type"] not in ("missing", "extra_forbidden") and (
        given is None or isinstance(given, str | int | float | bool)
    )
    return FaultAnswer.of(field or str(where), repr(given) if is_shown else "", remedy_of(item))


def _answer_http_error(request: Request, fault: Exception) -> JSONResponse:
    assert isinstance(fault, HTTPException)
    want = wanted_instead(fault.status_code, request.method)
    answer = _faults(fault.status_code, [FaultAnswer.of("request", "", want)])
    answer.headers.update(fault.headers or {})
    return answer


def _faults(status: int, faults: list[FaultAnswer], latest: int | None = None) -> JSONResponse:
    return JSONResponse(FaultsAnswer(faults=faults, latest=latest).model_dump(mode="json", exclude_none=True), status)
