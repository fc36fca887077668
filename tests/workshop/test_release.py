"""A paper is given for a saved revision whose checks hold, or for a reason that is kept; one rule at every door."""

import asyncio
import re
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType

import httpx
import pytest
from tests.said import said

from polewright.answers.check import check_draft
from polewright.answers.findings import Finding
from polewright.api import create_api
from polewright.cli.papers import papers_of
from polewright.errors import DesignError, DocumentError
from polewright.sheet import typeset
from polewright.store import open_store
from polewright.web import create_pages
from polewright.words.reader import default_reader
from polewright.workshop import Workshop, design_in
from polewright.workshop.paper_register import Papers
from polewright.workshop.release import release_of

READER, DAY = default_reader(), "2026-11-24"
SMALL = Path(__file__).parent / "small-pole.toml"
FACES = Path(__file__).parents[2] / "src" / "polewright"


@pytest.fixture
def workshop(tmp_path):
    with Workshop(open_store(tmp_path / "workshop.db"), lambda: datetime(2026, 11, 24, tzinfo=UTC)) as opened:
        yield opened


@pytest.fixture(scope="module")
def good():
    """A pole whose brief, strength and clamps hold."""
    design = design_in(SMALL)
    assert release_of(check_draft(design)).failing == ()
    return design


@pytest.fixture(scope="module")
def too_heavy(good):
    """The same pole, which its brief allows a hundred grams."""
    return good.model_copy(update={"brief": good.brief.model_copy(update={"mass_at_most_g": 100.0})})


@pytest.fixture
def printed(monkeypatch):
    """What the typesetter is given for each paper."""
    seen = []
    real = typeset.json.dumps

    def dumps(data, *args, **more):
        seen.append(data)
        return real(data, *args, **more)

    monkeypatch.setattr(typeset, "json", MappingProxyNamespace(dumps=dumps))
    return seen


class MappingProxyNamespace:
    """A module with one function."""

    def __init__(self, **functions):
        self.__dict__.update(MappingProxyType(functions))


def marks(codes):
    return [said(f"paper.mark.{code}") for code in codes]


def test_a_saved_revision_whose_checks_hold_has_plain_papers(workshop, good, printed):
    workshop.designs.start(good)
    workshop.papers.sheet(good, READER, date=DAY)
    files = workshop.papers.kit(good, READER, date=DAY)
    assert [data["marks"] for data in printed] == [[]] * len(printed)
    assert not [name for name in files if name.endswith("-note.txt")]


def test_a_draft_says_so_across_its_sheet_and_its_cards(workshop, good, printed):
    workshop.designs.start(good)
    draft = good.model_copy(update={"note": "not saved yet"})
    workshop.papers.sheet(draft, READER, date=DAY)
    files = workshop.papers.kit(draft, READER, date=DAY)
    assert len(printed) == 1 + len(good.sections)
    assert {tuple(data["marks"]) for data in printed} == {tuple(marks(["draft"]))}
    notes = [content.decode() for name, content in files.items() if name.endswith("-note.txt")]
    assert notes == [said("paper.mark.draft") + "\n"]


def test_the_mark_stands_on_every_page_of_a_paper(good, tmp_path):
    """Read again out of the PDF, page by page."""
    pdftotext = shutil.which("pdftotext")
    if pdftotext is None:
        pytest.skip("pdftotext is not installed; apt-get install poppler-utils")
    card = next(c for n, c in Papers(None, utc).kit(good, READER, date=DAY).items() if n.endswith("-card.pdf"))
    for content in (card, Papers(None, utc).sheet(good, READER, date=DAY)):
        words = subprocess.run([pdftotext, "-", "-"], input=content, capture_output=True, check=True).stdout.decode()
        pages = words.rstrip("\f").split("\f")
        assert all(said("paper.mark.draft").split()[-1] in re.sub(r"\s+", " ", page) for page in pages), pages


def utc():
    return datetime(2026, 11, 24, tzinfo=UTC)


def test_a_pole_that_fails_its_brief_has_no_papers(workshop, too_heavy):
    workshop.designs.start(too_heavy)
    for paper in (workshop.papers.sheet, workshop.papers.kit):
        with pytest.raises(DocumentError) as refused:
            paper(too_heavy, READER, date=DAY)
        assert [(f[0], f[1].values["check"].code, f[2].code) for f in refused.value.faults] == [
            ("check", "finding.name.wish.mass", "want.check_holds_or_reason")
        ]
    assert workshop.papers.given("reedlight-2") == ()


@pytest.mark.parametrize("code", ["lifted", "clamp_window"])
def test_strength_and_clamps_are_promised_and_a_rule_of_taste_is_not(good, code):
    check = check_draft(good)
    broken = tuple(replace(f, verdict="look") if f.code == code else f for f in check.findings)
    assert {f.code for f in release_of(replace(check, findings=broken)).failing} == {code}
    taste = tuple(replace(f, verdict="look") if f.code == "rule" else f for f in check.findings)
    assert release_of(replace(check, findings=taste)).failing == ()


def test_a_check_that_fails_is_named(good):
    """Every code that may fail has its name among the texts."""
    check = check_draft(good)
    broken = tuple(replace(f, verdict="look") for f in check.findings)
    release = release_of(replace(check, findings=broken))
    assert all(isinstance(f, Finding) for f in release.failing)
    assert all(READER.text(name) for name in release.failing_names)


def test_a_reason_in_writing_is_kept_and_makes_the_paper_that_of_a_test_pole(tmp_path, too_heavy, printed):
    with Workshop(open_store(tmp_path / "workshop.db"), utc) as workshop:
        slug = workshop.designs.start(too_heavy).slug
        workshop.papers.give_reason(too_heavy, "shown at the spring fair, not sold", who="Ann")
    with Workshop(open_store(tmp_path / "workshop.db"), utc) as workshop:
        workshop.papers.sheet(too_heavy, READER, date=DAY, serial="S-1")
        workshop.papers.sheet(too_heavy, READER, date=DAY, serial="S-1")
        assert printed[0]["marks"] == marks(["test_pole"])
        reasons, sheets = workshop.papers.given(slug, kind="reason"), workshop.papers.given(slug)
    assert [(r.reason, r.who, r.revision) for r in reasons] == [("shown at the spring fair, not sold", "Ann", 1)]
    assert [c[0] for c in reasons[0].says["checks"]] == ["wish.mass"]
    assert [(s.serial, s.reason, s.at) for s in sheets] == [("S-1", reasons[0].reason, utc())], "once, however often"
    assert sheets[0].says["rows"] == printed[0]["rows"]


@pytest.mark.parametrize(("reason", "want"), [("", "want.reason_in_writing"), ("  ", "want.reason_in_writing")])
def test_a_reason_is_words(workshop, too_heavy, reason, want):
    with pytest.raises(DesignError) as refused:
        workshop.papers.give_reason(too_heavy, reason)
    assert refused.value.want.code == want


def test_no_reason_is_taken_where_every_check_holds(workshop, good):
    with pytest.raises(DesignError) as refused:
        workshop.papers.give_reason(good, "to be sure")
    assert refused.value.want.code == "want.no_reason_all_hold"


def test_a_file_is_a_draft_unless_the_workshop_has_it_saved(tmp_path, good):
    place = tmp_path / "workshop.db"
    with papers_of(good, reason="", store=None) as papers:
        assert papers.release(good).revision is None
    with papers_of(good, reason="", store=place) as papers:
        assert papers.release(good).revision is None
    with Workshop(open_store(place), utc) as workshop:
        workshop.designs.start(good)
    with papers_of(good, reason="", store=place) as papers:
        assert papers.release(good).revision == 1


def asked(app, method, path, **what):
    async def once():
        async with httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://127.0.0.1:8750") as client:
            return await client.request(method, path, **what)

    return asyncio.run(once())


def test_page_and_api_refuse_and_take_a_reason_alike(workshop, too_heavy):
    slug = workshop.designs.start(too_heavy).slug
    pages, api = create_pages(workshop), create_api(workshop)
    named = said("given.check", check=said("finding.name.wish.mass"))
    for paper in ("sheet", "kit"):
        page = asked(
            pages,
            "GET",
            f"/poles/{slug}/{paper}/{'kit.zip' if paper == 'kit' else 'a.pdf'}",
            headers={"accept": "application/json"},
        )
        answer = asked(api, "POST", f"/api/{paper}", json=too_heavy.plain())
        assert page.status_code == answer.status_code == 422
        for reply in (page, answer):
            assert [(f["field"], f["value"]) for f in reply.json()["faults"]] == [("check", named)]
    form = asked(pages, "POST", f"/poles/{slug}/sheet", data={"reason": "for the fair"})
    assert form.status_code == 303
    assert "for the fair" in asked(pages, "GET", f"/poles/{slug}/cut").text
    assert asked(pages, "GET", f"/poles/{slug}/sheet/a.pdf").content.startswith(b"%PDF")
    again = asked(api, "POST", "/api/kit", json=too_heavy.plain(), params={"reason": "for the fair", "who": "Ann"})
    assert again.content.startswith(b"PK")
    assert len(workshop.papers.given(slug, kind="reason")) == 1, "the same reason is one entry"


def test_pages_link_no_paper_that_is_not_given(workshop, too_heavy):
    slug = workshop.designs.start(too_heavy).slug
    pages = create_pages(workshop)
    for place, link in (("sheet", f"/poles/{slug}/sheet/"), ("cut", f"/poles/{slug}/kit/")):
        text = asked(pages, "GET", f"/poles/{slug}/{place}").text
        assert f'href="{link}' not in text
        assert said("release_of.not_given") in text
        assert 'name="reason"' in text


def test_no_face_makes_a_paper_but_through_the_register():
    makers = re.compile(r"\b(kit_files|work_cards|buyer_sheet_file|buyer_sheet_pdf|work_card_pdf)\b")
    files = [file for face in ("web", "api", "cli") for file in (FACES / face).rglob("*.py")]
    assert len(files) > 50
    assert [file.name for file in files if makers.search(file.read_text(encoding="utf-8"))] == []
