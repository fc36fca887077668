"""The table of places of a pole: every module of `web/places` that offers `PLACE`, in the order of the navigation."""

from collections.abc import Iterator, Mapping
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType

from polewright.web import places
from polewright.web.place_kind import PlaceKind

__all__ = ["GROUPS", "JOB_PLACES", "PLACES"]

_GROUPS = ("design", "have", "make", "prove", "sell", "keep")


def _rows() -> Iterator[tuple[str, PlaceKind]]:
    for module in iter_modules(places.__path__):
        place = getattr(import_module(f"{places.__name__}.{module.name}"), "PLACE", None)
        if isinstance(place, PlaceKind):
            yield module.name, place


def _order(row: tuple[str, PlaceKind]) -> tuple[int, int]:
    return _GROUPS.index(row[1].group), row[1].position


PLACES: Mapping[str, PlaceKind] = MappingProxyType(dict(sorted(_rows(), key=_order)))
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = tuple(
    (group, tuple(code for code, place in PLACES.items() if place.group == group)) for group in _GROUPS
)
JOB_PLACES: Mapping[str, str] = MappingProxyType({place.job: code for code, place in PLACES.items() if place.job})
"""Kind of job -> the place where it is started and its answer is shown."""
