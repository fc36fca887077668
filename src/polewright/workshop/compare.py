"""Two revisions held against each other, field by field; a ply put in or taken out shows as just that."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

__all__ = ["Change", "changes"]

NAMES = ("id", "figure")  # an entry that has one of these is the same entry by it, wherever it stands
MOST_PAIRS = 10_000  # longer lists are held against each other place by place


@dataclass(frozen=True, slots=True)
class Change:
    """One field that differs; None where a side does not have it. Places in lists count from 0, as in faults."""

    field: str
    before: Any
    after: Any


def changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[Change, ...]:
    """Every difference of two documents given as plain values, in the order of the newer one.

    Entries of a list are matched so that the least has changed in all: by their order and by how alike they are.
    """
    return tuple(_fields("", before, after))


def _fields(place: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Change]:
    for name in _names(before, after):
        yield from _values(f"{place}.{name}" if place else name, before.get(name), after.get(name))


def _names(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[str]:
    return [*after, *(name for name in before if name not in after)]


def _values(place: str, before: Any, after: Any) -> Iterator[Change]:
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        yield from _fields(place, before, after)
    elif isinstance(before, list) and isinstance(after, list):
        for i, j in _matched(before, after):
            if i is not None and j is not None:
                yield from _values(f"{place}[{j}]", before[i], after[j])
            elif i is not None:
                yield Change(f"{place}[{i}]", before[i], None)
            elif j is not None:
                yield Change(f"{place}[{j}]", None, after[j])
    elif before != after:
        yield Change(place, before, after)


Match = tuple[int, int] | tuple[int, None] | tuple[None, int]


def _matched(before: Sequence[Any], after: Sequence[Any]) -> list[Match]:
    """Which entry became which, in order: pairs, and those that are gone (i, None) or have come (None, j)."""
    first, n, m = 0, len(before), len(after)
    while first < min(n, m) and before[first] == after[first]:
        first += 1
    while min(n, m) > first and before[n - 1] == after[m - 1]:
        n, m = n - 1, m - 1
    same: list[Match] = [(i, i) for i in range(first)]
    ended: list[Match] = [(n + k, m + k) for k in range(len(before) - n)]
    return [*same, *_aligned(before[first:n], after[first:m], first), *ended]


def _aligned(before: Sequence[Any], after: Sequence[Any], first: int) -> Iterator[Match]:
    """The cheapest way from one list to the other, walked from the front; alike in cost, place goes with place."""
    n, m = len(before), len(after)
    pair = _pair_cost(before, after)
    is_by_place = n * m > MOST_PAIRS or (n == m > 0 and _is_cheapest_by_place(before, after, pair))
    rest = None if is_by_place else _rests(before, after, pair)
    i = j = 0
    while i < n or j < m:
        here = rest[i][j] if rest is not None else 0.0
        if i < n and j < m and (rest is None or pair(i, j) + rest[i + 1][j + 1] <= here + 1e-9):
            yield first + i, first + j
            i, j = i + 1, j + 1
        elif i < n and (j == m or rest is None or _size(before[i]) + rest[i + 1][j] <= here + 1e-9):
            yield first + i, None
            i += 1
        else:
            yield None, first + j
            j += 1


def _is_cheapest_by_place(before: Sequence[Any], after: Sequence[Any], pair: Callable[[int, int], float]) -> bool:
    """Of two lists as long as each other: no other way is cheaper, for it has one entry go and one come at least."""
    return sum(pair(i, i) for i in range(len(before))) <= min(map(_size, before)) + min(map(_size, after))


def _rests(before: Sequence[Any], after: Sequence[Any], pair: Callable[[int, int], float]) -> list[list[float]]:
    """What it costs at least to turn before[i:] into after[j:], (n + 1, m + 1), by dynamic programming."""
    n, m = len(before), len(after)
    rest = [[0.0] * (m + 1) for _ in range(n + 1)]
    for i in range(n - 1, -1, -1):
        rest[i][m] = rest[i + 1][m] + _size(before[i])
    for j in range(m - 1, -1, -1):
        rest[n][j] = rest[n][j + 1] + _size(after[j])
    for i in range(n - 1, -1, -1):
        gone = _size(before[i])
        for j in range(m - 1, -1, -1):
            rest[i][j] = min(pair(i, j) + rest[i + 1][j + 1], gone + rest[i + 1][j], _size(after[j]) + rest[i][j + 1])
    return rest


def _pair_cost(before: Sequence[Any], after: Sequence[Any]) -> Callable[[int, int], float]:
    """What it costs to call two entries one; never worth it where one of them stands in the other list by its name."""
    old, new = [_name(item) for item in before], [_name(item) for item in after]
    known: dict[tuple[int, int], float] = {}

    def cost(i: int, j: int) -> float:
        if (i, j) not in known:
            is_other = old[i] != new[j] and (old[i] in new or new[j] in old)
            known[i, j] = _size(before[i]) + _size(after[j]) + 1.0 if is_other else _cost(before[i], after[j])
        return known[i, j]

    return cost


def _name(item: Any) -> Any:
    if not isinstance(item, Mapping):
        return None
    return next((item[name] for name in NAMES if name in item), None)


def _size(value: Any) -> float:
    """How many figures and words a value holds, an empty one counted as one."""
    if isinstance(value, Mapping):
        return max(1.0, sum(map(_size, value.values())))
    return max(1.0, sum(map(_size, value))) if isinstance(value, list) else 1.0


def _cost(before: Any, after: Any) -> float:
    """How much has changed: 1 a word, from a half to 1 a figure by how far it went, all of what came or is gone."""
    if before == after:
        return 0.0
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        return sum(_cost(before.get(name), after.get(name)) for name in _names(before, after))
    if isinstance(before, list) and isinstance(after, list):
        return sum(_match_cost(before, after, match) for match in _matched(before, after))
    if isinstance(before, int | float) and isinstance(after, int | float):
        return 0.5 + 0.5 * min(1.0, abs(before - after) / (abs(before) + abs(after)))
    return max(_size(before), _size(after))


def _match_cost(before: Sequence[Any], after: Sequence[Any], match: Match) -> float:
    i, j = match
    if i is None or j is None:
        return _size(after[j] if j is not None else before[i or 0])
    return _cost(before[i], after[j])
