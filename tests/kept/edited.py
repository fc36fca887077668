"""What the edits of a pole make of numbers and places of other sizes: what each changes, and what it refuses."""

import contextlib
import tempfile
from collections.abc import Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from polewright.workshop import EDITS, Workshop, changes, open_workshop
from tests.kept.figures import Place
from tests.kept.refused import refusal_of
from tests.kept.whole import design_of, places_in

TRIES: tuple[Any, ...] = (-1, 0, 1, 3, 90, 2500, "0", "12 mm", "2 in", "1e9", "nan", "0.5")


@contextlib.contextmanager
def demo_workshop() -> Iterator[Workshop]:
    """A workshop with the demo in it."""
    with tempfile.TemporaryDirectory() as folder, open_workshop(Path(folder) / "w.sqlite") as workshop:
        workshop.load_demo()
        yield workshop


def edits_tried(half: int) -> dict[str, Place]:
    """Each number, text of a number and place of the example of every second edit in other sizes."""
    found: dict[str, Place] = {}
    with demo_workshop() as workshop:
        for kind in list(EDITS.values())[half::2]:
            design = design_of("reedlight-7")
            for name in (first for each in kind.after for first in (*EDITS[each].after, each)):
                design = workshop.edited(design, name, **EDITS[name].example)
            for field, value in kind.example.items():
                for way, other in _others(value):
                    name = f"{kind.name} {field}{way} {other}"
                    asked = {**kind.example, field: _with(value, way, other)}
                    found |= refusal_of(name, partial(_changed, workshop, design, kind.name, asked, found, name))
    return found


def _others(value: Any) -> Iterator[tuple[str, Any]]:
    """Ways into the value of an argument, and what else may stand there; text only in place of text."""
    if isinstance(value, Mapping):
        for name, each in value.items():
            yield from ((f".{name}", other) for _, other in _others(each))
    elif isinstance(value, str):
        yield from (("", str(other)) for other in TRIES if value[:1].isdigit())
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield from (("", other) for other in TRIES if not isinstance(other, str))


def _with(value: Any, way: str, other: Any) -> Any:
    return {**value, way.removeprefix("."): other} if way else other


def _changed(workshop: Workshop, design: Any, edit: str, asked: Any, found: dict[str, Place], name: str) -> None:
    after = workshop.edited(design, edit, **asked)
    rows = changes(dict(design.plain()), dict(after.plain()))
    found |= {f"{name}: {place}": each for place, each in places_in({c.field: [c.before, c.after] for c in rows})}
