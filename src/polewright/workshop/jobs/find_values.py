"""The answer of a search as plain JSON values and back, so that it passes between processes and lies in the store."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from polewright.answers.find import CountAnswer, FindAnswer, FoundDesign, MoneyAnswer, OfferAnswer, WayAnswer, WishLimit
from polewright.answers.findings import Finding, Subjects
from polewright.answers.sections import Ply
from polewright.codes import Message
from polewright.documents.document import Document
from polewright.documents.files import document_of

__all__ = ["find_answer", "plain_find_answer"]

_KINDS = {
    kind.__name__: kind
    for kind in (
        CountAnswer,
        FindAnswer,
        Finding,
        FoundDesign,
        MoneyAnswer,
        OfferAnswer,
        Ply,
        Subjects,
        WayAnswer,
        WishLimit,
    )
}


def plain_find_answer(answer: FindAnswer) -> dict[str, Any]:
    """An answer as plain values."""
    plain: dict[str, Any] = _plain(answer)
    return plain


def find_answer(plain: Mapping[str, Any]) -> FindAnswer:
    """The answer again."""
    answer = _value(plain)
    assert isinstance(answer, FindAnswer)
    return answer


def _plain(value: object) -> Any:
    if isinstance(value, Message):
        return {"code": value.code, "values": {name: _plain(each) for name, each in value.values.items()}}
    if isinstance(value, Document):
        return {"document": value.plain()}
    if is_dataclass(value) and not isinstance(value, type):
        return {"is": type(value).__name__, "has": {f.name: _plain(getattr(value, f.name)) for f in fields(value)}}
    if isinstance(value, Mapping):
        return {"map": {str(name): _plain(each) for name, each in value.items()}}
    if isinstance(value, tuple | list):
        return [_plain(each) for each in value]
    return value if value is None or isinstance(value, bool | int | str) else float(value)  # type: ignore[arg-type]


def _value(plain: Any) -> Any:
    if isinstance(plain, list):
        return tuple(_value(each) for each in plain)
    if not isinstance(plain, Mapping):
        return plain
    if "code" in plain:
        return Message(plain["code"], **_values(plain["values"]))
    if "document" in plain:
        return document_of(dict(plain["document"]))
    if "map" in plain:
        return _values(plain["map"])
    return _KINDS[plain["is"]](**_values(plain["has"]))


def _values(plain: Mapping[str, Any]) -> dict[str, Any]:
    return {name: _value(each) for name, each in plain.items()}
