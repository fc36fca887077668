"""What the commands print on: console and tables, and answers made fit for them: a name is never read as a mark."""

import json
import sys
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import TypeVar

from pydantic import BaseModel
from rich.console import Console
from rich.markup import escape
from rich.table import Table

__all__ = ["console_of", "table_of", "without_markup", "write_json"]

_T = TypeVar("_T")


def console_of(least_width: int) -> Console:
    """A console at least so many letters wide, as tables do not fold; it reads no marks but ours in brackets."""
    return Console(width=max(Console().width, least_width), highlight=False, emoji=False)


def table_of(title: str, *columns: str, left: int = 1) -> Table:
    """A plain table: no frame, figures to the right; the first `left` columns are text."""
    table = Table(
        title=title,
        title_justify="left",
        title_style="bold",
        box=None,
        pad_edge=False,
        padding=(0, 2, 0, 0),
        header_style="dim",
    )
    for i, column in enumerate(columns):
        table.add_column(column, justify="left" if i < left else "right", overflow="fold")
    return table


def write_json(answer: BaseModel | Mapping[str, object]) -> None:
    """Print an answer for a program: indented JSON, letters as they are."""
    plain = answer.model_dump(mode="json") if isinstance(answer, BaseModel) else answer
    sys.stdout.write(json.dumps(plain, indent=2, ensure_ascii=False) + "\n")


def without_markup(value: _T) -> _T:
    """The same report with every text in it escaped, for brackets in a workshop's own words are no marks of ours."""
    changed: object = value
    if isinstance(value, str):
        changed = escape(value)
    elif isinstance(value, BaseModel):
        changed = value.model_copy(
            update={name: without_markup(getattr(value, name)) for name in type(value).model_fields}
        )
    elif is_dataclass(value) and not isinstance(value, type):
        changed = replace(value, **{f.name: without_markup(getattr(value, f.name)) for f in fields(value) if f.init})
    elif isinstance(value, tuple | list):
        changed = type(value)(without_markup(item) for item in value)
    elif isinstance(value, Mapping):
        changed = {without_markup(key): without_markup(item) for key, item in value.items()}
    return changed  # type: ignore[return-value]
