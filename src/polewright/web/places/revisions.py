"""The revisions place: every revision that was saved, what changed in each, and what is unsaved."""

from dataclasses import dataclass
from typing import Any

from polewright.web.changes import fault_words
from polewright.web.desk import OnTable
from polewright.web.places.brief import unit_of_field
from polewright.workshop import Change, RevisionCard, Workshop, changes

__all__ = ["ChangeLine", "RevisionLine", "RevisionsView", "revisions_view"]

MOST_SHOWN = 60  # of the revisions; older ones are counted


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """One field that changed, in words."""

    field: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class RevisionLine:
    """One revision with what it changed against the one it was made from."""

    number: int
    when: str
    note: str
    who: str
    mark: str
    is_newest: bool
    changes: tuple[ChangeLine, ...]


@dataclass(frozen=True, slots=True)
class RevisionsView:
    """All that the revisions place shows."""

    unsaved: tuple[ChangeLine, ...]
    lines: tuple[RevisionLine, ...]
    older: int


def revisions_view(workshop: Workshop, table: OnTable) -> RevisionsView:
    """Revisions newest first."""
    cards = workshop.designs.revisions(table.slug)
    unsaved = changes(table.saved.design.plain(), table.design.plain())
    lines = tuple(_line(workshop, table.slug, card, cards[0].number) for card in cards[:MOST_SHOWN])
    return RevisionsView(tuple(map(_said, unsaved)), lines, max(0, len(cards) - MOST_SHOWN))


def _line(workshop: Workshop, slug: str, card: RevisionCard, newest: int) -> RevisionLine:
    made = () if card.parent is None else workshop.designs.differences(slug, card.parent, card.number)
    return RevisionLine(
        card.number,
        f"{card.at:%d %B %Y, %H:%M} UTC".lstrip("0"),
        card.note,
        card.who,
        card.content_hash[:4],
        card.number == newest,
        tuple(map(_said, made)),
    )


def _said(change: Change) -> ChangeLine:
    unit = unit_of_field(change.field.rsplit(".", 1)[-1])
    return ChangeLine(
        fault_words(change.field, "", "").rstrip(": "), _shown(change.before, unit), _shown(change.after, unit)
    )


def _shown(value: Any, unit: str = "") -> str:
    if value is None:
        return "nothing"
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value:g}{'' if unit == '°' else ' '}{unit}".strip()
    if isinstance(value, dict):
        return next((words.format_map(value) for field, words in _IN_WORDS if field in value), f"{len(value)} entries")
    if isinstance(value, list):
        return f"{len(value)} {'entry' if len(value) == 1 else 'entries'}"
    return str(value)


# by a field that only this kind of table has
_IN_WORDS = (
    ("angle_deg", "{angle_deg:g}° {prepreg} × {turns:g}"),
    ("stack", "{length_mm:g} mm on mandrel {mandrel}"),
    ("overlap_mm", "overlap {overlap_mm:g} mm, clamp {clamp_g:g} g"),
    ("profile", "mandrel {id}"),
    ("figure", "{figure} {value:g}, {kind}"),
    ("diameter_mm", "{diameter_mm:g} mm at {at_mm:g} mm"),
    ("price_per_m2", "prepreg {id}"),
    ("is_on", "rule {id}"),
    ("tip_total_g", "wish at {tip_total_g:g} g"),
)
