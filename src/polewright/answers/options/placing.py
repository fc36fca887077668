"""A refusal of the search, told with its place in the document."""

from collections.abc import Iterator
from contextlib import contextmanager

from polewright.documents.files import DocumentError, Fault
from polewright.errors import DesignError

__all__ = ["placed"]


@contextmanager
def placed(room: str) -> Iterator[None]:
    """A refusal of the search, told with its place in the document."""
    try:
        yield
    except DesignError as fault:
        value = fault.given
        raise DocumentError([Fault((f"{room}: {fault.field}", value, fault.want))]) from fault
