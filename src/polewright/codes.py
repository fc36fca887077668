"""What is to be told to a person, as a code with its values; `words` makes text of it in a language and its units.

A code is the key of a text in the message catalogues: lower case, opened by its subject, as in "fit.clearance_short".
Values are SI numbers, counts, names that a person typed, further messages, or tuples of these; never sentences.
"""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["Message"]


class Message:
    """A code with its named values; frozen, equal and hashable by content.

    >>> Message("fit.clearance_short", inner=1, outer=2, clearance=0.0001)
    Message('fit.clearance_short', clearance=0.0001, inner=1, outer=2)
    """

    __slots__ = ("_items", "code")
    code: str
    _items: tuple[tuple[str, object], ...]

    def __init__(self, code: str, /, **values: object) -> None:
        object.__setattr__(self, "code", code)
        object.__setattr__(self, "_items", tuple(sorted(values.items())))

    @property
    def values(self) -> Mapping[str, object]:
        """The values by their names."""
        return MappingProxyType(dict(self._items))

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"a message is frozen: {name}")

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Message) and (self.code, self._items) == (other.code, other._items)

    def __hash__(self) -> int:
        return hash((self.code, self._items))

    def __reduce__(self) -> tuple[object, ...]:
        return _message, (self.code, self._items)

    def __repr__(self) -> str:
        return f"Message({', '.join([repr(self.code), *(f'{name}={value!r}' for name, value in self._items)])})"

    def __str__(self) -> str:
        """The code with its values, for a log or a traceback; a person reads the text that `words` makes of it."""
        values = ", ".join(f"{name} {value}" for name, value in self._items)
        return f"{self.code} ({values})" if values else self.code


def _message(code: str, items: tuple[tuple[str, object], ...]) -> Message:
    return Message(code, **dict(items))
