"""Work on a pole: kept at every edit, undone, saved; a change made elsewhere is not lost."""

import pytest

from polewright.documents.files import DocumentError
from polewright.workshop import edited, open_workshop
from polewright.workshop.drafts import Drafts

SLUG = "reedlight-7"


@pytest.fixture
def workshop(tmp_path):
    with open_workshop(tmp_path / "w.sqlite") as made:
        made.load_demo()
        yield made


@pytest.fixture
def drafts(workshop):
    return Drafts(workshop)


def longer(design, overlap=220.0):
    return edited(design, "set_field", path="joints[0].overlap_mm", value=overlap)


def overlap(pole):
    return pole.design.joints[0].overlap_mm


def test_an_edit_is_kept_undone_and_redone(drafts, workshop):
    before = drafts.look(SLUG)
    pole = drafts.edit(SLUG, before.seen, longer)
    assert (overlap(pole), pole.is_saved) == (220.0, False)
    assert workshop.designs.open(SLUG).draft.design == pole.design
    back = drafts.undo(SLUG, pole.seen)
    assert (back.design, back.is_saved) == (before.design, True)
    assert workshop.designs.open(SLUG).draft is None
    assert overlap(drafts.redo(SLUG, back.seen)) == 220.0


def test_an_edit_from_a_page_that_is_out_of_date_is_refused_and_changes_nothing(drafts):
    old = drafts.look(SLUG)
    new = drafts.edit(SLUG, old.seen, longer)
    with pytest.raises(DocumentError) as fault:
        drafts.edit(SLUG, old.seen, lambda design: longer(design, 230.0))
    assert fault.value.faults[0][2].code == "want.page_as_it_is_now"
    assert drafts.look(SLUG).design == new.design


def test_a_saved_draft_is_the_next_revision_and_undo_still_works(drafts):
    pole = drafts.edit(SLUG, "", longer)
    saved = drafts.save(SLUG, pole.seen, note="longer")
    assert (saved.saved.card.number, saved.is_saved, saved.saved.card.note) == (2, True, "longer")
    assert overlap(drafts.undo(SLUG, saved.seen)) != 220.0


@pytest.mark.slow
def test_forgotten_work_is_gone_and_can_be_undone_into_again(drafts):
    drafts.edit(SLUG, "", longer)
    forgotten = drafts.forget(SLUG)
    assert forgotten.is_saved
    assert overlap(drafts.undo(SLUG, forgotten.seen)) == 220.0


def test_going_back_makes_a_further_revision(drafts):
    first = drafts.look(SLUG).design
    drafts.save(SLUG, drafts.edit(SLUG, "", longer).seen)
    back = drafts.go_back(SLUG, 1)
    assert (back.saved.card.number, back.design) == (3, first)


def test_a_draft_is_there_for_whoever_opens_the_pole_next(drafts, workshop):
    drafts.edit(SLUG, "", longer)
    assert overlap(Drafts(workshop).look(SLUG)) == 220.0


def test_work_that_continues_an_older_revision_is_reported(drafts, workshop):
    pole = drafts.edit(SLUG, "", longer)
    workshop.designs.save(SLUG, longer(pole.saved.design, 240.0), parent=1)
    workshop.designs.keep_draft(SLUG, pole.design.plain(), parent=1)
    behind = drafts.look(SLUG)
    assert behind.notice.code == "notice.two_people"
    assert dict(behind.notice.values) == {"newest": 2, "parent": 1}
    assert overlap(behind) == 220.0


def test_work_with_faults_is_reported_with_the_first_and_the_saved_revision_shown(drafts, workshop):
    plain = drafts.look(SLUG).design.plain()
    plain["joints"][0]["overlap_mm"] = -1.0
    workshop.designs.keep_draft(SLUG, plain, parent=1)
    pole = drafts.look(SLUG)
    assert pole.notice.code == "notice.draft_faults"
    assert pole.fault[0] == "joints[0].overlap_mm"
    assert pole.design == pole.saved.design
