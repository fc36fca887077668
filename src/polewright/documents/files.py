"""Documents as text: TOML and JSON in and out, every fault of a file gathered as one message each."""

import difflib
import json
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
from polewright.documents.door import Stray, models_in, strays
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.documents.test_record import TestRecord
from polewright.errors import PolewrightError

__all__ = [
    "KINDS",
    "DocumentError",
    "Fault",
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
MOST_TOLD = 50  # faults of one file on the terminal; the first ones are mended first
_MOST_SHOWN = 60
_OF_A_FIELD = ("missing", "extra_forbidden")
_MEMBERS = ("constrained-str", "str", "float", "int", "bool")


class Fault(tuple[str, Message | str, Message | str]):
    """One fault of a document: (field, value as shown, what would be right)."""

    __slots__ = ()

    def __str__(self) -> str:
        field, value, want = self
        return f"{field} is {_clipped(str(value))}: {want}" if value else f"{field}: {want}"


class DocumentError(PolewrightError):
    """A file or form that cannot be read as the document it should be; `faults` lists every one."""

    def __init__(self, faults: list[Fault], where: str = "") -> None:
        self._faults = tuple(faults)
        self.where = where
        first = faults[0]
        super().__init__(first[0], first[1] or None, first[2])

    def __reduce__(self) -> tuple[object, ...]:
        return type(self), (list(self._faults), self.where)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Every fault of the file or form."""
        return self._faults

    def sentence(self) -> str:
        """All faults, one a line, opened by the file's name."""
        lead = f"{self.where}: " if self.where else ""
        more = len(self.faults) - MOST_TOLD
        lines = [lead + str(fault) for fault in self.faults[:MOST_TOLD]]
        return "\n".join([*lines, f"{lead}and {more} more like these"] if more > 0 else lines)

    def told_of(self, where: str) -> "DocumentError":
        """The same refusal, opened by a file's name where it has none yet."""
        return self if self.where else DocumentError(list(self.faults), where)


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
            raise DocumentError([Fault(("file", "too long", f"at most {MOST_BYTES} bytes"))], str(path))
        text = data.decode("utf-8")
    except OSError as fault:
        raise DocumentError([Fault(("file", "", f"cannot be opened ({fault.strerror})"))], str(path)) from fault
    except UnicodeDecodeError as fault:
        raise DocumentError([Fault(("file", "", f"not UTF-8 text (byte {fault.start})"))], str(path)) from fault
    return document_from(text, where=str(path), is_json=path.suffix.lower() == ".json")


def document_from(text: str, *, where: str = "", is_json: bool = False) -> Document:
    """Read a document from TOML or JSON text; `where` opens every message."""
    try:
        plain = json.loads(text) if is_json else tomllib.loads(text)
    except (json.JSONDecodeError, tomllib.TOMLDecodeError) as fault:
        kind = "JSON" if is_json else "TOML"
        raise DocumentError([Fault(("file", "", f"not whole {kind} ({fault}); is it cut short?"))], where) from fault
    except RecursionError as fault:
        raise DocumentError([Fault(("file", "", "nested too deeply to be a document"))], where) from fault
    except ValueError as fault:  # Python refuses to read whole numbers of thousands of digits
        raise DocumentError(
            [Fault(("file", "", "holds a whole number too long to read: at most 300 digits"))], where
        ) from fault
    return document_of(plain, where=where)


def document_of(plain: Any, *, where: str = "") -> Document:
    """A document from plain values, as read from TOML, JSON or a form."""
    if not isinstance(plain, dict):
        raise DocumentError([Fault(("file", "", "a document is a table of fields"))], where)
    kind = plain.get("document")
    if not isinstance(kind, str) or kind not in KINDS:
        shown = "" if kind is None else repr(kind)
        raise DocumentError([Fault(("document", shown, "one of " + ", ".join(KINDS)))], where)
    return _as(KINDS[kind], plain, where)


def _as(model: type[_D], plain: dict[str, Any], where: str) -> _D:
    version = plain.get("schema_version")
    if version is None:
        raise DocumentError([Fault(("schema_version", "", f"is missing; say {model.current_version}"))], where)
    if not isinstance(version, int) or isinstance(version, bool) or not 1 <= version <= model.current_version:
        known = "1" if model.current_version == 1 else f"1 to {model.current_version}"
        want = f"this Polewright reads version {known}; a newer file needs a newer Polewright"
        raise DocumentError([Fault(("schema_version", _clipped(repr(version)), want))], where)
    stray = tuple(strays(plain, model))
    try:
        document = model.model_validate(plain)
    except ValidationError as fault:
        raise DocumentError(_with_strays(faults_of(fault, model), stray), where) from fault
    if stray:
        raise DocumentError(_with_strays([], stray), where)
    return document


def _with_strays(faults: list[Fault], stray: Sequence[Stray]) -> list[Fault]:
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


def _shown(item: Any) -> str:
    kind, value = item["type"], item["input"]
    if kind in ("missing", "extra_forbidden") or (kind == "value_error" and not _is_plain(value)):
        return ""
    if not _is_plain(value):
        return {"dict": "a table", "list": "a list"}.get(type(value).__name__, type(value).__name__)
    return _clipped(f"{value!r}")


def _clipped(text: str) -> str:
    return text if len(text) <= _MOST_SHOWN else text[:_MOST_SHOWN] + "..."


def _is_plain(value: object) -> bool:
    return value is None or isinstance(value, str | int | float | bool)


def _remedy(item: Any, model: type[BaseModel], place: tuple[int | str, ...]) -> str:
    return _spelling(str(place[-1]), model, place) if item["type"] == "extra_forbidden" else remedy_of(item)


def remedy_of(item: Any) -> str:
    """What would be right in place of one thing that pydantic found wrong, in a workshop's words."""
    kind, context = item["type"], item.get("ctx", {})
    if kind == "missing":
        return "is missing; every such entry needs it"
    if kind == "extra_forbidden":
        return "no such field"
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        tags = context.get("expected_tags")
        return f"one of {tags}" if tags else f"say {context['discriminator']}, which is missing"
    if kind == "string_pattern_mismatch":
        return (
            "letters a to z, figures and . _ / - without blanks, opened by a letter or a figure"
            if context["pattern"].startswith("^[A-Za-z0-9][")
            else "letters, figures, - and _ alone"
        )
    if kind == "value_error":
        return str(context["error"])
    if kind == "literal_error":
        return f"one of {context['expected']}"
    words = {
        "greater_than": "a number above {gt}",
        "greater_than_equal": "{ge} or more",
        "less_than": "below {lt}",
        "less_than_equal": "{le} or less",
        "finite_number": "a finite number",
        "float_type": "a number",
        "float_parsing": "a number",
        "int_type": "a whole number",
        "int_parsing": "a whole number",
        "int_from_float": "a whole number",
        "int_parsing_size": "a whole number",
        "string_type": "text in quotes",
        "string_unicode": "text that UTF-8 can hold",
        "bool_parsing": "true or false",
        "bool_type": "true or false",
        "list_type": "a list",
        "tuple_type": "a list",
        "dict_type": "a table of fields",
        "model_type": "a table of fields",
        "model_attributes_type": "a table of fields",
        "too_short": "at least {min_length} in it",
        "too_long": "at most {max_length} entries",
        "string_too_short": "some text",
        "string_too_long": "at most {max_length} characters",
    }
    return words[kind].format(**context) if kind in words else str(item["msg"])


def _spelling(name: str, model: type[BaseModel], place: tuple[int | str, ...]) -> str:
    fields = _fields_at(model, place[:-1])
    near = difflib.get_close_matches(name, fields, n=1, cutoff=0.6)
    known = f"did you mean {near[0]}?" if near else "known here: " + ", ".join(fields)
    return f"no such field; {known}"


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
