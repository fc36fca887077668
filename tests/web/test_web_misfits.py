"""Sections that do not fit each other yet: the edit is kept and marked, and what goes out of the pole's pages waits."""

import html
import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from tests.said import said
from tests.web.test_web_in_a_browser import AXE, WALL, faults_by_axe

from polewright.codes import Message
from polewright.web.place_table import PLACES
from polewright.words import Reader, default_reader
from polewright.workshop import Workshop

pytestmark = pytest.mark.slow

TURNS = "sections[3].stack[1].turns"
FAULT = (
    "sections[3].outside",
    Message("bound.diameter", value=0.031915),
    Message("want.below_bore_of_next", bore=0.031149, section=5),
)


def misfit(page: str) -> str:
    """What a page says of sections that do not fit; nothing where all do."""
    found = re.search(r'<p class="misfit"[^>]*>(.*?)</p>', page, re.S)
    assert found is not None
    return html.unescape(found[1])


def fault(reader: Reader | None = None) -> str:
    return (reader or default_reader()).fault(*FAULT)


@pytest.fixture
def thick(edit: Any) -> Any:
    """Four turns more on section 4 than its neighbour leaves room for."""
    return edit(edit="set_field", path=TURNS, text="9")


def test_a_wall_too_thick_for_its_neighbour_is_kept_and_marked(thick: Any, client: Any, workshop: Workshop) -> None:
    assert thick.status_code == 200
    assert fault() in misfit(thick.text)
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    assert draft.design is not None
    assert draft.design.sections[3].stack[1].turns == 9
    assert [(each[0], each[2].code) for each in draft.faults] == [(FAULT[0], FAULT[2].code)]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_every_place_opens_and_says_which_sections_do_not_fit(thick: Any, client: Any, place: str, units: str) -> None:
    client.cookies["units"] = units
    answer = client.get(f"/poles/reedlight-7/{place}")
    assert answer.status_code == 200
    assert fault(Reader(default_reader().language, units)) in misfit(answer.text)


@pytest.mark.parametrize("depth", ["0", "1", "2"])
def test_the_pole_in_the_hand_is_shown_as_if_its_sections_fitted(thick: Any, client: Any, depth: str) -> None:
    assert client.get(f"/poles/reedlight-7/held?depth={depth}").status_code == 200


@pytest.mark.parametrize("way", ["sheet/reedlight-7.pdf", "kit/kit.zip", "kit/section/4/dxf", "kit/section/5/card"])
def test_no_paper_and_no_cut_file_is_made_until_the_sections_fit(thick: Any, client: Any, way: str) -> None:
    assert client.get(f"/poles/reedlight-7/{way}").status_code == 422
    assert fault() in html.unescape(client.get(f"/poles/reedlight-7/{way}").text)


def test_the_sheet_says_why_it_may_not_go_out(thick: Any, client: Any) -> None:
    page = client.get("/poles/reedlight-7/sheet").text
    assert said("place.sheet.not_fit") in page
    assert "reedlight-7.pdf" not in page


def test_no_revision_and_no_sampling_until_the_sections_fit(thick: Any, client: Any, workshop: Workshop) -> None:
    for path, form in (("revisions", {}), ("spread", {"copies": "40", "order": "1"})):
        answer = client.post(f"/poles/reedlight-7/{path}", data=form)
        assert answer.status_code == 422
        assert fault() in html.unescape(answer.text)
    assert [card.number for card in workshop.designs.revisions("reedlight-7")] == [1]
    assert workshop.jobs.under_way() == ()


def test_room_made_in_the_neighbour_ends_it(thick: Any, edit: Any, client: Any, workshop: Workshop) -> None:
    assert fault() in misfit(client.get("/poles/reedlight-7/wall").text)
    edit(edit="set_field", path=TURNS, text="5")
    assert misfit(client.get("/poles/reedlight-7/wall").text) == ""


def test_it_waits_over_a_restart_and_undo_leads_back(thick: Any, visit: Any, workshop: Workshop) -> None:
    again = visit(workshop)
    assert fault() in misfit(again.get("/poles/reedlight-7/wall").text)


@pytest.mark.browser
def test_a_turn_too_many_is_marked_at_once_and_undone(page: Page) -> None:
    page.goto(WALL)
    page.fill("#ply-1-turns", "9")
    page.keyboard.press("Enter")
    expect(page.locator("#misfit")).to_contain_text(fault())
    expect(page.locator("#ply-1-turns")).to_have_value("9")
    expect(page.locator(".fault")).to_have_count(0)
    page.evaluate(AXE)
    assert faults_by_axe(page) == []
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.click("button[data-act='undo']")
    expect(page.locator("#misfit")).to_be_hidden()
    expect(page.locator("#ply-1-turns")).to_have_value("5")


@pytest.mark.browser
def test_saving_what_does_not_fit_is_refused_and_nothing_is_lost(page: Page) -> None:
    page.goto(WALL)
    page.fill("#ply-1-turns", "9")
    page.keyboard.press("Enter")
    expect(page.locator("#misfit")).to_contain_text(fault())
    page.click("button[data-act='save']")
    expect(page.locator(".fault")).to_contain_text(fault())
    page.reload()
    expect(page.locator("#ply-1-turns")).to_have_value("9")
    expect(page.locator("#misfit")).to_contain_text(fault())
