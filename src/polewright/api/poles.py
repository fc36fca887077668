"""Paths of the JSON API on poles: the list, revisions, drafts, files."""

from typing import Literal
from urllib.parse import quote

from fastapi import APIRouter
from fastapi.responses import PlainTextResponse

from polewright.api.answers import ChangeAnswer, DraftAnswer, OpenAnswer, PoleAnswer, RevisionAnswer, SavedAnswer
from polewright.api.asked import (
    AskedCopy,
    AskedDraft,
    AskedFile,
    AskedReturn,
    AskedSave,
    AskedStart,
    Number,
    NumberAsked,
    Slug,
)
from polewright.api.asked_edits import AskedPoleEdits
from polewright.api.here import Here
from polewright.workshop import design_of

__all__ = ["pole_paths"]

pole_paths = APIRouter(prefix="/api/poles", tags=["poles"])


@pole_paths.get("")
def list_poles(workshop: Here) -> list[PoleAnswer]:
    """Every pole with its newest revision."""
    return [PoleAnswer.of(card) for card in workshop.designs.all()]


@pole_paths.post("", status_code=201)
def start_pole(workshop: Here, asked: AskedStart) -> SavedAnswer:
    """A new pole from a design; its address is made from its name."""
    return SavedAnswer.of(workshop.designs.start(design_of(asked.design), note=asked.note, who=asked.who))


@pole_paths.post("/files", status_code=201)
def bring_in_file(workshop: Here, asked: AskedFile) -> SavedAnswer:
    """A new pole from the text of a design file."""
    saved = workshop.designs.bring_in_text(asked.text, is_json=asked.form == "json", note=asked.note, who=asked.who)
    return SavedAnswer.of(saved)


@pole_paths.get("/{slug}")
def open_pole(workshop: Here, slug: Slug) -> OpenAnswer:
    """The newest revision of a pole and its draft."""
    return OpenAnswer.of(workshop.designs.open(slug))


@pole_paths.post("/{slug}/copies", status_code=201)
def start_from(workshop: Here, slug: Slug, asked: AskedCopy) -> SavedAnswer:
    """A new pole begun as a copy of this one."""
    return SavedAnswer.of(workshop.designs.start_from(slug, asked.name, number=asked.number, who=asked.who))


@pole_paths.get("/{slug}/revisions")
def list_revisions(workshop: Here, slug: Slug) -> list[RevisionAnswer]:
    """All revisions, newest first."""
    return [RevisionAnswer.of(card) for card in workshop.designs.revisions(slug)]


@pole_paths.post("/{slug}/revisions", status_code=201)
def save_revision(workshop: Here, slug: Slug, asked: AskedSave) -> SavedAnswer:
    """A further revision; 409 with `latest` where somebody saved meanwhile."""
    saved = workshop.designs.save(slug, design_of(asked.design), parent=asked.parent, note=asked.note, who=asked.who)
    return SavedAnswer.of(saved)


@pole_paths.get("/{slug}/revisions/{number}")
def read_revision(workshop: Here, slug: Slug, number: Number) -> SavedAnswer:
    """One revision with its design."""
    return SavedAnswer.of(workshop.designs.revision(slug, number))


@pole_paths.post("/{slug}/revisions/{number}/return", status_code=201)
def go_back(workshop: Here, slug: Slug, number: Number, asked: AskedReturn) -> SavedAnswer:
    """A further revision that says what this one said."""
    return SavedAnswer.of(workshop.designs.go_back(slug, number, parent=asked.parent, who=asked.who))


@pole_paths.get("/{slug}/revisions/{number}/file", responses={200: {"content": {"text/plain": {}}}})
def take_out_file(
    workshop: Here, slug: Slug, number: Number, form: Literal["toml", "json"] = "toml"
) -> PlainTextResponse:
    """The design file of a revision."""
    text = workshop.designs.take_out(slug, number, is_json=form == "json")
    name = quote(f"{slug}-r{number}.{form}")
    return PlainTextResponse(text, headers={"content-disposition": f"attachment; filename*=UTF-8''{name}"})


@pole_paths.get("/{slug}/differences")
def compare(workshop: Here, slug: Slug, before: NumberAsked, after: NumberAsked) -> list[ChangeAnswer]:
    """What changed between two revisions."""
    return [ChangeAnswer.of(change) for change in workshop.designs.differences(slug, before, after)]


@pole_paths.put("/{slug}/draft")
def keep_draft(workshop: Here, slug: Slug, asked: AskedDraft) -> DraftAnswer:
    """Keep unsaved work as typed."""
    return DraftAnswer.of(workshop.designs.keep_draft(slug, asked.draft, parent=asked.parent, who=asked.who))


@pole_paths.post("/{slug}/edits")
def edit_pole(workshop: Here, slug: Slug, asked: AskedPoleEdits) -> DraftAnswer:
    """Edit the pole at hand, all edits or none, and keep it as unsaved work."""
    return DraftAnswer.of(workshop.edit_pole(slug, asked.in_turn(), who=asked.who))


@pole_paths.delete("/{slug}/draft", status_code=204)
def drop_draft(workshop: Here, slug: Slug) -> None:
    """Forget unsaved work."""
    workshop.designs.drop_draft(slug)
