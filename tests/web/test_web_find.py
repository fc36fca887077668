"""The find place in process: begin, look, stop, take; a staged search stands for one that takes long."""

import time
from collections.abc import Callable
from html import escape
from pathlib import Path

import pytest
from tests.said import said
from tests.web.waiting import PATIENCE

from polewright.documents.brief_file import RolledPly
from polewright.documents.files import load
from polewright.store import open_store
from polewright.words import Reader, default_reader
from polewright.workshop import Job, Workshop
from polewright.workshop.jobs import Kind

pytestmark = pytest.mark.slow

BRIEFS = Path(__file__).parents[2] / "examples" / "briefs"
FIND = "/poles/crookbough-5/find"


STAGED = {"find": Kind("find", "tests.workshop.job_works:search", 1)}


@pytest.fixture
def visitor(workshop, visit):
    """A visitor of pages whose fruit pole can be searched in a second or two."""
    return visit(workshop)


@pytest.fixture
def gate(tmp_path, monkeypatch) -> Path:
    """A file that lets the staged search go on."""
    monkeypatch.setenv("TEST_GATE", str(tmp_path / "gate"))
    return tmp_path / "gate"


@pytest.fixture
def staged(tmp_path, visit, gate):
    """A visitor of a workshop whose searches count and wait for the gate."""
    with Workshop(open_store(tmp_path / "staged.sqlite"), kinds=STAGED) as workshop:
        workshop.load_demo()
        yield visit(workshop)


def plain(text: str) -> str:
    """As it stands in a page."""
    return escape(text).replace("&#x27;", "&#39;")


def until(holds: Callable[[], bool]) -> None:
    """Wait for a state."""
    end = time.monotonic() + PATIENCE
    while not holds():
        assert time.monotonic() < end, "the state never came"
        time.sleep(0.01)


def searched(workshop: Workshop, document: object) -> Job:
    """The pole's search for a document, at its end."""
    job = workshop.jobs.start("find", document, subject="crookbough-5")
    return workshop.jobs.wait(job.number, PATIENCE)


def test_the_place_offers_a_search_before_there_was_one(visitor):
    page = visitor.get(FIND)
    assert page.status_code == 200
    assert f"{said('place.find.start')}</button>" in page.text
    assert "every 2s" not in page.text
    assert "refresh" not in page.text
    assert f'href="{FIND}?' in visitor.get("/poles/crookbough-5/wall").text


def test_a_search_is_started_watched_and_taken_as_a_new_revision(visitor, workshop):
    assert visitor.post(FIND).status_code == 303
    under_way = visitor.get(FIND)
    assert "every 2s" in under_way.text or said("place.find.trade") in under_way.text
    job = workshop.jobs.wait(workshop.searches.latest("crookbough-5").number, PATIENCE)
    assert (job.state, job.faults) == ("done", ())
    found = workshop.searches.answer("crookbough-5")
    page = visitor.get(FIND + "?n=0").text
    assert said("find.proof.complete", gap=found.best.gap)[1:] in page
    assert said("place.find.pole.present") in page
    assert plain(said("place.find.proof_of", model=found.model)) in page
    assert f'href="{FIND}?n=1#looked"' in page
    assert f'action="{FIND}/take"' in page
    stiffest = visitor.get(FIND + "?n=1").text  # misses the flex that is wanted, and says so before it is taken
    looks = [f for f in workshop.check(found.front[0].design).findings if not f.holds]
    assert looks
    looked = stiffest[stiffest.index('id="looked"') : stiffest.index(f'action="{FIND}/take"')]
    assert looked.count(f"<b>{said('verdict.look')}</b>") == len(looks)
    visitor.cookies["units"] = "inch"
    inches = visitor.get(FIND + "?n=0").text
    del visitor.cookies["units"]
    found_row = inches[inches.index("<tbody>") :]
    assert Reader(default_reader().language, "inch").quantity(found.best.droop, "length", 0, 2) in found_row
    other = visitor.get(FIND + "?n=2").text
    assert plain(said("place.find.pole.other", number=2)).lower() in other.lower()
    before = workshop.designs.revision("crookbough-5")
    assert visitor.post(FIND + "/take", data={"n": "0"}).status_code == 303
    after = workshop.designs.revision("crookbough-5")
    assert after.card.number == before.card.number + 1
    assert after.design.sections == found.best.design.sections
    assert after.design.name == before.design.name
    assert after.design.brief == before.design.brief
    assert after.card.note == said("note.taken_best")


def test_taking_what_was_never_found_is_refused(visitor):
    refused = visitor.post(FIND + "/take", data={"n": "3"})
    assert refused.status_code >= 400
    assert escape(said("want.found_pole")) in refused.text


def test_a_search_under_way_is_shown_on_every_page_and_can_be_stopped_from_any(staged, gate):
    started = staged.post(FIND)
    assert started.status_code == 303
    jobs = staged.app.state.workshop.jobs
    number = jobs.latest("find", "crookbough-5").number
    until(lambda: jobs.look(number).progress.done == 3)
    again = staged.post(FIND)
    assert again.status_code == 409
    assert plain(said("job.under_way")) in again.text
    step = said("job.step.walls", done=3, of=9)
    for page in ("/", FIND, "/poles/reedlight-7/wall", "/poles/tallreed-11/shelf", "/jobs"):
        text = staged.get(page).text
        assert plain(step) in text, page
        assert f'action="/jobs/{number}/stop"' in text
        assert f'href="{FIND}"' in text
    assert 'hx-get="/jobs"' in staged.get("/jobs").text
    gone = staged.post(f"/jobs/{number}/stop", data={"back": "/poles/reedlight-7/wall"})
    assert (gone.status_code, gone.headers["location"]) == (303, "/poles/reedlight-7/wall")
    assert jobs.wait(number, PATIENCE).state == "stopped"
    assert staged.get("/jobs").text.strip() == ""
    assert "hx-get" not in staged.get("/jobs").text


def test_the_pages_script_gets_the_line_after_a_stop(staged):
    staged.post(FIND)
    jobs = staged.app.state.workshop.jobs
    number = jobs.latest("find", "crookbough-5").number
    answer = staged.post(f"/jobs/{number}/stop", headers={"hx-request": "true"})
    assert answer.status_code == 200
    assert "<main" not in answer.text
    jobs.wait(number, PATIENCE)


def test_a_stop_before_there_was_a_pole_says_so_and_the_search_can_be_resumed(staged, gate):
    assert staged.post(FIND + "/on").status_code == 404
    staged.post(FIND)
    searches, jobs = staged.app.state.workshop.searches, staged.app.state.workshop.jobs
    number = searches.latest("crookbough-5").number
    staged.post(FIND + "/stop")
    assert jobs.wait(number, PATIENCE).can_go_on
    page = staged.get(FIND).text
    assert plain(said("want.finite")).lower() in page.lower()
    assert f'action="{FIND}/on"' in page
    assert staged.post(FIND + "/on").status_code == 303
    gate.touch()
    assert jobs.wait(number, PATIENCE).state == "failed"
    assert f'action="{FIND}/on"' not in staged.get(FIND).text
    assert staged.post(FIND + "/on").status_code == 409


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"materials": ()}, "want.search_materials"),
        ({"rolls": {"wall_least_mm": 2.0, "wall_most_mm": 1.0}}, "want.at_most_thickest_wall_allowed_two"),
        ({"rolls": {"order": "any", "most_plies": 12, "plies": 18}}, "want.shorter_search"),
    ],
)
def test_a_brief_that_cannot_be_searched_is_answered_with_why(visitor, workshop, change, code):
    whole = load(BRIEFS / "reedlight-7.toml")
    rolls = dict(change.get("rolls", {}))
    if "plies" in rolls:
        rolls["plies"] = tuple(
            RolledPly(prepreg=n, angle_deg=a) for n in ("SM150", "IM125", "TH55") for a in (0, 90, 10, 20, 30, 60)
        )
    asked = whole.model_copy(update={**change, "rolls": whole.rolls.model_copy(update=rolls)})
    job = searched(workshop, asked)
    assert job.state == "failed"
    field, value, want = job.faults[0]
    assert want.code == code
    page = visitor.get(FIND).text
    if code == "want.shorter_search":  # a page says what can be done on it, not in a file
        less = said("place.find.shorter.own")
        assert plain(said("place.find.too_long", size=value, less=less)).lower() in page.lower()
    else:
        assert plain(default_reader().fault(field, value, want)).lower() in page.lower()
    assert f"{said('place.find.start')}</button>" in page


def test_undo_from_this_place_answers_with_the_place(visitor):
    page = visitor.post(FIND + "/edit", data={"edit": "undo"})
    assert page.status_code == 200
    assert f"{said('place.find')} <span>" in page.text
