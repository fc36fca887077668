"""Two revisions held against each other, field by field; a ply put in or taken out shows as just that."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

__all__ = ["Change", "changes"]


@dataclass(frozen=True, slots=True)
class Change:
    """One field that differs; None where a side does not have it. Places in lists count from 0, as in faults."""

    field: str
    before: Any
    after: Any


def changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[Change, ...]:
    """Every difference of two documents given as plain values, in the order of the newer one."""
    return tuple(_fields("", before, after))


def _fields(place: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Change]:
    for name in [*after, *(name for name in before if name not in after)]:
        yield from _values(f"{place}.{name}" if place else name, before.get(name), after.get(name))


def _values(place: str, before: Any, after: Any) -> Iterator[Change]:
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        yield from _fields(place, before, after)
    elif isinstance(before, list) and isinstance(after, list):
        yield from _lists(place, before, after)
    elif before != after:
        yield Change(place, before, after)


def _lists(place: str, before: Sequence[Any], after: Sequence[Any]) -> Iterator[Change]:
    old, new = ([json.dumps(item, sort_keys=True) for item in side] for side in (before, after))
    for kind, i, i_end, j, j_end in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if kind == "equal":
            continue
        shared = min(i_end - i, j_end - j)
        for step in range(shared):
            yield from _values(f"{place}[{j + step}]", before[i + step], after[j + step])
        for gone in range(i + shared, i_end):
            yield Change(f"{place}[{gone}]", before[gone], None)
        for come in range(j + shared, j_end):
            yield Change(f"{place}[{come}]", None, after[come])
