"""Words of the pages: the same for the same thing at every place, with units, without names of the program's own."""

import re
from typing import Any

import pytest
from tests.said import refused, said

from polewright.codes import Message
from polewright.web.place_table import PLACES
from polewright.web.places.find import fault_text
from polewright.words import default_reader

pytestmark = pytest.mark.slow

REED = "/poles/reedlight-7"
ASKED = {"accept": "application/json, text/html"}


def fields_of(text: str) -> list[str]:
    """Paths of the fields of a page in which something can be typed."""
    return re.findall(r'<input id="[^"]+" data-path="([^"]+)"', text)


@pytest.mark.parametrize("place", ["brief", "pole", "shelf"])
@pytest.mark.parametrize("typed", ["many", "-1e7", "1e12"])
def test_no_refusal_of_a_field_says_a_name_of_the_documents(client: Any, place: str, typed: str) -> None:
    page = client.get(f"{REED}/{place}").text
    seen = re.search(r'data-seen="(\w+)"', page)
    assert seen is not None
    told_of = 0
    for path in fields_of(page):
        answer = client.post(
            f"{REED}/{place}/edit",
            headers=ASKED,
            data={"edit": "set_field", "path": path, "text": typed, "seen": seen[1]},
        )
        if answer.status_code == 200:  # a word, not a figure
            client.post(f"{REED}/forget")
            continue
        for fault in answer.json()["faults"]:
            told_of += 1
            assert not re.search(r"[a-z]_[a-zA-Z0-9]|\d\.0\b", f"{fault['want']} {fault['says']}"), fault
    assert told_of > 10


def test_a_joint_whose_pivot_and_play_are_emptied_is_as_if_never_set(client: Any, workshop: Any) -> None:
    for path, text in (
        ("joints[0].pivot_pct", "30"),
        ("joints[0].play_mrad", "2"),
        ("joints[0].pivot_pct", ""),
        ("joints[0].play_mrad", " "),
    ):
        seen = re.search(r'data-seen="(\w+)"', client.get(f"{REED}/pole").text)
        assert seen is not None
        answer = client.post(
            f"{REED}/pole/edit", headers=ASKED, data={"edit": "set_field", "path": path, "text": text, "seen": seen[1]}
        )
        assert answer.status_code == 200, answer.text
    found = workshop.designs.open("reedlight-7")
    assert found.draft is None  # the same as saved again


def test_a_place_drawn_out_in_part_says_what_its_droop_stands_for(client: Any) -> None:
    assert f"<dt>{said('headline.droop')}</dt>" in client.get(f"{REED}/wall").text
    part = client.get(f"{REED}/wall?out=2").text
    assert f"<dt>{said('headline.droop.all_out')}</dt>" in part
    assert said("drawn_out.some", out=2) in part


def test_what_is_cut_is_cautioned_by_the_fibres_it_is_cut_from(client: Any) -> None:
    carbon, both = client.get(f"{REED}/cut?section=4").text, client.get("/poles/peerglass-8/cut?section=4").text
    assert said("caution.carbon_dust.title") in carbon
    assert said("caution.glass_dust.title") not in carbon
    assert said("caution.glass_dust.title") in both
    assert said("caution.falling_pole.title") in client.get(f"{REED}/bench").text


def test_a_search_too_long_says_what_can_be_done_on_the_page() -> None:
    reader, fault = default_reader(), ("search", "52 222 sets of plies", Message("want.shorter_search"))
    for shelf in ("workshop", "own"):
        less = Message(f"place.find.shorter.{shelf}")
        assert fault_text(fault, shelf, reader) == said("place.find.too_long", size="52 222 sets of plies", less=less)
    other = ("rolls", None, Message("want.finite"))
    assert fault_text(other, "own", reader) == reader.fault(*other)


@pytest.mark.parametrize(
    ("address", "field", "value", "want"),
    [
        (f"{REED}/nowhere", "place", "'nowhere'", Message("want.one", choices=tuple(PLACES))),
        (f"{REED}/wall?section=99", "section", "'99'", Message("limit.le", limit=12)),
        (f"{REED}/wall?section=x", "section", "'x'", Message("want.whole_number")),
        (f"{REED}/bench?correct=0", "correct", "'0'", Message("limit.ge", limit=1)),
    ],
)
def test_an_address_that_leads_nowhere_says_what_would(
    client: Any, address: str, field: str, value: str, want: Message
) -> None:
    answer = client.get(address)
    assert answer.status_code == 404
    assert refused(field, value, want) in answer.text.replace("&#39;", "'")


def test_pages_are_never_kept_by_the_browser_but_files_of_the_page_are(client: Any) -> None:
    assert client.get(f"{REED}/wall").headers["cache-control"] == "no-store"
    assert "no-store" not in client.get("/drawing.css").headers.get("cache-control", "")


TEST = {
    "kind": "two-load bend",
    "serial": "R7-1",
    "section": "4",
    "span_mm": "1500",
    "load_g-0": "500",
    "reading_mm-0": "1.00",
    "load_g-1": "2500",
    "reading_mm-1": "20.4",
}


def test_an_entry_of_the_bench_is_put_right_by_a_further_one(client: Any, workshop: Any) -> None:
    kept = client.post(f"{REED}/tests", data=TEST)
    number = int(kept.headers["location"].rsplit("=", 1)[1])
    form = client.get(f"{REED}/bench?correct={number}").text
    assert f'name="corrects" value="{number}"' in form
    assert 'value="20.4"' in form
    right = client.post(
        f"{REED}/tests", data={**TEST, "reading_mm-1": "2.40", "corrects": str(number), "note": "decimal point"}
    )
    assert right.status_code == 303
    assert [e.corrects for e in workshop.records.listed(slug="reedlight-7")] == [number]
    page = client.get(f"{REED}/bench").text
    assert said("place.bench.puts_earlier_right") in page
    for load, reading in (("500", "1"), ("2500", "20.4")):
        assert said("bench.reading", load=load, reading=reading, mass_unit="g", length_unit="mm") in page
    assert "decimal point" in page
    again = client.post(f"{REED}/tests", data={**TEST, "corrects": str(number)})
    assert again.status_code == 409
    elsewhere = client.post("/poles/tallreed-11/tests", data={**TEST, "corrects": str(number)})
    assert elsewhere.status_code == 404


def test_the_bench_of_an_inch_page_is_in_inches_throughout(client: Any) -> None:
    client.post(f"{REED}/tests", data={**TEST, "reading_mm-1": "2.40"})
    client.cookies["units"] = "inch"
    page = client.get(f"{REED}/bench").text
    for load, reading in (("17.64", "0.0394"), ("88.18", "0.0945")):
        assert said("bench.reading", load=load, reading=reading, mass_unit="oz", length_unit="in") in page
    assert "lbf·ft²" in page
    kept = page[page.index('id="tests-kept"') : page.index("<footer>")]
    assert not re.search(r"\d (mm|g|N·m²)\b", kept)
