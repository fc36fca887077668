"""Who sends something, a note, and which revision or entry is meant: what a request says beside the thing is kept."""

import pytest

pytestmark = pytest.mark.slow

SAID = {"note": "as agreed", "who": "Ann"}
RECORD = {
    "document": "test-record",
    "schema_version": 1,
    "serial": "R2-001",
    "test": {
        "kind": "two-load bend",
        "section": 1,
        "span_mm": 1000.0,
        "readings": [{"load_g": 0.0, "reading_mm": 0.0}, {"load_g": 2000.0, "reading_mm": 3.1}],
    },
}


def said_of(answer):
    assert answer.status_code == 201, answer.text
    told = answer.json()
    told = told.get("revision") if isinstance(told.get("revision"), dict) else told
    return {name: told[name] for name in SAID}


@pytest.fixture
def pole(ask, plain):
    """A pole of two revisions."""
    assert said_of(ask.post("/api/poles", json={"design": plain, **SAID})) == SAID
    more = {**plain, "maker": "Another"}
    assert said_of(ask.post("/api/poles/reedlight-2/revisions", json={"design": more, "parent": 1, **SAID})) == SAID
    return "/api/poles/reedlight-2"


def test_a_pole_from_a_file_keeps_who_brought_it_and_why(ask, pole):
    text = ask.get(f"{pole}/revisions/1/file").text.replace('"Reedlight 2"', '"Reedlight 3"')
    assert said_of(ask.post("/api/poles/files", json={"text": text, **SAID})) == SAID


def test_a_copy_is_of_the_revision_that_is_meant(ask, pole, plain):
    for number, maker in ((1, plain.get("maker", "")), (2, "Another"), (None, "Another")):
        asked = {"name": f"Copy {number}", "who": "Ann"} | ({} if number is None else {"number": number})
        answer = ask.post(f"{pole}/copies", json=asked)
        assert said_of(answer)["who"] == "Ann"
        assert answer.json()["design"].get("maker", "") == maker


def test_who_goes_back_to_a_revision_is_kept(ask, pole):
    assert said_of(ask.post(f"{pole}/revisions/1/return", json={"parent": 2, "who": "Ben"}))["who"] == "Ben"


def test_a_test_is_of_the_revision_that_was_built(ask, pole):
    first = ask.post(f"{pole}/tests", json={"record": RECORD, "revision": 1, **SAID})
    assert said_of(first) == SAID
    assert (first.json()["revision"], first.json()["corrects"]) == (1, None)
    number = first.json()["number"]
    second = ask.post(f"{pole}/tests", json={"record": RECORD, "corrects": number, "who": "Ben"}).json()
    # a correction is of the revision that was tested, whatever was saved since
    assert (second["revision"], second["corrects"], second["who"], second["note"]) == (1, number, "Ben", "")
    assert ask.post(f"{pole}/tests", json={"record": RECORD, "revision": 3}).status_code == 404


def test_what_lies_on_the_shelf_keeps_who_put_it_there_and_why(ask, plain):
    entry = {"document": "material", "schema_version": 1, "material": plain["materials"][0]}
    put = ask.post("/api/shelf", json={"entry": entry, **SAID})
    assert said_of(put) == SAID
    number = put.json()["number"]
    again = ask.post("/api/shelf", json={"entry": entry, "corrects": number, "who": "Ben"}).json()
    assert (again["corrects"], again["who"], again["note"]) == (number, "Ben", "")
    off = ask.post(f"/api/shelf/{again['number']}/take-off", json={"note": "used up", "who": "Cy"}).json()
    assert (off["note"], off["who"]) == ("used up", "Cy")
    assert ask.get("/api/shelf").json() == []
    assert ask.post(f"/api/shelf/{off['number']}/put-back").status_code == 201
    assert len(ask.get("/api/shelf").json()) == 1


def test_who_keeps_a_draft_is_kept(ask, pole, plain):
    draft = ask.put(f"{pole}/draft", json={"draft": {**plain, "maker": 3}, "parent": 2, "who": "Ann"}).json()
    assert (draft["who"], draft["parent"], [fault["field"] for fault in draft["faults"]]) == ("Ann", 2, ["maker"])
    ask.put(f"{pole}/draft", json={"draft": plain, "parent": 2})
    edit = {"edit": "set_field", "path": "maker", "value": "us"}
    assert ask.post(f"{pole}/edits", json={"edits": [edit], "who": "Ben"}).json()["who"] == "Ben"


@pytest.mark.parametrize(("most", "status"), [(1, 200), (200, 200), (0, 422), (201, 422), ("x", 422)])
def test_a_list_of_jobs_has_a_length(ask, most, status):
    answer = ask.get(f"/api/jobs?most={most}")
    assert answer.status_code == status
    if status == 422:
        assert answer.json()["faults"][0]["field"] == "most"


def test_what_may_be_left_out_is_taken_out_by_nothing(ask, plain):
    plain = {**plain, "brief": {"mass_at_most_g": 900.0}}
    edit = {"edit": "set_field", "path": "brief.mass_at_most_g"}
    answer = ask.post("/api/edits", json={"design": plain, "edits": [{**edit, "value": None}]})
    assert answer.status_code == 200, answer.text
    assert "mass_at_most_g" not in answer.json()["design"].get("brief", {})
