"""The table of places of a pole: code, group, and the values of its page.

The address of a place is /poles/{pole}/{code}; its name is the text "place.<code>", that of its group "stage.<group>",
its template "<code>.html". Navigation, addresses and tests read this table. A place without `values` answers at paths
of its own, for its page needs more than the pole.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from polewright.web.places.bench import bench_view
from polewright.web.places.brief import brief_view
from polewright.web.places.cut import cut_view
from polewright.web.places.pole import pole_view
from polewright.web.places.revisions import revisions_view
from polewright.web.places.rules import rules_view
from polewright.web.places.sheet import sheet_view
from polewright.web.places.shelf import shelf_view
from polewright.web.places.wall import wall_view
from polewright.web.sight import Sight
from polewright.workshop import Workshop

__all__ = ["GROUPS", "PLACES", "PlaceKind", "PlaceRequest"]


@dataclass(frozen=True, slots=True)
class PlaceRequest:
    """What a page is made from; `correct` is the entry of the bench to be put right, `language` that of the sheet."""

    workshop: Workshop
    sight: Sight
    correct: int | None = None
    language: str | None = None


@dataclass(frozen=True, slots=True)
class PlaceKind:
    """One place: its code, its group, and the values of its page by their names in the template."""

    code: str
    group: str
    values: Callable[[PlaceRequest], dict[str, Any]] | None


_ROWS = (
    PlaceKind("brief", "design", lambda asked: {"view": brief_view(asked.sight)}),
    PlaceKind("wall", "design", lambda asked: {"view": wall_view(asked.sight)}),
    PlaceKind("pole", "design", lambda asked: {"view": pole_view(asked.sight)}),
    PlaceKind("find", "design", None),
    PlaceKind("spread", "design", None),
    PlaceKind("shelf", "have", lambda asked: {"shelf": shelf_view(asked.workshop, asked.sight)}),
    PlaceKind("rules", "have", lambda asked: {"view": rules_view(asked.sight)}),
    PlaceKind("cut", "make", lambda asked: {"view": cut_view(asked.sight)}),
    PlaceKind("bench", "prove", lambda asked: {"bench": bench_view(asked.workshop, asked.sight, asked.correct)}),
    PlaceKind("sheet", "sell", lambda asked: {"sheet": sheet_view(asked.sight, asked.language)}),
    PlaceKind(
        "revisions",
        "keep",
        lambda asked: {"revisions": revisions_view(asked.workshop, asked.sight.table, asked.sight.reader)},
    ),
)
PLACES: Mapping[str, PlaceKind] = MappingProxyType({row.code: row for row in _ROWS})
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = tuple(
    (group, tuple(row.code for row in _ROWS if row.group == group)) for group in dict.fromkeys(r.group for r in _ROWS)
)
