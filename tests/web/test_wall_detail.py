"""The wall one tap deeper: its figures are the report's, and it opens in a real browser."""

import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from playwright.sync_api import Page, expect
from tests.said import said

from polewright.drawings.curve import Curve, CurveScene, Strip, curve_drawing, ticks
from polewright.web.wall_detail import detail_view
from polewright.words import Reader, default_reader
from polewright.words.significant import significant_text
from polewright.workshop import Workshop
from polewright.workshop.wall import wall_answer

INCH = Reader(default_reader().language, "inch")
DETAIL = "/poles/reedlight-7/wall/detail?section=4"
WALL = "/poles/reedlight-7/wall?section=4"


@pytest.fixture
def figures(workshop: Workshop) -> Any:
    return wall_answer(workshop.designs.open("reedlight-7").saved.design, 4)


def test_the_first_way_to_fail_is_shown_first_with_its_load(figures: Any) -> None:
    view = detail_view(figures, default_reader(), "€")
    least = min((limit for limit in figures.limits if limit.under == "bending"), key=lambda limit: limit.load)
    load = significant_text(least.load, "moment", default_reader())
    assert view.lead[0] == said("wall.lead.bending", what=said(f"wall.lead.what.{least.name}"), load=load)
    table = view.first[0]
    assert [(figures.limits[i].under, figures.limits[i].name) for i in table.look] == list(figures.first)
    assert table.rows[table.look[0]][1] == default_reader().number(least.load, 0)


def test_every_group_of_figures_says_why_with_a_source(figures: Any) -> None:
    view = detail_view(figures, default_reader(), "€")
    tables = (*view.first, *view.tables, *view.deeper)
    assert {t.key for t in tables} == {
        "limits",
        "tiers",
        "squeeze",
        "reserves",
        "cool",
        "seams",
        "earns",
        "changes",
        "stresses",
        "slopes",
    }
    for table in tables:
        assert table.rows
        assert all(len(row) == len(table.head) for row in table.rows)
        assert any(why.source for why in table.why)


def test_the_plot_passes_through_the_stresses_of_the_report(figures: Any) -> None:
    drawing = detail_view(figures, default_reader(), "€").plots[1].drawing
    along = re.escape(said("wall.plot.along"))
    path = re.search(rf'<path d="([^"]+)" class="line"><title>{along}', drawing)
    assert path is not None
    drawn = np.array([[float(v) for v in p.split(",")] for p in re.findall(r"[-\d.]+,[-\d.]+", path[1])])
    wanted = np.array([[p.radius, p.bending[0]] for p in figures.through])
    assert drawn.shape == wanted.shape
    for column in range(2):
        slope, rest = np.polyfit(wanted[:, column], drawn[:, column], 1)
        assert_allclose(slope * wanted[:, column] + rest, drawn[:, column], atol=0.02)


def test_inches_change_every_figure_that_has_a_unit(figures: Any) -> None:
    view = detail_view(figures, INCH, "€")
    text = " ".join(" ".join(row) for t in (*view.first, *view.tables) for row in t.rows)
    for unit in ("lbf", "lbf·ft", "ksi", "in"):
        assert unit in text
    for unit in ("kN", "N·m", "MPa", "mm "):
        assert not re.search(rf"\d {unit}", text)


def test_a_section_that_is_not_there_is_refused(client: Any) -> None:
    answer = client.get(DETAIL.replace("4", "9"), headers={"accept": "application/json"})
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["want"] == said("want.section_from_tip", most=5)


@settings(derandomize=True, max_examples=200, deadline=None)
@given(low=st.floats(-1e4, 1e4), span=st.floats(1e-3, 1e4), most=st.integers(2, 9))
def test_ticks_are_round_few_and_inside(low: float, span: float, most: int) -> None:
    found = np.array(ticks(low, low + span, most))
    assert found.size <= most + 1
    assert np.all(found >= low - 1e-9 * (abs(low) + span))
    assert np.all(found <= low + span + 1e-9 * (abs(low) + span))
    if found.size > 1:
        step = found[1] - found[0]
        digits = step / 10.0 ** np.floor(np.log10(step * (1.0 + 1e-9)))
        assert min(abs(digits - k) for k in (1.0, 2.0, 5.0)) < 1e-3


def test_words_of_a_curve_are_escaped() -> None:
    line = Curve((np.array([[0.0, 1.0], [1.0, 2.0]]),), "full", "<b>")
    drawing = curve_drawing(CurveScene((line,), (Strip(0.0, 1.0, "<i>"),), "&", "<u>", '"'), default_reader())
    assert "<b>" not in drawing
    assert "<i>" not in drawing
    assert "&lt;b&gt;" in drawing


@pytest.mark.browser
@pytest.mark.slow
def test_one_tap_opens_the_detail_and_an_edit_renews_it(page: Page) -> None:
    page.goto(WALL)
    page.click("#deep > details > summary")
    expect(page.locator("#deep .plots svg").first).to_be_visible()
    expect(page.locator("#deep .deep-lead")).to_contain_text(said("wall.lead.what.wrinkling"))
    page.click("#why-deep-limits1 summary")
    expect(page.locator("#why-deep-limits1 .because")).to_contain_text(said("why.wall.reserves"), ignore_case=True)
    before = page.locator("#deep .deep-lead p").first.inner_text()
    page.fill("#ply-1-turns", "6")
    page.keyboard.press("Enter")
    expect(page.locator("#deep .deep-lead p").first).not_to_have_text(before)
    expect(page.locator("#why-deep-limits1 .because")).to_be_visible()
    page.evaluate((Path(__file__).parent / "vendor" / "axe.min.js").read_text(encoding="utf-8"))
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found = page.evaluate("() => axe.run(document, {resultTypes: ['violations']})")
        assert [fault["id"] for fault in found["violations"]] == []


@pytest.mark.browser
@pytest.mark.slow
def test_the_detail_on_a_phone_runs_off_no_side(phone: Page) -> None:
    phone.goto(WALL)
    phone.click("#deep > details > summary")
    expect(phone.locator("#deep .plots .narrow svg").first).to_be_visible()
    assert phone.evaluate("() => document.documentElement.scrollWidth") <= 390
