"""The revisions place: every revision that was saved, what changed in each, and what is unsaved."""

from dataclasses import dataclass
from typing import Any

from polewright.web.page_state import PageState
from polewright.web.place_kind import ActionRequest, PlaceKind
from polewright.words import Reader, field_name
from polewright.words.form_values import field_text
from polewright.workshop import Change, RevisionCard, Workshop, changes

__all__ = ["PLACE", "ChangeLine", "RevisionLine", "RevisionsView", "revisions_view"]

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


def revisions_view(workshop: Workshop, state: PageState) -> RevisionsView:
    """Revisions newest first."""
    table, reader = state.table, state.reader
    cards = workshop.designs.revisions(table.slug)
    unsaved = changes(table.saved.design.plain(), table.design.plain())
    lines = tuple(_line(workshop, table.slug, card, cards[0].number, reader) for card in cards[:MOST_SHOWN])
    return RevisionsView(tuple(_change_line(each, reader) for each in unsaved), lines, max(0, len(cards) - MOST_SHOWN))


def _line(workshop: Workshop, slug: str, card: RevisionCard, newest: int, reader: Reader) -> RevisionLine:
    made = () if card.parent is None else workshop.designs.differences(slug, card.parent, card.number)
    return RevisionLine(
        card.number,
        reader.say("place.revisions.when", day=card.at, time=f"{card.at:%H:%M}"),
        card.note,
        card.who,
        card.content_hash[:4],
        card.number == newest,
        tuple(_change_line(each, reader) for each in made),
    )


def _change_line(change: Change, reader: Reader) -> ChangeLine:
    name = change.field.rsplit(".", 1)[-1]
    before, after = (_value_text(value, name, reader) for value in (change.before, change.after))
    return ChangeLine(field_name(reader, change.field), before, after)


def _value_text(value: Any, name: str, reader: Reader) -> str:
    """A value of a plain document by its field; a table by what it holds, a list by its length."""
    if value is None:
        return reader.say("given.nothing")
    if isinstance(value, bool):
        return reader.say(f"change.{'yes' if value else 'no'}")
    if isinstance(value, int | float):
        return field_text(name, value, reader)
    if isinstance(value, dict):
        return _table_text(value, reader)
    if isinstance(value, list):
        return reader.say("change.entries", count=len(value))
    choice = f"page.pole.choice.{name}.{value}"
    return reader.say(choice) if reader.has(choice) else str(value)


def _table_text(table: dict[str, Any], reader: Reader) -> str:
    kind = next((kind for field, kind in _TABLES if field in table), None)
    if kind is None:
        return reader.say("change.entries", count=len(table))
    if kind == "given":
        figure = str(table["figure"])
        return reader.say(
            "change.given",
            figure=field_name(reader, figure),
            value=_value_text(table["value"], figure, reader),
            kind=reader.say(f"why.origin.{table['kind']}"),
        )
    return reader.say(f"change.{kind}", **{name: _value_text(value, name, reader) for name, value in table.items()})


# by a field that only this kind of table has
_TABLES = (
    ("angle_deg", "ply"),
    ("stack", "section"),
    ("overlap_mm", "joint"),
    ("profile", "mandrel"),
    ("figure", "given"),
    ("diameter_mm", "place"),
    ("price_per_m2", "material"),
    ("is_on", "rule"),
    ("tip_total_g", "wish"),
)


def _save(request: ActionRequest) -> None:
    """The work at hand as a further revision, with a note."""
    form = request.form
    request.drafts.save(request.slug, form.get("seen", ""), note=form.get("note", ""), who=form.get("who", ""))


PLACE = PlaceKind(
    "keep", 1, lambda request: {"revisions": revisions_view(request.workshop, request.state)}, actions={"": _save}
)
