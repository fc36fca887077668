"""Answers into the published models: SI values become fields with their unit in the name, field by field.

A published field `wall_mm` shows the attribute `wall` of the answer in millimetres; a field without a unit shows the
attribute of its own name as it is. Nested models and tuples of them are filled in the same way; what the answer does
not have, such as a text, is given beside it.
"""

from dataclasses import dataclass
from functools import cache
from types import UnionType
from typing import Any, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel

from polewright.errors import DesignError
from polewright.units import split_field

__all__ = ["published", "published_number"]

_Model = TypeVar("_Model", bound=BaseModel)
_MISSING = object()
_DIGITS = 14  # significant digits that survive a trip to SI and back


@dataclass(frozen=True, slots=True)
class _Field:
    """Where one published field comes from."""

    name: str
    stem: str
    factor: float
    offset: float
    model: type[BaseModel] | None

    def value(self, of: object) -> Any:
        """The field's value of an attribute of the answer."""
        if of is None or isinstance(of, str | bool):
            return of
        if isinstance(of, tuple | list):
            return tuple(self.value(each) for each in of)
        if self.model is not None:
            return of if isinstance(of, self.model) else published(self.model, of)
        return published_number(of, self.factor, self.offset)


def published(model: type[_Model], answer: object, **given: Any) -> _Model:
    """A published model filled from an answer.

    Parameters
    ----------
    answer : its attributes are SI and bear the names of the model's fields without their units; a field's full name is
        taken where the answer has it.
    given : fields that the answer does not have, or has under another name, ready as they are published.

    Raises
    ------
    AttributeError : a field is neither given nor in the answer, and has no default.
    """
    values = dict(given)
    for field in _fields(model):
        if field.name in values:
            continue
        found = getattr(answer, field.stem, _MISSING)
        if found is not _MISSING:
            values[field.name] = field.value(found)
        elif hasattr(answer, field.name):
            values[field.name] = getattr(answer, field.name)
        elif model.model_fields[field.name].is_required():
            raise AttributeError(f"{type(answer).__name__} has no {field.stem} for {model.__name__}.{field.name}")
    return model(**values)


def published_number(value: Any, factor: float = 1.0, offset: float = 0.0) -> Any:
    """A number in a unit by the unit's factor and offset to SI, to 14 significant digits; untouched in an SI unit."""
    if isinstance(value, int):
        return value
    number = float(value)
    if factor == 1.0 and offset == 0.0:
        return number
    return float(f"{(number - offset) / factor:.{_DIGITS}g}")


_STIFFNESS = "_N_mm"  # might be a moment or a stiffness elsewhere; in published figures it is N/mm


@cache
def _fields(model: type[BaseModel]) -> tuple[_Field, ...]:
    rows = []
    for name, field in model.model_fields.items():
        stem, factor, offset = _split(name)
        rows.append(_Field(name, stem, factor, offset, _nested(field.annotation)))
    return tuple(rows)


def _split(name: str) -> tuple[str, float, float]:
    if name.endswith(_STIFFNESS):
        return name.removesuffix(_STIFFNESS), 1000.0, 0.0
    try:
        return split_field(name)
    except DesignError:  # an ending that is also an English word, as in "cure_in": no unit is meant
        return name, 1.0, 0.0


def _nested(annotation: Any) -> type[BaseModel] | None:
    """The model inside a field's annotation: its own, that of a tuple's elements, or that beside None."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) in (tuple, Union, UnionType):
        return next((found for each in get_args(annotation) if (found := _nested(each)) is not None), None)
    return None
