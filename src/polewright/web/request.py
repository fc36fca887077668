"""What a page asks for, read and bounded; and how a refusal is shown: beside the field, or as a page of its own."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Annotated, Any

from fastapi import Depends, FastAPI, Path, Query, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, Response
from starlette.exceptions import HTTPException

from polewright.codes import Message
from polewright.errors import Absent, PolewrightError, StockError, StoreFault
from polewright.web.page_state import PageState, PageStates
from polewright.web.render import page
from polewright.words import Reader, default_reader, fault_text, languages
from polewright.workshop import Workshop, remedy_of, wanted_instead
from polewright.workshop.drafts import Drafts, WorkingPole

__all__ = [
    "DraftsDep",
    "Form",
    "LanguageQuery",
    "PageStatesDep",
    "PoleRequest",
    "PoleRequestDep",
    "ReachQuery",
    "ReaderDep",
    "SectionQuery",
    "Slug",
    "WorkshopDep",
    "answer_refusals",
    "back_from",
    "faults_of",
    "reader_of",
]

MOST_FIELDS, MOST_TEXT = 2000, 4000  # a test of six hundred readings is none that a hand has typed
ABSENT = 404


async def _workshop(request: Request) -> Workshop:
    workshop = request.app.state.workshop
    assert isinstance(workshop, Workshop)
    return workshop


async def _drafts(request: Request) -> Drafts:
    drafts = request.app.state.drafts
    assert isinstance(drafts, Drafts)
    return drafts


async def _page_states(request: Request) -> PageStates:
    states = request.app.state.page_states
    assert isinstance(states, PageStates)
    return states


async def reader_of(request: Request) -> Reader:
    """Who reads the page: the language and the units they chose, else the language of this server and metric units."""
    language = request.cookies.get("language", "")
    return Reader(
        language if language in languages() else default_reader().language,
        "inch" if request.cookies.get("units") == "inch" else "metric",
    )


async def _form(request: Request) -> Mapping[str, str]:
    """The text fields of a form, bounded; what is no text is left out."""
    async with request.form(max_files=1, max_fields=MOST_FIELDS) as form:
        return {name: value[:MOST_TEXT] for name, value in form.items() if isinstance(value, str)}


def back_from(form: Mapping[str, str]) -> str:
    """The page that a form says to go back to; the first page where it names another site."""
    back = form.get("back", "/")
    return back if back.startswith("/") and not back.startswith(("//", "/\\")) else "/"


WorkshopDep = Annotated[Workshop, Depends(_workshop)]
DraftsDep = Annotated[Drafts, Depends(_drafts)]
PageStatesDep = Annotated[PageStates, Depends(_page_states)]
ReaderDep = Annotated[Reader, Depends(reader_of)]
Form = Annotated[Mapping[str, str], Depends(_form)]
Slug = Annotated[str, Path(min_length=1, max_length=80, pattern=r"^[^/\\\x00-\x1f]+$")]
SectionQuery = Annotated[int | None, Query(ge=1, le=12)]
LanguageQuery = Annotated[str | None, Query(max_length=20, pattern=r"^[A-Za-z-]+$")]
ReachQuery = Annotated[int | None, Query(ge=0, le=11)]


@dataclass(frozen=True, slots=True)
class PoleRequest:
    """Somebody at a place of a pole: whose pages, which pole, who reads; the section and the reach looked at."""

    workshop: WorkshopDep
    drafts: DraftsDep
    states: PageStatesDep
    reader: ReaderDep
    slug: Slug
    section: SectionQuery = None
    out: ReachQuery = None

    def page_state(self, table: WorkingPole | None = None) -> PageState:
        """What is seen of the pole as it is now, or as it stands on the table."""
        table = self.drafts.look(self.slug) if table is None else table
        return self.states.of(table, self.reader, section=self.section, out=self.out)


PoleRequestDep = Annotated[PoleRequest, Depends()]


def faults_of(fault: PolewrightError, reader: Reader) -> list[dict[str, str]]:
    """Every fault with its field, its value, what would be right, and the sentence a person reads."""
    return [asdict(each) for each in reader.faults(fault)]


def answer_refusals(app: FastAPI) -> None:
    """Let every refusal leave the app as faults for the page's own script, or as a page for a person."""
    app.add_exception_handler(PolewrightError, _answer_refusal)
    app.add_exception_handler(RequestValidationError, _answer_invalid)
    app.add_exception_handler(HTTPException, _answer_http_error)


_STATUS: tuple[tuple[type[PolewrightError], int], ...] = ((Absent, 404), (StoreFault, 503), (StockError, 409))


async def _answer_refusal(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, PolewrightError)
    status = next((status for kind, status in _STATUS if isinstance(fault, kind)), 422)
    return await _answer(request, faults_of(fault, await reader_of(request)), status)


async def _answer_invalid(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, RequestValidationError)
    reader, faults = await reader_of(request), []
    for item in fault.errors():
        field = ".".join(str(step) for step in item["loc"][1:])
        faults.append(asdict(fault_text(reader, field, repr(item.get("input", ""))[:80], remedy_of(item))))
    return await _answer(request, faults, 404 if request.method == "GET" else 422)


async def _answer_http_error(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    is_absent = fault.status_code == ABSENT
    want = Message("page.absent") if is_absent else wanted_instead(fault.status_code, request.method)
    return await _answer(request, [asdict(fault_text(await reader_of(request), "page", "", want))], fault.status_code)


async def _answer(request: Request, faults: list[dict[str, str]], status: int) -> Response:
    if request.headers.get("accept", "").startswith("application/json"):
        return JSONResponse({"faults": faults}, status)
    values: dict[str, Any] = {"faults": faults, "status": status, "slug": request.path_params.get("slug", "")}
    return HTMLResponse(page("refused.html", await reader_of(request), **values), status)
