"""Messages and faults as plain JSON values and back, so that they pass between processes and lie in the store."""

from collections.abc import Iterable, Mapping
from typing import Any

from polewright.codes import Message
from polewright.workshop.jobs.job import Fault

__all__ = ["faults_from", "plain_faults"]


def plain_faults(faults: Iterable[Fault]) -> list[list[Any]]:
    """Each fault as [field, value, what would be right]."""
    return [[field, _plain(value), _plain(want)] for field, value, want in faults]


def faults_from(plain: Iterable[Iterable[Any]]) -> tuple[Fault, ...]:
    """The faults again."""
    return tuple((str(field), _value(value), _value(want)) for field, value, want in plain)


def _plain(value: object) -> Any:
    """Numbers, text and None stay; a message becomes a mapping; anything else is written as text."""
    if isinstance(value, Message):
        return {"code": value.code, "values": {name: _plain(each) for name, each in value.values.items()}}
    if isinstance(value, tuple | list):
        return [_plain(each) for each in value]
    return value if value is None or isinstance(value, bool | int | float | str) else str(value)


def _value(plain: Any) -> Any:
    if isinstance(plain, Mapping):
        return Message(plain["code"], **{name: _value(each) for name, each in plain["values"].items()})
    return tuple(_value(each) for each in plain) if isinstance(plain, list) else plain
