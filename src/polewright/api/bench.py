"""Paths of the JSON API on the shelf, the rack and the bench."""

from typing import Literal

from fastapi import APIRouter

from polewright.api.answers import EntryAnswer, StandingAnswer, TestAnswer
from polewright.api.requests import (
    EntryNumber,
    EntryRequest,
    SerialQuery,
    Slug,
    SlugQuery,
    TakeOffRequest,
    TestRequest,
    WorkshopDep,
)
from polewright.words import default_reader
from polewright.words.reports.bench import BenchResult, bench_result
from polewright.workshop import record_of, stocked_of

__all__ = ["bench_paths"]

bench_paths = APIRouter(prefix="/api", tags=["shelf and bench"])


@bench_paths.get("/shelf")
def list_shelf(
    workshop: WorkshopDep, kind: Literal["material", "mandrel"] | None = None, history: bool = False
) -> list[EntryAnswer]:
    """What lies on the shelf and hangs on the rack now; with `history` also what was corrected or taken off."""
    shelf = workshop.shelf
    found = shelf.history() if history else (*shelf.materials(), *shelf.mandrels())
    return [EntryAnswer.of(entry) for entry in found if kind in (None, entry.document.document)]


@bench_paths.post("/shelf", status_code=201)
def put_on_shelf(workshop: WorkshopDep, request: EntryRequest) -> EntryAnswer:
    """A further entry, or the correction of an earlier one."""
    entry = workshop.shelf.put(stocked_of(request.entry), corrects=request.corrects, note=request.note, who=request.who)
    return EntryAnswer.of(entry)


@bench_paths.post("/shelf/{number}/take-off", status_code=201)
def take_off_shelf(workshop: WorkshopDep, number: EntryNumber, request: TakeOffRequest) -> EntryAnswer:
    """An entry that says that this one no longer lies there."""
    return EntryAnswer.of(workshop.shelf.take_off(number, note=request.note, who=request.who))


@bench_paths.post("/shelf/{number}/put-back", status_code=201)
def put_back_on_shelf(workshop: WorkshopDep, number: EntryNumber) -> EntryAnswer:
    """What was taken off lies on the shelf again, as a further entry."""
    return EntryAnswer.of(workshop.shelf.put_back(number))


@bench_paths.get("/tests")
def list_tests(
    workshop: WorkshopDep, serial: SerialQuery = None, pole: SlugQuery = None, history: bool = False
) -> list[TestAnswer]:
    """Test records, newest first."""
    return [TestAnswer.of(entry) for entry in workshop.records.listed(serial=serial, slug=pole, history=history)]


@bench_paths.get("/tests/{number}")
def read_test(workshop: WorkshopDep, number: EntryNumber) -> TestAnswer:
    """One test record."""
    return TestAnswer.of(workshop.records.entry(number))


@bench_paths.get("/tests/{number}/result")
def read_result(workshop: WorkshopDep, number: EntryNumber) -> BenchResult:
    """What a test shows: the figure with its uncertainty, beside the prediction of the revision that was tested."""
    return bench_result(workshop.records.answer(workshop.records.entry(number)), default_reader())


@bench_paths.get("/poles/{slug}/standings")
def list_standings(workshop: WorkshopDep, slug: Slug, serial: SerialQuery = None) -> list[StandingAnswer]:
    """What the tests allow to be said of each pole by its serial; none is sound without its proof."""
    return [StandingAnswer.of(each, default_reader()) for each in workshop.records.standings(slug, serial)]


@bench_paths.post("/poles/{slug}/tests", status_code=201)
def keep_test(workshop: WorkshopDep, slug: Slug, request: TestRequest) -> TestAnswer:
    """A further test record of this pole, or the correction of an earlier one."""
    entry = workshop.records.keep(
        slug,
        record_of(request.record),
        revision=request.revision,
        corrects=request.corrects,
        note=request.note,
        who=request.who,
    )
    return TestAnswer.of(entry)
