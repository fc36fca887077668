"""Whether the papers of the pole at hand are given, as the places that have papers show it."""

from dataclasses import dataclass

from polewright.web.place_kind import ActionRequest, PlaceRequest
from polewright.words.findings import FindingText, finding_text

__all__ = ["ReleaseView", "give_reason", "release_view"]


@dataclass(frozen=True, slots=True)
class ReleaseView:
    """What stands across the papers, the checks that do not hold, and the reason that was given for them."""

    is_given: bool
    marks: tuple[str, ...]
    failing: tuple[FindingText, ...]
    reason: str


def release_view(request: PlaceRequest) -> ReleaseView:
    """How the design at hand stands with its papers."""
    reader = request.state.reader
    found = request.workshop.papers.release(request.state.design, request.slug)
    return ReleaseView(
        found.is_given,
        tuple(reader.text(mark) for mark in found.marks),
        tuple(finding_text(f, reader) for f in found.failing),
        found.reason,
    )


def give_reason(request: ActionRequest) -> None:
    """Keep why papers are given although a check does not hold."""
    design, form = request.drafts.look(request.slug).design, request.form
    request.workshop.papers.give_reason(design, form.get("reason", ""), who=form.get("who", ""))
