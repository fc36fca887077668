"""Documents as text: TOML and JSON in and out, every fault of a file gathered as one message each."""

import difflib
import json
import re
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any, TypeVar

import tomli_w
from pydantic import BaseModel, ValidationError

from polewright.codes import Message
from polewright.documents.brief_file import BriefDocument
from polewright.documents.design import Design
from polewright.documents.document import Document
from polewright.documents.plain_checks import ForbiddenValue, forbidden_values, models_in
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.documents.test_record import TestRecord
from polewright.errors import DocumentError, Fault, reason_of
from polewright.units import quantity_of_field, si

__all__ = [
    "KINDS",
    "DocumentError",
    "Fault",
    "bound_of",
    "document_from",
    "document_of",
    "dump_json",
    "dump_toml",
    "faults_of",
    "load",
    "remedy_of",
]

KINDS: dict[str, type[Document]] = {
    "pole-design": Design,
    "brief": BriefDocument,
    "material": MaterialDocument,
    "mandrel": MandrelDocument,
    "test-record": TestRecord,
}
_D = TypeVar("_D", bound=Document)
MOST_BYTES = 4_000_000
_MOST_SHOWN = 60
MOST_DIGITS = 300  # of a whole number
_OF_A_FIELD = ("missing", "extra_forbidden")
_MEMBERS = ("constrained-str", "str", "float", "int", "bool")


def load(path: str | Path) -> Document:
    """Read a document from a TOML or JSON file.

    Raises
    ------
    DocumentError : the file is missing, cut short, of another kind or version, or wrong in some fields.
    """
    path = Path(path)
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)  # no more: what a path leads to may have no end
        if len(data) > MOST_BYTES:
            raise DocumentError.at(
                "file", Message("given.too_long"), Message("want.at_most_bytes", limit=MOST_BYTES), str(path)
            )
        text = data.decode("utf-8")
    except OSError as fault:
        raise DocumentError.at(
            "file", "", Message("want.cannot_be_opened", reason=reason_of(fault)), str(path)
        ) from fault
    except UnicodeDecodeError as fault:
        raise DocumentError.at("file", "", Message("want.utf8_text", start=fault.start), str(path)) from fault
    return document_from(text, where=str(path), is_json=path.suffix.lower() == ".json")


def document_from(text: str, *, where: str = "", is_json: bool = False) -> Document:
    """Read a document from TOML or JSON text; `where` opens every message."""
    try:
        plain = json.loads(text) if is_json else tomllib.loads(text)
    except (json.JSONDecodeError, tomllib.TOMLDecodeError) as fault:
        kind = "JSON" if is_json else "TOML"
        raise DocumentError.at(
            "file", "", Message("want.whole_text", kind=kind, reason=_place_in(fault)), where
        ) from fault
    except RecursionError as fault:
        raise DocumentError.at("file", "", Message("want.less_nesting"), where) from fault
    except ValueError as fault:  # Python refuses to read whole numbers of thousands of digits
        raise DocumentError.at("file", "", Message("want.shorter_whole_number", digits=MOST_DIGITS), where) from fault
    return document_of(plain, where=where)


def document_of(plain: Any, *, where: str = "") -> Document:
    """A document from plain values, as read from TOML, JSON or a form."""
    if not isinstance(plain, dict):
        raise DocumentError.at("file", "", Message("want.table_of_fields"), where)
    kind = plain.get("document")
    if not isinstance(kind, str) or kind not in KINDS:
        shown = "" if kind is None else _clipped(repr(kind))
        raise DocumentError.at("document", shown, Message("want.one", choices=tuple(KINDS)), where)
    return _as(KINDS[kind], plain, where)


def _as(model: type[_D], plain: dict[str, Any], where: str) -> _D:
    version = plain.get("schema_version")
    if version is None:
        raise DocumentError.at(
            "schema_version", "", Message("want.missing_version", version=model.current_version), where
        )
    if not isinstance(version, int) or isinstance(version, bool) or not 1 <= version <= model.current_version:
        want = Message("want.known_version", most=model.current_version)
        raise DocumentError.at("schema_version", _clipped(repr(version)), want, where)
    stray = tuple(forbidden_values(plain, model))
    try:
        document = model.model_validate(plain)
    except ValidationError as fault:
        raise DocumentError(_with_strays(faults_of(fault, model), stray), where) from fault
    if stray:
        raise DocumentError(_with_strays([], stray), where)
    return document


def _with_strays(faults: list[Fault], stray: Sequence[ForbiddenValue]) -> list[Fault]:
    """One fault a field: what no field may hold is told where the field itself has nothing to say."""
    told = {fault[0] for fault in faults}
    more = [Fault((_path(place, ends_in_field=True), _clipped(repr(value)), want)) for place, value, want in stray]
    return [*faults, *(fault for fault in more if fault[0] not in told)]


def faults_of(error: ValidationError, model: type[BaseModel]) -> list[Fault]:
    """Every fault pydantic found, as (field, value, remedy) in a workshop's words."""
    found, faults = error.errors(include_url=False), []
    places = [item["loc"] for item in found]
    for item in found:
        place = item["loc"]
        if item["type"] == "too_short" and any(len(p) > len(place) and p[: len(place)] == place for p in places):
            continue  # the list only looks short since its wrong entries were left out
        if not _is_of_another_member(item, places):
            path = _path(place, ends_in_field=item["type"] in _OF_A_FIELD)
            faults.append(Fault((path, _shown(item), _remedy(item, model, place))))
    return faults


def _is_of_another_member(item: Any, places: list[tuple[int | str, ...]]) -> bool:
    """A field that is a name or a table tells of both when neither fits: only the one that was meant is of use."""
    *way, last = item["loc"] or ("",)
    others = [p for p in places if len(p) > len(way) and list(p[: len(way)]) == way and p[len(way)] != last]
    if item["type"] == "string_type" and last in _MEMBERS:
        return isinstance(item["input"], dict) and bool(others)
    return item["type"] == "model_type" and _is_member(last) and any(p[len(way)] in _MEMBERS for p in others)


def _is_member(step: int | str) -> bool:
    """Pydantic names a union's member by its kind where we name fields: a class, a word, a test's name of two words."""
    return isinstance(step, str) and (
        step in _MEMBERS or " " in step or "function-" in step or (step[:1].isupper() and "_" not in step)
    )


def _path(place: Sequence[int | str], *, ends_in_field: bool = False) -> str:
    text = ""
    for i, step in enumerate(place):
        if isinstance(step, int):
            text += f"[{step}]"
        elif not _is_member(step) or (ends_in_field and i == len(place) - 1):
            text += f".{_clipped(step)}" if text else _clipped(step)
    return text or "document"


def _shown(item: Any) -> str | Message:
    kind, value = item["type"], item["input"]
    if kind in ("missing", "extra_forbidden") or (kind == "value_error" and not _is_plain(value)):
        return ""
    if not _is_plain(value):
        name = type(value).__name__
        return Message(f"given.{name}") if name in ("dict", "list") else name
    return _clipped(f"{value!r}")


def _clipped(text: str) -> str:
    return text if len(text) <= _MOST_SHOWN else text[:_MOST_SHOWN] + "..."


def _is_plain(value: object) -> bool:
    return value is None or isinstance(value, str | int | float | bool)


def _remedy(item: Any, model: type[BaseModel], place: tuple[int | str, ...]) -> Message | str:
    return _spelling(str(place[-1]), model, place) if item["type"] == "extra_forbidden" else remedy_of(item)


_BOUNDS = {"greater_than": "gt", "greater_than_equal": "ge", "less_than": "lt", "less_than_equal": "le"}
_NUMBER, _WHOLE, _SWITCH, _TABLE = "want.number", "want.whole_number", "want.true_or_false", "want.table_of_fields"
_REMEDIES = {
    "missing": "want.missing",
    "extra_forbidden": "want.no_such_field",
    "finite_number": "want.finite_number",
    "float_type": _NUMBER,
    "float_parsing": _NUMBER,
    "int_type": _WHOLE,
    "int_parsing": _WHOLE,
    "int_from_float": _WHOLE,
    "int_parsing_size": _WHOLE,
    "string_type": "want.text_in_quotes",
    "string_unicode": "want.utf8",
    "bool_parsing": _SWITCH,
    "bool_type": _SWITCH,
    "list_type": "want.list",
    "tuple_type": "want.list",
    "dict_type": _TABLE,
    "model_type": _TABLE,
    "model_attributes_type": _TABLE,
    "string_too_short": "want.some_text",
}
_OF_LENGTH = {
    "too_short": ("want.at_least_entries", "min_length"),
    "too_long": ("want.at_most_entries", "max_length"),
    "string_too_long": ("want.at_most_characters", "max_length"),
}


def remedy_of(item: Any) -> Message | str:
    """What would be right in place of one thing that pydantic found wrong."""
    kind, context = str(item["type"]), item.get("ctx", {})
    if kind in _REMEDIES:
        return Message(_REMEDIES[kind])
    if kind in _BOUNDS:
        field = next((step for step in reversed(item["loc"]) if isinstance(step, str) and not _is_member(step)), "")
        return Message(f"limit.{_BOUNDS[kind]}", limit=bound_of(field, context[_BOUNDS[kind]]))
    if kind in _OF_LENGTH:
        code, name = _OF_LENGTH[kind]
        return Message(code, limit=context[name])
    if kind in ("union_tag_invalid", "literal_error"):
        choices = re.findall(r"'[^']*'", str(context.get("expected_tags") or context.get("expected")))
        return Message("want.one", choices=tuple(choices))
    if kind == "union_tag_not_found":
        return Message("want.missing_kind", name=context["discriminator"])
    if kind == "string_pattern_mismatch":
        starts_plain = context["pattern"].startswith("^[A-Za-z0-9][")
        return Message("want.serial_letters" if starts_plain else "want.plain_letters")
    if kind == "value_error":
        said = context["error"].args[0] if context["error"].args else ""
        return said if isinstance(said, Message) else str(said)
    return Message("want.other_value", kind=kind)


def bound_of(field: str, number: float) -> Message | float:
    """A bound of a field [in the unit that its name ends with] as its reader sees it; bare without a unit."""
    quantity = quantity_of_field(field)
    return number if quantity is None else Message(f"bound.{quantity}", value=si(field, number))


def _place_in(fault: json.JSONDecodeError | tomllib.TOMLDecodeError) -> Message:
    """Where a text breaks off or goes wrong."""
    if isinstance(fault, json.JSONDecodeError):
        return Message("reason.line_and_column", line=fault.lineno, column=fault.colno)
    found = re.search(r"line (\d+), column (\d+)", str(fault))
    if found is None:
        return Message("reason.end_of_text")
    return Message("reason.line_and_column", line=int(found[1]), column=int(found[2]))


def _spelling(name: str, model: type[BaseModel], place: tuple[int | str, ...]) -> Message:
    fields = _fields_at(model, place[:-1])
    near = difflib.get_close_matches(name, fields, n=1, cutoff=0.6)
    if near:
        return Message("want.field_spelled", name=near[0])
    return Message("want.known_field", choices=tuple(fields))


def _fields_at(model: type[BaseModel], place: tuple[int | str, ...]) -> list[str]:
    choice: list[type[BaseModel]] = []
    for step in place:
        if isinstance(step, int):
            continue
        field = model.model_fields.get(step)
        if field is not None:
            choice = models_in(field.annotation)
            model = choice[0] if choice else model
        else:
            model = next((m for m in choice if step == m.__name__ or step == _kind_of(m)), model)
    return list(model.model_fields)


def _kind_of(model: type[BaseModel]) -> Any:
    field = model.model_fields.get("kind")
    return None if field is None else field.default


def dump_toml(document: Document) -> str:
    """The document as TOML text that reads back equal."""
    return tomli_w.dumps(document.plain())


def dump_json(document: Document) -> str:
    """The document as JSON text that reads back equal."""
    return json.dumps(document.plain(), indent=2, ensure_ascii=False) + "\n"
