"""What the paths of the JSON API take: the open workshop, and a model for each body.

Documents travel as they stand in a file and are judged by their own schema.
"""

from typing import Annotated, Any, Literal

from fastapi import Depends, Path, Query, Request
from pydantic import BaseModel, ConfigDict, Field

from polewright.workshop import Holding, Workshop

__all__ = [
    "ApiRequest",
    "CopyRequest",
    "DraftRequest",
    "EntryNumber",
    "EntryRequest",
    "FileRequest",
    "FindRequest",
    "HoldRequest",
    "Number",
    "NumberQuery",
    "Plain",
    "RankRequest",
    "RecordRequest",
    "ReturnRequest",
    "SaveRequest",
    "ScatterRequest",
    "SerialQuery",
    "Slug",
    "SlugQuery",
    "StartRequest",
    "TakeOffRequest",
    "TakeRequest",
    "TestRequest",
    "Who",
    "WorkshopDep",
]


async def _workshop(request: Request) -> Workshop:
    workshop = request.app.state.workshop
    assert isinstance(workshop, Workshop)
    return workshop


WorkshopDep = Annotated[Workshop, Depends(_workshop)]
MOST = 2**31 - 1
Count = Annotated[int, Field(ge=1, le=MOST)]
Slug = Annotated[str, Path(min_length=1, max_length=80, pattern=r"^[\w-]+$", description="address of the pole")]
SlugQuery = Annotated[str | None, Query(min_length=1, max_length=80, pattern=r"^[\w-]+$")]
SerialQuery = Annotated[str | None, Query(min_length=1, max_length=40, pattern=r"^[A-Za-z0-9][A-Za-z0-9._/-]*$")]
Number = Annotated[int, Path(ge=1, le=MOST, description="number of the revision")]
NumberQuery = Annotated[int, Query(ge=1, le=MOST)]
EntryNumber = Annotated[int, Path(ge=1, le=MOST, description="number of the entry")]
Note = Annotated[str, Field(max_length=2000)]
Who = Annotated[str, Field(max_length=80)]
Plain = Annotated[dict[str, Any], Field(description="a whole document; its JSON Schema stands at /api/schemas/{kind}")]


class ApiRequest(BaseModel):
    """A request: fields of another name are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class StartRequest(ApiRequest):
    """A new pole from a design."""

    design: Plain
    note: Note = ""
    who: Who = ""


class FileRequest(ApiRequest):
    """A new pole from the text of a design file."""

    text: Annotated[str, Field(max_length=2_000_000)]
    form: Literal["toml", "json"] = "toml"
    note: Note = ""
    who: Who = ""


class CopyRequest(ApiRequest):
    """A new pole begun from this one."""

    name: Annotated[str, Field(min_length=1, max_length=80)]
    number: Count | None = None
    who: Who = ""


class SaveRequest(ApiRequest):
    """A further revision, made from revision `parent`."""

    design: Plain
    parent: Count
    note: Note = ""
    who: Who = ""


class ReturnRequest(ApiRequest):
    """A further revision that says what an older one said."""

    parent: Count
    who: Who = ""


class DraftRequest(ApiRequest):
    """Unsaved work, faults and all."""

    draft: dict[str, Any]
    parent: Count
    who: Who = ""


class FindRequest(ApiRequest):
    """A search for the best pole, from the pole's own shelf and rack or from those of the whole workshop."""

    shelf: Literal["own", "workshop"] = "own"
    who: Who = ""


class TakeRequest(ApiRequest):
    """A further revision, made from revision `parent`: pole `place` of the newest search, 0 the best."""

    place: Annotated[int, Field(ge=0, le=1000)] = 0
    parent: Count
    note: Note = ""
    who: Who = ""


class ScatterRequest(ApiRequest):
    """How many copies to sample, and how many of an order must pass; the same seed gives the same answer."""

    poles: Annotated[int, Field(ge=64, le=4096)] = 1024
    order: Annotated[int, Field(ge=1, le=10_000)] = 10
    seed: Annotated[int, Field(ge=0, le=MOST)] = 1
    who: Who = ""


class HoldRequest(ApiRequest):
    """A design and how it is held; `reach` says how far it is drawn out: "all", a count of sections, or a length."""

    design: Plain
    hold: Holding = Holding()
    reach: Annotated[str, Field(min_length=1, max_length=40)] | None = None


class RankRequest(ApiRequest):
    """Designs to put in order by what the first of them is for."""

    designs: Annotated[list[Plain], Field(min_length=1, max_length=20)]


class RecordRequest(ApiRequest):
    """A test record and the design that was built; nothing is kept."""

    design: Plain
    record: Plain


class TestRequest(ApiRequest):
    """A test record of a pole; `corrects` names the entry that it replaces."""

    record: Plain
    revision: Count | None = None
    corrects: Count | None = None
    note: Note = ""
    who: Who = ""


class EntryRequest(ApiRequest):
    """A material or mandrel for the shelf; `corrects` names the entry that it replaces."""

    entry: Plain
    corrects: Count | None = None
    note: Note = ""
    who: Who = ""


class TakeOffRequest(ApiRequest):
    """Why something is taken off the shelf, and by whom."""

    note: Note = ""
    who: Who = ""
