"""A refusal of the search, told with its place in the document."""

from collections.abc import Iterator
from contextlib import contextmanager

from polewright.codes import Message
from polewright.documents.files import DocumentError, Fault
from polewright.errors import DesignError

__all__ = ["placed"]


_TABLES = ("rules.", "build.", "brief.")  # of the search's own values
_LENGTHS = ("least_wall", "most_wall", "block", "clearance_least", "clearance_most", "overlap", "prop")


@contextmanager
def placed(room: str) -> Iterator[None]:
    """A refusal of the search, told with its place in the document."""
    try:
        yield
    except DesignError as fault:
        name = fault.field.split(", ")[0]
        for table in _TABLES:
            name = name.removeprefix(table)
        is_length = name in _LENGTHS and isinstance(fault.value, float)
        value = Message("bound.length", value=fault.value) if is_length else fault.given
        raise DocumentError([Fault((f"{room}.{name}", value, fault.want))]) from fault
