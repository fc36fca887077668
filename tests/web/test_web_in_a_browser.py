"""What a person does, in a real browser: whole flows, few, named for the task."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from tests.said import said
from tests.web.pole_pages import go_to, less, saved, unsaved
from tests.web.waiting import answered_texts, until

from polewright.web.place_table import PLACES as POLE_PLACES

pytestmark = [pytest.mark.browser, pytest.mark.slow]

AXE = (Path(__file__).parent / "vendor" / "axe.min.js").read_text(encoding="utf-8")

WALL = "/poles/reedlight-7/wall?section=4"

PLACES = ("/", "/words", *(f"/poles/reedlight-7/{place}" for place in POLE_PLACES))
DROOP = ".figs div:first-child"


def droop(page: Page) -> int:
    """[mm] as the first of the four figures reads."""
    return int(page.locator(f"{DROOP} dd").first.inner_text().split()[0].replace("\u202f", ""))


def faults_by_axe(page: Page) -> list[str]:
    """What axe-core finds on the page as it is now."""
    found = page.evaluate("() => axe.run(document, {resultTypes: ['violations']})")
    return [f"{fault['id']}: {node['html'][:160]}" for fault in found["violations"] for node in fault["nodes"]]


def test_change_a_ply_undo_it_save_it_and_go_back(page: Page) -> None:
    page.goto(WALL)
    before, drawn = droop(page), page.locator("[data-part=drawing]").inner_html()
    page.fill("#ply-1-turns", "6")
    page.keyboard.press("Enter")
    expect(page.locator(DROOP)).to_contain_text(less())
    assert droop(page) < before
    assert page.locator("[data-part=drawing]").inner_html() != drawn
    expect(page.locator(".ghost").first).to_be_attached()
    expect(page.locator(".rev")).to_have_text(unsaved(1))
    page.click("[data-act=undo]")
    expect(page.locator(DROOP)).not_to_contain_text(less())
    assert droop(page) == before
    expect(page.locator("#ply-1-turns")).to_have_value("5")
    page.click("[data-act=redo]")
    expect(page.locator("#ply-1-turns")).to_have_value("6")
    page.click("[data-act=save]")
    expect(page.locator(".rev")).to_have_text(saved(2))
    page.reload()
    expect(page.locator("#ply-1-turns")).to_have_value("6")
    go_to(page, "revisions")
    page.click("form[action$='/revisions/1/return'] button")
    expect(page.locator(".rev")).to_have_text(saved(3))
    page.goto(WALL)
    expect(page.locator("#ply-1-turns")).to_have_value("5")
    assert droop(page) == before


def test_a_wrong_figure_is_shown_beside_its_field_and_what_was_typed_is_kept(page: Page) -> None:
    page.goto(WALL)
    before = droop(page)
    page.fill("#ply-1-turns", "-9")
    page.keyboard.press("Enter")
    expect(page.locator(".fault")).to_contain_text(said("limit.gt", limit=0.0))
    expect(page.locator("#ply-1-turns")).to_have_value("-9")
    expect(page.locator("#status")).to_have_text(said("script.refused"))
    assert droop(page) == before
    page.select_option("#ply-0-prepreg", "TH55")
    page.fill("#ply-0-angle", "85")
    page.keyboard.press("Enter")
    expect(page.locator(".rev")).to_have_text(unsaved(1))
    expect(page.locator("#ply-1-turns")).to_have_value("-9")
    page.fill("#ply-1-turns", "5")
    page.keyboard.press("Enter")
    expect(page.locator(".fault")).to_have_count(0)


def test_the_keyboard_alone_turns_a_ply_moves_it_adds_one_and_undoes_it_all(page: Page) -> None:
    page.goto(WALL)
    page.focus(".skip")
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("() => document.activeElement.id") == "ply-0-angle":
            break
    assert page.evaluate("() => document.activeElement.id") == "ply-0-angle"
    assert page.evaluate("() => getComputedStyle(document.activeElement).outlineStyle") == "solid"
    page.keyboard.press("ArrowDown")
    expect(page.locator("#ply-0-angle")).to_have_value("85")
    expect(page.locator(".rev")).to_have_text(unsaved(1))
    page.keyboard.press("Alt+ArrowDown")
    expect(page.locator("#ply-1-angle")).to_have_value("85")
    assert page.evaluate("() => document.activeElement.id") == "ply-1-angle"
    page.focus("#add-turns")
    page.keyboard.press("Enter")
    expect(page.locator("tr[data-ply]")).to_have_count(4)
    for _ in range(3):
        page.keyboard.press("Control+z")
    expect(page.locator(".rev")).to_have_text(saved(1))
    expect(page.locator("#ply-0-angle")).to_have_value("90")


def test_many_quick_key_presses_end_on_the_last_value(page: Page) -> None:
    page.goto(WALL)
    page.focus("#ply-1-angle")
    answered = answered_texts(page)
    for _ in range(12):
        page.keyboard.press("ArrowUp")
    expect(page.locator("#ply-1-angle")).to_have_value("60")
    until(page, lambda: "60" in answered)
    page.reload()
    expect(page.locator("#ply-1-angle")).to_have_value("60")


def test_every_number_of_a_section_says_why(page: Page) -> None:
    page.goto(WALL)
    page.click("#why-s1 summary")
    expect(page.locator("#why-s1 .because")).to_contain_text(said("ply_figure.E1"))
    expect(page.locator("#why-s1 .source")).to_contain_text(said("why.formula", source="#").split("#")[0].strip())
    page.focus("#ply-1-turns")
    page.keyboard.press("ArrowUp")
    expect(page.locator(DROOP)).to_contain_text(less())
    expect(page.locator("#why-s1 .because")).to_be_visible()


def test_a_test_typed_wrong_keeps_what_was_typed_and_right_is_kept(page: Page) -> None:
    page.goto("/poles/reedlight-7/bench?section=4")
    form = page.locator("form.test").first
    form.locator("[name=serial]").fill("R7-0031")
    form.locator("[name=reading_mm-0]").fill("one")
    form.locator("[name=reading_mm-1]").fill("2.98")
    form.locator("button[type=submit]").click()
    expect(form.locator(".fault")).to_contain_text(said("want.number_in", unit="mm"))
    expect(form.locator("[name=serial]")).to_have_value("R7-0031")
    form.locator("[name=reading_mm-0]").fill("1.02")
    form.locator("button[type=submit]").click()
    expect(page.locator(".kept")).to_contain_text("R7-0031")


def test_a_printed_page_says_its_cautions_in_full_and_shows_no_controls(page: Page) -> None:
    page.goto("/poles/reedlight-7/cut?section=4")
    action = page.locator("#cut-caution-epoxy_sensitisation li").first
    assert not action.is_visible()
    assert page.locator("footer .cautions li").first.is_hidden()
    page.emulate_media(media="print")
    assert action.is_visible()
    assert page.locator("footer .cautions li").first.is_visible()
    assert page.locator(".files, .acts, .picker, .units").first.is_hidden()


@pytest.mark.parametrize("place", PLACES)
def test_nothing_runs_off_the_side_of_a_phone(phone: Page, place: str) -> None:
    phone.goto(place)
    assert phone.evaluate("() => document.documentElement.scrollWidth") <= 390


def test_targets_on_a_phone_are_wide_enough_for_gloves(phone: Page) -> None:
    phone.goto(WALL)
    phone.focus("#ply-1-turns")
    small = phone.evaluate("""() => [...document.querySelectorAll('button, select, input:not([type=hidden]), nav a')]
        .map(e => [e, e.getBoundingClientRect()]).filter(([e, r]) => r.width && r.left >= 0 && r.height < 43.5)
        .map(([e, r]) => `${e.outerHTML.slice(0, 80)} ${r.height}`)""")
    assert small == []


def test_a_ply_is_moved_on_a_phone_by_the_bar_under_the_thumb(phone: Page) -> None:
    phone.goto(WALL)
    phone.focus("#ply-1-angle")
    expect(phone.locator("#ply-1-up")).to_be_visible()
    expect(phone.locator("#ply-0-up")).to_be_hidden()
    phone.click("#ply-1-up")
    expect(phone.locator("#ply-0-angle")).to_have_value("0")


@pytest.mark.parametrize("place", PLACES)
def test_no_place_has_a_fault_that_axe_can_find_light_or_dark(page: Page, place: str) -> None:
    page.goto(place)
    page.evaluate(AXE)
    assert faults_by_axe(page) == []
    page.emulate_media(color_scheme="dark")
    assert faults_by_axe(page) == []


def test_a_fault_and_an_answer_to_why_are_free_of_axe_faults_too(page: Page) -> None:
    page.goto(WALL)
    page.click("#why-s1 summary")
    page.fill("#ply-1-turns", "-9")
    page.keyboard.press("Enter")
    expect(page.locator(".fault")).to_be_visible()
    page.evaluate(AXE)
    assert faults_by_axe(page) == []


def test_inches_are_shown_and_read(page: Page) -> None:
    page.goto("/poles/reedlight-7/pole")
    page.click("button[value='inch']")
    expect(page.locator(f"{DROOP} dd").first).to_have_text(re.compile(r"36\.\d in"))
    field = page.locator("#joints-0-overlap_mm")
    assert field.input_value() == "7.874"
    field.fill("8 1/4 in")
    field.press("Enter")
    expect(page.locator(".rev")).to_have_text(unsaved(1))
    page.reload()
    expect(field).to_have_value("8.25")
