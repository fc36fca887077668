"""What a place of a pole is to the pages: its group, the values of its page, and what its forms do.

A module of `web/places` that offers `PLACE` is a place. Its code is the name of the module: the address is
/poles/{pole}/{code}, the template "<code>.html", the name the text "place.<code>", that of its group "stage.<group>".
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel

from polewright.web.page_state import PageState, PageStates
from polewright.words import Reader
from polewright.workshop import Workshop
from polewright.workshop.drafts import Drafts

__all__ = ["ActionRequest", "PlaceKind", "PlaceQuery", "PlaceRequest"]


class PlaceQuery(BaseModel):
    """What the address of a place may say besides section and reach; fields of another name are left out."""


@dataclass(frozen=True, slots=True)
class PlaceRequest:
    """What a page is made from; `query` is the place's own `PlaceQuery`."""

    workshop: Workshop
    states: PageStates
    state: PageState
    query: Any

    @property
    def slug(self) -> str:
        """The address of the pole."""
        return self.state.table.slug


@dataclass(frozen=True, slots=True)
class ActionRequest:
    """A form sent to a place: the text fields by their names."""

    workshop: Workshop
    drafts: Drafts
    reader: Reader
    slug: str
    form: Mapping[str, str]


Action = Callable[[ActionRequest], str | None]
"""Does what a form asks; the address to go to, or None for the place itself."""


@dataclass(frozen=True, slots=True)
class PlaceKind:
    """One place.

    group : of the navigation; position : within the group, from the left. values : of the page, by their names in the
    template. query : what its address may say. actions : what its forms do, by the last step of their addresses: "" is
    /poles/{pole}/{code} itself, "stop" is /poles/{pole}/{code}/stop. job : the kind of long work that is started here
    and shows its answer here.
    """

    group: str
    position: int
    values: Callable[[PlaceRequest], dict[str, Any]]
    query: type[PlaceQuery] = PlaceQuery
    actions: Mapping[str, Action] = field(default_factory=lambda: MappingProxyType({}))
    job: str = ""
