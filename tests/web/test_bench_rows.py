"""The bench's form has as many rows as the test has."""

from typing import Any

import pytest
from playwright.sync_api import Page, expect
from tests.said import said

from polewright.workshop import Workshop

REED = "/poles/reedlight-7"


@pytest.mark.parametrize("count", [6, 16, 41, 160])
def test_every_row_that_was_typed_is_kept(client: Any, workshop: Workshop, count: int) -> None:
    form = {"kind": "two-load bend", "serial": "R7-1", "section": "4", "span_mm": "1500"}
    loads = [500.0 if row % 2 else 2500.0 for row in range(count)]
    for row, load in enumerate(loads):
        form |= {f"load_g-{row}": f"{load}", f"reading_mm-{row}": f"{load / 1000.0 + row * 1e-3}"}
    kept = client.post(f"{REED}/tests", data=form)
    assert kept.status_code == 303, kept.text
    (entry,) = workshop.records.listed()
    assert [r.load_g for r in entry.record.test.readings] == loads
    again = client.get(f"{REED}/bench?correct={entry.number}").text
    assert f'name="reading_mm-{count - 1}"' in again, "all rows come back to be put right"


def test_rows_are_added_where_they_are_wanted_and_kept_with_their_clock(page: Page) -> None:
    page.goto(f"{REED}/bench?section=4")
    form = page.locator("form.test").first
    form.locator("[name=serial]").fill("R7-0031")
    rows = form.locator("tbody tr")
    before = rows.count()
    form.locator(".more-rows").click()
    expect(rows).to_have_count(before + 6)
    form.locator(".more-rows").press("Enter")
    expect(rows).to_have_count(before + 12)
    expect(form.locator(f"[name=load_g-{before + 1}]")).to_have_value("2500")
    expect(form.get_by_label(said("place.bench.reading_of", number=before + 2), exact=True)).to_be_visible()
    for row in range(16):
        form.locator(f"[name=reading_mm-{row}]").fill(f"{2.4 if row % 2 else 1.0}")
        form.locator(f"[name=clock_deg-{row}]").fill(f"{45 * (row // 2)}")
    form.locator("button[type=submit]").click()
    expect(page.locator(".kept")).to_contain_text(said("bench.name.spine"))
