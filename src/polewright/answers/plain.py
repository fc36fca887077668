"""An answer as plain JSON values and back, so that it may pass between processes and lie in the store."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from types import UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from polewright.codes import Message

__all__ = ["answer_from", "plain_answer"]

_T = TypeVar("_T")


def plain_answer(value: object) -> Any:
    """Frozen values as mappings by the names of their fields, messages by code and values, tuples as lists."""
    if isinstance(value, Message):
        return {"code": value.code, "values": {name: plain_answer(each) for name, each in value.values.items()}}
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain_answer(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple | list):
        return [plain_answer(each) for each in value]
    return value if value is None or isinstance(value, bool | int | float | str) else float(value)  # type: ignore[arg-type]


def answer_from(kind: type[_T], plain: Mapping[str, Any]) -> _T:
    """The answer of a kind again; its fields say what each value is.

    Raises
    ------
    KeyError, TypeError : the plain values are of another form.
    """
    hints = get_type_hints(kind)
    return kind(**{name: _value(hints[name], each) for name, each in plain.items()})


def _value(hint: Any, plain: Any) -> Any:
    if isinstance(plain, Mapping):
        return _message(plain) if "code" in plain else answer_from(_dataclass_in(hint), plain)
    if isinstance(plain, list):
        element = get_args(hint)[0] if get_origin(hint) is tuple else Any
        return tuple(_value(element, each) for each in plain)
    return plain


def _message(plain: Mapping[str, Any]) -> Message:
    return Message(plain["code"], **{name: _value(Message, each) for name, each in plain["values"].items()})


def _dataclass_in(hint: Any) -> type[Any]:
    """The frozen value that a hint names, alone or beside None."""
    choices = get_args(hint) if get_origin(hint) in (Union, UnionType) else (hint,)
    return next(each for each in choices if is_dataclass(each) and isinstance(each, type))
