"""An inch page says the figures of the metric one: as large, as fine, and each with its own unit."""

import re
from typing import Any

import pytest
from tests.words.outside import page_texts, texts_within

from polewright.web.place_table import PLACES
from polewright.workshop import Workshop

REED = "/poles/reedlight-7"
POUND_FORCE = 4.4482216152605
"""[N]"""
PER_OUNCE = 28.349523125 / 100.0 / 25.4
"""[in/oz] of a mm/100 g"""
FOOT_POUND_FOOT = 4.4482216152605 * 0.3048**2
"""[N m2] of a lbf ft2"""
BENCH = {
    "two-load bend": {"section": "4", "span_mm": "1200 mm", "load_g-0": "500 g", "reading_mm-0": "1 mm",
                      "load_g-1": "2500 g", "reading_mm-1": "4.1 mm"},
    "tip load": {"out": "4", "prop_mm": "1000 mm", "load_g-0": "250 g", "reading_mm-0": "300 mm",
                 "load_g-1": "750 g", "reading_mm-1": "800 mm"},
}  # fmt: skip


def step(number: str) -> float:
    """The worth of the last digit."""
    return 10.0 ** -len(number.partition(".")[2])


def agree(metric: str, inch: str, factor: float) -> bool:
    """Whether an inch figure is the metric one times a factor, as far as both are printed."""
    return float(inch) == pytest.approx(factor * float(metric), abs=0.501 * (factor * step(metric) + step(inch)))


def is_as_fine(metric: str, inch: str, factor: float) -> bool:
    """Whether the last digits of both are worth about the same: the inch one's from a tenth to three times."""
    return 0.1 <= step(inch) / (factor * step(metric)) <= 3.0


def pages(client: Any, place: str) -> tuple[str, str]:
    """The same place in metric and in inches."""
    found = []
    for units in ("metric", "inch"):
        client.cookies["units"] = units
        found.append(client.get(f"{REED}/{place}").text)
    return found[0], found[1]


def headlines(page: str) -> list[tuple[str, str]]:
    """Numbers and units of the figures beside the drawing."""
    figures = re.search(r'data-part="figures">(.*?)</dl>', page, re.S)
    assert figures is not None
    return re.findall(r"<dd>([^<]+) <small>([^<]*)</small>", figures[1])


def test_the_clamp_window_is_as_wide_in_pounds_force(client: Any) -> None:
    metric, inch = (headlines(page) for page in pages(client, "wall?section=4"))
    ((newtons, unit),) = [row for row in metric if "\u2013" in row[0]]
    ((pounds, inch_unit),) = [row for row in inch if "\u2013" in row[0]]
    assert (unit, inch_unit) == ("N", "lbf")
    for mine, other in zip(newtons.split("\u2013"), pounds.split("\u2013"), strict=True):
        assert agree(mine, other, 1.0 / POUND_FORCE)
    assert 100.0 < float(newtons.split("\u2013")[0]) < 300.0, "a band that holds 150 N wet"


def test_droop_and_mass_beside_the_drawing_turn_into_inches_and_pounds(client: Any) -> None:
    metric, inch = (headlines(page) for page in pages(client, "wall?section=4"))
    for unit, other, factor in (("mm", "in", 1.0 / 25.4), ("kg", "lb", 1.0 / 0.45359237)):
        (number,) = [n for n, u in metric if u == unit]
        (turned,) = [n for n, u in inch if u == other]
        assert agree(number, turned, factor)
        assert unit == "kg" or is_as_fine(number, turned, factor)


def budget(page: str) -> list[tuple[str, str]]:
    """The parts of an uncertainty, number and unit, as the bench shows them, largest first."""
    tables = re.findall(r"<table><caption>.*?</table>", page, re.S)
    parts = [re.findall(r'<td class="num">([\d.]+)[\s\u00a0]([^<]+)</td>', table) for table in tables]
    return next(found for found in parts if found)


UNITS = {
    "tip load": ("mm/100\u00a0g", "in/oz", PER_OUNCE),
    "two-load bend": ("N\u00b7m\u00b2", "lbf\u00b7ft\u00b2", 1.0 / FOOT_POUND_FOOT),
}


@pytest.mark.parametrize("kind", UNITS)
def test_the_parts_of_an_uncertainty_are_as_fine_in_inches(client: Any, kind: str) -> None:
    unit, inch_unit, factor = UNITS[kind]
    kept = client.post(f"{REED}/tests", data={"kind": kind, "serial": "R7-1", **BENCH[kind]})
    assert kept.status_code == 303, kept.text
    metric, inch = (budget(page) for page in pages(client, "bench"))
    assert len(metric) == len(inch) > 3
    for (number, shown), (turned, turned_unit) in zip(metric, inch, strict=True):
        assert (shown.replace(" ", "\u00a0"), turned_unit) == (unit, inch_unit)
        assert agree(number, turned, factor)
        assert is_as_fine(number, turned, factor)
    assert len(metric[0][0].replace(".", "").lstrip("0")) >= 2, "two digits of the largest part"


METRIC = re.compile(
    r"(?<![\w.])(?:[\d.]+[\s\u00a0])?(?:mm|cm|µm|kg|kN|MPa|GPa|kPa|°C|kg·m|N·m²|N·m|g/m²|g/cm³|kg/m³|m/s|µ/K|g/m|/m²|mm/100\u00a0?g"
    r"|kN·m/rad|(?<=[\d][\s\u00a0])[gNm])(?![\w/·²³.])"
)
INCH = re.compile(
    r"(?<![\w.])(?:[\d.]+[\s\u00a0])?(?:oz|lb|lbf|psi|ksi|msi|°F|mph|lbf·ft|lbf·ft²|lb·ft|oz/yd²|/yd²|in/oz|lb/in³|ppm/°F|oz/ft"
    r"|(?<=\d\u00a0)(?:in|ft)|^(?:in|ft)$)(?![\w/·²³])"
)
HELD = ("held?depth=1&slide=2", "held?depth=1&support=hands&lean_deg=40&wind_m_s=6", "wall/detail?section=2")


@pytest.mark.slow
@pytest.mark.parametrize(("units", "others"), [("metric", INCH), ("inch", METRIC)], ids=["metric", "inch"])
@pytest.mark.parametrize("pole", ["peerglass-8", "reedlight-7"])
def test_no_page_mixes_units(client: Any, workshop: Workshop, pole: str, units: str, others: re.Pattern[str]) -> None:
    shelf = [entry.document.plain() for entry in workshop.shelf.materials()]
    typed = texts_within([workshop.designs.open(pole).saved.design.plain(), *shelf])
    named = re.compile("|".join(re.escape(name) for name in typed if others.search(name)) or "(?!)")
    for kind, form in BENCH.items():
        asked = {"kind": kind, "serial": "A1", **form, "section": "1", "span_mm": "900 mm", "out": "2"}
        assert client.post(f"/poles/{pole}/tests", data=asked).status_code == 303
    client.cookies["units"] = units
    found = {}
    for place in (*HELD, *PLACES):
        for shown in page_texts(client.get(f"/poles/{pole}/{place}").text):
            text = named.sub("", shown)
            if mixed := others.search(text):
                found[text[max(0, mixed.start() - 60) : mixed.end() + 20]] = place
    assert found == {}


def test_a_bare_number_typed_for_a_given_figure_is_in_the_unit_of_the_page(client: Any, workshop: Workshop) -> None:
    def ask(**form: str) -> Any:
        seen = re.search(r'data-seen="(\w+)"', client.get(f"{REED}/shelf").text)
        assert seen is not None
        return client.post(f"{REED}/shelf/edit", data={**form, "seen": seen[1]})

    client.cookies["units"] = "inch"
    given = {"edit": "give_figure", "material": "0", "figure": "E1_GPa", "value": "20", "kind": "measured", "lot": "L1"}
    assert ask(**given).status_code == 200
    msi = 6.894757293168361
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    assert draft.plain["materials"][0]["given"][0]["value"] == pytest.approx(20.0 * msi, rel=1e-9)
    assert 'value="20"' in client.get(f"{REED}/shelf").text
    path = "materials[0].given[0].value"
    assert ask(edit="set_field", path=path, text="19,5").status_code == 200
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    assert draft.plain["materials"][0]["given"][0]["value"] == pytest.approx(19.5 * msi, rel=1e-9)
    assert ask(edit="set_field", path=path, text="130 GPa").status_code == 200
    assert 'value="18.855"' in client.get(f"{REED}/shelf").text


def test_a_price_is_shown_and_typed_for_a_square_yard_where_inches_are_chosen(client: Any, workshop: Workshop) -> None:
    path, yard = "materials[0].price_per_m2", 0.9144**2  # [m2]
    kept = workshop.designs.open("reedlight-7").saved.design.materials[0].price_per_m2
    client.cookies["units"] = "inch"
    page = client.get("/poles/reedlight-7/shelf").text
    field = re.search(rf'data-path="{re.escape(path)}" value="([\d.]+)"', page)
    assert field is not None
    assert float(field[1]) == pytest.approx(kept * yard, rel=5e-5)
    seen = re.search(r'data-seen="(\w+)"', page)
    assert seen is not None
    form = {"edit": "set_field", "path": path, "text": "26", "seen": seen[1]}
    assert (
        client.post("/poles/reedlight-7/wall/edit", data=form, headers={"accept": "application/json"}).status_code
        == 200
    )
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    assert draft.design is not None
    assert draft.design.materials[0].price_per_m2 == pytest.approx(26.0 / yard, rel=1e-12)
