"""Terms in the app: the page Words, the "?" beside a field, the meaning in the "why" of a figure."""

import re
from html import unescape
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from tests.said import said

from polewright.words.terms import TERMS

REED = "/poles/reedlight-7"


def meaning(term: str) -> str:
    return said(f"term.{term}.meaning")


def test_the_page_of_words_has_every_term_with_an_address_of_its_own(client: Any) -> None:
    page = unescape(client.get("/words").text)
    for term in TERMS:
        assert f'<div id="{term}"><dt>{said(f"term.{term}.name")}</dt><dd>{meaning(term)}</dd>' in page
    assert 'href="/words"' in client.get("/").text
    assert 'href="/words"' in client.get(f"{REED}/wall").text


@pytest.mark.parametrize(
    ("place", "term"), [("pole", "overlap"), ("brief", "carry_moment"), ("shelf", "resin_content")]
)
def test_a_field_whose_label_is_a_term_offers_its_meaning(client: Any, place: str, term: str) -> None:
    page = client.get(f"{REED}/{place}").text
    assert f'hx-get="/words/{term}"' in page
    assert meaning(term) in unescape(client.get(f"/words/{term}").text)


def test_the_why_of_a_figure_says_first_what_the_figure_is(client: Any) -> None:
    page = unescape(client.get(f"{REED}/wall").text)
    for term in ("ring_stiffness", "clearance", "release_gap", "droop", "clamp_window"):
        assert f'<p class="meaning"><dfn>{said(f"term.{term}.name")}</dfn>: {meaning(term)}</p>' in page


def test_a_word_that_is_no_term_is_not_found(client: Any) -> None:
    assert client.get("/words/nothing").status_code == 404


def test_an_address_of_the_words_appears_once_on_the_page(client: Any) -> None:
    ids = re.findall(r' id="([^"]+)"', client.get("/words").text)
    assert len(ids) == len(set(ids))


@pytest.mark.browser
@pytest.mark.slow
def test_the_meaning_of_a_label_opens_by_keyboard_and_closes_by_escape(page: Page) -> None:
    page.goto(f"{REED}/pole")
    page.focus("#joints-0-overlap_mm")
    page.keyboard.press("Shift+Tab")
    expect(page.locator(":focus")).to_have_class("term")
    page.keyboard.press("Enter")
    expect(page.locator("#term")).to_be_visible()
    expect(page.locator("#term")).to_contain_text(meaning("overlap"))
    page.keyboard.press("Escape")
    expect(page.locator("#term")).to_be_hidden()
