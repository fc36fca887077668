"""What a hurried hand does, in a real browser: leaves while a change flies, reloads while typing, has two windows."""

import re
from math import pi

import pytest
from playwright.sync_api import Page, Route, expect
from tests.said import said, sentence
from tests.web.pole_pages import go_to, place_link, saved, unsaved

from polewright.codes import Message

pytestmark = [pytest.mark.browser, pytest.mark.slow]

WALL = "/poles/reedlight-7/wall?section=4"
ENDED_EARLY = re.compile("|".join(re.escape(said(f"find.{code}")) for code in ("stopped", "stopped_early")), re.I)
NO_TURNS = said("limit.gt", limit=0.0)


def held_back(page: Page) -> list[Route]:
    """Edits as they are asked for, none of them sent on before the test says so."""
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route("**/edit?*", hold)
    return held


def test_a_change_still_under_way_is_sent_before_the_page_is_left(page: Page) -> None:
    page.goto(WALL)
    held = held_back(page)
    page.fill("#ply-1-turns", "6")
    go_to(page, "pole")
    expect(page.locator("body")).to_have_class(re.compile("busy"))
    assert "/wall" in page.url
    held[0].continue_()
    page.wait_for_url("**/pole?*")
    expect(page.locator(".rev")).to_have_text(unsaved(1))
    page.goto(WALL)
    expect(page.locator("#ply-1-turns")).to_have_value("6")


def test_units_chosen_while_a_change_is_under_way_wait_for_it_too(page: Page) -> None:
    page.goto(WALL)
    held = held_back(page)
    page.fill("#ply-1-turns", "6")
    page.click("button[value='inch']")
    page.wait_for_timeout(300)
    held[0].continue_()
    expect(page.locator(".figs dd").first).to_contain_text("in")
    expect(page.locator(".rev")).to_have_text(unsaved(1))


def test_a_refusal_is_read_before_the_page_is_left(page: Page) -> None:
    page.goto(WALL)
    page.fill("#ply-1-turns", "-9")
    go_to(page, "pole")
    expect(page.locator(".fault")).to_contain_text(NO_TURNS)
    assert "/wall" in page.url
    go_to(page, "pole")
    page.wait_for_url("**/pole?*")


def test_a_refusal_that_comes_while_the_button_is_down_is_read_too(page: Page) -> None:
    page.goto(WALL)
    page.fill("#ply-1-turns", "-9")
    page.hover(place_link("pole"))
    page.mouse.down()
    expect(page.locator(".fault")).to_contain_text(NO_TURNS)
    page.mouse.up()
    page.wait_for_timeout(300)
    assert "/wall" in page.url
    go_to(page, "pole")
    page.wait_for_url("**/pole?*")


def test_what_was_being_typed_comes_back_after_a_reload_and_enter_keeps_it(page: Page) -> None:
    page.goto(WALL)
    page.fill("#ply-1-turns", "6")
    page.reload()
    expect(page.locator("#ply-1-turns")).to_have_value("6")
    expect(page.locator("#ply-1-turns")).to_be_focused()
    expect(page.locator(".fault")).to_have_text(said("script.unsent"))
    expect(page.locator(".rev")).to_have_text(saved(1))
    page.keyboard.press("Enter")
    expect(page.locator(".rev")).to_have_text(unsaved(1))
    expect(page.locator(".fault")).to_have_count(0)


def test_in_two_windows_what_was_typed_stays_and_enter_makes_the_change_again(page: Page) -> None:
    page.goto(WALL)
    other = page.context.new_page()
    other.goto(WALL)
    other.fill("#ply-1-turns", "6")
    other.press("#ply-1-turns", "Enter")
    expect(other.locator(".rev")).to_have_text(unsaved(1))
    page.fill("#ply-0-angle", "80")
    page.press("#ply-0-angle", "Enter")
    expect(page.locator(".fault")).to_have_text(sentence("want.page_as_it_is_now"))
    expect(page.locator("#ply-0-angle")).to_have_value("80")
    expect(page.locator("#ply-1-turns")).to_have_value("6")
    page.press("#ply-0-angle", "Enter")
    expect(page.locator(".fault")).to_have_count(0)
    page.reload()
    expect(page.locator("#ply-0-angle")).to_have_value("80")
    expect(page.locator("#ply-1-turns")).to_have_value("6")


def test_on_the_way_back_a_page_is_as_the_pole_is_now(page: Page) -> None:
    page.goto(WALL)
    page.fill("#ply-1-turns", "6")
    page.press("#ply-1-turns", "Enter")
    expect(page.locator(".rev")).to_have_text(unsaved(1))
    go_to(page, "revisions")
    page.click(".unsaved button.save")
    expect(page.locator(".rev")).to_have_text(saved(2))
    go_to(page, "wall")
    page.wait_for_url("**/wall?*")
    page.go_back()
    page.wait_for_url("**/revisions*")
    page.go_back()
    expect(page.locator(".rev")).to_have_text(saved(2))
    expect(page.locator(".unsaved")).to_have_count(0)


@pytest.mark.parametrize("place", ["brief", "pole", "wall", "cut", "bench", "rules", "shelf", "sheet", "find"])
def test_enlarged_four_times_nothing_runs_off_the_side(page: Page, place: str) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    page.goto(f"/poles/tallreed-11/{place}")
    page.wait_for_load_state("networkidle")
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 320


@pytest.mark.parametrize("width", [820, 1000, 1280, 1440])
def test_words_of_the_drawing_are_of_reading_size(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(WALL)
    sizes = page.evaluate("""() => [...document.querySelectorAll('.pole .wide text')].map(
        each => parseFloat(getComputedStyle(each).fontSize) * each.ownerSVGElement.getScreenCTM().a)""")
    assert len(sizes) > 5
    assert min(sizes) > 10.9


def test_on_a_phone_a_refusal_is_in_sight_above_the_bar(phone: Page) -> None:
    phone.goto("/poles/reedlight-7/pole")
    phone.wait_for_selector("#held[data-ready]")
    phone.fill("#joints-0-overlap_mm", "abc")
    phone.keyboard.press("Enter")
    fault = phone.locator("#joints-0-overlap_mm-fault")
    expect(fault).to_be_visible()
    phone.wait_for_function("""() => {
        const box = (name) => document.querySelector(name).getBoundingClientRect();
        return box("#joints-0-overlap_mm-fault").bottom <= box(".acts").top + 1; }""")
    box, bar = fault.bounding_box(), phone.locator(".acts").bounding_box()
    assert box is not None
    assert bar is not None
    assert 0 < box["y"] < box["y"] + box["height"] <= bar["y"] + 1


def test_a_message_names_the_field_as_its_label_does(page: Page) -> None:
    page.goto("/poles/reedlight-7/brief")
    page.fill("#brief-reach_at_least_mm", "far")
    page.press("#brief-reach_at_least_mm", "Enter")
    expect(page.locator(".fault")).to_have_text(
        said(
            "script.field_is",
            name=said("page.brief.limit.wish.reach"),
            value="'far'",
            want=said("want.number_in", unit="mm"),
        )
    )
    page.goto("/poles/reedlight-7/pole")
    page.fill("#joints-0-overlap_mm", "-5")
    page.press("#joints-0-overlap_mm", "Enter")
    least = said("limit.ge", limit=Message("bound.length", value=0.001))
    label = page.locator("label[for=joints-0-overlap_mm]").inner_text()
    group = page.locator("[role=group]:has(#joints-0-overlap_mm)").get_attribute("aria-label")
    expect(page.locator("#joints-0-overlap_mm-fault")).to_have_text(
        said("script.field_is", name=f"{group}, {label}", value="'-5'", want=least)
    )
    page.goto(WALL)
    page.fill("#add-turns", "")
    page.press("#add-turns", "Enter")
    expect(page.locator(".fault")).to_have_text(re.compile(re.escape(said("want.figure_not_nothing"))))


def test_a_wrong_reading_is_shown_below_its_row_however_it_was_refused(page: Page) -> None:
    page.goto("/poles/reedlight-7/bench?section=4")
    form = page.locator("form.test").first
    wide = form.locator(".readings").bounding_box()
    form.locator("[name=serial]").fill("R7-0031")
    form.locator("[name=reading_mm-1]").fill("2,4o")
    form.locator("button[type=submit]").click()
    expect(form.locator(".fault")).to_contain_text(
        said("script.field_is", name=said("place.bench.reading_of", number=2), value="'2,4o'", want="#").split("#")[0]
    )
    now = form.locator(".readings").bounding_box()
    assert wide is not None
    assert now is not None
    assert now["width"] <= wide["width"] + 1
    most = said("limit.le", limit=Message("bound.length", value=10.0))
    form.locator("[name=reading_mm-1]").fill("999999")  # a number, but one that no gauge reads
    form.locator("[name=reading_mm-2]").fill("1")
    form.locator("button[type=submit]").click()
    expect(form.locator(".fault")).to_have_text(
        said("script.field_is", name=said("place.bench.reading_of", number=2), value="'999999'", want=most)
    )
    expect(form.locator("[name=reading_mm-1]")).to_be_focused()


def test_a_wrong_test_is_put_right_and_the_right_one_is_in_sight(page: Page) -> None:
    page.goto("/poles/reedlight-7/bench?section=4")
    form = page.locator("form.test").first
    form.locator("[name=serial]").fill("R7-0031")
    for row, reading in enumerate(("1.00", "20.4")):
        form.locator(f"[name=reading_mm-{row}]").fill(reading)
    form.locator("button[type=submit]").click()
    expect(page.locator(".kept")).to_be_in_viewport()
    expect(page.locator(".kept p b")).not_to_have_text(said("bench.verdict.agrees"))
    page.click(f"text={said('place.bench.put_right')}")
    expect(page.locator("#put-right")).to_contain_text("R7-0031")
    expect(form.locator("[name=reading_mm-1]")).to_have_value("20.4")
    form.locator("[name=reading_mm-1]").fill("2.40")
    form.locator("[name=note]").fill("decimal point")
    form.locator("button[type=submit]").click()
    expect(page.locator(".kept")).to_have_count(1)
    expect(page.locator(".kept p b")).to_have_text(said("bench.verdict.agrees"))
    page.click(".kept summary")
    expect(page.locator(".kept .because")).to_contain_text(re.compile(r"20\.4.mm.*decimal point"))


def test_a_pole_set_against_the_glass_leans_there_and_a_wrong_wind_is_asked_for_once(page: Page) -> None:
    page.goto("/poles/reedlight-7/pole")
    page.wait_for_selector("#held[data-ready]")
    page.select_option("#held-support", "head on glass")
    expect(page.locator("#held-lean_deg-says")).to_have_text(said("hold.lean.up", lean=pi / 3))
    expect(page.locator("[data-held-part=shape]")).to_contain_text(said("page.hold.sag"))
    asked: list[str] = []
    page.on("request", lambda sent: asked.append(sent.url) if "/held?" in sent.url else None)
    page.fill("#held-wind_m_s", "90")
    expect(page.locator("#held-wind_m_s-fault")).to_have_text(re.compile(r"'90'.*\b40\sm/s"))
    page.wait_for_timeout(1500)
    assert len([url for url in asked if "wind_m_s=90" in url]) == 1


def test_a_search_is_watched_without_losing_the_place_at_the_stop_button(page: Page) -> None:
    page.goto("/poles/peerglass-8/find")
    page.click("main button.save")
    page.focus("#find-stop")
    page.evaluate("() => { window.isSame = true; }")
    with page.expect_response(lambda answer: answer.url.endswith("/find")):
        pass
    page.wait_for_timeout(200)
    assert page.evaluate("() => window.isSame") is True
    expect(page.locator("#find-stop")).to_be_focused()
    page.keyboard.press("Enter")
    # stopped among the fits there is no pole to show yet, and the page says so
    expect(page.locator("main button.save").first).to_be_visible()
    expect(page.locator("main")).to_contain_text(ENDED_EARLY)
