"""The place Compare: figures of two poles or revisions beside each other, the difference, and which is better."""

import re
from html import unescape
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from tests.said import said

from polewright.words import Reader
from polewright.workshop import Workshop, in_the_test_of

COMPARE = "/poles/reedlight-7/compare"
METRIC = Reader("en", "metric")


def rows_of(text: str) -> dict[str, tuple[str, ...]]:
    """Name of each row -> its cells as text."""
    found = {}
    for row in re.findall(r"<tr><th scope=\"row\">(.*?)</tr>", text, re.S):
        name, *cells = (unescape(re.sub(r"<[^>]+>", "", part)).strip() for part in re.split(r"</th>|</td>", row))
        found[name] = tuple(cells[:3])
    return found


def better(cell: str) -> str:
    """A cell that is marked as the better one."""
    return f"{cell} {said('place.compare.better')}"


def test_two_poles_stand_beside_each_other_with_the_figures_of_their_checks(client: Any, workshop: Workshop) -> None:
    rows = rows_of(client.get(f"{COMPARE}?beside=tallreed-11").text)
    own, other = (workshop.check(workshop.designs.open(slug).saved.design) for slug in ("reedlight-7", "tallreed-11"))
    masses = [METRIC.quantity(c.pole.mass, "mass", 0) for c in (own, other)]
    fewer = round(other.pole.mass * 1e3) - round(own.pole.mass * 1e3)
    assert fewer > 0
    assert rows[said("place.compare.mass")] == (
        better(masses[0]),
        masses[1],
        said("change.amount.less", by=METRIC.number(fewer, 0)),
    )
    reaches = tuple(METRIC.quantity(c.pole.extended, "reach", 2) for c in (own, other))
    assert rows[said("place.compare.extended")][:2] == reaches  # neither a longer nor a shorter pole is better
    cost = rows[said("place.compare.cost")]
    assert cost[0] == better(f"{own.pole.material_cost:.2f}\u00a0{own.pole.currency}")
    count = sum(not f.holds for f in own.findings)
    assert rows[said("place.compare.look")][0] in (str(count), better(str(count)))


# code of the row, quantity, decimals in metric and in inches, and where the check has it
WHOLE = [
    ("mass", "mass", 0, 1, lambda c: c.pole.mass),
    ("droop", "length", 0, 1, lambda c: c.pole.droop),
    ("extended", "reach", 2, 2, lambda c: c.pole.extended),
    ("closed", "reach", 2, 2, lambda c: c.pole.closed),
    ("balance", "reach", 2, 2, lambda c: c.pole.balance),
    ("carry", "carry", 2, 2, lambda c: c.pole.carry),
    ("base", "length", 1, 3, lambda c: c.pole.base_outside),
    ("bending", "moment", 0, 0, lambda c: min(s.bending.least for s in c.sections)),
]


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_every_row_of_the_whole_pole_is_a_figure_of_its_check(client: Any, workshop: Workshop, system: str) -> None:
    client.cookies["units"] = system
    reader = Reader("en", system)
    rows = rows_of(client.get(f"{COMPARE}?beside=crookbough-5").text)
    own, other = (workshop.designs.open(slug).saved.design for slug in ("reedlight-7", "crookbough-5"))
    checks = [workshop.check(own), workshop.check(in_the_test_of(other, own))]
    for code, quantity, metric, inch, read in WHOLE:
        cells = [cell.removesuffix(f" {said('place.compare.better')}") for cell in rows[said(f"place.compare.{code}")]]
        assert cells[:2] == [reader.quantity(read(c), quantity, metric, inch) for c in checks], code


def test_a_clamp_window_has_a_row_where_either_pole_has_one(client: Any, workshop: Workshop) -> None:
    has = {}
    for slug in ("reedlight-7", "peerglass-8", "tallreed-11"):
        sections = workshop.check(workshop.designs.open(slug).saved.design).sections
        has[slug] = [s.window is not None for s in sections]
    for beside in ("peerglass-8", "tallreed-11"):
        rows = rows_of(client.get(f"{COMPARE}?beside={beside}").text)
        for number, pair in enumerate(zip(has["reedlight-7"], has[beside], strict=False), 1):
            assert (said("place.compare.section.window", number=number) in rows) == any(pair)
    assert not has["reedlight-7"][0]


def test_sections_are_compared_by_their_numbers_down_to_the_shorter_pole(client: Any, workshop: Workshop) -> None:
    rows = rows_of(client.get(f"{COMPARE}?beside=crookbough-5").text)
    own, other = (workshop.check(workshop.designs.open(slug).saved.design) for slug in ("reedlight-7", "crookbough-5"))
    assert len(other.sections) < len(own.sections)
    for a, b in zip(own.sections, other.sections, strict=False):
        cells = rows[said("place.compare.section.bending", number=a.number)]
        moments = [METRIC.quantity(s.bending.least, "moment", 0) for s in (a, b)]
        first = 0 if a.bending.least > b.bending.least else 1
        moments[first] = better(moments[first])
        assert list(cells[:2]) == moments
    assert said("place.compare.section.mass", number=len(other.sections) + 1) not in rows
    window = own.sections[1].window
    shown = said("headline.window.range", least=window.least, most=window.most)
    assert rows[said("place.compare.section.window", number=2)][0].startswith(shown)


def test_the_pole_at_hand_is_compared_with_its_saved_revision(client: Any, edit: Any) -> None:
    assert edit(edit="set_field", path="sections[3].stack[1].turns", text="6").status_code == 200
    text = client.get(COMPARE).text  # the first choice: the revision that the unsaved work began from
    assert said("place.compare.saved", pole="Reedlight 7", number=1) in unescape(text)
    rows = rows_of(text)
    mass = rows[said("place.compare.mass")]
    assert mass[1].endswith(said("place.compare.better"))
    same = rows[said("place.compare.section.mass", number=1)]
    assert same[0] == same[1]
    assert same[2] == said("place.compare.same")
    assert rows[said("place.compare.section.mass", number=4)][2] != said("place.compare.same")


def test_a_pole_alone_in_its_workshop_has_nothing_beside_it(client: Any, workshop: Workshop) -> None:
    text = client.get(COMPARE).text
    assert 'value="reedlight-7:' not in text  # its one revision is what is at hand
    assert text.count("<option value=") == len(workshop.designs.all()) - 1


def test_droops_that_cannot_be_under_one_load_are_shown_and_not_compared(client: Any, edit: Any) -> None:
    for path, text in (("brief.droop[0].tip_total_g", "0"), ("tip_fitting_g", "0"), ("setting.test_load_g", "50")):
        assert edit(edit="set_field", path=path, text=text).status_code == 200  # 50 g: less than the other's fitting
    text = unescape(client.get(COMPARE).text)
    assert said("place.compare.loads") in text
    droop = rows_of(text)[said("place.compare.droop")]
    assert droop[2] == ""
    assert said("place.compare.better") not in " ".join(droop)


@pytest.mark.parametrize("beside", ["nobody", "reedlight-7:99"])
def test_what_there_is_not_is_refused(client: Any, beside: str) -> None:
    assert client.get(f"{COMPARE}?beside={beside}").status_code == 404


def test_a_page_in_inches_is_wholly_in_inches(client: Any) -> None:
    client.cookies["units"] = "inch"
    rows = rows_of(client.get(f"{COMPARE}?beside=tallreed-11").text)
    assert "oz" in rows[said("place.compare.mass")][0]
    assert "lbf" in rows[said("place.compare.section.window", number=2)][0]
    assert not any(re.search(r"\d\u00a0(g|mm|m|N)\b", cell) for cells in rows.values() for cell in cells)


@pytest.mark.browser
def test_another_pole_is_chosen_and_compared_in_a_browser(page: Page) -> None:
    page.goto(COMPARE)
    page.select_option("#beside", "peerglass-8")
    page.click("main form.fields button")
    expect(page.locator("main table thead").first).to_contain_text("Peerglass 8")
    expect(page.locator("main td.better").first).to_be_visible()


@pytest.mark.browser
def test_the_comparison_on_a_phone_runs_off_no_side(phone: Page) -> None:
    phone.goto(COMPARE)
    expect(phone.locator("main table tbody tr").first).to_be_visible()
    assert phone.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
