"""What the pages say, in process."""

import io
import re
import zipfile
from typing import Any

import pytest
from tests.said import refused, said

from polewright.codes import Message
from polewright.web.place_table import PLACES
from polewright.workshop import Workshop

DOCUMENTS = ("pole-design", "brief", "material", "mandrel", "test-record")
BRIEF = b'document = "brief"\nschema_version = 1\nname = "x"\n[brief]\n'
CUT_SHORT = Message("want.whole_text", kind="TOML", reason=Message("reason.end_of_text"))


@pytest.mark.slow
def test_the_first_page_draws_every_pole_of_the_demo_workshop(client: Any) -> None:
    text = client.get("/").text
    assert all(name in text for name in ("Reedlight 7", "Tallreed 11", "Crookbough 5", "Peerglass 8"))
    assert text.count("<svg") == 4


@pytest.mark.slow
@pytest.mark.parametrize("place", PLACES)
def test_every_place_shows_the_pole_and_its_four_figures(client: Any, place: str) -> None:
    answer = client.get(f"/poles/reedlight-7/{place}")
    assert answer.status_code == 200
    bar = said("drawing.pole.scale", bar=2.0, times=said("drawing.to_scale"))
    for words in (*(said(f"headline.{name}") for name in ("droop", "mass", "window", "cost")), bar):
        assert words in answer.text


@pytest.mark.slow
@pytest.mark.parametrize("pole", ["tallreed-11", "crookbough-5", "peerglass-8"])
@pytest.mark.parametrize("place", PLACES)
def test_every_demo_pole_has_every_place(client: Any, pole: str, place: str) -> None:
    assert client.get(f"/poles/{pole}/{place}").status_code == 200


@pytest.mark.parametrize("place", PLACES)
def test_every_place_speaks_inches(client: Any, place: str) -> None:
    client.cookies["units"] = "inch"
    text = client.get(f"/poles/reedlight-7/{place}").text
    assert "36.4 <small>in</small>" in text
    assert "<small>kg</small>" not in text


def test_the_droop_on_the_page_is_that_of_the_check(client: Any, workshop: Workshop) -> None:
    check = workshop.check(workshop.designs.open("reedlight-7").saved.design)
    assert f"<dd>{check.pole.droop * 1e3:.0f} <small>mm</small>" in client.get("/poles/reedlight-7/wall").text


def test_a_page_loads_nothing_from_elsewhere_and_runs_no_inline_script(client: Any) -> None:
    answer = client.get("/poles/reedlight-7/wall")
    assert "script-src 'self'" in answer.headers["content-security-policy"]
    assert "unsafe-inline" not in answer.headers["content-security-policy"]
    assert not re.search(r"(?:src|href)=\"(?:https?:)?//", answer.text)
    assert " style=" not in answer.text
    assert " onclick=" not in answer.text


@pytest.mark.slow
def test_every_address_that_a_page_names_answers(client: Any) -> None:
    named = set()
    for place in PLACES:
        found = re.findall(r'href="([^"#]+)"', client.get(f"/poles/reedlight-7/{place}").text)
        named |= {f"/poles/reedlight-7/{place}{a}" if a.startswith("?") else a for a in found}
    assert len(named) > 30
    for address in sorted(named):
        assert client.get(address.replace("&amp;", "&")).status_code == 200, address


@pytest.mark.slow
def test_the_kit_comes_whole_in_one_archive(client: Any) -> None:
    answer = client.get("/poles/reedlight-7/kit/kit.zip")
    names = zipfile.ZipFile(io.BytesIO(answer.content)).namelist()
    assert {"reedlight-7-s1.dxf", "reedlight-7-s5-card.pdf", "reedlight-7-cut-list.csv"} <= set(names)


def test_the_buyers_sheet_is_a_pdf(client: Any) -> None:
    answer = client.get("/poles/reedlight-7/sheet/reedlight-7-sheet.pdf")
    assert answer.content.startswith(b"%PDF")
    assert answer.headers["content-type"] == "application/pdf"


def test_an_unknown_pole_is_a_page_that_says_so(client: Any) -> None:
    answer = client.get("/poles/no-such-pole/wall")
    assert answer.status_code == 404
    assert said("page.refused.absent") in answer.text


@pytest.mark.parametrize(
    "address",
    [
        "/poles/reedlight-7/nowhere",
        "/nothing",
        "/poles/reedlight-7/wall?section=99",
        "/poles/reedlight-7/wall?section=x",
        "/poles/reedlight-7/kit/none.dxf",
        "/poles/reedlight-7/kit/section/77/dxf",
        "/static/../app.py",
    ],
)
def test_a_wrong_address_is_refused_with_a_message(client: Any, address: str) -> None:
    assert client.get(address).status_code in (404, 422)


def test_another_site_cannot_change_anything(client: Any) -> None:
    answer = client.post(
        "/poles/reedlight-7/wall/edit", data={"edit": "undo"}, headers={"origin": "http://elsewhere.test"}
    )
    assert answer.status_code == 403


def test_a_foreign_name_for_this_machine_is_refused(client: Any) -> None:
    assert client.get("/", headers={"host": "elsewhere.test"}).status_code == 421


def test_units_never_send_a_person_to_another_site(client: Any) -> None:
    for back in ("//elsewhere.test", "https://elsewhere.test", "/\\elsewhere.test"):
        assert client.post("/units", data={"units": "inch", "back": back}).headers["location"] == "/"


def test_a_new_pole_begins_from_another(client: Any) -> None:
    answer = client.post("/poles", data={"from": "reedlight-7", "name": "Saplingreed 7"})
    assert answer.headers["location"] == "/poles/saplingreed-7/brief"
    assert "Saplingreed 7" in client.get("/poles/saplingreed-7/brief").text


def test_a_name_that_is_taken_is_refused_with_a_message(client: Any) -> None:
    answer = client.post(
        "/poles", data={"from": "reedlight-7", "name": "Tallreed 11"}, headers={"accept": "application/json"}
    )
    assert answer.status_code == 409
    assert answer.json()["faults"][0]["says"] == refused("name", "'Tallreed 11'", "want.another_name_of_pole")


def test_a_file_taken_out_comes_in_as_a_pole(client: Any) -> None:
    text = client.get("/poles/reedlight-7/file/reedlight-7.toml").text.replace("Reedlight 7", "Returned 7")
    answer = client.post("/files", files={"file": ("returned.toml", text.encode())})
    assert answer.headers["location"] == "/poles/returned-7/wall"


@pytest.mark.parametrize(
    ("content", "field", "value", "want"),
    [
        (b'document = "pole-design"\nschema', "file", None, CUT_SHORT),
        (b"\xff\xfe\x00", "file", "'wrong.toml'", Message("want.design_as_text", start=0)),
        (BRIEF, "document", "'brief'", Message("want.document_kind", kinds=("pole-design",))),
        (b"", "document", None, Message("want.one", choices=DOCUMENTS)),
    ],
)
def test_a_file_that_is_no_pole_is_refused_with_a_message(
    client: Any, content: bytes, field: str, value: str | None, want: Message
) -> None:
    answer = client.post("/files", files={"file": ("wrong.toml", content)}, headers={"accept": "application/json"})
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["says"] == refused(field, value, want)


def test_words_of_a_design_never_become_markup(client: Any) -> None:
    text = (
        client.get("/poles/reedlight-7/file/reedlight-7.toml")
        .text.replace("Reedlight 7", "<script>alert(1)</script>")
        .replace("TH55", "<b>x")
    )
    place = client.post("/files", files={"file": ("odd.toml", text.encode())}).headers["location"].rsplit("/", 1)[0]
    for each in PLACES:
        shown = client.get(f"{place}/{each}").text
        assert "<script>alert" not in shown
        assert "<b>x" not in shown
    assert "<script>alert" not in client.get("/").text


def test_a_bend_test_is_kept_and_shown_beside_the_prediction(client: Any) -> None:
    rows = {
        "load_g-0": "500",
        "reading_mm-0": "1,02",
        "load_g-1": "2500",
        "reading_mm-1": "2.98",
        "load_g-2": "500",
        "reading_mm-2": "1.01",
        "load_g-3": "2500",
        "reading_mm-3": "2.99",
    }
    answer = client.post(
        "/poles/reedlight-7/tests",
        data={
            "kind": "two-load bend",
            "serial": "R7-0031",
            "section": "4",
            "span_mm": "1.5 m",
            "tester": "Ada",
            **rows,
        },
    )
    assert answer.status_code == 303, answer.text
    text = client.get("/poles/reedlight-7/bench").text
    assert "R7-0031" in text
    assert said("bench.kind.bend", section=4) in text
    assert re.search(r"<dd>\W*[\d\u202f.]+ ± [\d.]+\u00a0N·m²", text)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"reading_mm-0": "one"}, "reading_mm-0"),
        ({"span_mm": "4 m"}, "test.span_mm"),
        ({"section": "9"}, "test.section"),
        ({"load_g-1": "500"}, "test"),
        ({"serial": ""}, "serial"),
        ({"reading_mm-0": "", "reading_mm-1": ""}, "reading_mm-0"),
    ],
)
def test_a_wrong_reading_is_refused_at_its_field(client: Any, wrong: dict[str, str], field: str) -> None:
    form = {
        "kind": "two-load bend",
        "serial": "R7-1",
        "section": "4",
        "span_mm": "1500",
        "load_g-0": "500",
        "reading_mm-0": "1",
        "load_g-1": "2500",
        "reading_mm-1": "3",
    }
    answer = client.post("/poles/reedlight-7/tests", data={**form, **wrong}, headers={"accept": "application/json"})
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["field"] == field
    assert "R7-1" not in client.get("/poles/reedlight-7/bench").text


@pytest.mark.parametrize("code", PLACES)
def test_every_place_has_a_name_and_is_in_the_navigation(client: Any, code: str) -> None:
    text = client.get("/poles/reedlight-7/wall").text
    assert re.search(rf'<a href="/poles/reedlight-7/{code}\?[^"]*"[^>]*>{re.escape(said(f"place.{code}"))}</a>', text)
    assert said(f"stage.{PLACES[code].group}") in text
