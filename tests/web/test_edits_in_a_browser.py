"""Edits while others wait, in a real browser: which are sent, what an answer leaves alone, a server that is away."""

from urllib.parse import parse_qs

import pytest
from playwright.sync_api import Page, Route, expect
from tests.said import said
from tests.web.pole_pages import unsaved
from tests.web.waiting import answered_texts, until

pytestmark = [pytest.mark.browser, pytest.mark.slow]

WALL = "/poles/reedlight-7/wall?section=4"


def held_back(page: Page) -> list[Route]:
    """Edits as they are asked for; none is sent on before the test says so."""
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route("**/edit?*", hold)
    return held


def fields(route: Route) -> dict[str, str]:
    """What an edit asks for."""
    return {name: values[0] for name, values in parse_qs(route.request.post_data or "").items()}


def test_of_a_field_that_is_changed_while_edits_wait_only_the_last_value_is_sent(page: Page) -> None:
    page.goto(WALL)
    held = held_back(page)
    page.focus("#ply-1-angle")
    for _ in range(5):
        page.keyboard.press("ArrowUp")
    page.focus("#ply-0-angle")
    page.keyboard.press("ArrowDown")
    until(page, lambda: held)
    assert [fields(each)["text"] for each in held] == ["5"]
    held[0].continue_()
    expect(page.locator("body")).not_to_have_attribute("data-seen", fields(held[0])["seen"])
    until(page, lambda: len(held) > 1)
    assert [fields(each)["text"] for each in held] == ["5", "25"]
    assert fields(held[1])["seen"] != fields(held[0])["seen"]
    expect(page.locator("#ply-1-angle")).to_have_value("25")  # the first answer says 5; it takes nothing back
    held[1].continue_()
    until(page, lambda: len(held) > 2)
    assert [fields(each)["text"] for each in held] == ["5", "25", "85"]
    held[2].continue_()
    expect(page.locator("body")).not_to_have_class("busy")
    page.reload()
    expect(page.locator("#ply-1-angle")).to_have_value("25")
    expect(page.locator("#ply-0-angle")).to_have_value("85")


def test_a_value_before_an_undo_is_not_replaced_by_one_after_it(page: Page) -> None:
    page.goto(WALL)
    held = held_back(page)
    page.fill("#ply-0-angle", "85")
    page.keyboard.press("Enter")
    page.focus("#ply-1-angle")
    page.keyboard.press("ArrowUp")
    page.focus("#why-s1 summary")
    page.keyboard.press("Control+z")
    page.focus("#ply-1-angle")
    page.keyboard.press("ArrowUp")
    for done in range(4):
        until(page, lambda sent=done: len(held) > sent)
        held[done].continue_()
    assert [fields(each).get("text", fields(each)["edit"]) for each in held] == ["85", "5", "undo", "10"]


def test_a_server_that_is_away_gets_the_last_value_when_it_is_back(page: Page) -> None:
    page = page.context.new_page()  # of its own: here the browser may complain that a request failed
    page.goto(WALL)
    page.route("**/edit?*", lambda route: route.abort())
    page.focus("#ply-1-angle")
    page.keyboard.press("ArrowUp")
    expect(page.locator("#status")).to_have_text(said("script.no_answer_edit"))
    page.keyboard.press("ArrowUp")
    answered = answered_texts(page)
    page.unroute("**/edit?*")
    until(page, lambda: "10" in answered)
    expect(page.locator(".rev")).to_have_text(unsaved(1))
    expect(page.locator("#ply-1-angle")).to_have_value("10")
    page.reload()
    expect(page.locator("#ply-1-angle")).to_have_value("10")


def test_typing_in_one_ply_stays_when_another_is_moved(page: Page) -> None:
    page.goto(WALL)
    held = held_back(page)
    page.focus("#ply-0-angle")
    page.keyboard.press("Alt+ArrowDown")
    page.focus("#add-turns")
    page.keyboard.press("End")
    page.keyboard.type("2")
    held[0].continue_()
    expect(page.locator("#ply-1-angle")).to_have_value("90")
    expect(page.locator("#add-turns")).to_have_value("12")
    expect(page.locator("#add-turns")).to_be_focused()


def test_a_ply_is_dragged_by_its_number_below_another(page: Page) -> None:
    page.goto(WALL)
    page.drag_and_drop("tr[data-ply='0'] .grip", "tr[data-ply='1'] .grip")
    expect(page.locator("#ply-0-angle")).to_have_value("0")
    expect(page.locator("#ply-1-angle")).to_have_value("90")
