"""The place Spread in process: begin, watch, stop, and all that a sampling says, in metric and in inches."""

import re
from html import unescape

import pytest
from playwright.sync_api import Page, expect
from tests.said import said
from tests.web.waiting import PATIENCE

from polewright.drawings.spread import BandRow, ShareRow, bands_drawing, shares_drawing
from polewright.store import open_store
from polewright.words import Reader, default_reader
from polewright.words.scatter import figure_number, figure_text, figure_unit, promise_text
from polewright.workshop import Workshop
from polewright.workshop.jobs import Kind

pytestmark = pytest.mark.slow

POLE = "crookbough-5"
SPREAD = f"/poles/{POLE}/spread"
STAGED = {"scatter": Kind("scatter", "tests.workshop.job_works:search", 1)}
READERS = (default_reader(), Reader(default_reader().language, "inch"))


@pytest.fixture(scope="module")
def sampled(tmp_path_factory):
    """A workshop whose pole has been sampled once."""
    with Workshop(open_store(tmp_path_factory.mktemp("spread") / "workshop.sqlite")) as workshop:
        workshop.load_demo()
        design = workshop.designs.open(POLE).saved.design
        job = workshop.samplings.start(POLE, design, poles=256, order=12)
        assert workshop.jobs.wait(job.number, PATIENCE).state == "done"
        yield workshop


@pytest.fixture
def staged(tmp_path, visit, monkeypatch):
    """A visitor of a workshop whose sampling waits for ever."""
    monkeypatch.setenv("TEST_GATE", str(tmp_path / "gate"))
    with Workshop(open_store(tmp_path / "staged.sqlite"), kinds=STAGED) as workshop:
        workshop.load_demo()
        yield visit(workshop)


def text_of(page: str) -> str:
    """What a page says, without its marks."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", page)).replace("\u00a0", " "))


def plain(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\u00a0", " "))


def test_the_place_offers_a_sampling_before_there_was_one(client):
    page = client.get(SPREAD)
    assert page.status_code == 200
    assert said("place.spread.note") in unescape(page.text)
    assert "every 2s" not in page.text
    assert f'href="{SPREAD}?' in client.get(f"/poles/{POLE}/wall").text


def test_a_sampling_under_way_is_shown_here_and_on_every_page_and_can_be_stopped(staged):
    assert staged.post(SPREAD, data={"copies": "256", "order": "5"}).status_code == 303
    page = staged.get(SPREAD)
    assert "every 2s" in page.text
    assert 'id="spread-stop"' in page.text
    kind = said("job.kind.scatter", pole="Crookbough 5")
    assert f'href="{SPREAD}">{kind}' in unescape(staged.get("/poles/reedlight-7/wall").text)
    assert staged.post(f"{SPREAD}/stop").headers["location"] == SPREAD


@pytest.mark.parametrize(
    ("field", "value"), [("order", "0"), ("order", "ten"), ("order", ""), ("copies", "8192"), ("copies", "-64")]
)
def test_counts_that_make_no_sense_are_refused_by_their_field(client, workshop, field, value):
    form = {"copies": "256", "order": "5"} | {field: value}
    answer = client.post(SPREAD, data=form, headers={"accept": "application/json"})
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["field"] == field
    assert workshop.samplings.latest(POLE) is None


@pytest.mark.parametrize("reader", READERS, ids=["metric", "inch"])
def test_the_page_says_all_that_the_copies_say(sampled, visit, reader):
    page = visit(sampled).get(SPREAD, headers={"cookie": f"units={reader.system}"}).text
    text, answer = text_of(page), sampled.samplings.answer(POLE)
    for band in answer.figures:
        unit = figure_unit(band.figure, reader)
        about = reader.say(
            "place.spread.about",
            figure=figure_text(band.figure, reader),
            low=figure_number(band.figure, band.low.value, reader),
            high=figure_number(band.figure, band.high.value, reader),
            nominal=figure_number(band.figure, band.nominal, reader),
            unit=unit,
        )
        assert plain(about) in text
    for promise in answer.promises:
        assert plain(promise_text(promise, reader)) in text
    for message in answer.assumptions:
        assert plain(reader.text(message))[1:] in text
    assert plain(reader.say("scatter.order", order=12)) in text
    assert len({m.figure for m in answer.matters}) == 3
    for figure in {m.figure for m in answer.matters}:
        assert plain(reader.say("scatter.matters", figure=figure_text(figure, reader))) in text


def test_a_page_in_inches_has_no_metric_unit(sampled, visit):
    text = text_of(visit(sampled).get(SPREAD, headers={"cookie": "units=inch"}).text)
    shown = text[text.index(plain(said("place.spread.what"))) :]
    assert not re.search(r"\d ?(mm|g|kg·m|N)\b", shown.split(said("frame.pole"))[0].split(said("scatter.inputs"))[0])


def test_columns_of_numbers_and_no_others_are_set_flush_right(sampled, visit):
    tables = re.findall(r'<table class="wide-table stacks">.*?</table>', visit(sampled).get(SPREAD).text, re.S)
    assert len(tables) >= 3
    for table in tables:
        heads = re.findall(r'<th scope="col"( class="num")?>', table)
        rows = [re.findall(r'<(?:th scope="row"|td)[^>]*>(.*?)</t[hd]>', row, re.S) for row in table.split("<tr>")[2:]]
        for right, cells in zip(heads, zip(*rows, strict=True), strict=True):
            is_number = all(re.match(r"$|[\u2212\d]", text_of(cell).strip()) for cell in cells)
            assert bool(right) is is_number, cells


def test_an_answer_for_an_older_state_says_so(sampled, visit):
    visitor = visit(sampled)
    assert said("place.spread.stale") not in visitor.get(SPREAD).text
    saved = sampled.designs.open(POLE).saved
    heavier = saved.design.model_copy(update={"tip_fitting_g": 90.0})
    sampled.designs.save(POLE, heavier, parent=saved.card.number, note="heavier tip")
    assert said("place.spread.stale") in unescape(visit(sampled).get(SPREAD).text)


def test_a_band_is_drawn_between_its_ends_and_its_marks_where_they_lie():
    row = BandRow("droop", 10.0, 20.0, 14.0, 15.0, (30.0,), "10", "20 mm", "droop: 10 to 20 mm")
    drawing = bands_drawing([row], title="bands")
    x, wide = (float(v) for v in re.search(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', drawing).groups())
    limit = float(re.search(r'<line x1="([\d.]+)"[^>]*class="lookline"', drawing)[1])
    nominal = float(re.search(r'<line x1="([\d.]+)"[^>]*class="line"', drawing)[1])
    mean = float(re.search(r'<circle cx="([\d.]+)"', drawing)[1])
    assert nominal == pytest.approx(x + 0.5 * wide, abs=0.02)
    assert mean == pytest.approx(x + 0.4 * wide, abs=0.02)
    assert limit == pytest.approx(x + 2.0 * wide, abs=0.02)


def test_bars_stand_in_the_ratio_of_their_shares():
    rows = [ShareRow("a", 0.5, 0.4, 0.6, "50 %", part=0.25), ShareRow("b", 0.1, 0.0, 0.2, "10 %")]
    drawing = shares_drawing(rows, title="shares")
    wide = [float(v) for v in re.findall(r'<rect [^>]*width="([\d.]+)" height="12" class="share"', drawing)]
    part = float(re.search(r'<rect [^>]*width="([\d.]+)" height="6" class="joint-share"', drawing)[1])
    assert wide[0] == pytest.approx(5.0 * wide[1], rel=1e-3)
    assert part == pytest.approx(0.5 * wide[0], rel=1e-3)


def test_small_chances_look_small_beside_a_scale_that_reaches_further():
    def width_of(**scale: float) -> float:
        drawing = shares_drawing([ShareRow("a", 0.01, 0.0, 0.02, "1 %")], title="chances", **scale)
        return float(re.search(r'width="([\d.]+)" height="12" class="share"', drawing)[1])

    assert width_of(least_scale=0.1) == pytest.approx(0.2 * width_of(), rel=1e-2)


@pytest.mark.parametrize("phone", [False, True])
def test_copies_that_do_not_stray_are_drawn_too(phone):
    same = BandRow("length", 5.2, 5.2, 5.2, 5.2, (), "5200", "5200 mm", "length")
    nothing = ShareRow("none", 0.0, 0.0, 0.0, "0 %")
    for drawing in (
        bands_drawing([same], title="bands", phone=phone),
        bands_drawing([], title="bands", phone=phone),
        shares_drawing([nothing], title="shares", phone=phone),
        shares_drawing([], title="shares", phone=phone),
    ):
        assert "nan" not in drawing
        assert "inf" not in drawing


@pytest.mark.browser
def test_a_sampling_is_started_watched_and_read_in_a_browser(page: Page) -> None:
    page.goto(SPREAD)
    page.select_option("#copies", "256")
    page.fill("#order", "6")
    page.click("main form.fields button")
    expect(page.locator("[data-part=spread] .picture svg").first).to_be_visible(timeout=PATIENCE * 1000)
    expect(page.locator("[data-part=spread]")).to_contain_text(said("scatter.order", order=6))


@pytest.mark.browser
def test_the_spread_on_a_phone_runs_off_no_side(phone: Page) -> None:
    phone.goto(SPREAD)
    phone.select_option("#copies", "256")
    phone.click("main form.fields button")
    expect(phone.locator(".picture.narrow svg").first).to_be_visible(timeout=PATIENCE * 1000)
    assert phone.evaluate("() => document.documentElement.scrollWidth") <= 390
