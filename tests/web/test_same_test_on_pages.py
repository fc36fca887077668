"""The ghost and the changes beside the figures are taken in one test: a lighter load is no stiffer pole."""

import re
from collections.abc import Callable
from html import unescape
from typing import Any

import pytest
from tests.said import said
from tests.web.test_compare import rows_of
from tests.web.test_web_edits import figure

from polewright.codes import Message

POLE = "/poles/reedlight-7/pole"
TURNS = "sections[3].stack[1].turns"
Send = Callable[..., Any]


def changes(text: str) -> list[str]:
    return [figure(text, said(f"headline.{key}")).split(" | ")[1] for key in ("droop", "mass", "cost")]


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("brief.droop[0].tip_total_g", "499"),
        ("brief.droop[0].tip_total_g", "900"),
        ("setting.prop_mm", "700"),
        ("setting.test_load_g", "300"),
        ("setting.swing_load_g", "250"),
    ],
)
def test_another_test_load_or_prop_is_no_gain(edit: Send, client: Any, path: str, text: str) -> None:
    page = edit(edit="set_field", path=path, text=text).text
    assert [each.split(",")[0] for each in changes(page)] == [said("change.none")] * 3
    more, less = (said(f"change.amount.{way}", by="#").split("#")[1] for way in ("more", "less"))
    rows = re.search(r"<tbody.*?</tbody>", client.get(POLE).text, re.S)
    assert rows is not None
    assert not re.search(rf"\d{more}|\d{less}", re.sub(r"<[^>]+>", "", rows[0]))


def test_the_ghost_says_that_it_is_in_this_test_and_lies_on_the_pole(edit: Send, client: Any) -> None:
    edit(edit="set_field", path="brief.droop[0].tip_total_g", text="499")
    page = unescape(client.get(POLE).text)
    found = re.search(r'class="ghost".*?</svg>', page, re.S)
    assert found is not None
    assert said("scene.revision.in_same_test", revision=1) in found[0]
    droop = re.search(r"<dt>" + said("headline.droop") + r"</dt><dd>\s*([\d\u202f]+)", page)
    assert droop is not None
    assert f"{droop[1]}\u00a0mm" in found[0]


def test_a_stiffer_wall_in_a_lighter_test_gains_what_it_gains_in_that_test(edit: Send) -> None:
    edit(edit="set_field", path="brief.droop[0].tip_total_g", text="499")
    with_load = edit(edit="set_field", path=TURNS, text="6").text
    (both,) = re.findall(r"\d+", changes(with_load)[0])
    edit(edit="set_field", path="brief.droop[0].tip_total_g", text="600")
    (heavier,) = re.findall(r"\d+", changes(edit(edit="set_field", path=TURNS, text="6").text)[0])
    assert 0.6 * int(heavier) < int(both) < int(heavier)


def test_a_test_that_the_saved_pole_cannot_have_tells_no_difference(edit: Send, workshop: Any, client: Any) -> None:
    edit(edit="set_field", path="brief.droop[0].tip_total_g", text="20")  # below the fitting's own 60 g
    page = edit(edit="set_field", path="tip_fitting_g", text="0").text
    assert "98" not in changes(page)[0]


def test_prices_in_another_currency_are_not_compared(edit: Send) -> None:
    page = edit(edit="set_field", path="setting.currency", text="$").text
    assert changes(page)[2] == ""


def test_compare_works_the_other_pole_out_in_the_test_of_this_one(client: Any, workshop: Any) -> None:
    text = unescape(client.get("/poles/reedlight-7/compare?beside=tallreed-11").text)
    assert said("place.compare.same_test") in text
    assert said("place.compare.loads") not in text
    own, other = (workshop.check(workshop.designs.open(slug).saved.design) for slug in ("reedlight-7", "tallreed-11"))
    assert own.pole.droop_load != other.pole.droop_load
    droop = rows_of(text)[said("place.compare.droop")]
    assert droop[2] != ""
    shown = float(re.sub(r"[^\d]", "", droop[1].split("\u00a0")[0]))
    assert shown > 1e3 * other.pole.droop  # 600 g bend it more than the 560 g of its own brief


def test_a_message_of_the_ghost_is_a_text() -> None:
    assert said(Message("scene.revision.in_same_test", revision=3).code, revision=3) != said(
        "scene.revision", revision=3
    )
