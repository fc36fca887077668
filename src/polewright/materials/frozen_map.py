"""A mapping nobody can change that travels between processes (a read-only view of a dict does not)."""

from collections.abc import Iterator, Mapping
from typing import TypeVar

__all__ = ["FrozenMap"]

K = TypeVar("K")
V = TypeVar("V")


class FrozenMap(Mapping[K, V]):
    """The items of a mapping as they were, in their order."""

    __slots__ = ("_items",)

    def __init__(self, items: Mapping[K, V]) -> None:
        self._items = dict(items)

    def __getitem__(self, key: K) -> V:
        return self._items[key]

    def __iter__(self) -> Iterator[K]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __repr__(self) -> str:
        return f"FrozenMap({self._items!r})"
