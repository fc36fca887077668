"""Pages that are rarely asked for: a pole by its name alone, a file too large, nothing to compare with."""

from pathlib import Path

import pytest
from tests.kept.whole import ROOT, design_of
from tests.web.conftest import Visitor

from polewright.answers.wall_detail import wall_answer
from polewright.web import create_pages, pages
from polewright.web.hold_rows import NO_DRAG, _drag
from polewright.web.places.compare import _window_text
from polewright.web.places.revisions import _table_text
from polewright.web.render import _static
from polewright.web.wall_detail import _first
from polewright.words import Reader
from polewright.workshop import open_workshop

pytestmark = pytest.mark.slow

CODES = Reader("x-coded")
REED = ROOT / "examples" / "reedlight-7.toml"


@pytest.fixture
def alone(tmp_path: Path):
    """A workshop with one pole of one revision."""
    with open_workshop(tmp_path / "one.sqlite") as opened:
        opened.designs.bring_in(REED)
        yield Visitor(create_pages(opened))


@pytest.mark.parametrize("name", ["reedlight-7", "Reedlight 7"])
def test_a_pole_opens_at_its_wall(alone, name):
    answer = alone.get(f"/poles/{name}")
    assert (answer.status_code, answer.headers["location"]) == (303, "/poles/reedlight-7/wall")


def test_a_pole_that_is_alone_is_compared_with_what_is_saved_of_it(alone):
    assert alone.get("/poles/reedlight-7/compare").status_code == 200


def test_a_file_is_as_long_as_a_design_may_be_and_no_longer(alone, monkeypatch):
    text = REED.read_bytes().replace(b'"Reedlight 7"', b'"Reedlight 8"')
    for most, status in ((len(text), 303), (len(text) - 1, 422)):
        monkeypatch.setattr(pages, "MOST_FILE", most)
        answer = alone.post("/files", files={"file": ("a.toml", text)}, headers={"accept": "application/json"})
        assert answer.status_code == status
    assert answer.json()["faults"][0]["field"] == "file"


def test_a_thing_goes_off_the_shelf_and_back(alone):
    shelf = "/poles/reedlight-7/shelf"
    assert alone.post(f"{shelf}/keep", data={"kind": "material", "name": "TH55"}).status_code == 303
    for way, entry in (("off", "1"), ("back", "2")):
        answer = alone.post(f"{shelf}/{way}", data={"entry": entry})
        assert (answer.status_code, answer.headers["location"]) == (303, f"{shelf}#workshop")


def test_a_file_of_the_pages_is_there_or_is_missed():
    assert _static("app.js").endswith("/app.js")
    with pytest.raises(FileNotFoundError, match="none"):
        _static("none.css")


def test_what_holds_no_head_back_says_nothing():
    assert [_drag(drag, CODES) for drag in (NO_DRAG, -NO_DRAG, 0.0)] == ["", "", ""]
    assert _drag(2.0 * NO_DRAG, CODES).startswith("⟨page.hold.drag.up")
    assert _drag(-2.0 * NO_DRAG, CODES).startswith("⟨page.hold.drag.down")


def test_a_limit_that_no_load_meets_is_told_as_never():
    answer = wall_answer(design_of("reedlight-7"), 4)
    told = _first(answer, "bending", answer.limits[0].name, CODES)
    assert told.startswith("⟨wall.lead.bending|")
    assert _first(answer, "push", "flattening", CODES).startswith("⟨wall.lead.push.never|")


def test_a_table_that_no_text_knows_is_told_by_its_entries():
    assert _table_text({"of": 1, "none": 2}, CODES) == "⟨change.entries.1|count=2⟩"
    assert _window_text(None, CODES) == "⟨given.nothing⟩"
