"""Limits that a document may leave out."""

from math import inf

from polewright.units import si

__all__ = ["at_least", "at_most"]


def at_most(field: str, value: float | None) -> float:
    """An upper limit in SI, of a field with its unit in the name; no end where it is left out."""
    return inf if value is None else si(field, value)


def at_least(field: str, value: float | None) -> float:
    """A lower limit in SI, of a field with its unit in the name; 0 where it is left out."""
    return 0.0 if value is None else si(field, value)
