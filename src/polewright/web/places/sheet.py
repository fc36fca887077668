"""The sheet place: what a buyer will read, before it is printed, in the language chosen for the paper."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import Field

from polewright.sheet.buyer import buyer_sheet_values
from polewright.sheet.publish import may_be_published
from polewright.web.page_state import PageState
from polewright.web.place_kind import PlaceKind, PlaceQuery, PlaceRequest
from polewright.web.release import give_reason, release_view
from polewright.words import Reader, languages
from polewright.words.catalogue import catalogue
from polewright.workshop import TestRecord
from polewright.workshop.papers import buyer_sheet, secrets

__all__ = ["PLACE", "SheetView", "paper_reader", "sheet_view"]


class SheetQuery(PlaceQuery):
    """The language of the paper."""

    language: Annotated[str, Field(max_length=20, pattern=r"^[A-Za-z-]+$")] | None = None


@dataclass(frozen=True, slots=True)
class SheetView:
    """The sheet's own words and figures, or why it may not go out; and the languages that it can be had in."""

    values: dict[str, Any]  # none of a pole whose sections do not fit
    refusals: tuple[str, ...]
    language: str
    languages: tuple[tuple[str, str], ...]


def paper_reader(reader: Reader, language: str | None) -> Reader:
    """Who reads the paper: the units of the page, and a language of its own."""
    return Reader(language, reader.system) if language in languages() else reader


def sheet_view(
    state: PageState, language: str | None = None, records: Sequence[tuple[TestRecord, str]] = ()
) -> SheetView:
    """The sheet of the design at hand; what is wrong with it is told in the language of the page."""
    paper = paper_reader(state.reader, language)
    tongues = tuple((tag, catalogue(tag).name) for tag in languages())
    if state.check.misfits:  # no such pole can be put to the home test
        faults = tuple(state.reader.fault(*each) for each in state.check.misfits)
        return SheetView(values={}, refusals=faults, language=paper.language, languages=tongues)
    sheet = buyer_sheet(state.design, state.check, state.now.work, paper, records=records)
    values, kept = buyer_sheet_values(sheet, paper), secrets(state.design)
    found = dict.fromkeys([*may_be_published(sheet, secrets=kept), *may_be_published(values, secrets=kept)])
    return SheetView(
        values=values,
        refusals=tuple(state.reader.fault(r.field, None, r.reason) for r in found),
        language=paper.language,
        languages=tongues,
    )


def _values(request: PlaceRequest) -> dict[str, Any]:
    records = request.workshop.papers.records(request.state.design)
    return {"sheet": sheet_view(request.state, request.query.language, records), "release": release_view(request)}


PLACE = PlaceKind("sell", 1, _values, query=SheetQuery, actions={"": give_reason})
