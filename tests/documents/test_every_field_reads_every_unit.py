"""Whatever has a unit may be typed in any unit of its quantity: each field of each document reads each of them."""

import copy
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.kept.odd import odd_pole
from tests.kept.refused import numbers_of

from polewright.documents.files import document_of
from polewright.documents.hold import Holding
from polewright.units import QUANTITIES, quantity_of_field, si

ALONE = {"swing_at_least_Hz", "within_pct", "void_pct"}
"""Fields that take a number alone."""
EXAMPLES = Path(__file__).parents[2] / "examples"


def plains() -> dict[str, dict[str, Any]]:
    brief = tomllib.loads((EXAMPLES / "briefs" / "reedlight-7.toml").read_text(encoding="utf-8"))
    readings = [{"load_g": 500.0, "reading_mm": 1.0, "clock_deg": 10.0}, {"load_g": 900.0, "reading_mm": 2.0}]
    test = {"kind": "two-load bend", "section": 4, "span_mm": 1200.0, "readings": readings, "span_u_mm": 1.0}
    record = {"document": "test-record", "schema_version": 1, "serial": "R7-1", "test": test}
    return {"design": dict(odd_pole().plain()), "brief": brief, "record": record}


def fields() -> Iterator[tuple[str, tuple[Any, ...], str]]:
    """Kind, way and quantity of the first field of each name that has a unit."""
    for kind, plain in plains().items():
        seen = set()
        for way in numbers_of(plain):
            quantity = quantity_of_field(str(way[-1]))
            if quantity is not None and way[-1] not in seen | ALONE:
                seen.add(way[-1])
                yield kind, way, quantity


def at(plain: Any, way: tuple[Any, ...]) -> Any:
    for step in way:
        plain = plain[step]
    return plain


@pytest.mark.parametrize(("kind", "way", "quantity"), list(fields()))
def test_a_field_is_read_in_each_unit_of_its_quantity(kind: str, way: tuple[Any, ...], quantity: str) -> None:
    plain = plains()[kind]
    before = float(at(document_of(plain).plain(), way))
    for unit in QUANTITIES[quantity].units:
        number = (si(str(way[-1]), before) - float(unit.offset)) / float(unit.factor)
        typed = copy.deepcopy(plain)
        at(typed, way[:-1])[way[-1]] = f"{number!r} {unit.name}"
        assert at(document_of(typed).plain(), way) == pytest.approx(before, rel=1e-9, abs=1e-9), unit.name


@pytest.mark.parametrize("name", [name for name in Holding.model_fields if quantity_of_field(name)])
def test_a_field_of_a_hold_is_read_in_each_unit_of_its_quantity(name: str) -> None:
    is_listed = "tuple" in str(Holding.model_fields[name].annotation)
    for unit in QUANTITIES[str(quantity_of_field(name))].units:
        typed = f"{(si(name, 2.0) - float(unit.offset)) / float(unit.factor)!r} {unit.name}"
        read = getattr(Holding.model_validate({name: [typed] if is_listed else typed}), name)
        assert (read[0] if is_listed else read) == pytest.approx(2.0, rel=1e-9), unit.name
