"""The pole in the hand: what the server draws for a hold, and what a person does with it in a real browser."""

import math
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose
from playwright.sync_api import Page, expect
from tests.said import said

from polewright.answers.hold import hold_answer
from polewright.documents.hold import Holding
from polewright.documents.values import Workpiece, workpiece
from polewright.drawings.hold import hold_drawing
from polewright.web.hold import hold_view
from polewright.words import default_reader
from polewright.workshop import Workshop
from polewright.workshop.hold_band import STEPS, hold_band
from polewright.workshop.hold_shape import drawn_to, hold_scene, hold_shape, split_parts

HELD = "/poles/reedlight-7/held"
POLE = "/poles/reedlight-7/pole"
HEAD = said("scene.hold.head", head=0.5)


@pytest.fixture
def reedlight(workshop: Workshop) -> tuple[Any, Workpiece]:
    design = workshop.designs.open("reedlight-7").saved.design
    return design, workpiece(design)


def droop_of(text: str) -> int:
    found = re.search(re.escape(said("page.hold.droop")) + r".*?class=\"num\">([\d\u202f\u2212]+)<", text, re.S)
    assert found is not None
    return int(found[1].replace("\u202f", "").replace("\u2212", "-"))


def test_the_same_length_drawn_out_thick_end_first_droops_otherwise_than_thin_end_first(client: Any) -> None:
    thin, thick = (client.get(f"{HELD}?reach_mm=5000&order={order}").text for order in ("thin", "thick"))
    assert "5.00\u00a0m" in thin
    assert "5.00\u00a0m" in thick
    assert abs(droop_of(thin) - droop_of(thick)) > 10


def test_a_reach_is_reached_one_section_after_the_other(reedlight: tuple[Any, Workpiece]) -> None:
    pole = reedlight[1].pole
    closed, full = np.array(pole.closed_draw), np.array(pole.full_draw)
    half = pole.closed_length + 1.5 * float(full[0] - closed[0])
    for first, begun, untouched in (("thin", 0, -1), ("thick", -1, 0)):
        drawn = drawn_to(pole, half, first)  # type: ignore[arg-type]
        assert_allclose(pole.tubes[-1].length + drawn.sum(), half, rtol=1e-12)
        assert drawn[begun] == full[begun]
        assert drawn[untouched] == closed[untouched]
    assert_allclose(drawn_to(pole, 99.0, "thin"), full)
    assert_allclose(drawn_to(pole, 0.0, "thick"), closed)


def test_the_page_of_a_hold_says_the_droop_that_the_check_says(client: Any, reedlight: tuple[Any, Workpiece]) -> None:
    asked = {"lean_deg": "30", "support": "hands", "head_g": "500", "wind_m_s": "6"}
    page = client.get(HELD + "?" + "&".join(f"{k}={v}" for k, v in asked.items())).text
    full = tuple(float(round(1e3 * d, 9)) for d in reedlight[1].pole.full_draw)
    figures = hold_answer(
        *reedlight, Holding(lean_deg=30.0, support="hands", head_g=500.0, wind_m_s=6.0, drawn_mm=full)
    )
    assert droop_of(page) == round(1e3 * figures.droop)


@pytest.mark.parametrize("lean", [-90.0, -35.0, 0.0, 50.0, 90.0])
def test_the_drawing_is_to_scale_and_all_of_it_in_sight_at_any_lean(
    reedlight: tuple[Any, Workpiece], lean: float
) -> None:
    design, work = reedlight
    asked = Holding(lean_deg=lean, support="clamped")
    held = hold_shape(design, work, asked)
    drawing = hold_drawing(hold_scene(work, held, asked), default_reader())
    scale = float(re.search(r'data-scale="([\d.]+)"', drawing)[1])  # type: ignore[index]
    size = [float(v) for v in re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawing).groups()]  # type: ignore[union-attr]
    runs = [
        np.array([[float(v) for v in p.split(",")] for p in run.split(" L")])
        for run in re.findall(r'<path d="M([^"]+)" class="tube"', drawing)
    ]
    line = np.concatenate(runs)
    assert line.min() >= 0.0
    assert np.all(line.max(axis=0) <= size)
    drawn = np.hypot(*np.diff(line, axis=0).T).sum()
    assert_allclose(drawn, work.pole.extended_length * scale, rtol=2e-3)


def test_the_parts_along_the_pole_add_up_to_the_droop(reedlight: tuple[Any, Workpiece]) -> None:
    held = hold_shape(*reedlight, Holding(lean_deg=25.0, head_g=400.0, support="hands"))
    placed, rest = split_parts(reedlight[1], held)
    assert_allclose(sum(p.value for p in (*placed, *rest)), held.bent.tip_droop, rtol=1e-9)
    ends = [p.end for p in placed if p.end > p.start]
    assert_allclose(max(ends), float(held.bent.station[-1]), rtol=1e-12)


def test_the_band_holds_the_pole_itself_and_widens_towards_the_tip(reedlight: tuple[Any, Workpiece]) -> None:
    held = hold_shape(*reedlight, Holding(lean_deg=10.0, support="clamped"))
    band = hold_band(*reedlight, held)
    b = held.bent
    at = np.linspace(0.0, 1.0, band.along.size)
    own = np.interp(at, b.station / b.station[-1], b.droop)
    assert np.all(band.least <= own + 1e-9)
    assert np.all(own <= band.most + 1e-9)
    wide = band.most - band.least
    assert wide[0] < 1e-6
    assert wide[-1] > wide[wide.size // 2] > wide[wide.size // 4]
    assert 0.02 < wide[-1] / own[-1] < 0.6


@pytest.mark.slow
@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("lean_deg=120", "lean_deg"),
        ("head_g=heavy", "head_g"),
        ("order=own&drawn-0=9000", "drawn[0]"),
        ("support=hands&rear_mm=900&front_mm=300", "front_mm"),
        ("order=sideways", "order"),
        ("support=hook", "support"),
        ("support=head on glass&lean_deg=90", "lean_deg"),
        ("wind_m_s=90", "wind_m_s"),
        ("head_g=nan", "head_g"),
        ("support=head on glass&lean_deg=0", "support"),
    ],
)
def test_a_hold_that_cannot_be_is_refused_with_its_control(client: Any, query: str, field: str) -> None:
    answer = client.get(f"{HELD}?{query}", headers={"accept": "application/json, text/html"})
    assert answer.status_code == 422
    assert field in {fault["field"] for fault in answer.json()["faults"]}


def test_inches_ounces_and_miles_are_shown_and_read(client: Any) -> None:
    metric = droop_of(client.get(f"{HELD}?head_g=453.59237").text)
    client.cookies["units"] = "inch"
    page = client.get(f"{HELD}?head_g=16").text
    inches = float(re.search(re.escape(said("page.hold.droop")) + r".*?class=\"num\">([\d.]+)<", page, re.S)[1])  # type: ignore[index]
    assert math.isclose(inches * 25.4, metric, abs_tol=2.0)
    assert "oz/ft" in page
    assert "mph" in page


def test_forces_limits_and_band_come_when_asked_for(reedlight: tuple[Any, Workpiece]) -> None:
    at_once, rested, copies = (
        hold_view(*reedlight, {"support": "hands"}, default_reader(), depth) for depth in range(3)
    )
    assert not at_once.forces
    assert 'class="band"' not in at_once.drawing
    assert {said(f"figure.hold.{key}") for key in ("rear_hand", "front_hand", "swing", "carry")} <= {
        r.name for r in rested.forces
    }
    assert rested.limits[-1].name == said("figure.hold.push_limit")
    assert 'class="band"' in copies.drawing
    assert f"{STEPS[0]}" in copies.band


def test_a_pole_whose_head_is_on_the_glass_sags_between_its_ends(client: Any) -> None:
    page = client.get(f"{HELD}?support=head on glass&lean_deg=45&depth=2").text
    sag = re.search(re.escape(said("page.hold.sag")) + r".*?class=\"num\">([\d]+)<", page, re.S)
    assert sag is not None
    assert 3 < int(sag[1]) < 300
    assert re.search(r"data-held-part=\"band\"[^>]*>[^<]*\d+\s?mm", page)
    assert said("page.hold.split.glass") in page


def test_where_to_spend_counts_what_is_saved_for_money_and_for_mass(client: Any) -> None:
    page = client.get(HELD).text
    assert said("page.hold.spend.aria") in page
    rows = re.findall(r'<th scope="row">(\d) <span class="soft">', page)
    assert sorted(rows) == ["1", "2", "3", "4", "5"]


def test_cautions_stand_beside_the_drawing(client: Any) -> None:
    page = client.get(HELD).text
    for caution in ("overhead_lines", "falling_pole", "wind_lightning"):
        assert f'id="held-caution-{caution}"' in page


def ready(page: Page) -> None:
    page.wait_for_selector("#held[data-ready]")
    page.wait_for_selector("#held .band", state="attached")


def droop_shown(page: Page) -> int:
    return droop_of(page.locator("[data-held-part=shape]").inner_html())


def in_sight(page: Page, what: str) -> None:
    """Scroll to what is drawn, in one breath too."""
    page.evaluate("what => document.querySelector(what).scrollIntoView({ block: 'center' })", what)


def middle(page: Page, what: str) -> tuple[float, float]:
    """Where `what` is drawn, asked in one breath: the drawing is replaced whole while it is worked on."""
    found = page.wait_for_function(
        "what => { const box = document.querySelector(what)?.getBoundingClientRect();"
        " return box && box.width + box.height > 0 ? [box.x + box.width / 2, box.y + box.height / 2] : null }",
        arg=what,
    ).json_value()
    return found[0], found[1]


@pytest.mark.browser
@pytest.mark.slow
def test_dragging_the_tip_leans_the_pole_and_a_section_draws_it_in(page: Page) -> None:
    page.goto(POLE)
    ready(page)
    before = droop_shown(page)
    in_sight(page, ".held-drawing .wide .grip-end")
    x, y = middle(page, ".held-drawing .wide .grip-end")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 40, y - 120, steps=6)
    page.mouse.up()
    up = re.escape(said("hold.lean.up", lean=math.radians(57.0))).replace("57", r"\d+")
    expect(page.locator("[data-held-part=lean_deg]")).to_have_text(re.compile(up))
    assert int(page.locator("#held-lean_deg").input_value()) > 10
    page.wait_for_function(
        "before => !document.querySelector('[data-held-part=shape]').innerText.includes(before)", arg=str(before)
    )
    ready(page)
    x, y = middle(page, ".held-drawing .wide [data-drag=drawn-1]")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 60, y + 20, steps=6)
    page.mouse.up()
    expect(page.locator("#held-order")).to_have_value("own")
    partly = said("control.hold.partly", drawn=1.0).split("mm")[1].strip()
    expect(page.locator("[data-held-part=drawn-1]")).to_contain_text(partly)
    assert "#held:" in page.url
    page.reload()
    ready(page)
    expect(page.locator("#held-order")).to_have_value("own")


@pytest.mark.browser
@pytest.mark.slow
def test_a_slow_answer_does_not_take_back_what_was_moved_since(page: Page) -> None:
    page.add_init_script("""const quick = window.fetch, late = () => new Promise((done) => setTimeout(done, 500));
        window.fetch = async (...asked) => { await late(); return quick(...asked); };""")
    page.goto(POLE)
    ready(page)
    slide = """(lean) => { const field = document.getElementById("held-lean_deg");
        field.value = lean; field.dispatchEvent(new Event("input", { bubbles: true })); }"""
    for lean in range(3, 31, 3):
        page.evaluate(slide, lean)
        page.wait_for_timeout(130)
    expect(page.locator("[data-held-part=lean_deg]")).to_contain_text("30")
    expect(page.locator("#held-lean_deg")).to_have_value("30")
    assert "lean_deg=30" in page.url


@pytest.mark.browser
@pytest.mark.slow
def test_the_order_of_the_sections_changes_the_droop_by_the_keyboard_alone(page: Page) -> None:
    page.goto(POLE)
    ready(page)
    page.focus("#held-reach_mm")
    for _ in range(6):
        page.keyboard.press("PageDown")
    expect(page.locator("[data-held-part=reach_mm]")).not_to_have_text("7.45 m")
    page.wait_for_selector("#held .band", state="attached")
    thin = droop_shown(page)
    page.focus("#held-order")
    page.keyboard.press("ArrowDown")
    expect(page.locator("#held-order")).to_have_value("thick")
    page.wait_for_function(
        "thin => !document.querySelector('[data-held-part=shape] td').innerText.includes(thin)", arg=str(thin)
    )
    assert droop_shown(page) != thin


@pytest.mark.browser
@pytest.mark.slow
def test_a_refusal_is_shown_beside_its_control_and_the_last_drawing_stays(page: Page) -> None:
    page.goto(POLE)
    ready(page)
    page.fill("#held-head_g", "500")
    page.wait_for_function(
        "head => document.querySelector('[data-held-part=drawing]').textContent.includes(head)", arg=HEAD
    )
    page.fill("#held-head_g", "500 stone")
    expect(page.locator(".held-field:has(#held-head_g) .fault")).to_be_visible()
    expect(page.locator("#held-fault")).to_have_text(said("script.refused_hold"))
    assert HEAD in (page.locator("[data-held-part=drawing]").text_content() or "")
    page.evaluate((Path(__file__).parent / "vendor" / "axe.min.js").read_text(encoding="utf-8"))
    found = page.evaluate("() => axe.run(document, {resultTypes: ['violations']})")
    assert [fault["id"] for fault in found["violations"]] == []
    page.fill("#held-head_g", "300")
    expect(page.locator(".held-field .fault")).to_have_count(0)


@pytest.mark.browser
@pytest.mark.slow
def test_a_phone_shows_the_hold_with_nothing_off_the_side(phone: Page) -> None:
    phone.goto(f"{POLE}#held:support=hands&lean_deg=40&head_g=500")
    ready(phone)
    assert phone.evaluate("() => document.documentElement.scrollWidth") <= 390
    expect(phone.locator("#held .narrow .tube").first).to_be_visible()
    small = phone.evaluate("""() => [...document.querySelectorAll('#held button, #held select, #held input')]
        .map(e => [e, e.getBoundingClientRect()]).filter(([e, r]) => r.width && r.height < 43.5)
        .map(([e, r]) => `${e.id} ${r.height}`)""")
    assert small == []
