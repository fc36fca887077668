"""Paths of the JSON API that answer with papers: the kit of a posted design, its buyer's sheet, its drawing."""

from datetime import UTC, datetime
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query
from fastapi.responses import Response

from polewright.api.requests import Plain, WorkshopDep
from polewright.codes import Message
from polewright.drawings.pole import pole_drawing
from polewright.errors import DesignError
from polewright.words import Reader, default_reader, languages
from polewright.workshop import design_of, workpiece
from polewright.workshop.papers import archive_of
from polewright.workshop.scene import pole_scene

__all__ = ["paper_paths"]

paper_paths = APIRouter(prefix="/api", tags=["papers"])
Language = Annotated[str, Query(max_length=20, pattern=r"^[A-Za-z-]*$", description="of the paper")]
Units = Annotated[Literal["metric", "inch"], Query(description="of the paper")]
Mark = Annotated[str, Query(max_length=40, description="of the revision, as it stands on the paper")]
Serial = Annotated[str, Query(max_length=40, pattern=r"^[A-Za-z0-9._/-]*$", description="of the pole")]
Reason = Annotated[str, Query(max_length=400, description="why a paper is given although a check does not hold")]
Who = Annotated[str, Query(max_length=80, description="who gives the reason")]


def _of(kind: str) -> dict[int | str, dict[str, Any]]:
    """What a path with a file says of it."""
    return {200: {"content": {kind: {"schema": {"type": "string", "format": "binary"}}}, "description": "the file"}}


@paper_paths.post("/kit", response_class=Response, responses=_of("application/zip"))
def kit(
    workshop: WorkshopDep,
    design: Plain,
    language: Language = "",
    units: Units = "metric",
    revision: Mark = "",
    reason: Reason = "",
    who: Who = "",
) -> Response:
    """Every file of the kit as one archive: cut sheets as DXF, SVG and HPGL, the cut list, the work cards.

    Given as a sheet is.
    """
    wanted = design_of(design)
    if reason:
        workshop.papers.give_reason(wanted, reason, who=who)
    files = workshop.papers.kit(wanted, _reader(language, units), date=_today(), revision=revision)
    return Response(archive_of(files), media_type="application/zip")


@paper_paths.post("/sheet", response_class=Response, responses=_of("application/pdf"))
def sheet(
    workshop: WorkshopDep,
    design: Plain,
    language: Language = "",
    units: Units = "metric",
    revision: Mark = "",
    serial: Serial = "",
    reason: Reason = "",
    who: Who = "",
) -> Response:
    """The buyer's sheet as a PDF; refused where it would give the recipe away.

    It is marked as a draft unless a saved revision says the same. Where a check of brief, strength or clamp does not
    hold it is refused, or, with a `reason` that is kept, marked as that of a test pole.
    """
    wanted = design_of(design)
    if reason:
        workshop.papers.give_reason(wanted, reason, who=who)
    content = workshop.papers.sheet(
        wanted, _reader(language, units), date=_today(), revision=revision, serial=serial, who=who
    )
    return Response(content, media_type="application/pdf")


@paper_paths.post("/drawing", response_class=Response, responses=_of("image/svg+xml"))
def drawing(design: Plain, language: Language = "", units: Units = "metric") -> Response:
    """The drawing of the pole as SVG."""
    made = design_of(design)
    picture = pole_drawing(pole_scene(made, workpiece(made)), _reader(language, units), paper=True)
    return Response(picture, media_type="image/svg+xml")


def _reader(language: str, units: Literal["metric", "inch"]) -> Reader:
    if language and language not in languages():
        raise DesignError("language", repr(language), Message("want.one", choices=languages()))
    return Reader(language or default_reader().language, units)


def _today() -> str:
    return datetime.now(UTC).date().isoformat()
