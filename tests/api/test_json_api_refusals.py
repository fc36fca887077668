"""What the JSON API refuses: paths to nothing, bodies that are no document, wrong values anywhere, other sites."""

import json

import pytest
from tests.said import said

pytestmark = pytest.mark.slow


def faults(answer):
    return [(each["field"], each["value"]) for each in answer.json()["faults"]]


def start(ask, plain):
    answer = ask.post("/api/poles", json={"design": plain, "who": "Ann"})
    assert answer.status_code == 201, answer.text
    return answer.json()


NOWHERE = [
    ("/api/poles/tallreed-11", 404),
    ("/api/poles/a b", 422),
    ("/api/poles/%00", 422),
    ("/api/poles/reedlight-2/no", 404),
    ("/api/poles/reedlight-2/revisions/0", 422),
    ("/api/poles/reedlight-2/revisions/2", 404),
    ("/api/poles/reedlight-2/revisions/99999999999999999999999", 422),
    ("/api/poles/reedlight-2/revisions/1.5", 422),
    ("/api/poles/reedlight-2/differences", 422),
    ("/api/poles/reedlight-2/differences?before=1&after=1e9", 422),
    ("/api/tests/4", 404),
    ("/api/tests?serial=%00", 422),
    ("/api/tests?pole=nobody", 404),
    ("/nothing", 404),
]


def test_a_path_to_nothing_is_answered_with_faults(ask, plain):
    start(ask, plain)
    for path, status in NOWHERE:
        answer = ask.get(path)
        assert answer.status_code == status, path
        assert set(answer.json()["faults"][0]) == {"field", "value", "want", "says"}


DEEP = "[" * 100_000


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"", 422),
        (b"{", 422),
        (b"null", 422),
        (b"[]", 422),
        (b'"x"', 422),
        (b"\xff\xfe", 400),
        (DEEP.encode(), 400),
        (b'{"design": NaN}', 422),
        (b'{"a":' * 50_000 + b"1" + b"}" * 50_000, 400),
        (b"9" * 5000, 400),
    ],
)
def test_a_body_that_is_no_document_is_refused(ask, body, status):
    for path in ("/api/check", "/api/poles", "/api/edits"):
        answer = ask.post(path, content=body, headers={"content-type": "application/json"})
        assert answer.status_code in {status, 422}, answer.text[:200]
        assert answer.json()["faults"]


PLY = {"prepreg": "axial", "angle_deg": 0, "turns": 1}
RULES = ("around-both-sides", "balance", "block", "carbon-on-aluminium", "least-wall", "loose-joint", "neighbours")
RULES += ("no-bare-axial", "sanding", "seams-apart", "whole-turns", "woven-skin")
WHOLE = said("want.whole_number")
MISREAD = [
    (
        "/api/edits",
        {"edits": [{"edit": "add_ply", "section": "x", "at": 0, "ply": PLY}]},
        ("edits[0].section", "'x'", WHOLE),
    ),
    (
        "/api/edits",
        {"edits": [{"edit": "add_ply", "section": 0, "at": 0.5, "ply": PLY}]},
        ("edits[0].at", "0.5", WHOLE),
    ),
    (
        "/api/edits",
        {"edits": [{"edit": "add_ply", "section": 0, "at": -1, "ply": PLY}]},
        ("edits[0].at", "-1", said("limit.ge", limit=0)),
    ),
    ("/api/edits", {"edits": [{"edit": "add_ply", "section": 0, "at": 0}]}, ("edits[0].ply", "", said("want.missing"))),
    (
        "/api/edits",
        {"edits": [{"edit": "rotate_ply", "section": 0, "ply": 0, "angle": 5, "angle_deg": 5}]},
        ("edits[0].angle", "", said("want.no_such_field")),
    ),
    ("/api/edits", {"edits": [{"section": 0}]}, ("edits[0]", "", said("want.missing_kind", name="'edit'"))),
    ("/api/edits", {"edits": []}, ("edits", "", said("want.at_least_entries", limit=1))),
    ("/api/edits", {"edits": 5}, ("edits", "5", said("want.list"))),
    ("/api/poles", {"note": 5}, ("note", "5", said("want.text_in_quotes"))),
    (
        "/api/poles/files",
        {"text": "", "form": "yaml"},
        ("form", "'yaml'", said("want.one", choices=("'toml'", "'json'"))),
    ),
]


@pytest.mark.parametrize(("path", "body", "fault"), MISREAD, ids=[f"{case[2][0]} {case[2][1]}" for case in MISREAD])
def test_a_wrong_request_is_reported_in_the_words_of_a_wrong_document(ask, plain, path, body, fault):
    whole = body if path == "/api/poles/files" else {"design": plain} | body
    answer = ask.post(path, json=whole)
    assert answer.status_code == 422
    assert [(f["field"], f["value"], f["want"]) for f in answer.json()["faults"]] == [fault]


def test_json_that_breaks_off_is_reported_with_its_place(ask):
    answer = ask.post("/api/check", content=b'{"design": {', headers={"content-type": "application/json"})
    (fault,) = answer.json()["faults"]
    assert (fault["field"], fault["want"]) == ("body", said("want.whole_json", place=12))


NUMBERS = ["NaN", "Infinity", "-Infinity", "1e400", "-1e308", "1e308", "9" * 4000]
OTHERS = ["null", "true", '"\\ud800"', '"\\u0000"', "[]", "{}", '"' + "9" * 5000 + '"']


@pytest.mark.parametrize(
    "field",
    [
        "sections.0.length_mm",
        "sections.0.stack.1.turns",
        "sections.0.stack.1.angle_deg",
        "materials.0.fibre.E1_GPa",
        "mandrels.0.profile.0.diameter_mm",
        "name",
        "joints.0.overlap_mm",
        "schema_version",
        "setting.room_C",
    ],
)
def test_an_absurd_value_anywhere_is_refused_with_a_message(ask, plain, field):
    *outer, last = [int(step) if step.isdecimal() else step for step in field.split(".")]
    holder = plain
    for step in outer:
        holder = holder[step]
    holder[last] = "PUT HERE"
    for text in (*NUMBERS, '"NaN"', '"1e999"', *OTHERS):
        if field == "name" and text in ('"NaN"', '"1e999"'):
            continue  # odd names, but names
        design = json.dumps(plain).replace('"PUT HERE"', text)
        answer = ask.post("/api/poles", content=f'{{"design": {design}}}', headers={"content-type": "application/json"})
        assert answer.status_code == 422, f"{text[:20]}: {answer.text[:300]}"
        assert all(len(each["field"] + each["value"] + each["want"]) < 1000 for each in answer.json()["faults"])
    assert ask.get("/api/poles").json() == []


def test_a_field_name_that_cannot_be_written_is_still_answered(ask, plain):
    body = json.dumps(plain)[:-1] + ', "\\ud800": 1}'
    answer = ask.post("/api/check", content=body, headers={"content-type": "application/json"})
    assert (answer.status_code, faults(answer)) == (422, [("document", "'\\ud800'")])


def test_every_fault_of_a_design_comes_at_once(ask, plain):
    plain["sections"][0]["stack"][1]["turns"] = -1
    plain["sections"][1]["lenght_mm"] = 3
    plain["joints"][0]["overlap_mm"] = "wide"
    answer = ask.post("/api/check", json=plain)
    assert answer.status_code == 422
    assert {field for field, _ in faults(answer)} == {
        "sections[0].stack[1].turns",
        "sections[1].lenght_mm",
        "joints[0].overlap_mm",
    }


def test_another_site_and_another_name_are_turned_away(ask, plain):
    assert ask.post("/api/check", json=plain, headers={"origin": "http://evil.example"}).status_code == 403
    assert ask.get("/api/poles", headers={"host": "evil.example"}).status_code == 421
    assert ask.post("/api/poles", content=b" " * 4_000_001).status_code == 413
    assert "frame-ancestors 'none'" in ask.get("/api/poles").headers["content-security-policy"]


def test_a_wrong_method_is_answered_with_the_right_ones(ask):
    answer = ask.delete("/api/poles")
    assert answer.status_code == 405
    assert answer.headers["allow"]
    assert answer.json()["faults"][0]["want"] == said("want.other_method", method="DELETE")


@pytest.mark.parametrize(
    ("place", "value", "says"),
    [
        ("turns", 40, said("want.below_bore_of_next", bore=0.024045, section=2)),
        ("rules", [{"id": "no-such"}], said("want.known_rule_or_judge", choices=RULES)),
    ],
)
def test_a_design_that_cannot_be_built_is_refused_and_not_kept(ask, plain, place, value, says):
    broken = json.loads(json.dumps(plain))
    if place == "turns":
        broken["sections"][0]["stack"][1]["turns"] = value
    else:
        broken.setdefault("setting", {})["rules"] = value
    for path, body in (
        ("/api/poles", {"design": broken}),
        ("/api/poles/files", {"text": json.dumps(broken), "form": "json"}),
    ):
        answer = ask.post(path, json=body)
        assert answer.status_code == 422
        assert answer.json()["faults"][0]["want"] == says
    assert ask.get("/api/poles").json() == []
    slug = ask.post("/api/poles", json={"design": plain}).json()["slug"]
    assert ask.post(f"/api/poles/{slug}/revisions", json={"design": broken, "parent": 1}).status_code == 422
    assert len(ask.get(f"/api/poles/{slug}/revisions").json()) == 1
    assert ask.put(f"/api/poles/{slug}/draft", json={"draft": broken, "parent": 1}).status_code == 200
