"""Paths of the JSON API on poles: the list, revisions, drafts, files."""

from typing import Literal
from urllib.parse import quote

from fastapi import APIRouter
from fastapi.responses import PlainTextResponse

from polewright.api.answers import ChangeAnswer, DraftAnswer, OpenAnswer, PoleAnswer, RevisionAnswer, SavedAnswer
from polewright.api.edit_models import PoleEditsRequest
from polewright.api.requests import (
    CopyRequest,
    DraftRequest,
    FileRequest,
    Number,
    NumberQuery,
    ReturnRequest,
    SaveRequest,
    Slug,
    StartRequest,
    WorkshopDep,
)
from polewright.workshop import design_of

__all__ = ["pole_paths"]

pole_paths = APIRouter(prefix="/api/poles", tags=["poles"])


@pole_paths.get("")
def list_poles(workshop: WorkshopDep) -> list[PoleAnswer]:
    """Every pole with its newest revision."""
    return [PoleAnswer.of(card) for card in workshop.designs.all()]


@pole_paths.post("", status_code=201)
def start_pole(workshop: WorkshopDep, request: StartRequest) -> SavedAnswer:
    """A new pole from a design; its address is made from its name."""
    return SavedAnswer.of(workshop.designs.start(design_of(request.design), note=request.note, who=request.who))


@pole_paths.post("/files", status_code=201)
def bring_in_file(workshop: WorkshopDep, request: FileRequest) -> SavedAnswer:
    """A new pole from the text of a design file."""
    saved = workshop.designs.bring_in_text(
        request.text, is_json=request.form == "json", note=request.note, who=request.who
    )
    return SavedAnswer.of(saved)


@pole_paths.get("/{slug}")
def open_pole(workshop: WorkshopDep, slug: Slug) -> OpenAnswer:
    """The newest revision of a pole and its draft."""
    return OpenAnswer.of(workshop.designs.open(slug))


@pole_paths.post("/{slug}/copies", status_code=201)
def start_from(workshop: WorkshopDep, slug: Slug, request: CopyRequest) -> SavedAnswer:
    """A new pole begun as a copy of this one."""
    return SavedAnswer.of(workshop.designs.start_from(slug, request.name, number=request.number, who=request.who))


@pole_paths.get("/{slug}/revisions")
def list_revisions(workshop: WorkshopDep, slug: Slug) -> list[RevisionAnswer]:
    """All revisions, newest first."""
    return [RevisionAnswer.of(card) for card in workshop.designs.revisions(slug)]


@pole_paths.post("/{slug}/revisions", status_code=201)
def save_revision(workshop: WorkshopDep, slug: Slug, request: SaveRequest) -> SavedAnswer:
    """A further revision; 409 with `latest` where somebody saved meanwhile."""
    saved = workshop.designs.save(
        slug, design_of(request.design), parent=request.parent, note=request.note, who=request.who
    )
    return SavedAnswer.of(saved)


@pole_paths.get("/{slug}/revisions/{number}")
def read_revision(workshop: WorkshopDep, slug: Slug, number: Number) -> SavedAnswer:
    """One revision with its design."""
    return SavedAnswer.of(workshop.designs.revision(slug, number))


@pole_paths.post("/{slug}/revisions/{number}/return", status_code=201)
def go_back(workshop: WorkshopDep, slug: Slug, number: Number, request: ReturnRequest) -> SavedAnswer:
    """A further revision that says what this one said."""
    return SavedAnswer.of(workshop.designs.go_back(slug, number, parent=request.parent, who=request.who))


@pole_paths.get("/{slug}/revisions/{number}/file", responses={200: {"content": {"text/plain": {}}}})
def take_out_file(
    workshop: WorkshopDep, slug: Slug, number: Number, form: Literal["toml", "json"] = "toml"
) -> PlainTextResponse:
    """The design file of a revision."""
    text = workshop.designs.take_out(slug, number, is_json=form == "json")
    name = quote(f"{slug}-r{number}.{form}")
    return PlainTextResponse(text, headers={"content-disposition": f"attachment; filename*=UTF-8''{name}"})


@pole_paths.get("/{slug}/differences")
def compare(workshop: WorkshopDep, slug: Slug, before: NumberQuery, after: NumberQuery) -> list[ChangeAnswer]:
    """What changed between two revisions."""
    return [ChangeAnswer.of(change) for change in workshop.designs.differences(slug, before, after)]


@pole_paths.put("/{slug}/draft")
def keep_draft(workshop: WorkshopDep, slug: Slug, request: DraftRequest) -> DraftAnswer:
    """Keep unsaved work as typed."""
    return DraftAnswer.of(workshop.designs.keep_draft(slug, request.draft, parent=request.parent, who=request.who))


@pole_paths.post("/{slug}/edits")
def edit_pole(workshop: WorkshopDep, slug: Slug, request: PoleEditsRequest) -> DraftAnswer:
    """Edit the pole at hand, all edits or none, kept as unsaved work; `faults` say which sections do not fit yet."""
    return DraftAnswer.of(workshop.edit_pole(slug, request.in_turn(), who=request.who))


@pole_paths.delete("/{slug}/draft", status_code=204)
def drop_draft(workshop: WorkshopDep, slug: Slug) -> None:
    """Forget unsaved work."""
    workshop.designs.drop_draft(slug)
