"""What is refused on an inch page is told as it was typed, in the unit of the page, by every form of the app."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from tests.kept.refused import numbers_of

from polewright.errors import PolewrightError
from polewright.units import display_unit, from_si, parse, quantity_of_field
from polewright.web.shelf_paths import form_change
from polewright.words import FaultText, Reader, default_reader
from polewright.workshop import Workshop

REED = "/poles/reedlight-7"
TYPED = ("-7.777", "98765.4", "0.0012345", "180.5")
BEND = {"kind": "two-load bend", "serial": "R7-1", "section": "4", "span_mm": "47", "load_g-0": "16",
        "reading_mm-0": "0.03", "load_g-1": "80", "reading_mm-1": "0.16"}  # fmt: skip
SLEEVE = {"kind": "joint sleeve", "serial": "R7-1", "joint": "1", "prop_mm": "40", "sleeve_mm": "8",
          "load_g-0": "8", "reading_mm-0": "4", "load_g-1": "24", "reading_mm-1": "12", "sleeved_load_g-0": "8",
          "sleeved_reading_mm-0": "3.9", "sleeved_load_g-1": "24", "sleeved_reading_mm-1": "11.7"}  # fmt: skip
BAR = {"edit": "add_mandrel", "mandrel": "B", "metal": "aluminium_6000", "small_end_mm": "1.2", "big_end_mm": "1.2345",
       "length_mm": "40"}  # fmt: skip
ROLL = {"edit": "add_own_prepreg", "name": "own", "fibre": "pan_sm_230", "resin": "ep120_tough",
        "fibre_areal_g_m2": "4", "resin_content_pct": "36", "price_per_m2": "20", "roll_width_mm": "40"}  # fmt: skip
GIVEN = {"edit": "give_figure", "material": "0", "figure": "E1_GPa", "kind": "measured", "lot": ""}
PLACE = {"edit": "add_mandrel_place", "mandrel": "0", "at_mm": "12.3", "diameter_mm": "0.95"}
RULE = {"edit": "add_rule", "judge": "block", "title": "Thin blocks"}


@pytest.fixture
def inches(client: Any) -> Any:
    """A caller whose pages are in inches."""
    client.cookies["units"] = "inch"
    return client


def faults(answer: Any) -> list[dict[str, str]]:
    """The faults of a refusal; none of what is taken."""
    return answer.json()["faults"] if answer.status_code == 422 else []


def edited(client: Any, workshop: Workshop, **form: str) -> list[dict[str, str]]:
    """What is refused of an edit; what is taken is forgotten again."""
    seen = workshop.designs.open("reedlight-7").saved.design.content_hash()[:16]
    found = faults(
        client.post(f"{REED}/shelf/edit", data={"seen": seen, **form}, headers={"accept": "application/json"})
    )
    client.post(f"{REED}/forget")
    return found


def refused(change: Callable[[], object], reader: Reader) -> tuple[FaultText, ...]:
    """What is told of a change that is refused; nothing of one that is taken."""
    try:
        change()
    except PolewrightError as fault:
        return reader.faults(fault)
    return ()


def number_of(path: str, text: str) -> float:
    """What a document would keep in a field for a number of an inch page."""
    name = path.rsplit(".", 1)[-1]
    quantity = quantity_of_field(name)
    assert quantity is not None
    return from_si(name, parse(text, quantity, display_unit(quantity, "inch")))


def fields(workshop: Workshop) -> Iterator[str]:
    """Every figure of the pole that the inch system shows in a unit of its own."""
    for way in numbers_of(dict(workshop.designs.open("reedlight-7").saved.design.plain())):
        quantity = quantity_of_field(str(way[-1]))
        if quantity is not None and display_unit(quantity, "inch") != display_unit(quantity, "metric"):
            yield "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in way).removeprefix(".")


def test_no_refused_figure_of_a_pole_is_told_in_the_unit_of_its_document(workshop: Workshop) -> None:
    design, inch = workshop.designs.open("reedlight-7").saved.design, Reader(default_reader().language, "inch")
    told: list[str] = []
    for path in fields(workshop):
        for text in TYPED:
            form = {"edit": "set_field", "path": path, "text": text}
            for fault in refused(lambda form=form: form_change(form, inch, workshop)(design), inch):
                kept = number_of(path, text)
                said = fault.value + fault.says
                assert repr(kept) not in said, path
                assert f"{kept:.6g}" not in said, path
                told += [fault.value] if fault.field == path else []
    assert len(told) > 100
    as_typed = [value for value in told if value.startswith(tuple(f"'{text} " for text in TYPED))]
    assert as_typed == told


@pytest.mark.parametrize(
    ("form", "field", "value"),
    [
        (BAR | {"big_end_mm": "1.1111"}, "big_end_mm", "'1.1111 in'"),
        (BAR | {"small_end_mm": "0.012345"}, "small_end_mm", "'0.012345 in'"),
        (BAR | {"length_mm": "-40"}, "length_mm", "'-40 in'"),
        (PLACE | {"at_mm": "0"}, "at_mm", "'0 in'"),
        (PLACE | {"diameter_mm": "77.77"}, "diameter_mm", "'77.77 in'"),
        (ROLL | {"fibre_areal_g_m2": "0.0123"}, "fibre_areal_g_m2", "'0.0123 oz/yd2'"),
        (ROLL | {"price_per_m2": "-3"}, "price_per_m2", "'-3 /yd2'"),
        (ROLL | {"roll_width_mm": "1 mile"}, "roll_width_mm", "'1 mile'"),
        (GIVEN | {"value": "1234.5"}, "value", "'1234.5 msi'"),
        (RULE | {"limit": "55.5"}, "limit", "'55.5 in'"),
        ({"edit": "set_field", "path": "rule:block:limit", "text": "77,7"}, "limit", "'77,7 in'"),
    ],
)
def test_a_form_tells_what_was_typed_in_it(
    inches: Any, workshop: Workshop, form: dict[str, str], field: str, value: str
) -> None:
    assert (field, value) in [(fault["field"], fault["value"]) for fault in edited(inches, workshop, **form)]


@pytest.mark.parametrize(
    ("form", "field", "value"),
    [
        (BEND | {"span_mm": "0.0123"}, "span_mm", "'0.0123 in'"),
        (BEND | {"span_mm": "200"}, "test.span_mm", "200\u00a0in"),
        (BEND | {"load_g-1": "9999"}, "load_g-1", "'9999 oz'"),
        (BEND | {"reading_mm-0": "", "load_g-3": "9999", "reading_mm-3": "0.2"}, "load_g-3", "'9999 oz'"),
        (SLEEVE | {"sleeve_EI_N_m2": "-5"}, "sleeve_EI_N_m2", "'-5 lbf ft2'"),
        (SLEEVE | {"sleeve_EI_N_m2": "200", "sleeved_reading_mm-1": "999"}, "sleeved_reading_mm-1", "'999 in'"),
    ],
)
def test_a_test_at_the_bench_tells_what_was_typed(
    inches: Any, workshop: Workshop, form: dict[str, str], field: str, value: str
) -> None:
    answer = inches.post(f"{REED}/tests", data=form, headers={"accept": "application/json"})
    assert (field, value) in [(fault["field"], fault["value"]) for fault in faults(answer)]
    assert workshop.records.listed() == ()


@pytest.mark.parametrize(
    ("query", "field", "value", "least", "most"),
    [
        ("head_g=12345", "head_g", "'12345 oz'", "0", "220.5\u00a0lb"),
        ("hose_g_m=1234", "hose_g_m", "'1234 oz/ft'", "0", "21.5\u00a0oz/ft"),
        ("wind_m_s=123.4", "wind_m_s", "'123.4 mph'", "0", "89.48\u00a0mph"),
        ("temperature_C=999", "temperature_C", "'999 °F'", "\u221240", "392\u00a0°F"),
        ("rear_mm=-1.2345", "rear_mm", "'-1.2345 in'", "0", "1\u202f181\u00a0in"),
        ("support=head on glass&slide=stuck&push_N=777", "push_N", "'777 lbf'", "0", "112.4\u00a0lbf"),
        ("support=hands&rear_mm=40&front_mm=39.5", "front_mm", "39.5\u00a0in", "", "40\u00a0in"),
    ],
)
def test_a_hold_tells_what_was_typed_and_both_limits(
    inches: Any, query: str, field: str, value: str, least: str, most: str
) -> None:
    (fault,) = faults(inches.get(f"{REED}/held?{query}", headers={"accept": "application/json"}))
    assert (fault["field"], fault["value"]) == (field, value)
    assert least in fault["want"]
    assert most in fault["want"]


def test_a_number_with_a_unit_of_its_own_keeps_it(inches: Any, workshop: Workshop) -> None:
    (fault,) = edited(inches, workshop, edit="set_field", path="joints[0].overlap_mm", text="99 m")
    assert fault["value"] == "'99 m'"
