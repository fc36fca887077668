"""The table of places of a pole: code, group, and the values of its page.

The address of a place is /poles/{pole}/{code}; its name is the text "place.<code>", that of its group "stage.<group>",
its template "<code>.html". Navigation, addresses and tests read this table. A place without `values` answers at paths
of its own, for its page needs more than the pole.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from polewright.web.page_state import PageState
from polewright.web.places.bench import bench_view
from polewright.web.places.brief import brief_view
from polewright.web.places.cut import cut_view
from polewright.web.places.pole import pole_view
from polewright.web.places.revisions import revisions_view
from polewright.web.places.rules import rules_view
from polewright.web.places.sheet import sheet_view
from polewright.web.places.shelf import shelf_view
from polewright.web.places.wall import wall_view
from polewright.workshop import Workshop

__all__ = ["GROUPS", "PLACES", "PlaceKind", "PlaceRequest"]


@dataclass(frozen=True, slots=True)
class PlaceRequest:
    """What a page is made from; `correct` is the entry of the bench to be put right, `language` that of the sheet."""

    workshop: Workshop
    state: PageState
    correct: int | None = None
    language: str | None = None


@dataclass(frozen=True, slots=True)
class PlaceKind:
    """One place: its code, its group, and the values of its page by their names in the template."""

    code: str
    group: str
    values: Callable[[PlaceRequest], dict[str, Any]] | None


_ROWS = (
    PlaceKind("brief", "design", lambda request: {"view": brief_view(request.state)}),
    PlaceKind("wall", "design", lambda request: {"view": wall_view(request.state)}),
    PlaceKind("pole", "design", lambda request: {"view": pole_view(request.state)}),
    PlaceKind("find", "design", None),
    PlaceKind("spread", "design", None),
    PlaceKind("shelf", "have", lambda request: {"shelf": shelf_view(request.workshop, request.state)}),
    PlaceKind("rules", "have", lambda request: {"view": rules_view(request.state)}),
    PlaceKind("cut", "make", lambda request: {"view": cut_view(request.state)}),
    PlaceKind(
        "bench", "prove", lambda request: {"bench": bench_view(request.workshop, request.state, request.correct)}
    ),
    PlaceKind("sheet", "sell", lambda request: {"sheet": sheet_view(request.state, request.language)}),
    PlaceKind(
        "revisions",
        "keep",
        lambda request: {"revisions": revisions_view(request.workshop, request.state.table, request.state.reader)},
    ),
)
PLACES: Mapping[str, PlaceKind] = MappingProxyType({row.code: row for row in _ROWS})
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = tuple(
    (group, tuple(row.code for row in _ROWS if row.group == group)) for group in dict.fromkeys(r.group for r in _ROWS)
)
