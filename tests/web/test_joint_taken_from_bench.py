"""A stiffness of a joint, measured at the bench, is taken into the design by one press, in any units of the page."""

import re
from html import unescape
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from tests.said import said

from polewright.workshop import Workshop

REED = "/poles/reedlight-7"
ROWS = {"load_g-0": "250 g", "reading_mm-0": "300 mm", "load_g-1": "750 g", "reading_mm-1": "800 mm"}
SECOND = {"second_load_g-0": "250 g", "second_reading_mm-0": "320 mm",
          "second_load_g-1": "750 g", "second_reading_mm-1": "900 mm"}  # fmt: skip
TEST = {"kind": "joint overlaps", "serial": "R7-2", "joint": "2", "prop_mm": "1000 mm", "overlap_mm": "200 mm",
        "second_overlap_mm": "150 mm", "tester": "Ada", **ROWS, **SECOND}  # fmt: skip


def kept(client: Any) -> None:
    answer = client.post(f"{REED}/tests", data=TEST)
    assert answer.status_code == 303, answer.text


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_what_the_form_of_a_joint_test_sends_is_the_figure_that_was_measured(
    client: Any, workshop: Workshop, units: str
) -> None:
    kept(client)
    client.cookies["units"] = units
    page = client.get(f"{REED}/bench").text
    form = re.search(r'<form data-edit="(\w+)" id="take-joint-\d+">(.*?)</form>', page)
    assert form is not None
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form[2]))
    seen = re.search(r'data-seen="(\w+)"', page)
    assert seen is not None
    sent = {"edit": form[1], **{name: unescape(value) for name, value in fields.items()}, "seen": seen[1]}
    answer = client.post(f"{REED}/bench/edit", data=sent)
    assert answer.status_code == 200, answer.text
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    (entry,) = workshop.records.listed(slug="reedlight-7")
    measured = workshop.records.answer(entry).measured.value
    joints = draft.design.plain()["joints"]
    assert joints[1]["stiffness_kN_m_rad"] == pytest.approx(measured / 1e3, rel=1e-5)
    assert joints[1]["stiffness_from"] == "measured"
    assert joints[1]["stiffness_overlap_mm"] == pytest.approx(200.0)
    assert [joint.get("stiffness_from", "default") for joint in joints] == ["default", "measured", "default", "default"]


def test_only_tests_of_joints_offer_it(client: Any) -> None:
    bend = {"kind": "two-load bend", "serial": "R7-1", "section": "4", "span_mm": "1270 mm"}
    rows = {"load_g-0": "500 g", "reading_mm-0": "1 mm", "load_g-1": "2500 g", "reading_mm-1": "5 mm"}
    assert client.post(f"{REED}/tests", data={**bend, **rows}).status_code == 303
    assert "set_joint_stiffness" not in client.get(f"{REED}/bench").text


def without_section(client: Any, section: int) -> str:
    """The page of the bench after a test of a joint was kept and a section taken out, counted from 0 at the tip."""
    kept(client)
    seen = re.search(r'data-seen="(\w+)"', client.get(f"{REED}/pole").text)
    assert seen is not None
    form = {"edit": "remove_section", "section": str(section), "seen": seen[1]}
    assert client.post(f"{REED}/pole/edit", data=form).status_code == 200
    page: str = client.get(f"{REED}/bench").text
    assert "R7-2" in page
    return page


def test_a_joint_that_has_other_tubes_since_is_not_offered_it(client: Any) -> None:
    assert "set_joint_stiffness" not in without_section(client, 0)


def test_a_change_of_tubes_elsewhere_leaves_the_offer(client: Any) -> None:
    assert "set_joint_stiffness" in without_section(client, 4)


@pytest.mark.browser
def test_one_press_takes_it_and_the_page_of_the_pole_shows_it(page: Page) -> None:
    page.goto(f"{REED}/bench")
    form = page.locator("form.test", has=page.locator('input[name="kind"][value="joint overlaps"]'))
    form.locator("summary").click()
    for name, value in TEST.items():
        field = form.locator(f'[name="{name}"]')
        if name == "joint":
            field.select_option(value)
        elif name != "kind":
            field.fill(value)
    form.locator('button[type="submit"]').click()
    page.get_by_role("button", name=said("place.bench.take_joint_of", joint=2, serial="R7-2")).click()
    expect(page.locator('[data-act="undo"]')).to_be_enabled()
    page.goto(f"{REED}/pole")
    expect(page.locator('[data-path="joints[1].stiffness_from"]')).to_have_value("measured")
