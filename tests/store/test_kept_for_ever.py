"""What is saved stays as it was saved, in both databases, whoever asks otherwise and by whatever way."""

import sqlite3
import threading
from datetime import UTC, datetime, timedelta, timezone

import pytest
from sqlalchemy import text

from polewright.codes import Message
from polewright.errors import StockError
from polewright.store import Absent, Overtaken, StoreFault, open_store, store_faults
from polewright.store import engines as engines_of_the_store
from polewright.store.content import Content
from polewright.store.entries import add_bench_entry, add_shelf_entry, bench_rows, shelf_rows
from polewright.store.papers import add_paper
from polewright.store.poles import draft_row, drop_draft, keep_draft, latest_rows, pole_row, revision_row, revision_rows
from polewright.store.tables import CopyRow

KEPT = ("poles", "revisions", "shelf_entries", "test_entries", "paper_entries", "copies")


def fill(store, begin, when):
    """One row at least in each table that is kept for ever."""
    begin(store)
    with store.writing() as session:
        pole = pole_row(session, "reedlight-7")
        add_shelf_entry(
            session,
            Content.of({"id": "axial"}),
            kind="material",
            key="axial",
            gone=False,
            corrects=None,
            note="",
            who="",
            at=when,
        )
        add_bench_entry(
            session,
            Content.of({"serial": "R7-1"}),
            serial="R7-1",
            pole=pole,
            revision=1,
            corrects=None,
            note="",
            who="",
            at=when,
        )
        add_paper(
            session,
            Content.of({"lang": "en"}),
            kind="sheet",
            name="Reedlight 7",
            design_hash="0" * 64,
            revision=revision_row(session, pole),
            serial="R7-1",
            reason="",
            who="",
            at=when,
        )
        session.add(CopyRow(file="copy.zip", file_hash="0" * 64, n_rows=3, at=when))


def test_the_database_itself_refuses_to_change_what_was_kept(store, begin, when):
    fill(store, begin, when)
    for table in KEPT:
        for change in (f"UPDATE {table} SET at = 'never'", f"DELETE FROM {table}"):
            with pytest.raises(StoreFault, match=f"{table}: kept for ever"), store.writing() as session:
                session.execute(text(change))
        with store.reading() as session:
            assert session.execute(text(f"SELECT count(*) FROM {table} WHERE at <> 'never'")).scalar() == 1


def test_a_row_cannot_be_replaced_by_an_insert_onto_its_key(file_store, begin, when):
    fill(file_store, begin, when)
    for table in KEPT:
        with pytest.raises(StoreFault, match=f"{table}: kept for ever"), file_store.writing() as session:
            session.execute(text(f"INSERT OR REPLACE INTO {table} SELECT * FROM {table}"))


def test_a_revision_cannot_be_replaced_under_another_row_number(file_store, begin):
    begin(file_store)
    columns = "pole_id, number, parent, name, content, content_hash, note, who, at"
    with pytest.raises(StoreFault, match="revisions: kept for ever"), file_store.writing() as session:
        session.execute(text(f"INSERT OR REPLACE INTO revisions ({columns}) SELECT {columns} FROM revisions"))


@pytest.mark.postgres
def test_a_kept_table_cannot_be_emptied_at_a_stroke(new_address, begin):
    with open_store(new_address()) as store:
        begin(store)
        with pytest.raises(StoreFault, match="kept for ever"), store.writing() as session:
            session.execute(text("TRUNCATE poles CASCADE"))


def test_a_reader_cannot_write(store, begin):
    begin(store)
    with pytest.raises(StoreFault), store.reading() as session:
        session.execute(text("INSERT INTO settings VALUES ('name', '\"Quillbeck\"', '', '')"))


def test_a_revision_reads_back_as_it_was_saved(store, begin, save, when):
    begin(store, "häftling-9", name="Häftling 9 — „9 m“", tall=9.25)
    save(store, 1, "häftling-9", name="Häftling 9 — „9 m“", tall=9.5)
    with store.reading() as session:
        rows = revision_rows(session, pole_row(session, "häftling-9"))
        kept = [
            (row.number, row.parent, row.at, Content(row.content, row.content_hash).plain("it")["tall"]) for row in rows
        ]
    assert kept == [(2, 1, when, 9.5), (1, None, when, 9.25)]


def test_moments_come_back_as_the_same_moment_from_any_zone(store, begin, when):
    east = datetime(2026, 3, 1, 12, 0, tzinfo=timezone(timedelta(hours=5, minutes=30)))
    begin(store)
    with store.writing() as session:
        session.add(CopyRow(file="copy.zip", file_hash="0" * 64, n_rows=0, at=east))
    with store.reading() as session:
        found = session.query(CopyRow).one().at
    assert found == east
    assert found.tzinfo == UTC


def test_a_moment_without_a_zone_is_refused(file_store, begin):
    with pytest.raises(Exception, match="time zone"), file_store.writing() as session:
        session.add(CopyRow(file="copy.zip", file_hash="0" * 64, n_rows=0, at=datetime(2026, 3, 1)))


def test_a_fault_half_way_leaves_nothing_behind(store, begin, save):
    begin(store)

    def stumble():
        with store.writing() as session:
            keep_draft(session, "reedlight-7", Content.of({}), parent=1, who="", at=datetime.now(UTC))
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        stumble()
    with store.reading() as session:
        assert draft_row(session, pole_row(session, "reedlight-7")) is None


def test_of_two_people_saving_onto_one_revision_one_must_choose(store, begin, save):
    begin(store)
    both, told, kept = threading.Barrier(2), [], []

    def person(who):
        both.wait()
        try:
            kept.append(save(store, 1, who=who, by=who).who)
        except Overtaken as fault:
            told.append((fault.latest, fault.want))

    people = [threading.Thread(target=person, args=(who,)) for who in ("Ann", "Bea")]
    for each in people:
        each.start()
    for each in people:
        each.join()
    assert len(kept) == 1
    assert told == [(2, Message("want.choose_revision.named", who=kept[0], number=2))]
    with store.reading() as session:
        assert len(revision_rows(session, pole_row(session, "reedlight-7"))) == 2


def test_many_writers_at_once_each_get_their_turn(store, begin, save):
    for number in range(4):
        begin(store, f"pole-{number}")
    faults = []

    def person(slug):
        try:
            for parent in range(1, 9):
                save(store, parent, slug, round=parent)
        except StockError as fault:
            faults.append(fault.sentence())

    people = [threading.Thread(target=person, args=(f"pole-{number}",)) for number in range(4)]
    for each in people:
        each.start()
    for each in people:
        each.join()
    assert faults == []
    with store.reading() as session:
        assert [revision.number for _, revision, _ in latest_rows(session)] == [9, 9, 9, 9]
    assert store_faults(store) == []


def test_saving_the_same_again_makes_one_revision(store, begin, save):
    begin(store)
    first = save(store, 1, tall=7)
    assert save(store, 1, tall=7).number == first.number, "the first answer was lost on the way"
    assert save(store, 2, tall=7).number == first.number, "saved twice"
    assert save(store, 2, tall=8).number == 3


def test_saving_onto_a_revision_that_is_not_there_is_refused(store, begin, save):
    begin(store)
    with pytest.raises(Absent, match=r"want\.kept_revision \(number 1\)"):
        save(store, 7, tall=7)


def test_an_address_is_given_once(store, begin):
    begin(store)
    with pytest.raises(StockError, match=r"want\.name_of_new_pole"):
        begin(store)


def test_what_is_not_there_is_answered_with_what_is(store, begin):
    begin(store)
    with store.reading() as session:
        with pytest.raises(Absent, match=r"pole is 'tallreed': want\.kept_pole \(choices \('reedlight\-7',\)\)"):
            pole_row(session, "tallreed")
        with pytest.raises(Absent, match=r"want\.kept_revision \(number 1\)"):
            revision_row(session, pole_row(session, "reedlight-7"), 3)


def test_a_draft_is_kept_replaced_and_dropped(store, begin, when):
    begin(store)
    for typed in ("7", "7.", "7.5"):
        with store.writing() as session:
            keep_draft(session, "reedlight-7", Content.of({"tall": typed}), parent=1, who="", at=when)
    with store.reading() as session:
        assert draft_row(session, pole_row(session, "reedlight-7")).content == '{"tall":"7.5"}'
    with store.writing() as session:
        drop_draft(session, pole_row(session, "reedlight-7"))
    with store.reading() as session:
        assert draft_row(session, pole_row(session, "reedlight-7")) is None


def shelve(store, when, key="axial", kind="material", corrects=None, gone=False):
    with store.writing() as session:
        return add_shelf_entry(
            session,
            Content.of({"id": key, "of": corrects}),
            kind=kind,
            key=key,
            gone=gone,
            corrects=corrects,
            note="",
            who="",
            at=when,
        ).id


def test_a_mistake_is_corrected_by_a_further_entry_and_stays_in_the_history(store, when):
    first = shelve(store, when)
    second = shelve(store, when, corrects=first)
    with store.reading() as session:
        assert [row.id for row in shelf_rows(session)] == [second]
        assert [row.id for row in shelf_rows(session, history=True)] == [first, second]
    shelve(store, when, corrects=second, gone=True)
    with store.reading() as session:
        assert shelf_rows(session) == []


def test_an_entry_is_corrected_once_and_by_its_own_kind(store, when):
    first = shelve(store, when)
    with pytest.raises(StockError, match=r"want\.entry_of_same_thing"):
        shelve(store, when, kind="mandrel", corrects=first)
    second = shelve(store, when, corrects=first)
    with pytest.raises(StockError, match=rf"want\.latest_entry \(later {second}\)"):
        shelve(store, when, corrects=first)
    with pytest.raises(Absent, match=r"want\.no_such_entry_correct"):
        shelve(store, when, corrects=999)


def test_a_test_record_is_corrected_by_one_of_its_own_serial(store, begin, when):
    fill(store, begin, when)
    with store.writing() as session:
        pole, first = pole_row(session, "reedlight-7"), bench_rows(session)[0].id
        with pytest.raises(StockError, match=r"want\.not_serial \(serial R7\-2\)"):
            add_bench_entry(
                session, Content.of({}), serial="R7-2", pole=pole, revision=1, corrects=first, note="", who="", at=when
            )
        second = add_bench_entry(
            session, Content.of({}), serial="R7-1", pole=pole, revision=1, corrects=first, note="", who="", at=when
        ).id
    with store.reading() as session:
        assert [row.id for row in bench_rows(session, serial="R7-1")] == [second]
        assert [row.id for row in bench_rows(session, serial="R7-1", history=True)] == [second, first]


def test_a_text_changed_behind_the_stores_back_is_found_and_never_shown(file_store, begin, save):
    begin(file_store)
    save(file_store, 1, tall=7)
    hand = sqlite3.connect(file_store.where)
    hand.execute("DROP TRIGGER revisions_no_update")
    hand.execute("UPDATE revisions SET content = replace(content, '7', '8') WHERE number = 2")
    hand.commit()
    hand.close()
    found = store_faults(file_store)
    assert found == ["revisions row 2: want.text_of_its_hash"]
    with file_store.reading() as session:
        row = revision_row(session, pole_row(session, "reedlight-7"))
        with pytest.raises(StoreFault, match=r"want\.text_of_its_hash"):
            Content(row.content, row.content_hash).plain("revision 2")


def test_a_store_that_another_program_holds_says_so_and_loses_nothing(tmp_path, monkeypatch, begin, save):
    monkeypatch.setattr(engines_of_the_store, "BUSY_MS", 30)
    with open_store(tmp_path / "workshop.db") as store, open_store(tmp_path / "workshop.db") as other:
        begin(store)
        with other.writing(), pytest.raises(StoreFault, match=r"want\.store_not_busy"):
            save(store, 1, tall=7)
        assert save(store, 1, tall=7).number == 2


def test_readers_see_the_saved_state_during_a_write(store, begin, save):
    begin(store)
    with store.writing() as session:
        keep_draft(session, "reedlight-7", Content.of({}), parent=1, who="", at=datetime.now(UTC))
        with store.reading() as reader:
            assert draft_row(reader, pole_row(reader, "reedlight-7")) is None


def test_the_file_is_written_with_every_commit_on_the_disk(file_store):
    with file_store.writing() as session:
        assert session.execute(text("PRAGMA journal_mode")).scalar() == "wal"
        assert session.execute(text("PRAGMA synchronous")).scalar() == 2, "2 is FULL"
        assert session.execute(text("PRAGMA foreign_keys")).scalar() == 1
