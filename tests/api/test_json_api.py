"""The workshop over HTTP: the same answers, every refusal in one shape."""

import copy

import pytest
from tests.said import said

from polewright.answers.scatter import scatter_answer
from polewright.answers.wall_detail import wall_answer
from polewright.codes import Message
from polewright.documents.files import document_from, document_of
from polewright.scatter import Plan
from polewright.words import default_reader
from polewright.words.reports.check import check_report
from polewright.words.reports.scatter import scatter_report
from polewright.words.reports.wall import wall_figures
from polewright.workshop import schema_kinds, schema_of


def faults(answer):
    return [(each["field"], each["value"]) for each in answer.json()["faults"]]


def start(ask, plain):
    answer = ask.post("/api/poles", json={"design": plain, "who": "Ann"})
    assert answer.status_code == 201, answer.text
    return answer.json()


def with_turns(plain, turns):
    changed = copy.deepcopy(plain)
    changed["sections"][0]["stack"][1]["turns"] = turns
    return changed


def save(ask, plain, parent, slug="reedlight-2"):
    return ask.post(f"/api/poles/{slug}/revisions", json={"design": plain, "parent": parent})


def test_a_pole_is_started_saved_read_compared_and_restored(ask, plain):
    assert start(ask, plain)["revision"]["number"] == 1
    assert save(ask, with_turns(plain, 7.0), 1).json()["revision"]["number"] == 2
    (pole,) = ask.get("/api/poles").json()
    assert (pole["slug"], pole["name"], pole["latest"]["number"]) == ("reedlight-2", "Reedlight 2", 2)
    assert ask.get("/api/poles/reedlight-2/revisions/1").json()["design"] == plain
    changes = ask.get("/api/poles/reedlight-2/differences?before=1&after=2").json()
    assert changes == [{"field": "sections[0].stack[1].turns", "before": 6.0, "after": 7.0}]
    back = ask.post("/api/poles/reedlight-2/revisions/1/return", json={"parent": 2}).json()
    assert back["design"] == plain
    assert [each["number"] for each in ask.get("/api/poles/reedlight-2/revisions").json()] == [3, 2, 1]


def test_the_later_of_two_people_gets_the_newest_number(ask, plain):
    start(ask, plain)
    save(ask, with_turns(plain, 7.0), 1)
    answer = save(ask, with_turns(plain, 8.0), 1)
    assert answer.status_code == 409
    assert answer.json()["latest"] == 2
    assert answer.json()["faults"][0]["want"] == said("want.choose_revision.unnamed", number=2)


def test_a_pole_is_started_from_a_file_and_from_another_pole(ask, plain):
    start(ask, plain)
    file = ask.get("/api/poles/reedlight-2/revisions/1/file?form=toml")
    assert file.headers["content-disposition"] == "attachment; filename*=UTF-8''reedlight-2-r1.toml"
    assert document_from(file.text).plain() == plain
    text = file.text.replace("Reedlight 2", "Häftling 2")
    assert ask.post("/api/poles/files", json={"text": text}).json()["slug"] == "haftling-2"
    copied = ask.post("/api/poles/reedlight-2/copies", json={"name": "Тростник 2"})
    assert copied.json()["slug"] == "тростник-2"
    assert ask.get("/api/poles/тростник-2/revisions/1/file?form=json").json()["name"] == "Тростник 2"
    assert ask.post("/api/poles/reedlight-2/copies", json={"name": "Тростник 2"}).status_code == 409


def test_unsaved_work_is_kept_with_its_faults_and_forgotten(ask, plain):
    start(ask, plain)
    typed = with_turns(plain, "7,x")
    draft = ask.put("/api/poles/reedlight-2/draft", json={"draft": typed, "parent": 1}).json()
    assert draft["draft"] == typed
    assert draft["faults"][0]["field"] == "sections[0].stack[1].turns"
    assert ask.get("/api/poles/reedlight-2").json()["draft"] == draft
    assert ask.delete("/api/poles/reedlight-2/draft").status_code == 204
    assert ask.get("/api/poles/reedlight-2").json()["draft"] is None


def test_figures_of_a_posted_design_are_the_workshops_own(ask, workshop, plain):
    answer = ask.post("/api/check", json=plain)
    assert answer.status_code == 200, answer.text
    assert answer.json() == check_report(workshop.check(document_of(plain)), default_reader()).model_dump(mode="json")
    assert ask.get("/api/poles").json() == [], "nothing is kept"


def test_a_wall_and_a_scatter_of_a_posted_design_are_the_commands_own(ask, plain):
    design = document_of(plain)
    answer = ask.post("/api/wall/1", json=plain)
    assert answer.json() == wall_figures(wall_answer(design, 1), default_reader()).model_dump(mode="json")
    answer = ask.post("/api/scatter?poles=64&seed=3&order=4", json=plain)
    expected = scatter_report(scatter_answer(design, plan=Plan(64, 3), order=4), default_reader())
    assert answer.json() == expected.model_dump(mode="json")
    assert (answer.json()["seed"], answer.json()["order"]["order"]) == (3, 4)


@pytest.mark.parametrize("path", ["/api/wall/9", "/api/scatter?poles=8", "/api/scatter?order=0"])
def test_a_wall_or_a_scatter_that_cannot_be_is_refused(ask, plain, path):
    answer = ask.post(path, json=plain)
    assert answer.status_code == 422
    assert answer.json()["faults"]


def test_edits_are_made_one_after_the_other_all_or_none(ask, plain):
    ply = {"prepreg": "axial", "angle_deg": 45.0, "turns": 1.0}
    edits = [
        {"edit": "add_ply", "section": 0, "at": 3, "ply": ply},
        {"edit": "rotate_ply", "section": 0, "ply": 3, "angle_deg": "-45"},
        {"edit": "move_ply", "section": 0, "ply": 3, "to": 0},
        {"edit": "set_turns", "section": 0, "ply": 0, "turns": 2.5},
        {"edit": "retype_ply", "section": 0, "ply": 0, "prepreg": "axial"},
        {"edit": "remove_ply", "section": 0, "ply": 3},
        {"edit": "set_field", "path": "joints[0].overlap_mm", "value": 200},
    ]
    made = ask.post("/api/edits", json={"design": plain, "edits": edits}).json()["design"]
    stack = made["sections"][0]["stack"]
    assert [(each["angle_deg"], each["turns"]) for each in stack] == [(-45, 2.5), (90, 2), (0, 6)]
    assert made["joints"][0]["overlap_mm"] == 200.0
    edits.append({"edit": "rotate_ply", "section": 0, "ply": 0, "angle_deg": 95})
    answer = ask.post("/api/edits", json={"design": plain, "edits": edits})
    assert (answer.status_code, faults(answer)) == (422, [("sections[0].stack[0].angle_deg", "95.0")])


def test_schemas_are_published(ask):
    assert ask.get("/api/schemas").json()["kinds"] == list(schema_kinds())
    assert ask.get("/api/schemas/pole-design").json() == schema_of("pole-design")
    answer = ask.get("/api/schemas/bird")
    assert (answer.status_code, faults(answer)) == (404, [("kind", "'bird'")])


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


def test_tests_are_kept_listed_and_corrected(ask, plain):
    hash_ = start(ask, plain)["revision"]["content_hash"]
    kept = ask.post("/api/poles/reedlight-2/tests", json={"record": RECORD}).json()
    assert kept["record"]["design_hash"] == hash_
    again = ask.post("/api/poles/reedlight-2/tests", json={"record": RECORD, "corrects": kept["number"]}).json()
    assert ask.get("/api/tests?serial=R2-001").json() == [again]
    assert ask.get("/api/tests?pole=reedlight-2&history=true").json() == [again, kept]
    assert ask.get(f"/api/tests/{kept['number']}").json() == kept
    assert (
        ask.post("/api/poles/reedlight-2/tests", json={"record": RECORD, "corrects": kept["number"]}).status_code == 409
    )


@pytest.mark.slow
def test_what_a_kept_test_shows_is_its_evaluation(ask, plain):
    start(ask, plain)
    kept = ask.post("/api/poles/reedlight-2/tests", json={"record": RECORD}).json()
    result = ask.get(f"/api/tests/{kept['number']}/result").json()
    assert (result["document"], result["serial"], result["unit"]) == ("bench-result", "R2-001", "N m²")
    # two kilograms over a metre that give 3.1 mm: S^3 F / (48 c), shear left in
    assert result["uncorrected"] == pytest.approx(2.0 * 9.80665 / 48.0 / 3.1e-3, rel=1e-9)
    assert ask.get("/api/tests/99/result").status_code == 404


def test_a_test_whose_readings_fall_with_the_load_is_not_kept(ask, plain):
    start(ask, plain)
    wrong = copy.deepcopy(RECORD)
    wrong["test"]["readings"][1]["reading_mm"] = -3.1
    answer = ask.post("/api/poles/reedlight-2/tests", json={"record": wrong})
    assert (answer.status_code, [field for field, _ in faults(answer)]) == (422, ["test.readings"])
    assert ask.get("/api/tests").json() == []


def test_the_shelf_is_filled_listed_and_emptied(ask, plain):
    entry = {"document": "material", "schema_version": 1, "material": plain["materials"][0]}
    kept = ask.post("/api/shelf", json={"entry": entry}).json()
    bar = {"document": "mandrel", "schema_version": 1, "mandrel": plain["mandrels"][0]}
    ask.post("/api/shelf", json={"entry": bar})
    assert ask.get("/api/shelf?kind=material").json() == [kept]
    assert len(ask.get("/api/shelf").json()) == 2
    assert ask.post(f"/api/shelf/{kept['number']}/take-off", json={}).json()["gone"]
    assert ask.get("/api/shelf?kind=material").json() == []


def test_pages_that_would_fetch_from_outside_are_off_and_the_description_is_there(ask):
    assert ask.get("/docs").status_code == ask.get("/redoc").status_code == 404
    assert ask.get("/openapi.json").json()["info"]["title"] == "Polewright"


def test_sections_come_between_two_and_names_follow_by_edits(ask, plain):
    mandrel = {
        "document": "mandrel",
        "schema_version": 1,
        "mandrel": {
            "id": "rack bar",
            "material": "aluminium_6000",
            "profile": [{"at_mm": 0.0, "diameter_mm": 60.0}, {"at_mm": 3000.0, "diameter_mm": 60.0}],
        },
    }
    assert ask.post("/api/shelf", json={"entry": mandrel}).status_code == 201
    edits = [
        {"edit": "add_section", "end": "grip"},
        {"edit": "rename_mandrel", "mandrel": 2, "name": "ours"},
        {"edit": "rename_prepreg", "material": 0, "name": "lot 7"},
    ]
    made = ask.post("/api/edits", json={"design": plain, "edits": edits}).json()["design"]
    assert made["sections"][-1]["mandrel"] == "ours"
    assert {ply["prepreg"] for section in made["sections"] for ply in section["stack"]} == {"lot 7"}
    gone = ask.post("/api/edits", json={"design": made, "edits": [{"edit": "remove_section", "section": 2}]})
    assert len(gone.json()["design"]["sections"]) == 2
    refused = ask.post("/api/edits", json={"design": plain, "edits": [{"edit": "add_section", "at": 1}]})
    assert refused.status_code == 422
    wider = Message("part.section", number=2)
    assert refused.json()["faults"][0]["want"] == said("want.wider_mandrels", tip=1, butt=2, wider=wider, by=0.00209)
