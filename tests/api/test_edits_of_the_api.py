"""The JSON API offers every edit of the workshop's table, each with an example that works."""

from pathlib import Path

import pytest

from polewright.documents.files import load
from polewright.workshop import EDITS

pytestmark = pytest.mark.slow

KINDS = EDITS.values()


def in_order(kind):
    """The edits whose examples go before, and the edit itself."""
    return [*(name for first in kind.after for name in in_order(EDITS[first])), kind.name]


def schemas(ask):
    return ask.get("/openapi.json").json()["components"]["schemas"]


def by_edit(ask):
    found = {}
    for schema in schemas(ask).values():
        edit = schema.get("properties", {}).get("edit", {}).get("const")
        if edit:
            found[edit] = schema
    return found


@pytest.fixture
def reed():
    return load(Path(__file__).parents[2] / "examples" / "reedlight-7.toml").plain()


@pytest.fixture
def stocked(ask, reed):
    """A shelf with a lot of the pole's own prepreg and a mandrel that fits round its butt section."""
    bar = {**reed["mandrels"][-1], "id": "M33"}
    bar["profile"] = [{"at_mm": at, "diameter_mm": 33.2} for at in (0.0, 2200.0)]
    for kind, thing in (("material", {**reed["materials"][0], "lot": "L9"}), ("mandrel", bar)):
        entry = {"document": kind, "schema_version": 1, kind: thing}
        assert ask.post("/api/shelf", json={"entry": entry}).status_code == 201


def test_every_edit_of_the_workshop_is_offered(ask):
    assert set(by_edit(ask)) == set(EDITS)


@pytest.mark.parametrize("kind", KINDS, ids=EDITS)
def test_the_fields_offered_are_the_arguments_of_the_edit(ask, kind):
    schema = by_edit(ask)[kind.name]
    assert set(schema["properties"]) == {"edit", *(each.name for each in kind.caller_arguments)}
    needed = {each.name for each in kind.caller_arguments if each.is_needed and each.kind != "value"}
    assert set(schema["required"]) == {"edit", *needed}
    assert schema["description"]


@pytest.mark.parametrize("kind", KINDS, ids=EDITS)
@pytest.mark.usefixtures("stocked")
def test_the_example_in_openapi_is_answered_with_a_changed_design(ask, reed, kind):
    offered = by_edit(ask)
    edits = [offered[name]["examples"][0] for name in in_order(kind)]
    answer = ask.post("/api/edits", json={"design": reed, "edits": edits})
    assert answer.status_code == 200, answer.text
    before = reed if len(edits) == 1 else ask.post("/api/edits", json={"design": reed, "edits": edits[:-1]}).json()
    assert answer.json()["design"] != before.get("design", before)


@pytest.mark.parametrize("kind", KINDS, ids=EDITS)
def test_a_field_that_an_edit_does_not_have_is_refused(ask, reed, kind):
    answer = ask.post("/api/edits", json={"design": reed, "edits": [{"edit": kind.name, **kind.example, "further": 1}]})
    assert answer.status_code == 422
    assert ("edits[0].further", "") in [(f["field"], f["value"]) for f in answer.json()["faults"]]


def test_a_number_in_an_edit_may_be_typed_with_its_unit(ask, reed):
    edit = {"edit": "add_mandrel_place", "mandrel": 0, "at_mm": "0.5 m", "diameter_mm": 23.1}
    made = ask.post("/api/edits", json={"design": reed, "edits": [edit]}).json()["design"]
    assert {"at_mm": 500.0, "diameter_mm": 23.1} in made["mandrels"][0]["profile"]


def test_the_pole_at_hand_may_not_fit_yet_and_says_so(ask, reed):
    assert ask.post("/api/poles", json={"design": reed}).status_code == 201
    thicker = {"edit": "set_turns", "section": 3, "ply": 1, "turns": 9}
    kept = ask.post("/api/poles/reedlight-7/edits", json={"edits": [thicker]})
    assert kept.status_code == 200
    assert [fault["field"] for fault in kept.json()["faults"]] == ["sections[3].outside"]
    for path, body in (
        ("/api/check", kept.json()["draft"]),
        ("/api/poles/reedlight-7/revisions", {"design": kept.json()["draft"], "parent": 1}),
        ("/api/edits", {"design": reed, "edits": [thicker]}),
    ):
        refused = ask.post(path, json=body)
        assert refused.status_code == 422
        assert refused.json()["faults"][0]["field"] == "sections[3].outside"
    made_room = ask.post("/api/poles/reedlight-7/edits", json={"edits": [{**thicker, "turns": 5}]})
    assert made_room.json()["faults"] == []
