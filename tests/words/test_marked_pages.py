"""In the marked language no page, in any state, shows a word that no catalogue said but names, codes and units.

Works that are cited stay as they were printed.
"""

import re
from collections.abc import Callable
from typing import Any, get_args

import pytest
from tests.web.conftest import Visitor
from tests.web.waiting import PATIENCE
from tests.words.outside import CITED, page_texts, texts_within, words_outside

from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.documents.hold import Held
from polewright.materials import library
from polewright.web.place_table import PLACES
from polewright.words import languages
from polewright.words.catalogue import catalogue
from polewright.workshop import EDITS, GIVEN, RECORD_KINDS, Workshop, schema_kinds

pytestmark = pytest.mark.slow

POLES = ("reedlight-7", "tallreed-11", "crookbough-5", "peerglass-8")
REED, FRUIT = "/poles/reedlight-7", "/poles/crookbough-5"
CODES = {"SM150", "TH55", "EG48", "TOML", "JSON", "R7-0031", *PLACES, *EDITS, *GIVEN, *Design.model_fields}
CODES |= {*get_args(Held), *RECORD_KINDS, *schema_kinds()}
"""What a form, an address or a file may hold, and an example of a serial number."""
SCRIPT = {"accept": "application/json, text/html"}
Outside = Callable[..., set[str]]


@pytest.fixture(scope="module")
def outside(marked_workshop: Workshop) -> Outside:
    """Words of a page beside the catalogue's, and names that a test typed."""
    names = {catalogue(tag).name for tag in languages()} | {"Polewright", "polewright store backup"} | set(POLES)
    names |= set(library().prepregs) | CODES
    for pole in POLES:
        names |= texts_within(marked_workshop.designs.open(pole).saved.design.plain())

    def found(page: str, *typed: str) -> set[str]:
        return words_outside(page_texts(page), *names, *typed, *CITED)

    return found


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("pole", POLES)
def test_no_place_of_a_demo_pole(marked_client: Visitor, outside: Outside, pole: str, units: str) -> None:
    marked_client.cookies["units"] = units
    found = {}
    for place in ("held", "held?depth=1&slide=2", "wall/detail?section=2", "wall?out=1", "cut?section=2", *PLACES):
        page = marked_client.get(f"/poles/{pole}/{place}").text
        found |= dict.fromkeys(outside(page), place)
    assert found == {}


@pytest.mark.parametrize("address", ["/", "/words", "/jobs", "/words/prepreg"])
def test_no_page_of_the_workshop(marked_client: Visitor, outside: Outside, address: str) -> None:
    assert outside(marked_client.get(address).text) == set()


ERRORS = [
    "/nothing",
    "/poles/gone/wall",
    "/poles/gone/find",
    f"{REED}/nowhere",
    f"{REED}/wall?section=99",
    f"{REED}/wall?section=x",
    f"{REED}/bench?correct=0",
    f"{REED}/bench?correct=77",
    f"{REED}/kit/none.dxf",
    f"{REED}/kit/section/77/dxf",
    f"{REED}/kit/section/1/none",
    f"{REED}/held?lean_deg=x",
    f"{REED}/held?support=none",
    f"{REED}/held?reach_mm=-4",
    f"{REED}/wall/detail?section=9",
    f"{REED}/find?n=99",
    f"{REED}/file/none?number=9",
    f"{REED}/sheet?language=1",
    "/words/none",
]


@pytest.mark.parametrize("address", ERRORS)
def test_no_page_that_says_what_is_wrong(marked_client: Visitor, outside: Outside, address: str) -> None:
    typed = {part for part in re.split(r"[^A-Za-z]+", address) if part}
    assert outside(marked_client.get(address).text, *typed) == set()


def seen(client: Visitor, place: str = "wall") -> str:
    """The state of the pole that a form was made for."""
    found = re.search(r'data-seen="(\w+)"', client.get(f"{REED}/{place}").text)
    assert found is not None
    return found[1]


FORMS: list[dict[str, str]] = [
    {"edit": "nonsense"},
    {"edit": "remove_ply", "section": "3", "ply": "77"},
    {"edit": "remove_ply", "section": "x", "ply": "1"},
    {"edit": "add_ply", "section": "3", "prepreg": "ABC", "angle_deg": "x", "turns": "", "end": "skin"},
    {"edit": "add_rule", "title": "", "judge": "block", "limit": "many", "ply": "ABC"},
    {"edit": "add_rule", "title": "x", "judge": "least-wall", "limit": "1 kg", "ply": "SM150"},
    {"edit": "set_field", "path": "no_such_field", "text": "5"},
    {"edit": "set_field", "path": "sections[77].length_mm", "text": "5"},
    {"edit": "set_field", "path": "sections[3].mandrel", "text": "ABC"},
    {"edit": "set_field", "path": "sections[3].stack[1].prepreg", "text": "ABC"},
    {"edit": "set_field", "path": "sections[3].length_mm", "text": "9 m"},
    {"edit": "set_field", "path": "sections[3].stack[1].turns", "text": ""},
    {"edit": "set_field", "path": "rule:block:limit", "text": "-3"},
    {"edit": "set_field", "path": "rule:block:title", "text": "x" * 400},
    {"edit": "set_field", "path": "brief.reach_at_least_mm", "text": "9 kg"},
    {"edit": "set_field", "path": "name", "text": ""},
    {"edit": "set_field", "path": "setting.currency", "text": ""},
    {"edit": "set_field", "path": "mandrels[0].profile[0].diameter_mm", "text": "-1"},
    {"edit": "add_prepreg", "name": "", "like": "ABC"},
    {"edit": "add_mandrel", "name": "M1", "material": "ABC"},
    {"edit": "give_figure", "material": "0", "figure": "ABC", "value": "x", "kind": "measured"},
    {"edit": "remove_prepreg", "material": "0"},
    {"edit": "remove_section", "section": "77"},
]


@pytest.mark.parametrize("form", FORMS, ids=str)
def test_no_refusal_of_an_edit(marked_client: Visitor, outside: Outside, form: dict[str, str]) -> None:
    answer = marked_client.post(f"{REED}/wall/edit", data={**form, "seen": seen(marked_client)}, headers=SCRIPT)
    assert answer.status_code >= 400
    said = [fault[name] for fault in answer.json()["faults"] for name in ("want", "says")]
    typed = {part for text in form.values() for part in re.split(r"[^A-Za-z]+", text) if part}
    assert words_outside(said, *typed, *CODES, *(f"M{n}-A" for n in range(40))) == set()


POSTS: list[tuple[str, dict[str, str]]] = [
    ("/poles", {"name": ""}),
    ("/poles", {"name": "Reedlight 7"}),
    ("/poles", {"name": "A", "from": "gone"}),
    (f"{REED}/tests", {"kind": "two-load bend"}),
    (f"{REED}/tests", {"kind": "none"}),
    (f"{REED}/tests", {"kind": "two-load bend", "serial": "A", "section": "4", "span_mm": "many",
                       "load_g-0": "x", "reading_mm-0": "1", "load_g-1": "5", "reading_mm-1": "kg"}),
    (f"{REED}/tests", {"kind": "two-load bend", "serial": "A", "section": "4", "span_mm": "1500",
                       "load_g-0": "500", "reading_mm-0": "9", "load_g-1": "2500", "reading_mm-1": "2"}),
    (f"{REED}/tests", {"kind": "tip load", "serial": "A", "out": "4", "prop_mm": "1000", "load_g-0": "500",
                       "reading_mm-0": "9"}),
    (f"{REED}/spread", {"copies": "1", "order": "x"}),
    (f"{REED}/find/take", {"n": "4"}),
    (f"{REED}/find/on", {}),
    (f"{REED}/shelf/keep", {"kind": "material", "name": "ABC"}),
    (f"{REED}/shelf/off", {"entry": "99"}),
    (f"{REED}/shelf/back", {"entry": "x"}),
    (f"{REED}/revisions/99/return", {}),
    (f"{REED}/revisions", {"seen": "gone"}),
    ("/jobs/99/stop", {}),
]  # fmt: skip


@pytest.mark.parametrize(("path", "form"), POSTS, ids=str)
def test_no_refusal_of_a_form(marked_client: Visitor, outside: Outside, path: str, form: dict[str, str]) -> None:
    answer = marked_client.post(path, data=form)
    assert answer.status_code >= 400
    typed = {part for text in form.values() for part in re.split(r"[^A-Za-z]+", text) if part}
    assert outside(answer.text, *typed) == set()


@pytest.mark.parametrize(
    "file", [b"", b"document = 'design'", b"x = [", b"\xff\xfe", b"{}", b"document = 'design'\nschema_version = 99"]
)
@pytest.mark.parametrize("name", ["a.toml", "a.json"])
def test_no_refusal_of_a_file(marked_client: Visitor, outside: Outside, file: bytes, name: str) -> None:
    answer = marked_client.post("/files", files={"file": (name, file)})
    assert answer.status_code >= 400
    assert outside(answer.text, name, "document", "design", "x", "schema_version") == set()


def test_no_page_of_a_pole_with_tests_and_revisions(marked_client: Visitor, outside: Outside) -> None:
    bend = {"kind": "two-load bend", "serial": "A1", "tester": "Ada", "section": "4", "span_mm": "900",
            "load_g-0": "500", "reading_mm-0": "1", "load_g-1": "2500", "reading_mm-1": "2.4"}  # fmt: skip
    tip = {"kind": "tip load", "serial": "A1", "out": "4", "prop_mm": "1000", "load_g-0": "250",
           "reading_mm-0": "300", "load_g-1": "750", "reading_mm-1": "800"}  # fmt: skip
    pole, numbers = "/poles/tallreed-11", []
    marked_client.cookies["units"] = "metric"
    for form in (bend, tip):
        kept = marked_client.post(f"{pole}/tests", data=form)
        assert kept.status_code == 303, kept.text
        numbers.append(kept.headers["location"].rsplit("=", 1)[1])
    corrected = marked_client.post(f"{pole}/tests", data={**bend, "reading_mm-1": "2.9", "corrects": numbers[0]})
    assert corrected.status_code == 303
    found = {}
    for fields in (
        {"edit": "set_field", "path": "sections[3].stack[1].turns", "text": "4"},
        {"edit": "set_field", "path": "joints[0].overlap_mm", "text": "210"},
        {"edit": "set_field", "path": "rule:block:title", "text": "ada"},
        {"edit": "give_figure", "material": "0", "figure": "E1_GPa", "value": "128", "kind": "measured", "lot": "Lot"},
        {"edit": "add_rule", "title": "own", "judge": "block", "limit": "0.7", "ply": "", "reason": "", "remedy": ""},
        {"edit": "remove_section", "section": "0"},
    ):
        text = marked_client.get(f"{pole}/wall").text
        now = re.search(r'data-seen="(\w+)"', text)
        assert now is not None
        answer = marked_client.post(f"{pole}/wall/edit", data={**fields, "seen": now[1]}, headers=SCRIPT)
        assert answer.status_code == 200, answer.text
        for place in ("wall", "pole", "rules", "shelf"):
            page = marked_client.get(f"{pole}/{place}").text
            found |= dict.fromkeys(outside(page, "ada", "Lot", "own"), place)
        marked_client.post(f"{pole}/wall/edit", data={"edit": "save"}, headers=SCRIPT)
    for place in (f"bench?correct={numbers[1]}", "bench", "revisions"):
        page = marked_client.get(f"{pole}/{place}").text
        found |= dict.fromkeys(outside(page, "Ada", "ada", "Lot", "own", "A1", "block"), place)
    assert found == {}


def test_no_page_after_a_search_and_a_sampling(marked_client: Visitor, marked_workshop: Workshop, outside: Outside):
    for path, form, place in (("find", {}, "find"), ("spread", {"copies": "256", "order": "12"}, "spread")):
        assert marked_client.post(f"{FRUIT}/{path}", data=form).status_code == 303
        found = dict.fromkeys(outside(marked_client.get(f"{FRUIT}/{place}").text), "during")
        found |= dict.fromkeys(outside(marked_client.get("/").text), "jobs")
        for job in marked_workshop.jobs.under_way():
            assert marked_workshop.jobs.wait(job.number, PATIENCE).state == "done"
        for query in ("", "?n=0", "?n=1"):
            found |= dict.fromkeys(outside(marked_client.get(f"{FRUIT}/{place}{query}").text), place)
        assert found == {}


def test_no_page_after_a_search_that_found_no_pole(marked_client: Visitor, marked_workshop: Workshop, outside: Outside):
    from tests.web.test_web_find import BRIEFS

    for change in ({}, {"materials": ()}, {"rolls": {"wall_least_mm": 2.0, "wall_most_mm": 1.0}}):
        brief: Any = load(BRIEFS / "reedlight-7-too-much.toml")
        rolls = brief.rolls.model_copy(update=change.get("rolls", {}))
        asked = brief.model_copy(update={**change, "rolls": rolls})
        job = marked_workshop.jobs.start("find", asked, subject="reedlight-7")
        marked_workshop.jobs.wait(job.number, PATIENCE)
        assert outside(marked_client.get(f"{REED}/find").text) == set()
