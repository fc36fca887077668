"""The edits as the JSON API takes them: a model for each row of the workshop's table, with its example in OpenAPI."""

from functools import reduce
from operator import or_
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import Field, create_model

from polewright.api.requests import ApiRequest, Plain, Who
from polewright.words import default_reader
from polewright.workshop import EDITS, Argument, EditKind

__all__ = ["EditRequest", "EditsRequest", "PoleEditsRequest"]

_ANNOTATIONS: dict[str, Any] = {
    "index": Annotated[int, Field(ge=0, le=2**31 - 1)],
    "text": Annotated[str, Field(max_length=400)],
    "figure": float | str,
    "value": Any,
}


class EditRequest(ApiRequest):
    """One edit by its name; the other fields are its arguments."""

    edit: str

    def arguments(self) -> dict[str, Any]:
        """What was given, by the names of the arguments."""
        return self.model_dump(exclude={"edit"}, exclude_unset=True)


def _annotation(argument: Argument, model: str) -> Any:
    """The type of an argument as it is sent."""
    if argument.kind == "choice":
        return Literal[argument.choices]
    if argument.kind == "table":
        fields: dict[str, Any] = {each.name: _field(each, model) for each in argument.fields}
        return create_model(f"{model}{argument.name.title()}", __base__=ApiRequest, **fields)
    return _ANNOTATIONS[argument.kind]


def _field(argument: Argument, model: str) -> Any:
    kind = _annotation(argument, model)
    if argument.kind == "value":
        return (kind, None)  # null takes an optional field out
    return (kind, ...) if argument.is_needed else (kind | None, None)


def _model(kind: EditKind) -> type[EditRequest]:
    """The model of one edit, described by the text of its code, with its example."""
    name = "".join(part.title() for part in kind.name.split("_"))
    fields: dict[str, Any] = {"edit": (Literal[kind.name], ...)}
    fields |= {each.name: _field(each, name) for each in kind.caller_arguments}
    made = create_model(name, __base__=EditRequest, **fields)
    made.__doc__ = default_reader().say(f"edit.{kind.name}")
    made.model_config["json_schema_extra"] = {"examples": [{"edit": kind.name, **kind.example}]}
    made.model_rebuild(force=True)
    return made


if TYPE_CHECKING:
    Edit = EditRequest
else:
    Edit = Annotated[reduce(or_, (_model(kind) for kind in EDITS.values())), Field(discriminator="edit")]


class _Edits(ApiRequest):
    edits: Annotated[list[Edit], Field(min_length=1, max_length=100)]

    def in_turn(self) -> tuple[tuple[str, dict[str, Any]], ...]:
        """Each edit by its name, with its arguments."""
        return tuple((each.edit, each.arguments()) for each in self.edits)


class EditsRequest(_Edits):
    """Edits to make to a design one after the other, all or none."""

    design: Plain


class PoleEditsRequest(_Edits):
    """Edits to make to the pole at hand one after the other, all or none."""

    who: Who = ""
