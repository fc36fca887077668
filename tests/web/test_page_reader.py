"""Who reads a page: the units and the language that the browser keeps, else those of the server."""

from typing import Any

import pytest
from tests.said import said, said_in

from polewright.words import Reader, default_reader, languages

pytestmark = pytest.mark.slow


def test_a_page_says_its_language(client: Any) -> None:
    assert f'<html lang="{default_reader().paper_language}">' in client.get("/").text


def test_a_language_that_has_no_catalogue_is_not_taken(client: Any) -> None:
    client.cookies["language"] = "../x"
    answer = client.get("/poles/reedlight-7/brief")
    assert answer.status_code == 200
    assert f'<html lang="{default_reader().paper_language}">' in answer.text


def test_the_frame_is_shown_in_the_readers_words(client: Any) -> None:
    text = client.get("/poles/reedlight-7/brief").text
    for code in ("place.today", "place.brief", "stage.make", "frame.save", "frame.units"):
        assert said(code) in text, code


def test_places_inside_macros_have_a_reader_too(client: Any) -> None:
    assert said("why.inputs") in client.get("/poles/reedlight-7/wall").text


def test_the_units_of_a_reader_are_those_chosen(client: Any) -> None:
    client.post("/units", data={"units": "inch", "back": "/"})
    client.cookies["units"] = "inch"
    text = client.get("/").text
    inch = Reader(default_reader().language, "inch")
    assert f'value="inch" aria-pressed="true">{said_in(inch, "frame.units_inch")}' in text


def test_a_language_that_has_a_catalogue_is_offered_and_kept(client: Any) -> None:
    frame = client.get("/poles/reedlight-7/brief").text
    for tag in languages():
        assert f'name="language" value="{tag}"' in frame
    answer = client.post("/language", data={"language": "de", "back": "/poles/reedlight-7/brief"})
    assert answer.status_code == 303
    assert answer.cookies["language"] == "de"
    client.cookies["language"] = "de"
    for address in ("/", "/poles/reedlight-7/brief", "/poles/reedlight-7/held"):
        page = client.get(address).text
        assert '<html lang="de">' in page or "<html" not in page
    drawing = client.get("/poles/reedlight-7/drawing.svg").text
    assert Reader("de").say("drawn_out.all") in drawing


def test_a_language_without_a_catalogue_is_forgotten(client: Any) -> None:
    answer = client.post("/language", data={"language": "x-marked", "back": "//elsewhere"})
    assert answer.headers["location"] == "/"
    assert "language" not in answer.cookies


@pytest.mark.parametrize(("address", "name", "value"), [("/units", "units", "inch"), ("/language", "language", "de")])
def test_a_choice_is_kept_for_a_year_and_for_this_site_alone(client: Any, address: str, name: str, value: str) -> None:
    answer = client.post(address, data={name: value, "back": "/"})
    (cookie,) = answer.headers.get_list("set-cookie")
    kept, *settings = (part.strip().lower() for part in cookie.split(";"))
    assert kept == f"{name}={value}"
    assert {f"max-age={365 * 24 * 3600}", "httponly", "samesite=strict"} <= set(settings)
