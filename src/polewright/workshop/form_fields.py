"""What was typed in a form, read as the fields it should be; every fault at once, by the form's own names."""

from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import ValidationError

from polewright.codes import Message
from polewright.documents.document import Part
from polewright.documents.files import DocumentError, Fault, faults_of
from polewright.errors import DesignError
from polewright.workshop.words import words

__all__ = ["form_text", "form_values"]

_P = TypeVar("_P", bound=Part)


def form_values(kind: type[_P], fields: Mapping[str, Any]) -> _P:
    """The form as its kind; a field left empty is left out.

    Raises
    ------
    DocumentError : every field that is missing or cannot be so.
    """
    given = {name: value for name, value in fields.items() if not (isinstance(value, str) and not value.strip())}
    try:
        return kind.model_validate(given)
    except ValidationError as fault:
        raise DocumentError([_plainer(each) for each in faults_of(fault, kind)]) from fault


def form_text(text: str, field: str, *, may_be_empty: bool = False) -> str:
    """A name or lot typed in a form, without outer blanks.

    Raises
    ------
    DocumentError : empty where it may not be, too long, or with signs that cannot be shown.
    """
    try:
        said = words(text, field)
    except DesignError as fault:
        raise DocumentError([Fault.of(fault, field)]) from fault
    if not said and not may_be_empty:
        raise DocumentError.at(field, "", Message("want.still_empty"))
    return said


def _plainer(fault: Fault) -> Fault:
    field, value, want = fault
    return Fault((field, value, Message("want.still_empty") if want == Message("want.missing") else want))
