"""The kinds of long work, each by the function that does it and the form of its answer."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

__all__ = ["KINDS", "Kind"]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of long work.

    work : "module:function", imported in the worker process alone. version : of the form of its answer and checkpoint;
    an answer of another version is not read.
    """

    code: str
    work: str
    version: int


KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        kind.code: kind
        for kind in (
            Kind("find", "polewright.workshop.jobs.find_work:find_work", 2),
            Kind("scatter", "polewright.workshop.jobs.scatter_work:scatter_work", 1),
        )
    }
)
"""By code."""
