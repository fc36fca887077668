"""The band of copies: the same from the compiled batch as pole by pole; grown aside, shown as it grows, stopped."""

import re
import threading
import time
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose
from playwright.sync_api import Page, expect
from tests.said import said
from tests.web.waiting import PATIENCE

from polewright.documents.hold import Holding
from polewright.documents.values import Workpiece, workpiece
from polewright.errors import NotConverged
from polewright.pole import Lifted, bent
from polewright.scatter import Plan, Stopped, copies_of, points_of, pole_of_copy
from polewright.workshop import Workshop
from polewright.workshop.bands import Bands
from polewright.workshop.hold_band import STEPS, Lines, band_of, lines_of, sample
from polewright.workshop.hold_shape import HoldShape, hold_shape

pytestmark = pytest.mark.slow

HELD = "/poles/reedlight-7/held"


@pytest.fixture
def reedlight(workshop: Workshop) -> tuple[Any, Workpiece]:
    design = workshop.designs.open("reedlight-7").saved.design
    return design, workpiece(design)


def held(reedlight: tuple[Any, Workpiece], **more: Any) -> HoldShape:
    return hold_shape(*reedlight, Holding(**({"support": "hands", "lean_deg": 20.0, "head_g": 400.0} | more)))


@pytest.mark.parametrize(
    "hold",
    [
        {},
        {"support": "trestles"},
        {"support": "lifted", "lean_deg": 0.0},
        {"temperature_C": 70.0},
        {"out": 2},
        {"wind_m_s": 6.0, "temperature_C": 70.0},
    ],
)
def test_copies_solved_together_lie_where_each_lies_alone(
    reedlight: tuple[Any, Workpiece], hold: dict[str, Any]
) -> None:
    pole = held(reedlight, **hold)
    sampling = sample(*reedlight, pole)
    lines = lines_of(sampling, None, 5)
    points = points_of(Plan(STEPS[-1], 1), sampling.problem.inputs).reshape(-1, sampling.problem.inputs)[:5]
    made = copies_of(sampling.problem, points)
    at = np.linspace(0.0, 1.0, lines.droop.shape[1])
    for i in range(5):
        copy = pole_of_copy(sampling.problem, made, i)
        low, high = np.array(copy.closed_draw), np.array(copy.full_draw)
        drawn = low + sampling.share * (high - low)
        tubes = tuple(
            replace(t, bending=w[0] * t.bending, axial=w[1] * t.axial, shear=w[2] * t.shear)
            for t, w in zip(copy.tubes, sampling.warmth, strict=True)
        )
        b = bent(replace(copy, tubes=tubes), replace(pole.state, drawn=drawn))
        assert_allclose(lines.droop[i], np.interp(at, b.station / b.station[-1], b.droop), atol=2e-3)
    assert isinstance(pole.state.support, Lifted) == (hold.get("support") == "lifted")


def test_copies_are_drawn_out_as_far_between_their_stops_as_the_pole_is(reedlight: tuple[Any, Workpiece]) -> None:
    pole = held(reedlight)
    closed, full = np.array(pole.bent.pole.closed_draw), np.array(pole.bent.pole.full_draw)
    wanted = np.array([0.0, 0.25, 0.6, 1.0])
    part = replace(pole, state=replace(pole.state, drawn=closed + wanted * (full - closed)))
    assert_allclose(sample(*reedlight, part).share, wanted, atol=1e-12)


def test_a_warm_band_lies_below_a_cold_one(reedlight: tuple[Any, Workpiece]) -> None:
    cold, warm = (
        band_of(p, lines_of(sample(*reedlight, p), None, 64))
        for p in (held(reedlight), held(reedlight, temperature_C=80.0))
    )
    assert np.all(warm.most[5:] > cold.most[5:])


def test_more_copies_take_over_those_known_and_settle_the_band(reedlight: tuple[Any, Workpiece]) -> None:
    pole = held(reedlight)
    sampling = sample(*reedlight, pole)
    few = lines_of(sampling, None, STEPS[0])
    more = lines_of(sampling, few, STEPS[1])
    assert np.array_equal(more.droop[: STEPS[0]], few.droop)
    assert more.copies == STEPS[1]
    again = lines_of(sampling, None, STEPS[1])
    assert_allclose(again.droop, more.droop, rtol=1e-12)
    one, two = (band_of(pole, lines) for lines in (few, more))
    assert abs(one.most[-1] / two.most[-1] - 1.0) < 0.03


def test_a_band_of_copies_without_balance_is_not_drawn(reedlight: tuple[Any, Workpiece]) -> None:
    pole = held(reedlight)
    droop = lines_of(sample(*reedlight, pole), None, 64).droop.copy()
    droop[3] = np.nan
    with pytest.raises(NotConverged, match=r"want\.hold_with_balance"):
        band_of(pole, Lines(droop))
    many = Lines(np.concatenate([droop, np.tile(droop[10:20], (20, 1))]))
    label = band_of(pole, many).label
    assert (label.code, label.values["lost"]) == ("band.lost", 1)


def test_a_stop_takes_effect_at_once(reedlight: tuple[Any, Workpiece]) -> None:
    for hold in ({}, {"wind_m_s": 5.0}):
        with pytest.raises(Stopped):
            lines_of(sample(*reedlight, held(reedlight, **hold)), None, 64, is_stopped=lambda: True)


def test_a_band_grows_to_the_end_and_another_hold_ends_it(reedlight: tuple[Any, Workpiece]) -> None:
    bands, sampling = Bands(), sample(*reedlight, held(reedlight))
    first = bands.grow("pole", "one", sampling)
    assert first.lines is not None
    assert first.lines.copies >= STEPS[0]
    done = bands.wait("pole", PATIENCE)
    assert done is not None
    assert not done.is_growing
    assert done.done == done.of == STEPS[-1]
    assert bands.grow("pole", "one", sampling).lines is done.lines
    bands.grow("pole", "two", sampling)
    bands.leave("pole", "two")
    bands.leave("pole", "three")
    ended = bands.wait("pole", PATIENCE)
    assert ended is not None
    assert ended.is_stopped
    assert ended.done < STEPS[-1]
    assert bands.wait("no such pole", 0.0) is None


def test_a_stopped_band_keeps_what_it_has_and_leaves_no_thread_behind(reedlight: tuple[Any, Workpiece]) -> None:
    before = {t for t in threading.enumerate() if t.name.startswith("band")}
    bands = Bands()
    bands.grow("pole", "one", sample(*reedlight, held(reedlight)))
    bands.stop("pole")
    ended = bands.wait("pole", PATIENCE)
    assert ended is not None
    assert ended.lines is not None
    assert ended.is_stopped
    left = {t for t in threading.enumerate() if t.name.startswith("band")} - before
    for thread in left:
        thread.join(PATIENCE)
    assert not any(thread.is_alive() for thread in left)


def test_the_page_shows_how_far_the_band_is_and_stops_it(client: Any) -> None:
    asked = f"{HELD}?support=hands&lean_deg=25&depth=2"
    first = client.get(asked).text
    assert re.search(r"data-held-part=\"band\"[^>]*>[^<]*\b(64|512|4096)\b", first)
    if "data-growing" in first:
        assert re.search(r'<progress max="4096" value="\d+" aria-label="[^"]+">', first)
    assert client.post(f"{HELD}/stop").status_code == 204
    end = time.monotonic() + PATIENCE
    while "data-growing" in (page := client.get(asked).text):
        assert time.monotonic() < end, "it never stopped"
        time.sleep(0.05)
    assert said("page.hold.stopped") in page or "4096" in page


@pytest.mark.browser
def test_the_band_refines_by_itself_until_all_copies_are_there(page: Page) -> None:
    page.goto("/poles/reedlight-7/pole#held:support=hands&lean_deg=15&head_g=400")
    page.wait_for_selector("#held .band", state="attached")
    expect(page.locator("[data-held-part=band]")).to_contain_text("4096")
    expect(page.locator("#held-band-stop")).to_be_hidden()
    page.fill("#held-temperature_C", "70")
    wet = said("hold.warmth.wet", temperature=343.15, kept=0.51)
    expect(page.locator("[data-held-part=forces]")).to_contain_text(wet)


@pytest.mark.browser
def test_a_stuck_head_asks_for_its_push_and_says_what_the_glass_holds(page: Page) -> None:
    page.goto("/poles/reedlight-7/pole#held:support=head on glass&lean_deg=60")
    page.wait_for_selector("#held .band", state="attached")
    expect(page.locator("#held-push_N")).to_be_hidden()
    page.select_option("#held-slide", "stuck")
    expect(page.locator("#held-push_N")).to_be_visible()
    page.fill("#held-push_N", "4")
    expect(page.locator("[data-held-part=forces]")).to_contain_text(said("figure.hold.glass_drag"))
    page.fill("#held-push_N", "40")
    slides_up = said("want.push_sliding_up", drag=1.0).split(":")[1].split(",")[0].strip()
    expect(page.locator("#held")).to_contain_text(slides_up)
