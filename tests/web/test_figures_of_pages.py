"""Figures on their way from the core to a page: each against another way to the same figure."""

import re
from typing import Any

import numpy as np
import pytest
from tests.said import said

HELD = "/poles/reedlight-7/held"
WALL = "/poles/reedlight-7/wall?section=4"


def rows_of(page: str, label: str) -> list[list[str]]:
    """Texts of the cells of the table in the section of this label, row by row."""
    found = re.search(rf'aria-label="{label}".*?<tbody>(.*?)</tbody>', page, re.S)
    assert found is not None
    cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S) for row in found[1].split("</tr>")]
    return [[re.sub(r"<[^>]+>", " ", cell).strip() for cell in row] for row in cells if row]


def number(text: str) -> float:
    return float(text.replace("\u2212", "-").replace("\u202f", "").replace(",", ""))


def test_droop_saved_for_an_ounce_is_what_is_saved_for_ten_grams_in_inches(client: Any) -> None:
    metric = rows_of(client.get(HELD).text, said("page.hold.spend.aria"))
    client.cookies["units"] = client.cookies["system"] = "inch"
    inch = rows_of(client.get(HELD).text, said("page.hold.spend.aria"))
    assert len(metric) == len(inch) > 2
    for mine, other in zip(metric, inch, strict=True):
        saved_mm, mass_g, for_ten_grams = (number(mine[i]) for i in (1, 3, 5))
        saved_in, mass_oz, for_an_ounce = (number(other[i]) for i in (1, 3, 5))
        assert saved_in == pytest.approx(saved_mm / 25.4, abs=0.003)
        assert mass_oz == pytest.approx(mass_g / 28.3495, abs=0.023)
        assert for_an_ounce == pytest.approx(for_ten_grams * 2.83495 / 25.4, abs=0.006)
        # and by its meaning, to the last digits shown
        assert for_an_ounce == pytest.approx(saved_in / mass_oz, rel=0.02)


def test_a_head_typed_without_a_unit_on_an_inch_page_is_in_ounces(client: Any) -> None:
    client.cookies["units"] = client.cookies["system"] = "inch"
    droop = [
        re.search(
            rf"{said('page.hold.droop')}.*?class=\"num\">([^<]+)<", client.get(f"{HELD}?head_g={head}").text, re.S
        )
        for head in ("20", "20 oz", "567 g", "20 g")
    ]
    plain, ounces, grams, light = (number(d[1]) for d in droop if d is not None)
    assert plain == ounces == pytest.approx(grams, rel=2e-3)
    assert abs(plain - light) > 0.05 * plain


def bars_of(page: str, part: str) -> list[float]:
    """The shares that the bars of this column say, in per cent, ply by ply."""
    cells = re.findall(rf'data-part="ply-\d+-{part}">(.*?)</td>', page, re.S)
    found = [re.search(r"(\d+)(?:\.\d+)?\s*%", cell) for cell in cells]
    return [float(f[1]) for f in found if f is not None]


def test_hoops_earn_the_stiffness_around_axial_plies_that_along_and_cloth_the_mass(client: Any) -> None:
    """Section 4 is a hoop, five turns along and a hoop.

    Cloth weighs in proportion to its areal mass and turns: 88.7, 5 x 227.3, 88.7 g/m2. Around, a thin ring of hoops
    at the two faces has nearly all the bending; along, the hoops have E2/E1, a twentieth, a turn.
    """
    page = client.get(WALL).text
    along, around, mass = (np.array(bars_of(page, part)) for part in ("along", "around", "mass"))
    assert along.size == around.size == mass.size >= 3
    turns = [float(n) for n in re.findall(r'id="ply-\d+-turns"[^>]*value="([\d.]+)"', page)]
    angles = [float(n) for n in re.findall(r'id="ply-\d+-angle"[^>]*value="([-\d.]+)"', page)]
    hoop, axial = [i for i, a in enumerate(angles) if a == 90.0], [i for i, a in enumerate(angles) if a == 0.0]
    assert turns
    assert len(hoop) == 2
    cloth = np.array([88.7 if i in hoop else 227.3 for i in range(len(angles))]) * turns
    assert np.all(np.abs(mass - 100.0 * cloth / cloth.sum()) < 4.0)
    assert max(along[hoop]) < 3.0
    assert along[axial].sum() > 90.0
    assert min(around[hoop]) > 30.0
    assert max(mass[hoop]) < 12.0
